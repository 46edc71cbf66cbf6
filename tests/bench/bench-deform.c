/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long pressed points take to bring back to where they came from, in the layout in which
 * planes ask for them: points along lines.  CSV on standard output; never fails on time. */
#include "bench.h"

#include "base/units.h"
#include "engine/deform/deform.h"
#include "engine/deform/field.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>

#define LINES    64
#define PER_LINE 64
#define POINTS   (LINES * PER_LINE)
#define REPEATS  50
#define DEPTH_MM 180.0
#define HALF_RAD 0.698

typedef struct
{
  float x[POINTS], y[POINTS], z[POINTS];
} Points;

static void
fill (Points *points, const TarnContact *contact)
{
  double radius = tarn_distance (contact->face_mm, contact->centre_mm);
  for (int line = 0; line < LINES; line++)
    for (int k = 0; k < PER_LINE; k++)
      {
        double angle = HALF_RAD * (2.0 * line / (LINES - 1) - 1);
        double r = radius + DEPTH_MM * (k + 0.5) / PER_LINE;
        TarnVec3 p = tarn_add_scaled (contact->centre_mm, contact->axis, r * cos (angle));
        p = tarn_add_scaled (p, contact->lateral, r * sin (angle));
        points->x[line * PER_LINE + k] = (float)p.x;
        points->y[line * PER_LINE + k] = (float)p.y;
        points->z[line * PER_LINE + k] = (float)p.z;
      }
}

static void
flow_chosen (const TarnDeform *deform, int sign, int count, float *x, float *y, float *z)
{
  (sign > 0 ? tarn_deform_forward_many : tarn_deform_inverse_many) (deform, count, x, y, z);
}

/* The best of some runs, µs for a point. */
static double
best_us (void (*flow) (const TarnDeform *, int, int, float *, float *, float *),
         const TarnDeform *deform, int sign, const Points *from)
{
  double best = INFINITY;
  static Points points;
  for (int k = 0; k < REPEATS; k++)
    {
      points = *from;
      gint64 begin = g_get_monotonic_time ();
      flow (deform, sign, POINTS, points.x, points.y, points.z);
      best = fmin (best, (double)(g_get_monotonic_time () - begin) / POINTS);
    }
  return best;
}

static void
bench_press (double fat_mm, TarnPose pose)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.fat_mm = fat_mm;
  TarnBody *body = NULL;
  TarnContact contact;
  if (tarn_body_new (&patient, 0, &body, NULL) != TARN_OK
      || tarn_contact_solve (body, &pose, NULL, &contact) != TARN_OK)
    {
      tarn_body_free (body);
      return;
    }
  TarnDeform deform;
  tarn_deform_init (&deform, body, &contact);
  static Points points;
  fill (&points, &contact);
  for (int sign = -1; sign <= 1; sign += 2)
    printf ("\"%s\",%g,%g,%g,%.1f,%d,%s,%.4f,%.4f\n", bench_processor (), fat_mm, pose.above_mm,
            pose.force_n, contact.indentation_mm, deform.steps,
            sign < 0 ? "inverse" : "forward", best_us (flow_chosen, &deform, sign, &points),
            best_us (tarn_deform_flow_plain, &deform, sign, &points));
  tarn_body_free (body);
}

int
main (void)
{
  static const double fat_mm[] = { 8, 18, 50 }, force_n[] = { 5, 15, 30 };
  printf (
      "processor,fat_mm,above_mm,force_n,indentation_mm,steps,direction,chosen_us,plain_us\n");
  for (size_t fat = 0; fat < G_N_ELEMENTS (fat_mm); fat++)
    for (size_t force = 0; force < G_N_ELEMENTS (force_n); force++)
      for (double above = 10; above <= 70; above += 30)
        {
          TarnPose pose = { .above_mm = above, .tilt_rad = 0.09, .force_n = force_n[force] };
          bench_press (fat_mm[fat], pose);
        }
  return 0;
}
