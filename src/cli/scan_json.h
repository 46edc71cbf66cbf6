/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scan_json.h: a scan told to a program.
 *
 * Floor: cli. */
#pragma once

#include "cli/scan_report.h"

#include <glib.h>

/* Appends one object of schema tarn.scan/1 on one line, ending in a newline. */
void tarn_scan_write_json (GString *json, const TarnScanReport *report);
