/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * judged_sample.h: made-up readings and truths for tests of the pages that show them; no
 * attempt stands behind them. */
#pragma once

#include <gtk/gtk.h>

#include "app/judge_view.h"

/* The texts' language as TARN_LOCALE_DIR and LANGUAGE say; English without them. */
void sample_language (void);

#define SAMPLE_PLANES 36

/* A sweep whose planes show a dark ellipse each, smaller towards the ends; at the left it runs
 * out of the sector, and some of its border is bridged. */
typedef struct
{
  TarnImageGeometry geometry;
  GBytes *grey;
  TarnSweepPlane plane[SAMPLE_PLANES];
} SampleFan;

SampleFan *sample_fan_new (void);
void sample_fan_free (SampleFan *fan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SampleFan, sample_fan_free)

/* A reading of that fan, after @seconds; of three diameters. */
TarnRunReading sample_sweep (const SampleFan *fan, TarnReadingKind kind, double ml,
                             unsigned seconds);
TarnRunReading sample_calipers (double ml, unsigned seconds);

/* 214 mL written where 320 were held: bone −71, edge −38, rest +3; must-not-miss: none. */
TarnTruth sample_truth_shadowed (void);
/* Calipers: 247 mL of 320, calipers −31, formula −42. */
TarnTruth sample_truth_calipers (void);
/* Rightly not scanned. */
TarnTruth sample_truth_stop (void);

/* What is pressed in @widget is at least 24 px either way (WCAG 2.2, criterion 2.5.8). */
void sample_assert_targets (GtkWidget *widget);
