/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_worker.h: a body painter on a thread of its own, so that the window never waits for it.
 *
 * Floor: app.  All calls on the main thread.  Of several wishes that come while it paints only
 * the last counts. */
#pragma once

#include "app/newest.h"
#include "app/scene_picture.h"
#include "base/vec.h"

#include <cairo.h>

typedef TarnNewest TarnBodyWorker;

/* @done: called on the main thread when there is a new picture. */
TarnBodyWorker *tarn_body_worker_new (GSourceFunc done, gpointer data);
/* Waits for the picture under way.  NULL is allowed. */
void tarn_body_worker_free (TarnBodyWorker *worker);

/* @picture: NULL for an empty view; a reference is taken. */
typedef struct
{
  TarnScenePicture *picture;
  float matrix[16];
  TarnVec3 eye_mm;
  int width, height;
} TarnBodyWish;
void tarn_body_worker_wish (TarnBodyWorker *worker, const TarnBodyWish *wish);

/* The newest picture, RGB24; never changes, a new reference.  NULL before the first. */
cairo_surface_t *tarn_body_worker_picture (TarnBodyWorker *worker);
