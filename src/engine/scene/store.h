/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * store.h: triangles being made.  Private to scene/.
 *
 * Points are kept as coordinates apart until they are finished, as the flow of pressed tissue
 * wants them.  Room is fixed, so that making triangles cannot fail. */
#pragma once

#include "engine/scene/scene.h"

#define TARN_STORE_VERTICES  9216 /* a multiple of 8 */
#define TARN_STORE_TRIANGLES 12288
#define TARN_STORE_INDICES   (3 * TARN_STORE_TRIANGLES)

typedef struct
{
  int vertices, indices, parts;
  float *x_mm, *y_mm, *z_mm;
  TarnSceneVertex *vertex;
  uint32_t *index;
  TarnScenePart part[TARN_SCENE_PARTS_MAX];
} TarnStore;

/* How a point looks; shade before shadows that move. */
typedef struct
{
  uint8_t colour[4], shade, shine, dim;
} TarnPaint;

/* Room for everything.  Returns false, with @store zeroed, when memory runs out. */
bool tarn_store_init (TarnStore *store);
/* Frees; a zeroed store is allowed. */
void tarn_store_clear (TarnStore *store);

/* One vertex more; returns its index. */
int tarn_store_vertex (TarnStore *store, TarnVec3 p_mm, TarnPaint paint);
/* One triangle more, counter-clockwise seen from outside; a repeated corner is left out. */
void tarn_store_triangle (TarnStore *store, int a, int b, int c);
/* All triangles from @first_index on are of @material, until the next call. */
void tarn_store_end_part (TarnStore *store, TarnMaterial material, int first_index);

/* Triangles between the points of a grid that begins at vertex @first, row after row.  Seen
 * from outside, rows go upwards where columns go to the right.  @closed: the last column meets
 * the first again. */
void tarn_store_grid (TarnStore *store, int first, int rows, int columns, bool closed);
/* A fan that closes a ring of @columns vertices from @ring on at vertex @tip, facing as a grid
 * whose row @ring is and whose next row the tip would be (@next), or the row before. */
void tarn_store_cap (TarnStore *store, int ring, int columns, int tip, bool next);
/* A capsule of @around by 2 × @rings faces. */
void tarn_store_capsule (TarnStore *store, TarnVec3 a_mm, TarnVec3 b_mm, double radius_mm,
                         int around, int rings, TarnPaint paint);
/* All of @other behind what there is, its parts too. */
void tarn_store_append (TarnStore *store, const TarnStore *other);

/* Points to finished vertices: places, and unit normals that are the mean of the faces about
 * them. */
void tarn_store_finish (TarnStore *store);

/* @colour scaled by @share of its light, red a little less than blue when darker: warm. */
TarnPaint tarn_paint_darker (TarnPaint paint, double share);
