/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * manual.h: tarn-cli(1), written from the lists of commands and options.
 *
 * Floor: cli. */
#pragma once

#include <glib.h>

/* Of the text, not of the build, which must repeat. */
#define TARN_MANUAL_DATE "2026-11-25"

/* Appends the page in roff (man macros). */
void tarn_cli_write_manual (GString *page);

/* Breaks the lines of text that are longer than 78 bytes. */
void tarn_manual_wrap (GString *page);
