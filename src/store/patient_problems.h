/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_problems.h: what is wrong with a patient file, gathered while reading it.
 *
 * Private to store/.  One line for each problem:
 *   FILE:LINE: [Group] key = value: what is wrong
 * Texts from the file are cut short and cleaned of control characters before they are shown. */
#pragma once

#include <glib.h>

#define TARN_FILE_PROBLEMS_LISTED 20

typedef struct
{
  unsigned line;
  char *text; /* the whole line that is said */
} TarnFileProblem;

typedef struct
{
  const char *file;                                  /* as shown to people; the caller's */
  TarnFileProblem listed[TARN_FILE_PROBLEMS_LISTED]; /* in the order of the file's lines */
  unsigned count;                                    /* all, those not listed too */
} TarnFileProblems;

/* Where a problem is.  NULL or 0 for what does not apply. */
typedef struct
{
  unsigned line;
  const char *group, *key, *value;
} TarnFilePlace;

void tarn_file_problems_init (TarnFileProblems *problems, const char *file);
void tarn_file_problems_clear (TarnFileProblems *problems);
void tarn_file_problems_add (TarnFileProblems *problems, const TarnFilePlace *place,
                             const char *format, ...) G_GNUC_PRINTF (3, 4);
/* The problems of the first lines, joined by newlines, and how many more there are.  g_free ()
 * it. */
char *tarn_file_problems_text (const TarnFileProblems *problems);
