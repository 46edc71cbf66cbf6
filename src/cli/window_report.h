/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window_report.h: the acoustic window of a patient, told as a letter, as JSON and as a
 * picture.
 *
 * Floor: cli. */
#pragma once

#include "cli/subject.h"
#include "engine/coach/window.h"
#include "report/window_map.h"

#include <glib.h>

typedef struct
{
  const TarnSubject *subject;
  const TarnAcousticWindow *window;
} TarnWindowReport;

/* Maps the subject's patient as written.  Problems are told on standard error.
 * @poses: about how many are tried.  @threads: 0 for one for each processor. */
TarnExit tarn_window_of (TarnSubject *subject, int poses, int threads, uint64_t seed,
                         TarnAcousticWindow *window);

/* Whether no pose is accurate and no other judgement is the answer: a patient that teaches
 * nothing. */
bool tarn_window_is_hopeless (const TarnWindowReport *report);

void tarn_window_write_letter (GString *text, const TarnWindowReport *report);
void tarn_window_write_json (GString *json, const TarnWindowReport *report);

/* The map with its words, in English; tarn_window_words_clear () it. */
typedef struct
{
  TarnWindowMap map;
  char *title, *by_place, *by_tilt; /* owned */
} TarnWindowWords;
void tarn_window_words_init (TarnWindowWords *words, const TarnWindowReport *report);
void tarn_window_words_clear (TarnWindowWords *words);

TarnExit tarn_window_write_png (const char *path, const TarnWindowReport *report);
