/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "judged_sample.h"

#include "base/units.h"

#include <libintl.h>
#include <locale.h>
#include <math.h>

void
sample_language (void)
{
  const char *words = g_getenv ("TARN_LOCALE_DIR");
  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, words != NULL ? words : TARN_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
}

#define LINES   96
#define SAMPLES 320

static const TarnImageGeometry geometry = {
  .lines = LINES,
  .samples = SAMPLES,
  .first_angle_rad = -0.6981,
  .line_pitch_rad = 1.3963 / (LINES - 1),
  .sample_pitch_mm = 180.0 / SAMPLES,
  .face_radius_mm = 15,
};

/* The ellipse of a plane: about (-20, 95), its half axes shrinking towards the fan's ends. */
static double
half_axis (double fan_rad)
{
  double share = 1 - pow (fan_rad / 0.5, 2);
  return share > 0 ? sqrt (share) : 0;
}

static void
draw_plane (uint8_t *grey, double size, GRand *random)
{
  for (int line = 0; line < LINES; line++)
    for (int sample = 0; sample < SAMPLES; sample++)
      {
        double r = tarn_image_radius_mm (&geometry, sample);
        double a = tarn_image_angle_rad (&geometry, line);
        double u = (r * sin (a) + 20) / 55, v = (r * cos (a) - 95) / 32;
        gboolean dark = size > 0 && u * u + v * v < size * size;
        double speckle
            = g_rand_double_range (random, 0, 60) + g_rand_double_range (random, 0, 60);
        *grey++ = (uint8_t)(dark ? 6 + speckle / 12 : 50 + speckle);
      }
}

/* Points at equal angles, moved to the sector's side where they would lie beyond it. */
static void
outline_plane (TarnOutline *outline, double size)
{
  if (size <= 0)
    return;
  outline->found = true;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS;
      double u = -20 + 55 * size * cos (angle), v = 95 - 32 * size * sin (angle);
      TarnEvidence evidence = k % 32 < 5 ? TARN_EVIDENCE_BRIDGED : TARN_EVIDENCE_SEEN;
      if (u < v * tan (geometry.first_angle_rad))
        {
          u = v * tan (geometry.first_angle_rad);
          evidence = TARN_EVIDENCE_AT_EDGE;
        }
      outline->point[k] = (TarnOutlinePoint){ (float)u, (float)v, (uint8_t)evidence };
      outline->seen += evidence == TARN_EVIDENCE_SEEN ? 1.0 / TARN_OUTLINE_POINTS : 0;
      outline->bridged += evidence == TARN_EVIDENCE_BRIDGED ? 1.0 / TARN_OUTLINE_POINTS : 0;
      outline->at_edge += evidence == TARN_EVIDENCE_AT_EDGE ? 1.0 / TARN_OUTLINE_POINTS : 0;
    }
}

SampleFan *
sample_fan_new (void)
{
  SampleFan *fan = g_new0 (SampleFan, 1);
  gsize each = (gsize)LINES * SAMPLES;
  uint8_t *grey = g_malloc (each * SAMPLE_PLANES);
  GRand *random = g_rand_new_with_seed (1);
  fan->geometry = geometry;
  for (int k = 0; k < SAMPLE_PLANES; k++)
    {
      double fan_rad = tarn_rad_from_deg (-35 + 70.0 * k / (SAMPLE_PLANES - 1));
      fan->plane[k].fan_rad = fan_rad;
      draw_plane (grey + each * (gsize)k, half_axis (fan_rad), random);
      outline_plane (&fan->plane[k].outline, half_axis (fan_rad));
    }
  g_rand_free (random);
  fan->grey = g_bytes_new_take (grey, each * SAMPLE_PLANES);
  return fan;
}

void
sample_fan_free (SampleFan *fan)
{
  g_bytes_unref (fan->grey);
  g_free (fan);
}

static const TarnPose pose
    = { .above_mm = 30, .left_mm = 5, .tilt_rad = 0.349, .turn_rad = 0, .force_n = 6 };

TarnRunReading
sample_sweep (const SampleFan *fan, TarnReadingKind kind, double ml, unsigned seconds)
{
  return (TarnRunReading){ .source = TARN_SOURCE_SWEEP,
                           .reading = { kind, ml },
                           .tick = seconds * TARN_TICKS_PER_SECOND,
                           .pose = pose,
                           .planes = SAMPLE_PLANES,
                           .step_rad = tarn_rad_from_deg (2),
                           .geometry = geometry,
                           .grey = fan->grey,
                           .plane = fan->plane };
}

