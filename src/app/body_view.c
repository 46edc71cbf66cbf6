/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_view.c: the widget of the patient in 3-D: camera, pointer and what draws.
 *
 * One of two children draws: a GtkGLArea, or a GtkDrawingArea that takes its place for good
 * when OpenGL is not there or fails.  A frame is drawn only when the picture or the camera has
 * changed, and no more often than every second frame of the screen. */
#include "app/body_view.h"

#include "app/body_painter.h"
#include "app/gl/renderer.h"
#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#define ORBIT_RAD_PX   0.0085
#define ORBIT_STEP_RAD 0.20
#define NEARER_STEP    1.18
#define FRAMES_APART   2

struct _TarnBodyView
{
  GtkWidget parent;

  GtkWidget *child; /* GtkGLArea or GtkDrawingArea */
  TarnGlRenderer *renderer;
  TarnBodyPainter *painter; /* of the fallback */
  char *notice;

  TarnScenePicture *picture;
  gboolean picture_sent; /* to the renderer */
  gboolean dirty;
  guint tick;
  gint64 tick_us;
  int frames_since;

  TarnCameraPreset preset;
  gboolean has_camera;
  TarnCamera camera, goal;

  gboolean grabbing, by_probe;
  TarnVec3 grab_plane_mm, grab_outward, grab_from_mm; /* when by the probe */
  double grab_above_mm, grab_left_mm;
  double above_mm, left_mm; /* under the pointer, last seen */
  double orbit_x, orbit_y;  /* how much of the drag the camera has followed */
  double zoomed;
};

G_DEFINE_FINAL_TYPE (TarnBodyView, tarn_body_view, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_GRAB_BEGIN,
  SIGNAL_GRAB_MOVE,
  SIGNAL_GRAB_END,
  SIGNAL_PRESS_STEP,
  SIGNALS
};
static guint signals[SIGNALS];

enum
{
  PROPERTY_NOTICE = 1,
  PROPERTIES
};
static GParamSpec *properties[PROPERTIES];

static void use_fallback (TarnBodyView *self, const char *why);

/* ---- When to draw ---- */

static gboolean
moves_camera (const TarnBodyView *self)
{
  return self->has_camera && memcmp (&self->camera, &self->goal, sizeof self->camera) != 0;
}

static gboolean
animates (TarnBodyView *self)
{
  gboolean enabled = TRUE;
  g_object_get (gtk_widget_get_settings (GTK_WIDGET (self)), "gtk-enable-animations", &enabled,
                NULL);
  return enabled;
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  TarnBodyView *self = TARN_BODY_VIEW (widget);
  (void)data;
  gint64 now_us = gdk_frame_clock_get_frame_time (clock);
  if (++self->frames_since < FRAMES_APART)
    return G_SOURCE_CONTINUE;

  if (moves_camera (self))
    {
      double seconds = CLAMP ((double)(now_us - self->tick_us) * 1e-6, 0.001, 0.1);
      self->camera = animates (self)
                         ? tarn_camera_approach (&self->camera, &self->goal, seconds)
                         : self->goal;
      self->dirty = TRUE;
    }
  self->tick_us = now_us;
  if (!self->dirty)
    {
      self->tick = 0;
      return G_SOURCE_REMOVE;
    }
  self->dirty = FALSE;
  self->frames_since = 0;
  if (GTK_IS_GL_AREA (self->child))
    gtk_gl_area_queue_render (GTK_GL_AREA (self->child));
  else
    gtk_widget_queue_draw (self->child);
  return G_SOURCE_CONTINUE;
}

static void
wake (TarnBodyView *self)
{
  if (self->tick != 0)
    return;
  self->tick_us = g_get_monotonic_time ();
  self->tick = gtk_widget_add_tick_callback (GTK_WIDGET (self), on_tick, NULL, NULL);
}

static void
redraw (TarnBodyView *self)
{
  self->dirty = TRUE;
  wake (self);
}

/* ---- What draws ---- */

static double
aspect_of (TarnBodyView *self)
{
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));
  return height > 0 && width > 0 ? (double)width / height : 1;
}

static void
area_realize (GtkGLArea *area, TarnBodyView *self)
{
  gtk_gl_area_make_current (area);
  const GError *given = gtk_gl_area_get_error (area);
  g_autoptr (GError) error = NULL;
  if (given != NULL)
    {
      use_fallback (self, given->message);
      return;
    }
  self->renderer = tarn_gl_renderer_new (&error);
  self->picture_sent = FALSE;
  if (self->renderer == NULL)
    use_fallback (self, error->message);
}

