/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scan_report.h: what there is to tell of a scan, to a person (scan_letter.h) and to a program
 * (scan_json.h).
 *
 * Floor: cli. */
#pragma once

#include "cli/request.h"
#include "cli/subject.h"
#include "engine/verdict/scan.h"

typedef struct
{
  const TarnSubject *subject;
  const TarnRequest *request;
  const TarnScan *scan;
} TarnScanReport;
