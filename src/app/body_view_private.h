/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_view_private.h: what the files of the 3-D view share. */
#pragma once

#include "app/body_view.h"
#include "app/body_worker.h"
#include "app/gl/renderer.h"

#define TARN_VIEW_NEARER_STEP 1.18

struct _TarnBodyView
{
  GtkWidget parent;

  GtkWidget *child; /* GtkGLArea or GtkDrawingArea */
  TarnGlRenderer *renderer;
  TarnBodyWorker *worker; /* of the fallback */
  char *notice;

  TarnScenePicture *picture;
  gboolean picture_sent; /* to the renderer */
  gboolean dirty, fine;
  guint tick;
  gint64 tick_us;
  int frames_since;

  TarnCameraPreset preset;
  gboolean has_camera;
  TarnCamera camera, goal;

  gboolean turns; /* by every drag: nothing can be grabbed */
  gboolean grabbing, by_probe;
  TarnVec3 grab_plane_mm, grab_outward, grab_from_mm; /* when by the probe */
  double grab_above_mm, grab_left_mm;
  double above_mm, left_mm; /* under the pointer, last seen */
  double orbit_x, orbit_y;  /* how much of the drag the camera has followed */
  double zoomed;
};

/* Turns the view and goes nearer by a factor, damped. */
void tarn_body_view_orbit (TarnBodyView *self, double around_rad, double above_rad,
                           double nearer);
/* Width by height. */
double tarn_body_view_aspect (TarnBodyView *self);
void tarn_body_view_add_gestures (TarnBodyView *self);
