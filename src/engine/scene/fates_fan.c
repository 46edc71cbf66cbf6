/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The edges of what a sweep covers: of each end plane the two sides and the far arc, and the
 * arcs that the far corners and the middle line's end run from one to the other. */
#include "engine/scene/fates_patch.h"

#include "base/units.h"
#include "engine/acoustic/plane.h"

#define ROD_MM 0.5
#define AROUND 4
#define ARC    24
#define SWEEP  18
#define POINTS (ARC + 1)

static const TarnPatchPaint rod_paint = { { 236, 234, 228, 255 }, 20 };

/* A rod of AROUND sides through the points. */
static void
add_rod (TarnPatch *patch, const TarnVec3 *point, int points)
{
  int first = patch->vertices;
  for (int k = 0; k < points; k++)
    {
      TarnVec3 along = tarn_normalize (
          tarn_sub (point[k + 1 < points ? k + 1 : k], point[k > 0 ? k - 1 : k]));
      TarnVec3 aside = fabs (along.x) < 0.7 ? tarn_vec3 (1, 0, 0) : tarn_vec3 (0, 0, 1);
      TarnVec3 u = tarn_normalize (tarn_cross (along, aside)), v = tarn_cross (along, u);
      for (int j = 0; j < AROUND; j++)
        {
          double turn = 2 * TARN_PI * j / AROUND;
          TarnVec3 n = tarn_add (tarn_scale (u, cos (turn)), tarn_scale (v, sin (turn)));
          tarn_patch_vertex (patch, tarn_add_scaled (point[k], n, ROD_MM), n, rod_paint);
        }
    }
  if (patch->failed)
    return;
  for (int k = 0; k + 1 < points; k++)
    for (int j = 0; j < AROUND; j++)
      {
        int a = first + k * AROUND + j, b = first + k * AROUND + (j + 1) % AROUND;
        tarn_patch_triangle (patch, a, b, b + AROUND);
        tarn_patch_triangle (patch, a, b + AROUND, a + AROUND);
      }
}

static TarnVec3
field_point (const TarnView *view, double fan_rad, double line_rad, double range_mm)
{
  TarnPlaneFrame plane = tarn_plane_frame (&view->contact, fan_rad);
  TarnVec3 p = tarn_add_scaled (plane.centre_mm, plane.lateral, range_mm * sin (line_rad));
  return tarn_add_scaled (p, plane.axis, range_mm * cos (line_rad));
}

void
tarn_fates_fan_add (TarnPatch *patch, const TarnView *view)
{
  const TarnImageGeometry *g = &view->geometry;
  double first_rad = g->first_angle_rad;
  double last_rad = tarn_image_angle_rad (g, g->lines - 1);
  double far_mm = g->face_radius_mm + tarn_image_depth_limit_mm (g);
  int first_index = patch->indices;
  TarnVec3 point[POINTS];
  for (int end = -1; end <= 1; end += 2)
    {
      double fan_rad = end * view->half_fan_rad;
      for (int side = 0; side < 2; side++)
        {
          double line_rad = side ? last_rad : first_rad;
          point[0] = field_point (view, fan_rad, line_rad, g->face_radius_mm);
          point[1] = field_point (view, fan_rad, line_rad, far_mm);
          add_rod (patch, point, 2);
        }
      for (int k = 0; k <= ARC; k++)
        point[k]
            = field_point (view, fan_rad, first_rad + (last_rad - first_rad) * k / ARC, far_mm);
      add_rod (patch, point, ARC + 1);
    }
  for (int side = 0; side < 3; side++)
    {
      double line_rad = side == 0 ? first_rad : side == 1 ? last_rad : 0;
      for (int k = 0; k <= SWEEP; k++)
        point[k]
            = field_point (view, view->half_fan_rad * (2.0 * k / SWEEP - 1), line_rad, far_mm);
      add_rod (patch, point, SWEEP + 1);
    }
  tarn_patch_end_part (patch, TARN_MATERIAL_TUBE, first_index);
}
