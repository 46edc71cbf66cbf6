/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * json_text.h: JSON on one line, with numbers as long as they are worth.
 *
 * Floor: cli.  json-glib writes every number with 17 digits (0.1 as 0.10000000000000001); the
 * tests read ours with json-glib. */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* Each adds a member to the object that is open at the end of @json, with its comma.
 * @key: of small letters; NULL for an element of an array. */
void tarn_json_open (GString *json, const char *key, char bracket); /* '{' or '[' */
void tarn_json_close (GString *json, char bracket);                 /* '}' or ']' */
/* @value: finite.  Zero never has a sign. */
void tarn_json_number (GString *json, const char *key, double value, int decimals);
/* With as many digits as bring back the same bits. */
void tarn_json_exact (GString *json, const char *key, double value);
void tarn_json_text (GString *json, const char *key, const char *utf8);
void tarn_json_bool (GString *json, const char *key, bool value);
void tarn_json_null (GString *json, const char *key);
