/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scan_words.h: a scan told to a person and to a program.
 *
 * Floor: cli. */
#pragma once

#include "cli/request.h"
#include "cli/subject.h"
#include "engine/verdict/scan.h"

#include <glib.h>

typedef struct
{
  const TarnSubject *subject;
  const TarnRequest *request;
  const TarnScan *scan;
} TarnScanReport;

/* A short letter, ending in a newline. */
void tarn_scan_write_letter (GString *text, const TarnScanReport *report);

/* One object of schema tarn.scan/1 on one line, ending in a newline. */
void tarn_scan_write_json (GString *json, const TarnScanReport *report);

/* "pose": {…} as the schema has it, for the calipers too. */
void tarn_request_write_json (GString *json, const TarnRequest *request,
                              const TarnImageGeometry *geometry);

/* "The situation says not to scan: …", or NULL; g_free () it. */
char *tarn_subject_stop (const TarnSubject *subject);
