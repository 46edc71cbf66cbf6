/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/scene_picture.h"

#include <string.h>

/* Vertices, indices and places follow in the same block. */
struct TarnScenePicture
{
  gatomicrefcount references;
  TarnSceneMesh mesh;
};

TarnScenePicture *
tarn_scene_picture_new (const TarnSceneMesh *mesh)
{
  g_return_val_if_fail (mesh != NULL, NULL);
  size_t vertices = (size_t)mesh->vertices * sizeof *mesh->vertex;
  size_t indices = (size_t)mesh->indices * sizeof *mesh->index;
  size_t places = (size_t)mesh->skin_vertices * sizeof *mesh->skin_place;
  TarnScenePicture *picture = g_malloc (sizeof *picture + vertices + indices + places);
  g_atomic_ref_count_init (&picture->references);

  char *block = (char *)(picture + 1);
  picture->mesh = *mesh;
  if (vertices > 0)
    memcpy (block, mesh->vertex, vertices);
  picture->mesh.vertex = (const TarnSceneVertex *)(void *)block;
  block += vertices;
  if (indices > 0)
    memcpy (block, mesh->index, indices);
  picture->mesh.index = (const uint32_t *)(void *)block;
  block += indices;
  if (places > 0)
    memcpy (block, mesh->skin_place, places);
  picture->mesh.skin_place = (const float (*)[2]) (void *)block;
  return picture;
}

TarnScenePicture *
tarn_scene_picture_ref (TarnScenePicture *picture)
{
  g_return_val_if_fail (picture != NULL, NULL);
  g_atomic_ref_count_inc (&picture->references);
  return picture;
}

void
tarn_scene_picture_unref (TarnScenePicture *picture)
{
  g_return_if_fail (picture != NULL);
  if (g_atomic_ref_count_dec (&picture->references))
    g_free (picture);
}

const TarnSceneMesh *
tarn_scene_picture_mesh (const TarnScenePicture *picture)
{
  g_return_val_if_fail (picture != NULL, NULL);
  return &picture->mesh;
}