TarnRunReading
sample_calipers (double ml, unsigned seconds)
{
  return (TarnRunReading){ .source = TARN_SOURCE_CALIPERS,
                           .reading = { TARN_READING_MEASURE, ml },
                           .tick = seconds * TARN_TICKS_PER_SECOND,
                           .pose = pose,
                           .diameters = { .length_mm = 94, .width_mm = 81, .height_mm = 62 },
                           .coefficient = TARN_COEFFICIENT_ELLIPSOID };
}

TarnTruth
sample_truth_shadowed (void)
{
  TarnTruth truth = {
    .truth_ml = 320,
    .tolerance_ml = 32,
    .record = TARN_RECORD_EXACT,
    .recorded = 0,
    .recorded_ml = 214,
    .judged = 0,
    .judgement = { TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_CLIPPED },
    .was_right = { .right = true, .cause_right = false },
    .verdict = TARN_VERDICT_SHADOWED,
    .has_ledger = true,
    .care_needed = TARN_CARE_IDENTITY | TARN_CARE_CONSENT | TARN_CARE_PALPATE
                   | TARN_CARE_TWO_PLANES | TARN_CARE_NOTE | TARN_CARE_CLEAN,
    .care_done = TARN_CARE_IDENTITY | TARN_CARE_CONSENT | TARN_CARE_NOTE,
    .score = { .reading = 8, .judgement = 15, .technique = 11, .care = 7.5, .total = 41.5 },
  };
  truth.ledger.entry_ml[TARN_CAUSE_BONE] = -70.6;
  truth.ledger.entry_ml[TARN_CAUSE_EDGE] = -37.9;
  truth.ledger.entry_ml[TARN_CAUSE_REST] = 2.9;
  truth.ledger.entry_ml[TARN_CAUSE_MOTION] = -0.4;
  truth.facts = (TarnScoreFacts){ .record = TARN_RECORD_EXACT,
                                  .recorded_ml = 214,
                                  .from_reading = true,
                                  .scanned = true,
                                  .force_n = 6,
                                  .comfort_n = 15,
                                  .wet_fraction = 0.92,
                                  .wander_mm = 1.2,
                                  .section_share = 0.88 };
  truth.facts.facts.reading_ml = 214;
  truth.facts.facts.truth_ml = 320;
  return truth;
}

TarnTruth
sample_truth_calipers (void)
{
  TarnTruth truth = sample_truth_shadowed ();
  truth.has_ledger = false;
  truth.verdict = TARN_VERDICT_UNEXPLAINED;
  truth.recorded_ml = truth.facts.facts.reading_ml = 247;
  truth.calipers = (TarnCaliperReport){ .volume_ml = 247,
                                        .truth_ml = 320,
                                        .coefficient = TARN_COEFFICIENT_ELLIPSOID,
                                        .true_coefficient = 0.63,
                                        .caliper_error_ml = -31,
                                        .formula_error_ml = -42 };
  truth.score.missed = TARN_MISS_MISSED_RETENTION | TARN_MISS_FALSE_EXACT_NUMBER;
  truth.facts.must_not_miss = TARN_MISS_MISSED_RETENTION;
  truth.score.failed = true;
  return truth;
}

TarnTruth
sample_truth_stop (void)
{
  TarnTruth truth = {
    .truth_ml = 320,
    .recorded = -1,
    .judged = -1,
    .judgement = { TARN_JUDGEMENT_NOT_TO_BE_SCANNED, TARN_VERDICT_NOT_ACCURATE },
    .was_right = { .right = true },
    .verdict = TARN_VERDICT_NOT_ACCURATE,
    .care_needed = TARN_CARE_IDENTITY | TARN_CARE_CONSENT,
    .care_done = TARN_CARE_IDENTITY | TARN_CARE_CONSENT,
    .score = { .reading = 50, .judgement = 20, .technique = 15, .care = 15, .total = 100 },
  };
  truth.facts.facts.stop = true;
  truth.facts.facts.truth_ml = 320;
  return truth;
}

void
sample_assert_targets (GtkWidget *widget)
{
  if (!gtk_widget_get_visible (widget))
    return;
  if (GTK_IS_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget))
    for (int orientation = 0; orientation < 2; orientation++)
      {
        int least = 0;
        gtk_widget_measure (widget, (GtkOrientation)orientation, -1, &least, NULL, NULL, NULL);
        g_assert_cmpint (least, >=, 24);
      }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    sample_assert_targets (child);
}
