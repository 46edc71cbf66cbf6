/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * run-cli.h: runs tarn-cli as a user would, and reads what it printed. */
#pragma once

#include <glib.h>
#include <json-glib/json-glib.h>

typedef struct
{
  int exit_code; /* -1: ended by a signal */
  char *out, *err;
} CliRun;

/* @arguments: separated by single blanks.
 * @input: what standard input holds; NULL: nothing. */
CliRun cli_run (const char *input, const char *arguments, ...) G_GNUC_PRINTF (2, 3);
void cli_run_clear (CliRun *run);

/* Lines of @text that are not empty. */
int cli_lines (const char *text);

/* Checks the exit code and that standard error is one line that holds @word (and nothing came
 * on standard output); shows what was printed when not.  Clears @run. */
void cli_expect_complaint (CliRun *run, int exit_code, const char *word);

/* Parses one object; fails the test when it is not one. */
JsonObject *cli_parse (const char *text); /* json_object_unref () */

/* "reading.volume_ml"; fails the test when there is no such number. */
double cli_number (JsonObject *object, const char *path);
const char *cli_text (JsonObject *object, const char *path);

/* The file among the shipped patients, e.g. "01-plain-adult.anatomy". */
char *cli_anatomy (const char *name);

/* Writes @size bytes (-1: up to NUL) to a new file in the test's own folder.  Returns its path.
 */
char *cli_write_file (const char *name, const char *data, gssize size);
/* The test's own folder, empty at first; made once, removed by cli_remove_folder (). */
const char *cli_folder (void);
void cli_remove_folder (void);
