/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/mesh.h"

#include <stdlib.h>
#include <string.h>

double
tarn_mesh_volume_mm3 (const TarnMesh *mesh)
{
  double sum = 0;
  for (int k = 0; k < mesh->triangles; k++)
    {
      const int *c = mesh->corner[k];
      sum += tarn_dot (mesh->vertex_mm[c[0]],
                       tarn_cross (mesh->vertex_mm[c[1]], mesh->vertex_mm[c[2]]));
    }
  return sum / 6;
}

TarnVec3
tarn_mesh_centroid_mm (const TarnMesh *mesh)
{
  /* Tetrahedra from the first vertex, so that nothing is lost far from the origin. */
  TarnVec3 apex = mesh->vertex_mm[0], sum = { 0, 0, 0 };
  double volume = 0;
  for (int k = 0; k < mesh->triangles; k++)
    {
      const int *c = mesh->corner[k];
      TarnVec3 p = tarn_sub (mesh->vertex_mm[c[0]], apex);
      TarnVec3 q = tarn_sub (mesh->vertex_mm[c[1]], apex);
      TarnVec3 r = tarn_sub (mesh->vertex_mm[c[2]], apex);
      double part = tarn_dot (p, tarn_cross (q, r));
      volume += part;
      sum = tarn_add_scaled (sum, tarn_add (p, tarn_add (q, r)), part);
    }
  return tarn_add_scaled (apex, sum, 1 / (4 * volume));
}

void
tarn_mesh_bounds (const TarnMesh *mesh, TarnVec3 *low_mm, TarnVec3 *high_mm)
{
  *low_mm = *high_mm = mesh->vertex_mm[0];
  for (int k = 1; k < mesh->vertices; k++)
    {
      TarnVec3 p = mesh->vertex_mm[k];
      *low_mm = tarn_vec3 (fmin (low_mm->x, p.x), fmin (low_mm->y, p.y), fmin (low_mm->z, p.z));
      *high_mm
          = tarn_vec3 (fmax (high_mm->x, p.x), fmax (high_mm->y, p.y), fmax (high_mm->z, p.z));
    }
}

typedef struct
{
  int from, to;
} Edge;

static int
compare_edges (const void *a, const void *b)
{
  const Edge *x = a, *y = b;
  return x->from != y->from ? (x->from > y->from) - (x->from < y->from)
                            : (x->to > y->to) - (x->to < y->to);
}

int
tarn_mesh_is_closed (const TarnMesh *mesh)
{
  size_t count = 3 * (size_t)mesh->triangles;
  Edge *edge = malloc ((count > 0 ? count : 1) * sizeof *edge);
  if (edge == NULL)
    return -1;
  for (size_t k = 0; k < count; k++)
    edge[k] = (Edge){ mesh->corner[k / 3][k % 3], mesh->corner[k / 3][(k + 1) % 3] };
  qsort (edge, count, sizeof *edge, compare_edges);

  int closed = 1;
  for (size_t k = 0; k < count && closed; k++)
    {
      Edge back = { edge[k].to, edge[k].from };
      if (back.from == back.to || (k > 0 && compare_edges (&edge[k - 1], &edge[k]) == 0)
          || bsearch (&back, edge, count, sizeof *edge, compare_edges) == NULL)
        closed = 0;
    }
  free (edge);
  return closed;
}

int
tarn_mesh_init (TarnMesh *mesh, int vertices, int triangles)
{
  *mesh = (TarnMesh){ 0 };
  mesh->vertex_mm = malloc ((size_t)vertices * sizeof *mesh->vertex_mm);
  mesh->corner = malloc ((size_t)triangles * sizeof *mesh->corner);
  if (mesh->vertex_mm == NULL || mesh->corner == NULL)
    {
      tarn_mesh_clear (mesh);
      return 0;
    }
  return 1;
}

void
tarn_mesh_clear (TarnMesh *mesh)
{
  free (mesh->vertex_mm);
  free (mesh->corner);
  *mesh = (TarnMesh){ 0 };
}

int
tarn_mesh_init_copy (TarnMesh *mesh, const TarnMesh *other)
{
  if (!tarn_mesh_init (mesh, other->vertices, other->triangles))
    return 0;
  mesh->vertices = other->vertices;
  mesh->triangles = other->triangles;
  memcpy (mesh->vertex_mm, other->vertex_mm, (size_t)other->vertices * sizeof *mesh->vertex_mm);
  memcpy (mesh->corner, other->corner, (size_t)other->triangles * sizeof *mesh->corner);
  return 1;
}

