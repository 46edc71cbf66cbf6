/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pressed tissue moves smoothly, so its way is found at few nodes and shared out to the rays
 * between them. */
#include "engine/coach/bend.h"

#include "base/units.h"

TarnVec3
tarn_bend_direction (const TarnContact *contact, double fan_rad, double line_rad)
{
  double u = sin (line_rad), v = cos (line_rad);
  TarnVec3 along = tarn_scale (contact->lateral, u);
  along = tarn_add_scaled (along, contact->axis, v * cos (fan_rad));
  return tarn_add_scaled (along, contact->elevation, v * sin (fan_rad));
}

/* The lower node about an angle, and how far towards the next. */
static int
node_below (double angle_rad, double first_rad, double pitch_rad, int nodes, double *share)
{
  double at = tarn_clamp ((angle_rad - first_rad) / pitch_rad, 0, nodes - 1);
  int below = (int)at < nodes - 1 ? (int)at : nodes - 2;
  *share = at - below;
  return below;
}

void
tarn_bend_want (TarnBend *bend, double fan_rad, double line_rad, int knots)
{
  double share;
  int f = node_below (fan_rad, bend->first_fan_rad, bend->fan_pitch_rad, bend->fans, &share);
  int l
      = node_below (line_rad, bend->first_line_rad, bend->line_pitch_rad, bend->lines, &share);
  for (int k = 0; k < 4; k++)
    {
      int *its = &bend->knots[(f + k / 2) * bend->lines + l + k % 2];
      *its = knots > *its ? knots : *its;
    }
}

static void
fill_node (TarnBend *bend, int node)
{
  int knots = bend->knots[node];
  TarnVec3 along = tarn_bend_direction (
      bend->contact, bend->first_fan_rad + node / bend->lines * bend->fan_pitch_rad,
      bend->first_line_rad + node % bend->lines * bend->line_pitch_rad);
  float x[TARN_KNOTS_MAX + 8], y[TARN_KNOTS_MAX + 8], z[TARN_KNOTS_MAX + 8];
  float *away = bend->away_mm + (size_t)node * 3 * TARN_KNOTS_MAX;
  for (int k = 0; k < knots; k++)
    {
      TarnVec3 p = tarn_add_scaled (bend->contact->centre_mm, along,
                                    bend->face_mm + k * bend->knot_mm);
      away[k] = x[k] = (float)p.x;
      away[TARN_KNOTS_MAX + k] = y[k] = (float)p.y;
      away[2 * TARN_KNOTS_MAX + k] = z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (bend->deform, knots, x, y, z);
  for (int k = 0; k < knots; k++)
    {
      away[k] = x[k] - away[k];
      away[TARN_KNOTS_MAX + k] = y[k] - away[TARN_KNOTS_MAX + k];
      away[2 * TARN_KNOTS_MAX + k] = z[k] - away[2 * TARN_KNOTS_MAX + k];
    }
}

void
tarn_bend_fill (TarnBend *bend)
{
  for (int node = 0; node < bend->fans * bend->lines; node++)
    if (bend->knots[node] > 0)
      fill_node (bend, node);
}

void
tarn_bend_ray (const TarnBend *bend, double fan_rad, double line_rad, int knots,
               float x_mm[TARN_KNOTS_MAX], float y_mm[TARN_KNOTS_MAX],
               float z_mm[TARN_KNOTS_MAX])
{
  double fan_share, line_share;
  int f
      = node_below (fan_rad, bend->first_fan_rad, bend->fan_pitch_rad, bend->fans, &fan_share);
  int l = node_below (line_rad, bend->first_line_rad, bend->line_pitch_rad, bend->lines,
                      &line_share);
  const float *a = bend->away_mm + (size_t)(f * bend->lines + l) * 3 * TARN_KNOTS_MAX;
  const float *b = a + 3 * TARN_KNOTS_MAX;
  const float *c = a + (size_t)bend->lines * 3 * TARN_KNOTS_MAX, *d = c + 3 * TARN_KNOTS_MAX;
  float wa = (float)((1 - fan_share) * (1 - line_share));
  float wb = (float)((1 - fan_share) * line_share), wc = (float)(fan_share * (1 - line_share));
  float wd = (float)(fan_share * line_share);
  TarnVec3 along = tarn_bend_direction (bend->contact, fan_rad, line_rad);
  TarnVec3 start = tarn_add_scaled (bend->contact->centre_mm, along, bend->face_mm);
  TarnVec3 step = tarn_scale (along, bend->knot_mm);
  for (int axis = 0; axis < 3; axis++)
    {
      float *out = axis == 0 ? x_mm : axis == 1 ? y_mm : z_mm;
      float from = (float)(axis == 0 ? start.x : axis == 1 ? start.y : start.z);
      float by = (float)(axis == 0 ? step.x : axis == 1 ? step.y : step.z);
      int o = axis * TARN_KNOTS_MAX;
      for (int k = 0; k < knots; k++)
        out[k] = from + by * (float)k
                 + (wa * a[o + k] + wb * b[o + k] + wc * c[o + k] + wd * d[o + k]);
    }
}
