/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_lines.h: which line of a key file says what.
 *
 * Private to store/.  GKeyFile reads values but forgets where they stood, and quietly lets the
 * later of two equal keys or groups win; this index remembers, and refuses. */
#pragma once

#include "store/patient_problems.h"

#include <glib.h>

/* Limits of a file, far beyond any honest patient. */
#define TARN_FILE_BYTES_MAX   (256 * 1024)
#define TARN_LINE_BYTES_MAX   (16 * 1024)
#define TARN_LINE_ENTRIES_MAX 1000

typedef struct
{
  unsigned line;
  const char *group;  /* shared by all entries of the group; never NULL */
  const char *key;    /* NULL for the line that opens the group */
  const char *locale; /* "" for none */
  char *name;         /* key and locale as GKeyFile calls them: "title[es]" */
} TarnLine;

typedef struct _TarnLines
{
  GArray *entry; /* of TarnLine, in the order of the file */
  GStringChunk *text;
  unsigned lines; /* of the whole file */
} TarnLines;

/* @data: valid UTF-8 without NUL, checked by the caller; need not end in NUL.
 * Problems found are added to @problems; entries that are sound are kept all the same. */
void tarn_lines_init (TarnLines *lines, const char *data, gsize length,
                      TarnFileProblems *problems);
void tarn_lines_clear (TarnLines *lines);

/* The entry of a key, its translations apart; with NULL for @key, of the group's opening.
 * NULL when the file has none. */
const TarnLine *tarn_lines_find (const TarnLines *lines, const char *group, const char *key,
                                 const char *locale);