static void
area_unrealize (GtkGLArea *area, TarnBodyView *self)
{
  gtk_gl_area_make_current (area);
  if (gtk_gl_area_get_error (area) == NULL)
    tarn_gl_renderer_free (self->renderer);
  else
    tarn_gl_renderer_forget (self->renderer);
  self->renderer = NULL;
}

static gboolean
area_render (GtkGLArea *area, GdkGLContext *context, TarnBodyView *self)
{
  (void)context;
  if (self->renderer == NULL)
    return FALSE;
  float matrix[16] = { 0 };
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (area));
  TarnGlFrame frame = { .matrix = matrix,
                        .changed = !self->picture_sent,
                        .width = scale * gtk_widget_get_width (GTK_WIDGET (area)),
                        .height = scale * gtk_widget_get_height (GTK_WIDGET (area)) };
  if (self->picture != NULL && self->has_camera)
    {
      tarn_camera_matrix (&self->camera, aspect_of (self), matrix);
      frame.eye_mm = tarn_camera_eye_mm (&self->camera);
      frame.mesh = tarn_scene_picture_mesh (self->picture);
    }
  g_autoptr (GError) error = NULL;
  if (!tarn_gl_renderer_draw (self->renderer, &frame, &error))
    use_fallback (self, error->message);
  self->picture_sent = TRUE;
  return TRUE;
}

static void
draw_plainly (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnBodyView *self = TARN_BODY_VIEW (data);
  float matrix[16] = { 0 };
  TarnVec3 eye = { 0, 0, 0 };
  const TarnSceneMesh *mesh = NULL;
  (void)area;
  if (self->picture != NULL && self->has_camera)
    {
      tarn_camera_matrix (&self->camera, aspect_of (self), matrix);
      eye = tarn_camera_eye_mm (&self->camera);
      mesh = tarn_scene_picture_mesh (self->picture);
    }
  cairo_surface_t *surface
      = tarn_body_painter_paint (self->painter, mesh, matrix, eye, width, height);
  if (surface == NULL)
    return;
  cairo_set_source_surface (cr, surface, 0, 0);
  cairo_paint (cr);
}

static void
set_child (TarnBodyView *self, GtkWidget *child)
{
  g_clear_pointer (&self->child, gtk_widget_unparent);
  self->child = child;
  gtk_widget_set_hexpand (child, TRUE);
  gtk_widget_set_vexpand (child, TRUE);
  gtk_widget_set_can_target (child, FALSE);
  gtk_widget_set_parent (child, GTK_WIDGET (self));
}

static gboolean
swap_child (gpointer data)
{
  TarnBodyView *self = TARN_BODY_VIEW (data);
  if (self->child == NULL || GTK_IS_DRAWING_AREA (self->child))
    return G_SOURCE_REMOVE;
  self->painter = tarn_body_painter_new ();
  GtkWidget *area = gtk_drawing_area_new ();
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_plainly, self, NULL);
  set_child (self, area);
  redraw (self);
  return G_SOURCE_REMOVE;
}

/* The child may be in the middle of drawing, so another takes its place a little later. */
static void
use_fallback (TarnBodyView *self, const char *why)
{
  if (self->notice != NULL)
    return;
  g_message ("the 3-D view draws without OpenGL: %s", why);
  self->notice = g_strdup (_ ("Drawn without the graphics card, so a little plainer."));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROPERTY_NOTICE]);
  g_idle_add_full (G_PRIORITY_HIGH_IDLE, swap_child, g_object_ref (self), g_object_unref);
}

static void
add_gl_area (TarnBodyView *self)
{
  GtkWidget *area = gtk_gl_area_new ();
  gtk_gl_area_set_required_version (GTK_GL_AREA (area), 3, 2);
  gtk_gl_area_set_auto_render (GTK_GL_AREA (area), FALSE);
  g_signal_connect (area, "realize", G_CALLBACK (area_realize), self);
  g_signal_connect (area, "unrealize", G_CALLBACK (area_unrealize), self);
  g_signal_connect (area, "render", G_CALLBACK (area_render), self);
  set_child (self, area);
}

/* ---- Camera ---- */

