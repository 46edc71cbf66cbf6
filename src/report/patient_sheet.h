/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_sheet.h: one patient on one page of paper, for who teaches with it.
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "base/status.h"
#include "report/picture.h"
#include "report/window_map.h"

#include "engine/body/body.h"

#include <stddef.h>
#include <stdint.h>

/* A4, in points. */
#define TARN_PATIENT_SHEET_WIDTH  595
#define TARN_PATIENT_SHEET_HEIGHT 842

#define TARN_PATIENT_SHEET_FACTS_MAX 12
#define TARN_PATIENT_SHEET_TEXTS_MAX 4

typedef struct
{
  const char *name, *value;
} TarnSheetWords;

typedef struct
{
  const char *title, *scenario;   /* the second may be NULL */
  const TarnBody *body;           /* cut through the bladder's middle; NULL: no cuts */
  const char *from_side, *across; /* below the cuts */
  const TarnPlanePicture *plane;  /* NULL: none */
  const char *plane_caption;
  const TarnWindowMap *window; /* NULL: none */
  int facts, texts;
  TarnSheetWords fact[TARN_PATIENT_SHEET_FACTS_MAX]; /* in two columns */
  /* Heading and paragraph; NULL instead of the second: lines to write on. */
  TarnSheetWords text[TARN_PATIENT_SHEET_TEXTS_MAX];
  const char *footer;
} TarnPatientSheet;

/* On a light ground.  What has no room left at the bottom is cut off with "…". */
void tarn_patient_sheet_draw (cairo_t *cr, const TarnPatientSheet *sheet);

/* As a file in memory; the picture has two pixels a point.  @bytes: out, free () it.
 * Return TARN_OK or TARN_NO_MEMORY, and then leave the rest alone. */
TarnStatus tarn_patient_sheet_pdf (const TarnPatientSheet *sheet, uint8_t **bytes,
                                   size_t *size);
TarnStatus tarn_patient_sheet_png (const TarnPatientSheet *sheet, uint8_t **bytes,
                                   size_t *size);
