/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/scene/fates.h"

#include <stdlib.h>

struct TarnFatesScene
{
  TarnSceneMesh mesh;
};

TarnFatesScene *
tarn_fates_scene_new (void)
{
  return calloc (1, sizeof (TarnFatesScene));
}

void
tarn_fates_scene_free (TarnFatesScene *scene)
{
  free (scene);
}

TarnStatus
tarn_fates_scene_update (TarnFatesScene *scene, const TarnFatesView *view)
{
  (void)scene, (void)view;
  return TARN_OK;
}

TarnSceneMesh
tarn_fates_scene_mesh (const TarnFatesScene *scene)
{
  return scene->mesh;
}

void
tarn_fates_scene_volumes (const TarnFatesScene *scene, double ml[TARN_FATES])
{
  (void)scene;
  for (int k = 0; k < TARN_FATES; k++)
    ml[k] = 0;
}
