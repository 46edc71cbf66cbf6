/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_words.h: what groups, fields and choices of a patient's file are called in the editor,
 * in the instructor's language.
 *
 * Floor: app.  Threads: any.  A const char * belongs to the program and is never NULL; a char *
 * is new: free it. */
#pragma once

#include "engine/body/tissue.h"
#include "engine/patient/fields.h"

const char *tarn_editor_group_word (TarnFieldGroup group); /* "Body" */
/* One sentence on what the group is for. */
const char *tarn_editor_group_hint (TarnFieldGroup group);

const char *tarn_editor_field_word (const TarnField *field); /* "Fat" */
/* The list's own line of help, as a sentence, and where the values come from. */
const char *tarn_editor_field_help (const TarnField *field);
const char *tarn_editor_field_source (const TarnField *field);
/* One of three numbers: "To the left"; NULL for a field of one. */
const char *tarn_editor_component_word (const TarnField *field, int component);
/* "Bowel gas". */
const char *tarn_editor_choice_word (const TarnField *field, int choice);
/* "Uterus 2": the second structure, a uterus. */
char *tarn_editor_structure_word (const TarnPatient *patient, int structure);

/* What a point of the body is made of: "Fat". */
const char *tarn_editor_tissue_word (TarnTissue tissue);

/* Digits after the point that a person would write, and the step of a key. */
int tarn_editor_field_digits (const TarnField *field);
double tarn_editor_field_step (const TarnField *field);
/* "18 mm"; a choice's word; "not known". */
char *tarn_editor_field_value (const TarnField *field, const TarnPatient *patient,
                               int structure);
/* "2 to 120 mm. Default: 18 mm. Source: own." */
char *tarn_editor_field_facts (const TarnField *field, const TarnPatient *patient,
                               int structure);

/* Whether every text of the list of fields is here to be translated: NULL, or the first that is
 * not.  For tests. */
const char *tarn_editor_words_missing (void);
