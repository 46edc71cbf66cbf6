/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_item.h: one patient's file as the library lists it, whether or not it can be used.
 *
 * Floor: app.  What the file says never changes once loaded; another version of the file is
 * another item.  Loading: any thread.  Attempts: main thread. */
#pragma once

#include "engine/patient/patient.h"

#include <gio/gio.h>

/* Properties to bind, all read only: "title", "objective", "problem", "result" (strings);
 * "difficulty" (double). */
#define TARN_TYPE_PATIENT_ITEM (tarn_patient_item_get_type ())
G_DECLARE_FINAL_TYPE (TarnPatientItem, tarn_patient_item, TARN, PATIENT_ITEM, GObject)

/* Reads the file.  Never NULL: a file that fails is an item with a problem. */
TarnPatientItem *tarn_patient_item_load (const char *path);
/* Whether the file still is as it was when this item was loaded, by its size and time. */
gboolean tarn_patient_item_is_current (TarnPatientItem *self);

const char *tarn_patient_item_path (TarnPatientItem *self);
const char *tarn_patient_item_file_name (TarnPatientItem *self); /* UTF-8, to show */
/* What is wrong with the file, one line for each problem; NULL when it can be used. */
const char *tarn_patient_item_problem (TarnPatientItem *self);
/* The first of them, without the file's name. */
const char *tarn_patient_item_first_problem (TarnPatientItem *self);

/* NULL when the file failed.  Belongs to the item. */
const TarnPatient *tarn_patient_item_patient (TarnPatientItem *self);
const char *tarn_patient_item_id (TarnPatientItem *self); /* "" when the file failed */

const char *tarn_patient_item_sha256 (TarnPatientItem *self); /* likewise */

/* How hard the patient is, 0 … 100, by the patient's acoustic window (engine/coach/window.h).
 */
#define TARN_DIFFICULTY_UNKNOWN (-1.0) /* not yet */
#define TARN_DIFFICULTY_NONE    (-2.0) /* there is no such body */
double tarn_patient_item_difficulty (TarnPatientItem *self);
void tarn_patient_item_set_difficulty (TarnPatientItem *self, double difficulty);
/* "Difficulty 34 of 100"; "" where there is none.  Free it. */
char *tarn_patient_item_difficulty_text (TarnPatientItem *self);

/* A text of the file (fields.h: "scenario", "briefing", "local-policy" …) in the first of the
 * person's languages that it has, else untranslated; NULL where there is none.  Belongs to the
 * item. */
const char *tarn_patient_item_text (TarnPatientItem *self, const char *key);
const char *tarn_patient_item_title (TarnPatientItem *self);     /* else the file's name */
const char *tarn_patient_item_objective (TarnPatientItem *self); /* "" without one */

/* Attempts since the program started. */
int tarn_patient_item_attempts (TarnPatientItem *self);
int tarn_patient_item_best_score (TarnPatientItem *self); /* 0…100; -1 before the first */

/* Notes one more attempt.  @result: in one or two words, translated.  @score:
 * 0…100, or -1 when it was not scored. */
void tarn_patient_item_note_attempt (TarnPatientItem *self, const char *result, int score);
/* Takes over the attempts of an earlier version of the same file. */
void tarn_patient_item_take_attempts (TarnPatientItem *self, TarnPatientItem *earlier);
/* "2 attempts, the last: clipped. Best score 64 of 100."  Free it. */
char *tarn_patient_item_result_text (TarnPatientItem *self);
