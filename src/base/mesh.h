/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mesh.h: closed surfaces of triangles.
 *
 * Floor: base.  Triangles are counter-clockwise seen from outside. */
#pragma once

#include "base/vec.h"

typedef struct
{
  int       vertices;
  int       triangles;
  TarnVec3 *vertex_mm;   /* vertices of them */
  int     (*corner)[3];  /* triangles of them: indices into vertex_mm */
} TarnMesh;

/* Enclosed volume by the divergence theorem, Σ p1·(p2×p3)/6; positive when facing outwards. */
double tarn_mesh_volume_mm3 (const TarnMesh *mesh);

/* A unit sphere: an icosahedron subdivided @level times (0..6), 10·4^level + 2 vertices.
 * Returns 0 and leaves @mesh zeroed when memory runs out, else 1. */
int  tarn_mesh_init_sphere (TarnMesh *mesh, int level);
int  tarn_mesh_init_copy (TarnMesh *mesh, const TarnMesh *other);
void tarn_mesh_clear (TarnMesh *mesh); /* frees and zeroes; a zeroed mesh is allowed */