/* The twelve vertices of an icosahedron are the corners of three golden rectangles; a face is
 * any three of them that are neighbours, which stand at an angle of cosine 1/sqrt(5). */
static void
init_icosahedron (TarnMesh *mesh)
{
  static const signed char sign[4][2] = { { -1, -1 }, { 1, -1 }, { -1, 1 }, { 1, 1 } };
  const double golden = (1 + sqrt (5)) / 2;

  for (int k = 0; k < 4; k++)
    {
      double a = sign[k][0], b = sign[k][1] * golden;
      mesh->vertex_mm[k] = tarn_normalize (tarn_vec3 (a, 0, b));
      mesh->vertex_mm[4 + k] = tarn_normalize (tarn_vec3 (0, b, a));
      mesh->vertex_mm[8 + k] = tarn_normalize (tarn_vec3 (b, a, 0));
    }
  mesh->vertices = 12;

  const TarnVec3 *v = mesh->vertex_mm;
  for (int a = 0; a < 12; a++)
    for (int b = a + 1; b < 12; b++)
      for (int c = b + 1; c < 12; c++)
        if (tarn_dot (v[a], v[b]) > 0.4 && tarn_dot (v[b], v[c]) > 0.4
            && tarn_dot (v[c], v[a]) > 0.4)
          {
            int outwards = tarn_dot (v[a], tarn_cross (v[b], v[c])) > 0;
            int *corner = mesh->corner[mesh->triangles++];
            corner[0] = a;
            corner[1] = outwards ? b : c;
            corner[2] = outwards ? c : b;
          }
}

/* An edge's midpoint, made once: @edge lists (low, high, middle) of those made so far, in the
 * bucket of the lower vertex; no vertex has more than six edges. */
static int
midpoint (TarnMesh *mesh, int (*edge)[6][2], int a, int b)
{
  int low = a < b ? a : b, high = a < b ? b : a;
  for (int k = 0; k < 6; k++)
    {
      int *entry = edge[low][k];
      if (entry[0] == high)
        return entry[1];
      if (entry[0] < 0)
        {
          entry[0] = high;
          entry[1] = mesh->vertices++;
          mesh->vertex_mm[entry[1]]
              = tarn_normalize (tarn_add (mesh->vertex_mm[a], mesh->vertex_mm[b]));
          return entry[1];
        }
    }
  return -1;
}

static int
subdivide (TarnMesh *mesh)
{
  int (*edge)[6][2] = malloc ((size_t)mesh->vertices * sizeof *edge);
  if (edge == NULL)
    return 0;
  memset (edge, 0xff, (size_t)mesh->vertices * sizeof *edge);

  /* Each triangle keeps its middle in place and appends its three corners. */
  int old = mesh->triangles;
  for (int k = 0; k < old; k++)
    {
      int a = mesh->corner[k][0], b = mesh->corner[k][1], c = mesh->corner[k][2];
      int ab = midpoint (mesh, edge, a, b), bc = midpoint (mesh, edge, b, c),
          ca = midpoint (mesh, edge, c, a);
      const int made[4][3] = { { ab, bc, ca }, { a, ab, ca }, { b, bc, ab }, { c, ca, bc } };
      memcpy (mesh->corner[k], made[0], sizeof made[0]);
      memcpy (mesh->corner[mesh->triangles], made[1], 3 * sizeof made[0]);
      mesh->triangles += 3;
    }
  free (edge);
  return 1;
}

int
tarn_mesh_init_sphere (TarnMesh *mesh, int level)
{
  if (level < 0 || level > 6)
    {
      *mesh = (TarnMesh){ 0 };
      return 0;
    }
  int faces = 20;
  for (int k = 0; k < level; k++)
    faces *= 4;
  if (!tarn_mesh_init (mesh, faces / 2 + 2, faces))
    return 0;
  init_icosahedron (mesh);
  for (int k = 0; k < level; k++)
    if (!subdivide (mesh))
      {
        tarn_mesh_clear (mesh);
        return 0;
      }
  return 1;
}
