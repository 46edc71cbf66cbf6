/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * words_problem.h: what the engine says is wrong with a patient, in the reader's language.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <glib.h>

/* @text: a problem's, in the engine's English.  What is not known stays as it is. */
char *tarn_words_problem (const char *text);

/* For tests: whether it can be said in another language. */
gboolean tarn_words_problem_is_known (const char *text);
