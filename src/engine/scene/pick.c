/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * pick.c: what a ray meets. */
#include "engine/scene/scene.h"

/* Where a ray meets the plane of a triangle's front, by barycentric coordinates (Möller &
 * Trumbore 1997); false where it does not.  @weight: out, of the corners. */
static bool
meets (const TarnSceneVertex *const corner[3], TarnVec3 from, TarnVec3 direction,
       double weight[3], double *distance)
{
  TarnVec3 p[3];
  for (int k = 0; k < 3; k++)
    p[k] = tarn_vec3 ((double)corner[k]->position_mm[0], (double)corner[k]->position_mm[1],
                      (double)corner[k]->position_mm[2]);
  TarnVec3 e1 = tarn_sub (p[1], p[0]), e2 = tarn_sub (p[2], p[0]);
  TarnVec3 h = tarn_cross (direction, e2);
  double det = tarn_dot (e1, h);
  if (!(det > 1e-9))
    return false;
  TarnVec3 s = tarn_sub (from, p[0]), q = tarn_cross (s, e1);
  weight[1] = tarn_dot (s, h) / det;
  weight[2] = tarn_dot (direction, q) / det;
  weight[0] = 1 - weight[1] - weight[2];
  *distance = tarn_dot (e2, q) / det;
  return *distance > 0;
}

static bool
within (const double weight[3])
{
  return weight[0] >= -1e-6 && weight[1] >= -1e-6 && weight[2] >= -1e-6;
}

/* From the flat triangle to the rounded surface that its normals tell of (Phong tessellation,
 * Boubekeur & Alexa 2008): how far that stands off at some weights. */
static TarnVec3
rounding (const TarnSceneVertex *const corner[3], const double weight[3])
{
  TarnVec3 p[3], flat = { 0, 0, 0 }, off = { 0, 0, 0 };
  for (int k = 0; k < 3; k++)
    {
      p[k] = tarn_vec3 ((double)corner[k]->position_mm[0], (double)corner[k]->position_mm[1],
                        (double)corner[k]->position_mm[2]);
      flat = tarn_add_scaled (flat, p[k], weight[k]);
    }
  for (int k = 0; k < 3; k++)
    {
      TarnVec3 n = { (double)corner[k]->normal[0], (double)corner[k]->normal[1],
                     (double)corner[k]->normal[2] };
      off = tarn_add_scaled (off, n, weight[k] * tarn_dot (tarn_sub (p[k], flat), n));
    }
  return tarn_scale (off, 0.7);
}

bool
tarn_scene_pick_mesh (const TarnSceneMesh *mesh, TarnMaterial material, TarnVec3 from_mm,
                      TarnVec3 direction, double *above_mm, double *left_mm)
{
  const uint32_t *found = NULL;
  double nearest = INFINITY, weight[3] = { 0, 0, 0 };
  for (int k = 0; k < mesh->parts; k++)
    for (int i = 0; mesh->part[k].material == material && i < mesh->part[k].count; i += 3)
      {
        const uint32_t *index = &mesh->index[mesh->part[k].first + i];
        const TarnSceneVertex *const corner[3]
            = { &mesh->vertex[index[0]], &mesh->vertex[index[1]], &mesh->vertex[index[2]] };
        double here[3], distance;
        if (!meets (corner, from_mm, direction, here, &distance) || !within (here)
            || distance >= nearest)
          continue;
        nearest = distance;
        found = index;
        for (int j = 0; j < 3; j++)
          weight[j] = here[j];
      }
  if (found == NULL)
    return false;

  *above_mm = *left_mm = 0;
  if (material != TARN_MATERIAL_SKIN)
    return true;
  const TarnSceneVertex *const corner[3]
      = { &mesh->vertex[found[0]], &mesh->vertex[found[1]], &mesh->vertex[found[2]] };
  for (int k = 0; k < 2; k++)
    {
      double distance;
      TarnVec3 off = rounding (corner, weight);
      (void)meets (corner, tarn_sub (from_mm, off), direction, weight, &distance);
    }
  for (int j = 0; j < 3; j++)
    {
      *above_mm += weight[j] * (double)mesh->skin_place[found[j]][0];
      *left_mm += weight[j] * (double)mesh->skin_place[found[j]][1];
    }
  return true;
}
