/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_view.c: the widget of the patient in 3-D: camera, pointer and what draws.
 *
 * One of two children draws: a GtkGLArea, or a GtkDrawingArea that takes its place for good
 * when OpenGL is not there or fails.  A frame is drawn only when the picture or the camera has
 * changed, and no more often than every second frame of the screen. */
#include "app/body_view_private.h"

#include "app/graphics.h"
#include "app/view_corners.h"
#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#define ORBIT_STEP_RAD 0.20
#define FRAMES_APART   2
#define STAYS_FRAMES   12 /* without a change: the picture is drawn once more, finely */

G_DEFINE_FINAL_TYPE (TarnBodyView, tarn_body_view, GTK_TYPE_WIDGET)

enum
{
  PROPERTY_NOTICE = 1,
  PROPERTIES
};
static GParamSpec *properties[PROPERTIES];

static void use_fallback (TarnBodyView *self, const char *why);
static void wish_plainly (TarnBodyView *self);

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
  self->fine = !self->dirty;
  if (!self->dirty && self->frames_since < STAYS_FRAMES)
    return G_SOURCE_CONTINUE;
  if (self->fine)
    self->tick = 0;
  self->dirty = FALSE;
  self->frames_since = 0;
  if (GTK_IS_GL_AREA (self->child))
    gtk_gl_area_queue_render (GTK_GL_AREA (self->child));
  else if (!self->fine)
    wish_plainly (self);
  return self->fine ? G_SOURCE_REMOVE : G_SOURCE_CONTINUE;
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

double
tarn_body_view_aspect (TarnBodyView *self)
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
                        .stays = self->fine,
                        .width = scale * gtk_widget_get_width (GTK_WIDGET (area)),
                        .height = scale * gtk_widget_get_height (GTK_WIDGET (area)) };
  if (self->picture != NULL && self->has_camera)
    {
      tarn_camera_matrix (&self->camera, tarn_body_view_aspect (self), matrix);
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
  (void)area;
  cairo_surface_t *picture = tarn_body_worker_picture (self->worker);
  if (picture == NULL)
    return;
  cairo_set_source_surface (cr, picture, 0, 0);
  cairo_paint (cr);
  cairo_surface_destroy (picture);
  if (!self->turns)
    tarn_view_corners (cr, width, height);
}

static gboolean
on_painted (gpointer data)
{
  TarnBodyView *self = TARN_BODY_VIEW (data);
  if (self->child != NULL)
    gtk_widget_queue_draw (self->child);
  return G_SOURCE_REMOVE;
}

/* Asks for a picture of what there is now; it comes a little later. */
static void
wish_plainly (TarnBodyView *self)
{
  TarnBodyWish wish = { .width = gtk_widget_get_width (self->child),
                        .height = gtk_widget_get_height (self->child) };
  if (self->picture != NULL && self->has_camera)
    {
      tarn_camera_matrix (&self->camera, tarn_body_view_aspect (self), wish.matrix);
      wish.eye_mm = tarn_camera_eye_mm (&self->camera);
      wish.picture = self->picture;
    }
  if (wish.width > 0 && wish.height > 0)
    tarn_body_worker_wish (self->worker, &wish);
}

static void
area_resized (GtkDrawingArea *area, int width, int height, TarnBodyView *self)
{
  (void)area;
  (void)width;
  (void)height;
  wish_plainly (self);
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
  self->worker = tarn_body_worker_new (on_painted, self);
  GtkWidget *area = gtk_drawing_area_new ();
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_plainly, self, NULL);
  g_signal_connect_object (area, "resize", G_CALLBACK (area_resized), self, 0);
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
  g_info ("the 3-D view draws without OpenGL: %s", why);
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

/* The nearer, the more it is the probe that is looked at. */
static void
aim (TarnBodyView *self)
{
  if (self->picture == NULL)
    return;
  const TarnSceneMesh *mesh = tarn_scene_picture_mesh (self->picture);
  const TarnCamera *preset = &mesh->preset[self->preset];
  double share = tarn_clamp (1.6 * (preset->distance_mm / self->goal.distance_mm - 1), 0, 1);
  TarnVec3 to = mesh->has_probe ? mesh->probe_skin_mm : preset->target_mm;
  self->goal.target_mm
      = tarn_add_scaled (preset->target_mm, tarn_sub (to, preset->target_mm), share);
}

void
tarn_body_view_orbit (TarnBodyView *self, double around_rad, double above_rad, double nearer)
{
  if (!self->has_camera)
    return;
  self->goal = tarn_camera_orbit (&self->goal, around_rad, above_rad, nearer);
  if (nearer != 1)
    aim (self);
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

/* Another patient begins with a fresh look. */
static void
meet_body (TarnBodyView *self)
{
  const TarnCamera *preset = &tarn_scene_picture_mesh (self->picture)->preset[self->preset];
  if (!self->has_camera || fabs (self->goal.farthest_mm - preset->farthest_mm) > 0.5)
    {
      self->camera = self->goal = *preset;
      self->has_camera = TRUE;
    }
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

void
tarn_body_view_set_turns (TarnBodyView *self, gboolean turns)
{
  g_return_if_fail (TARN_IS_BODY_VIEW (self));
  self->turns = turns;
  gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-view");
}

const char *
tarn_body_view_get_notice (TarnBodyView *self)
{
  g_return_val_if_fail (TARN_IS_BODY_VIEW (self), NULL);
  return self->notice;
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
    { "view.nearer", 0, 0, TARN_VIEW_NEARER_STEP },
    { "view.farther", 0, 0, 1 / TARN_VIEW_NEARER_STEP },
  };
  (void)parameter;
  for (size_t k = 0; k < G_N_ELEMENTS (moves); k++)
    if (g_str_equal (name, moves[k].name))
      tarn_body_view_orbit (TARN_BODY_VIEW (widget), moves[k].around, moves[k].above,
                            moves[k].nearer);
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
  g_clear_pointer (&self->worker, tarn_body_worker_free);
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
  g_signal_new ("grab-begin", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 3,
                G_TYPE_DOUBLE, G_TYPE_DOUBLE, GDK_TYPE_MODIFIER_TYPE);
  g_signal_new ("grab-move", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 5,
                G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE,
                GDK_TYPE_MODIFIER_TYPE);
  g_signal_new ("grab-end", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  g_signal_new ("press-step", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                G_TYPE_DOUBLE);
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
  tarn_body_view_add_gestures (self);
  if (!tarn_graphics_plain ())
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
