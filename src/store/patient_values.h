/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_values.h: one value of a patient file, from text to number and back.
 *
 * Private to store/.  The language of the desktop changes nothing: the point is the point. */
#pragma once

#include "engine/patient/fields.h"

#include <glib.h>

/* The shortest text that reads back as exactly @value: "0.1", "-15", "1e-9".  @value: finite.
 */
char *tarn_number_format (double value);

/* "range 2 … 120 mm", "one of female, male". */
char *tarn_field_range (const TarnField *field);

/* Reads a field that is not a text into @owner (a TarnPatient or TarnStructure).  On failure
 * returns FALSE, leaves @owner alone and appends to @wrong what is wrong and what would be
 * right. */
gboolean tarn_value_parse (const TarnField *field, const char *text, void *owner,
                           GString *wrong);

/* The field as a file says it, not yet escaped.  Not for texts. */
char *tarn_value_format (const TarnField *field, const void *owner);

/* Whether @text may stand in a TEXT or PROSE field; as above. */
gboolean tarn_value_check_text (const TarnField *field, const char *text, GString *wrong);

/* As key files want it: \n for a line's end, \s for a space at either end … */
void tarn_value_append_escaped (GString *out, const char *text);
