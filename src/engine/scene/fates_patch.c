/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/scene/fates_patch.h"

#include <stdlib.h>
#include <string.h>

#define FIRST_VERTICES 16384
#define FIRST_INDICES  49152

void
tarn_patch_clear (TarnPatch *patch)
{
  free (patch->vertex);
  free (patch->index);
  *patch = (TarnPatch){ 0 };
}

void
tarn_patch_empty (TarnPatch *patch)
{
  patch->vertices = patch->indices = patch->parts = 0;
  patch->failed = false;
}

static bool
make_room (TarnPatch *patch, int vertices, int indices)
{
  if (patch->vertices + vertices > patch->vertex_room)
    {
      int room = patch->vertex_room > 0 ? 2 * patch->vertex_room : FIRST_VERTICES;
      TarnSceneVertex *grown = realloc (patch->vertex, (size_t)room * sizeof *grown);
      patch->failed |= grown == NULL;
      if (patch->failed)
        return false;
      patch->vertex = grown;
      patch->vertex_room = room;
    }
  if (patch->indices + indices > patch->index_room)
    {
      int room = patch->index_room > 0 ? 2 * patch->index_room : FIRST_INDICES;
      uint32_t *grown = realloc (patch->index, (size_t)room * sizeof *grown);
      patch->failed |= grown == NULL;
      if (patch->failed)
        return false;
      patch->index = grown;
      patch->index_room = room;
    }
  return !patch->failed;
}

int
tarn_patch_copy_vertex (TarnPatch *patch, const TarnSceneVertex *vertex)
{
  if (!make_room (patch, 1, 0))
    return 0;
  patch->vertex[patch->vertices] = *vertex;
  return patch->vertices++;
}

int
tarn_patch_vertex (TarnPatch *patch, TarnVec3 p_mm, TarnVec3 normal, TarnPatchPaint paint)
{
  TarnSceneVertex vertex = { .position_mm = { (float)p_mm.x, (float)p_mm.y, (float)p_mm.z },
                             .normal = { (float)normal.x, (float)normal.y, (float)normal.z },
                             .shade = 255,
                             .shine = paint.shine };
  memcpy (vertex.colour, paint.colour, sizeof vertex.colour);
  return tarn_patch_copy_vertex (patch, &vertex);
}

void
tarn_patch_triangle (TarnPatch *patch, int a, int b, int c)
{
  if (a == b || b == c || c == a || !make_room (patch, 0, 3))
    return;
  uint32_t *corner = &patch->index[patch->indices];
  corner[0] = (uint32_t)a;
  corner[1] = (uint32_t)b;
  corner[2] = (uint32_t)c;
  patch->indices += 3;
}

void
tarn_patch_end_part (TarnPatch *patch, TarnMaterial material, int first_index)
{
  if (patch->indices == first_index || patch->parts == TARN_SCENE_PARTS_MAX)
    return;
  patch->part[patch->parts++]
      = (TarnScenePart){ material, first_index, patch->indices - first_index };
}