static void
orbit (TarnBodyView *self, double around_rad, double above_rad, double nearer)
{
  if (!self->has_camera)
    return;
  self->goal = tarn_camera_orbit (&self->goal, around_rad, above_rad, nearer);
  wake (self);
}

static void
go_to_preset (TarnBodyView *self, TarnCameraPreset preset)
{
  self->preset = preset;
  if (self->picture == NULL)
    return;
  self->goal = tarn_scene_picture_mesh (self->picture)->preset[preset];
  wake (self);
}

/* Another patient begins with a fresh look; another lift of the same only moves the target. */
static void
meet_body (TarnBodyView *self)
{
  const TarnCamera *preset = &tarn_scene_picture_mesh (self->picture)->preset[self->preset];
  if (!self->has_camera || fabs (self->goal.farthest_mm - preset->farthest_mm) > 0.5)
    {
      self->camera = self->goal = *preset;
      self->has_camera = TRUE;
    }
  self->goal.target_mm = preset->target_mm;
}

void
tarn_body_view_set_scene (TarnBodyView *self, TarnScenePicture *picture)
{
  g_return_if_fail (TARN_IS_BODY_VIEW (self));
  if (picture == self->picture)
    return;
  if (picture != NULL)
    tarn_scene_picture_ref (picture);
  g_clear_pointer (&self->picture, tarn_scene_picture_unref);
  self->picture = picture;
  self->picture_sent = FALSE;
  if (picture != NULL)
    meet_body (self);
  else
    self->has_camera = FALSE;
  redraw (self);
}

const char *
tarn_body_view_get_notice (TarnBodyView *self)
{
  g_return_val_if_fail (TARN_IS_BODY_VIEW (self), NULL);
  return self->notice;
}

/* ---- Pointer ---- */

static void
ray_at (TarnBodyView *self, double x, double y, TarnVec3 *from, TarnVec3 *direction)
{
  int width = MAX (gtk_widget_get_width (GTK_WIDGET (self)), 1);
  int height = MAX (gtk_widget_get_height (GTK_WIDGET (self)), 1);
  tarn_camera_ray (&self->camera, aspect_of (self), 2 * x / width - 1, 1 - 2 * y / height, from,
                   direction);
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
  gboolean primary = button == 0 || button == GDK_BUTTON_PRIMARY;
  self->by_probe = primary && grab_probe (self, x, y);
  self->grabbing = self->by_probe || (primary && grab_skin (self, x, y));
  if (self->grabbing)
    g_signal_emit (self, signals[SIGNAL_GRAB_BEGIN], 0, self->above_mm, self->left_mm,
                   modifiers_of (GTK_GESTURE (drag)));
}

static void
drag_update (GtkGestureDrag *drag, double dx, double dy, TarnBodyView *self)
{
  double x, y;
  if (!self->grabbing)
    {
      orbit (self, -(dx - self->orbit_x) * ORBIT_RAD_PX, (dy - self->orbit_y) * ORBIT_RAD_PX,
             1);
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
  g_signal_emit (self, signals[SIGNAL_GRAB_MOVE], 0, dx, dy, self->above_mm, self->left_mm,
                 modifiers_of (GTK_GESTURE (drag)));
}

static void
drag_end (GtkGestureDrag *drag, double dx, double dy, TarnBodyView *self)
{
  (void)drag;
  (void)dx;
  (void)dy;
  if (self->grabbing)
    g_signal_emit (self, signals[SIGNAL_GRAB_END], 0);
  self->grabbing = FALSE;
}

static gboolean
scroll (GtkEventControllerScroll *controller, double dx, double dy, TarnBodyView *self)
{
  (void)dx;
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller));
  if ((state & GDK_CONTROL_MASK) != 0)
    orbit (self, 0, 0, pow (NEARER_STEP, -dy));
  else
    g_signal_emit (self, signals[SIGNAL_PRESS_STEP], 0, -dy);
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
    orbit (self, -(x - self->orbit_x) * ORBIT_RAD_PX, (y - self->orbit_y) * ORBIT_RAD_PX,
           scale / self->zoomed);
  self->orbit_x = x;
  self->orbit_y = y;
  self->zoomed = scale;
}

static void
add_gestures (TarnBodyView *self)
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

/* ---- Actions ---- */

