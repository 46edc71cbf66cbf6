/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scan_letter.h: a scan told to a person.
 *
 * Floor: cli. */
#pragma once

#include "cli/scan_report.h"

#include <glib.h>

/* Appends a short letter, ending in a newline. */
void tarn_scan_write_letter (GString *text, const TarnScanReport *report);
