/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * manual.h: tarn-cli(1), written from the lists of commands and options.
 *
 * Floor: cli. */
#pragma once

#include <glib.h>

/* Appends the page in roff (man macros). */
void tarn_cli_write_manual (GString *page);
