/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mesh.h: closed surfaces of triangles.
 *
 * Floor: base.  Triangles are counter-clockwise seen from outside. */
#pragma once

#include "base/vec.h"

typedef struct
{
  int vertices;
  int triangles;
  TarnVec3 *vertex_mm; /* vertices of them */
  int (*corner)[3];    /* triangles of them: indices into vertex_mm */
} TarnMesh;

/* Enclosed volume by the divergence theorem, Σ p1·(p2×p3)/6; positive when facing outwards. */
double tarn_mesh_volume_mm3 (const TarnMesh *mesh);

/* Centre of mass of the enclosed volume, which must not be 0. */
TarnVec3 tarn_mesh_centroid_mm (const TarnMesh *mesh);
/* The box around the vertices, of which there must be one. */
void tarn_mesh_bounds (const TarnMesh *mesh, TarnVec3 *low_mm, TarnVec3 *high_mm);
/* Whether each edge of each triangle is met by exactly one other, in the opposite sense:
 * closed, and facing all outwards or all inwards.  Returns 1 or 0, or -1 when memory runs out.
 */
int tarn_mesh_is_closed (const TarnMesh *mesh);

/* Room for so many; nothing in it yet.  Returns 0 and leaves @mesh zeroed when memory runs out,
 * else 1, as do the next two. */
int tarn_mesh_init (TarnMesh *mesh, int vertices, int triangles);
/* A unit sphere: an icosahedron subdivided @level times (0..6), 10·4^level + 2 vertices,
 * those of a lower level first.  Level 1 and up has vertices on the axes. */
int tarn_mesh_init_sphere (TarnMesh *mesh, int level);
int tarn_mesh_init_copy (TarnMesh *mesh, const TarnMesh *other);
void tarn_mesh_clear (TarnMesh *mesh); /* frees and zeroes; a zeroed mesh is allowed */
