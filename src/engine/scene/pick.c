/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * pick.c: what a ray meets. */
#include "engine/scene/scene.h"

/* Where a ray meets a triangle's front, by barycentric coordinates (Möller & Trumbore 1997);
 * false where it does not.  @hit: out, distance and the weights of the second and third
 * corner. */
static bool
meets (const TarnSceneVertex *const corner[3], TarnVec3 from, TarnVec3 direction, double hit[3])
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
  TarnVec3 s = tarn_sub (from, p[0]);
  double u = tarn_dot (s, h) / det;
  TarnVec3 q = tarn_cross (s, e1);
  double v = tarn_dot (direction, q) / det;
  double t = tarn_dot (e2, q) / det;
  if (u < -1e-6 || v < -1e-6 || u + v > 1 + 1e-6 || t <= 0)
    return false;
  hit[0] = t;
  hit[1] = u;
  hit[2] = v;
  return true;
}

bool
tarn_scene_pick_mesh (const TarnSceneMesh *mesh, TarnMaterial material, TarnVec3 from_mm,
                      TarnVec3 direction, double *above_mm, double *left_mm)
{
  bool skin = material == TARN_MATERIAL_SKIN;
  double nearest = INFINITY;
  for (int k = 0; k < mesh->parts; k++)
    {
      if (mesh->part[k].material != material)
        continue;
      for (int i = mesh->part[k].first; i < mesh->part[k].first + mesh->part[k].count; i += 3)
        {
          const uint32_t *index = &mesh->index[i];
          const TarnSceneVertex *const corner[3]
              = { &mesh->vertex[index[0]], &mesh->vertex[index[1]], &mesh->vertex[index[2]] };
          double hit[3];
          if (!meets (corner, from_mm, direction, hit) || hit[0] >= nearest)
            continue;
          nearest = hit[0];
          double weight[3] = { 1 - hit[1] - hit[2], hit[1], hit[2] };
          *above_mm = *left_mm = 0;
          for (int j = 0; skin && j < 3; j++)
            {
              *above_mm += weight[j] * (double)mesh->skin_place[index[j]][0];
              *left_mm += weight[j] * (double)mesh->skin_place[index[j]][1];
            }
        }
    }
  return nearest < INFINITY;
}
