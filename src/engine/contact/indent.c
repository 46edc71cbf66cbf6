/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * indent.c: how far the face goes in on a body.
 *
 * The face is rigid and 24 mm wide, so bone under its edge holds it up as bone under its
 * middle does: columns on rings around the axis are pressed in parallel.  Their depths are
 * joined by a mean of a negative power, which leans to the stiffest and goes over smoothly as
 * the face slides across a bone's edge.  The middle column alone is never exceeded, so two
 * thirds of what is in front of the bone stay the limit. */
#include "engine/contact/press.h"

#include "base/units.h"

#include <math.h>

#define RINGS        2
#define RING_COLUMNS 8
#define RING_MM      4.5   /* of the first ring, and from one to the next */
#define OUTSIDE_MM   15.0  /* where a column's ray begins, in front of the skin */
#define REACH_MM     250.0 /* how far in layers are looked for */

static bool
has_tissue (const TarnColumn *column)
{
  return column->skin_mm + column->fat_mm + column->muscle_mm + column->soft_mm > 0;
}

double
tarn_indent_mm (const TarnBody *body, const TarnContact *contact, double force_n,
                double comfort_n)
{
  TarnColumn column;
  tarn_body_column (body, contact->skin_mm, contact->axis, REACH_MM, &column);
  double middle = tarn_press_depth_mm (&column, TARN_FACE_CONTACT_MM, force_n, comfort_n);
  if (!(middle > 0))
    return 0;

  double sum = pow (middle, -3);
  int columns = 1;
  for (int k = 0; k < RINGS * RING_COLUMNS; k++)
    {
      /* Each ring is turned against the one before. */
      int ring = k / RING_COLUMNS;
      double angle = 2 * TARN_PI * (k + 0.5 * ring) / RING_COLUMNS,
             radius = RING_MM * (ring + 1);
      TarnVec3 from = tarn_add_scaled (contact->skin_mm, contact->axis, -OUTSIDE_MM);
      from = tarn_add_scaled (from, contact->lateral, radius * cos (angle));
      from = tarn_add_scaled (from, contact->elevation, radius * sin (angle));
      tarn_body_column (body, from, contact->axis, REACH_MM + OUTSIDE_MM, &column);
      if (!has_tissue (&column))
        continue;
      double depth = tarn_press_depth_mm (&column, TARN_FACE_CONTACT_MM, force_n, comfort_n);
      sum += pow (fmax (depth, 0.1 * middle), -3);
      columns++;
    }
  return fmin (middle, pow (sum / columns, -1.0 / 3));
}
