/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scene_picture.h: a scene's triangles as they were at one moment.
 *
 * Floor: app.  Immutable, reference-counted; made on the attempt's thread, drawn on the main
 * one. */
#pragma once

#include "engine/scene/scene.h"

#include <glib.h>

typedef struct TarnScenePicture TarnScenePicture;

/* A copy of @mesh, about half a megabyte. */
TarnScenePicture *tarn_scene_picture_new (const TarnSceneMesh *mesh);
TarnScenePicture *tarn_scene_picture_ref (TarnScenePicture *picture);
void tarn_scene_picture_unref (TarnScenePicture *picture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnScenePicture, tarn_scene_picture_unref)

/* A view on the copy, valid as long as it. */
const TarnSceneMesh *tarn_scene_picture_mesh (const TarnScenePicture *picture);
