/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * inside.c: bones and bladder, as glass shows them. */
#include "engine/scene/layers.h"

#define SYMPHYSIS_PART 1 /* of the body's parts, after the skin */
#define BOX_LEVEL      2
#define BLADDER_LEVEL  3

static const TarnPaint ivory_paint = { { 232, 222, 202, 255 }, 255, 40, 0 };
static const TarnPaint truth_paint = { { 230, 159, 0, 255 }, 255, 70, 0 };

/* A part of the body with fewer triangles: a sphere's vertices of a lower level come first. */
static TarnStatus
add_part (TarnStore *store, const TarnMesh *part, int level, TarnPaint paint)
{
  TarnMesh sphere;
  if (!tarn_mesh_init_sphere (&sphere, level))
    return TARN_NO_MEMORY;
  int first = store->vertices;
  if (sphere.vertices <= part->vertices)
    {
      for (int k = 0; k < sphere.vertices; k++)
        tarn_store_vertex (store, part->vertex_mm[k], paint);
      for (int k = 0; k < sphere.triangles; k++)
        tarn_store_triangle (store, first + sphere.corner[k][0], first + sphere.corner[k][1],
                             first + sphere.corner[k][2]);
    }
  tarn_mesh_clear (&sphere);
  return TARN_OK;
}

TarnStatus
tarn_inside_add (TarnStore *store, const TarnBody *body)
{
  const TarnBones *bones = tarn_body_bones (body);
  int first_index = store->indices;
  const char *name;
  TarnMesh mesh;
  TarnStatus status = tarn_body_part (body, SYMPHYSIS_PART, &name, &mesh);
  if (status == TARN_OK)
    {
      status = add_part (store, &mesh, BOX_LEVEL, ivory_paint);
      tarn_mesh_clear (&mesh);
    }
  if (status != TARN_OK)
    return status;
  for (int k = 0; k < bones->capsules; k++)
    tarn_store_capsule (store, bones->capsule[k].a_mm, bones->capsule[k].b_mm,
                        bones->capsule[k].radius_mm, 8, 2, ivory_paint);
  tarn_store_end_part (store, TARN_MATERIAL_BONE, first_index);

  first_index = store->indices;
  const TarnMesh *lumen = tarn_body_lumen_mesh (body);
  if (lumen != NULL && lumen->vertices > 0)
    status = add_part (store, lumen, BLADDER_LEVEL, truth_paint);
  tarn_store_end_part (store, TARN_MATERIAL_BLADDER, first_index);
  return status;
}
