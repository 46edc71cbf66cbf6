/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_manual.h: the manual page of the patient file, written from the list of fields.
 *
 * Floor: store. */
#pragma once

#include <glib.h>

/* Appends tarn-anatomy(5) in roff (man macros).  @version: of the program, for the footer. */
void tarn_fields_write_manual (GString *out, const char *version);
