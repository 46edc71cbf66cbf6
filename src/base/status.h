/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * status.h: what a call that can fail returns, and what it says about it.
 *
 * Floor: base. */
#pragma once

typedef enum
{
  TARN_OK = 0,
  TARN_OUT_OF_RANGE, /* a number outside its documented range, or not a number */
  TARN_NO_MEMORY,
  TARN_IMPOSSIBLE, /* each number is in range, together they cannot be */
  TARN_OFF_BODY,   /* the pose does not meet the torso */
} TarnStatus;

#define TARN_PROBLEM_TEXT_MAX 256

/* One problem in plain words, for a person; `key` names the field where one is to blame. */
typedef struct
{
  char key[64];
  char text[TARN_PROBLEM_TEXT_MAX];
} TarnProblem;

/* One short English sentence; never NULL.  Threads: safe. */
const char *tarn_status_text (TarnStatus status);

/* Fills @problem (ignored when NULL), printf-like, cut to fit.  Returns @status. */
TarnStatus tarn_problem_set (TarnProblem *problem, TarnStatus status, const char *key,
                             const char *format, ...) __attribute__ ((format (printf, 4, 5)));
