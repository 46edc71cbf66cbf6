/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fates_patch.h: triangles with normals of their own, in memory that grows; and what is drawn
 * with them.  Private to scene/.
 *
 * A patch that has run out of memory says so in `failed` and takes nothing more. */
#pragma once

#include "engine/scene/fates_hidden.h"

typedef struct
{
  int vertices, indices, parts;
  int vertex_room, index_room;
  TarnSceneVertex *vertex;
  uint32_t *index;
  TarnScenePart part[TARN_SCENE_PARTS_MAX];
  bool failed;
} TarnPatch;

void tarn_patch_clear (TarnPatch *patch); /* frees and zeroes; a zeroed one is allowed */
void tarn_patch_empty (TarnPatch *patch); /* keeps its memory */

/* What a surface looks like. */
typedef struct
{
  uint8_t colour[4], shine;
} TarnPatchPaint;

/* Returns its index; @normal unit. */
int tarn_patch_vertex (TarnPatch *patch, TarnVec3 p_mm, TarnVec3 normal, TarnPatchPaint paint);
int tarn_patch_copy_vertex (TarnPatch *patch, const TarnSceneVertex *vertex);
/* Counter-clockwise seen from outside; one with a repeated corner is left out. */
void tarn_patch_triangle (TarnPatch *patch, int a, int b, int c);
void tarn_patch_end_part (TarnPatch *patch, TarnMaterial material, int first_index);

/* The pressed surface of the urine, marked by the fates of what lies beneath; fates of which
 * @hidden has a bit are left out, and then the surface shows its inner side too.
 * Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_fates_surface_add (TarnPatch *patch, const TarnBody *body,
                                   const TarnFateRays *rays, unsigned hidden);

/* Fluid that is not urine, pressed; @ml: out, how much of it there is at rest.  Returns TARN_OK
 * or TARN_NO_MEMORY. */
TarnStatus tarn_fates_fluid_add (TarnPatch *patch, const TarnBody *body,
                                 const TarnDeform *deform, bool shown, double *ml);

/* The field's edges: two end planes and the arcs between them, as thin rods. */
void tarn_fates_fan_add (TarnPatch *patch, const TarnView *view);
