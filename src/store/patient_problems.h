/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_problems.h: what is wrong with a patient file, gathered while reading it.
 *
 * Private to store/.  One line for each problem:
 *   FILE:LINE: [Group] key = value: what is wrong
 * Texts from the file are cut short and cleaned of control characters before they are shown. */
#pragma once

#include <glib.h>

typedef struct
{
  const char *file; /* as shown to people; the caller's */
  GString *lines;   /* joined by newlines, no last one */
  unsigned count;   /* more than are listed when there are many */
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
/* Says how many problems there were beyond those listed. */
void tarn_file_problems_finish (TarnFileProblems *problems);
