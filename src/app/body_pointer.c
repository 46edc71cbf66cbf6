/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_pointer.c: what pointer, wheel and fingers do to the patient in 3-D: drags on skin and
 * probe are the hand's, other drags turn the view. */
#include "app/body_view_private.h"

#include <math.h>

#define ORBIT_RAD_PX 0.0085

static void
ray_at (TarnBodyView *self, double x, double y, TarnVec3 *from, TarnVec3 *direction)
{
  int width = MAX (gtk_widget_get_width (GTK_WIDGET (self)), 1);
  int height = MAX (gtk_widget_get_height (GTK_WIDGET (self)), 1);
  tarn_camera_ray (&self->camera, tarn_body_view_aspect (self), 2 * x / width - 1,
                   1 - 2 * y / height, from, direction);
}

/* Where the pointer's ray meets the plane that touches the skin below the probe. */
static gboolean
meet_plane (TarnBodyView *self, double x, double y, TarnVec3 *at)
{
  TarnVec3 from, direction;
  ray_at (self, x, y, &from, &direction);
  double slope = tarn_dot (direction, self->grab_outward);
  if (slope > -0.1)
    return FALSE;
  double way = tarn_dot (tarn_sub (self->grab_plane_mm, from), self->grab_outward) / slope;
  *at = tarn_add_scaled (from, direction, way);
  return TRUE;
}

static gboolean
grab_probe (TarnBodyView *self, double x, double y)
{
  const TarnSceneMesh *mesh = tarn_scene_picture_mesh (self->picture);
  TarnVec3 from, direction;
  double above, left;
  ray_at (self, x, y, &from, &direction);
  if (!mesh->has_probe
      || !tarn_scene_pick_mesh (mesh, TARN_MATERIAL_PROBE, from, direction, &above, &left))
    return FALSE;
  self->grab_plane_mm = mesh->probe_skin_mm;
  self->grab_outward = mesh->probe_outward;
  self->grab_above_mm = self->above_mm = mesh->probe_above_mm;
  self->grab_left_mm = self->left_mm = mesh->probe_left_mm;
  return meet_plane (self, x, y, &self->grab_from_mm);
}

static gboolean
grab_skin (TarnBodyView *self, double x, double y)
{
  TarnVec3 from, direction;
  ray_at (self, x, y, &from, &direction);
  return tarn_scene_pick_mesh (tarn_scene_picture_mesh (self->picture), TARN_MATERIAL_SKIN,
                               from, direction, &self->above_mm, &self->left_mm);
}

static void
follow_probe (TarnBodyView *self, double x, double y)
{
  TarnVec3 at;
  if (!meet_plane (self, x, y, &at))
    return;
  TarnVec3 left = tarn_normalize (tarn_cross (tarn_vec3 (0, 0, 1), self->grab_outward));
  if (left.x < 0)
    left = tarn_scale (left, -1);
  TarnVec3 up = tarn_cross (self->grab_outward, left);
  if (up.z < 0)
    up = tarn_scale (up, -1);
  TarnVec3 way = tarn_sub (at, self->grab_from_mm);
  self->above_mm = self->grab_above_mm + tarn_dot (way, up);
  self->left_mm = self->grab_left_mm + tarn_dot (way, left);
}

static GdkModifierType
modifiers_of (GtkGesture *gesture)
{
  return gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture))
         & (GDK_SHIFT_MASK | GDK_CONTROL_MASK | GDK_ALT_MASK);
}

static void
drag_begin (GtkGestureDrag *drag, double x, double y, TarnBodyView *self)
{
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (drag));
  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->orbit_x = self->orbit_y = 0;
  self->grabbing = FALSE;
  if (self->picture == NULL || !self->has_camera)
    return;
  gboolean primary = !self->turns && (button == 0 || button == GDK_BUTTON_PRIMARY);
  self->by_probe = primary && grab_probe (self, x, y);
  self->grabbing = self->by_probe || (primary && grab_skin (self, x, y));
  if (self->grabbing)
    g_signal_emit_by_name (self, "grab-begin", self->above_mm, self->left_mm,
                           modifiers_of (GTK_GESTURE (drag)));
}

static void
drag_update (GtkGestureDrag *drag, double dx, double dy, TarnBodyView *self)
{
  double x, y;
  if (!self->grabbing)
    {
      tarn_body_view_orbit (self, -(dx - self->orbit_x) * ORBIT_RAD_PX,
                            (dy - self->orbit_y) * ORBIT_RAD_PX, 1);
      self->orbit_x = dx;
      self->orbit_y = dy;
      return;
    }
  if (self->picture == NULL || !gtk_gesture_drag_get_start_point (drag, &x, &y))
    return;
  if (self->by_probe)
    follow_probe (self, x + dx, y + dy);
  else
    grab_skin (self, x + dx, y + dy);
  g_signal_emit_by_name (self, "grab-move", dx, dy, self->above_mm, self->left_mm,
                         modifiers_of (GTK_GESTURE (drag)));
}

static void
drag_end (GtkGestureDrag *drag, double dx, double dy, TarnBodyView *self)
{
  (void)drag;
  (void)dx;
  (void)dy;
  if (self->grabbing)
    g_signal_emit_by_name (self, "grab-end");
  self->grabbing = FALSE;
}

static gboolean
scroll (GtkEventControllerScroll *controller, double dx, double dy, TarnBodyView *self)
{
  (void)dx;
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller));
  if ((state & GDK_CONTROL_MASK) != 0)
    tarn_body_view_orbit (self, 0, 0, pow (TARN_VIEW_NEARER_STEP, -dy));
  else if (self->turns)
    return GDK_EVENT_PROPAGATE;
  else
    g_signal_emit_by_name (self, "press-step", -dy);
  return GDK_EVENT_STOP;
}

static void
zoom_begin (GtkGesture *zoom, GdkEventSequence *sequence, TarnBodyView *self)
{
  double x = 0, y = 0;
  (void)sequence;
  gtk_gesture_get_bounding_box_center (zoom, &x, &y);
  self->orbit_x = x;
  self->orbit_y = y;
  self->zoomed = 1;
}

static void
zoom_changed (GtkGestureZoom *zoom, double scale, TarnBodyView *self)
{
  double x = self->orbit_x, y = self->orbit_y;
  gtk_gesture_get_bounding_box_center (GTK_GESTURE (zoom), &x, &y);
  if (scale > 0 && self->zoomed > 0)
    tarn_body_view_orbit (self, -(x - self->orbit_x) * ORBIT_RAD_PX,
                          (y - self->orbit_y) * ORBIT_RAD_PX, scale / self->zoomed);
  self->orbit_x = x;
  self->orbit_y = y;
  self->zoomed = scale;
}

void
tarn_body_view_add_gestures (TarnBodyView *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), 0);
  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_begin), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_update), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_end), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));

  GtkGesture *zoom = gtk_gesture_zoom_new ();
  g_signal_connect (zoom, "begin", G_CALLBACK (zoom_begin), self);
  g_signal_connect (zoom, "scale-changed", G_CALLBACK (zoom_changed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (zoom));

  GtkEventController *wheel
      = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL);
  g_signal_connect (wheel, "scroll", G_CALLBACK (scroll), self);
  gtk_widget_add_controller (GTK_WIDGET (self), wheel);
}