static void
act_preset (GtkWidget *widget, const char *name, GVariant *parameter)
{
  (void)parameter;
  TarnCameraPreset preset = g_str_equal (name, "view.above")  ? TARN_CAMERA_ABOVE
                            : g_str_equal (name, "view.feet") ? TARN_CAMERA_FEET
                                                              : TARN_CAMERA_BEDSIDE;
  go_to_preset (TARN_BODY_VIEW (widget), preset);
}

static void
act_orbit (GtkWidget *widget, const char *name, GVariant *parameter)
{
  static const struct
  {
    const char *name;
    double around, above, nearer;
  } moves[] = {
    { "view.orbit-left", -ORBIT_STEP_RAD, 0, 1 },
    { "view.orbit-right", ORBIT_STEP_RAD, 0, 1 },
    { "view.orbit-up", 0, ORBIT_STEP_RAD / 2, 1 },
    { "view.orbit-down", 0, -ORBIT_STEP_RAD / 2, 1 },
    { "view.nearer", 0, 0, NEARER_STEP },
    { "view.farther", 0, 0, 1 / NEARER_STEP },
  };
  (void)parameter;
  for (size_t k = 0; k < G_N_ELEMENTS (moves); k++)
    if (g_str_equal (name, moves[k].name))
      orbit (TARN_BODY_VIEW (widget), moves[k].around, moves[k].above, moves[k].nearer);
}

/* ---- The object ---- */

static void
get_property (GObject *object, guint id, GValue *value, GParamSpec *spec)
{
  if (id == PROPERTY_NOTICE)
    g_value_set_string (value, TARN_BODY_VIEW (object)->notice);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, spec);
}

static void
dispose (GObject *object)
{
  TarnBodyView *self = TARN_BODY_VIEW (object);
  g_clear_pointer (&self->child, gtk_widget_unparent);
  g_clear_pointer (&self->picture, tarn_scene_picture_unref);
  g_clear_pointer (&self->painter, tarn_body_painter_free);
  G_OBJECT_CLASS (tarn_body_view_parent_class)->dispose (object);
}

static void
finalize (GObject *object)
{
  g_free (TARN_BODY_VIEW (object)->notice);
  G_OBJECT_CLASS (tarn_body_view_parent_class)->finalize (object);
}

static void
add_signals (GObjectClass *class)
{
  GType type = G_TYPE_FROM_CLASS (class);
  signals[SIGNAL_GRAB_BEGIN]
      = g_signal_new ("grab-begin", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                      3, G_TYPE_DOUBLE, G_TYPE_DOUBLE, GDK_TYPE_MODIFIER_TYPE);
  signals[SIGNAL_GRAB_MOVE] = g_signal_new (
      "grab-move", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 5, G_TYPE_DOUBLE,
      G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE, GDK_TYPE_MODIFIER_TYPE);
  signals[SIGNAL_GRAB_END]
      = g_signal_new ("grab-end", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_PRESS_STEP] = g_signal_new ("press-step", type, G_SIGNAL_RUN_LAST, 0, NULL,
                                             NULL, NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
}

static void
tarn_body_view_class_init (TarnBodyViewClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  object_class->get_property = get_property;
  object_class->dispose = dispose;
  object_class->finalize = finalize;
  properties[PROPERTY_NOTICE] = g_param_spec_string ("notice", NULL, NULL, NULL,
                                                     G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, PROPERTIES, properties);
  add_signals (object_class);

  static const char *const presets[] = { "view.bedside", "view.above", "view.feet" };
  static const char *const orbits[]
      = { "view.nearer",      "view.farther",  "view.orbit-left",
          "view.orbit-right", "view.orbit-up", "view.orbit-down" };
  for (size_t k = 0; k < G_N_ELEMENTS (presets); k++)
    gtk_widget_class_install_action (widget_class, presets[k], NULL, act_preset);
  for (size_t k = 0; k < G_N_ELEMENTS (orbits); k++)
    gtk_widget_class_install_action (widget_class, orbits[k], NULL, act_orbit);

  gtk_widget_class_set_css_name (widget_class, "bodyview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
tarn_body_view_init (TarnBodyView *self)
{
  self->frames_since = FRAMES_APART;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  add_gestures (self);
  if (g_getenv ("TARN_NO_GL") == NULL)
    add_gl_area (self);
  else
    {
      add_gl_area (self);
      use_fallback (self, "TARN_NO_GL is set");
      swap_child (self);
    }
}

GtkWidget *
tarn_body_view_new (void)
{
  return g_object_new (TARN_TYPE_BODY_VIEW, NULL);
}
