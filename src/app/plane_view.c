/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plane's widget.  The picture comes painted from the attempt's thread; what is drawn here
 * lies over a frozen one: the outline when it is asked for, and the calipers. */
#include "app/plane_view.h"

#include "app/plane_words.h"
#include "app/view_corners.h"
#include "base/units.h"
#include "report/outline_stroke.h"
#include "report/palette.h"
#include "report/picture.h"

#include <glib/gi18n.h>
#include <math.h>

#define GRAB_PX       22.0 /* how near an end the pointer must be */
#define END_PX        7.0  /* half a caliper end's cross stroke */
#define DEFAULT_MM    25.0 /* half a new caliper */
#define DEFAULT_DOWN  0.45 /* of the depth at which it is laid */
#define NUDGE_MM      1.0
#define NUDGE_FINE_MM 0.2
#define USUAL_TEXT_PX 13.4

struct _TarnPlaneView
{
  GtkWidget parent;

  TarnRunFrame *frame;
  int width, height;

  TarnOutlineWork *work;
  gboolean outline_shown;
  uint64_t outlined; /* number of the plane that the outline is of */
  TarnOutline outline;

  int which; /* caliper in hand, -1 none */
  int end;   /* 0, 1: of that caliper */
  TarnCaliper caliper[TARN_CALIPERS];
  uint64_t caliper_plane[TARN_CALIPERS]; /* the plane on which each lies; 0: none */
  TarnCaliper grabbed;                   /* as the drag began */
  gboolean dragging;
};

G_DEFINE_FINAL_TYPE (TarnPlaneView, tarn_plane_view, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_PAPER_CHANGED,
  SIGNAL_CALIPER,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- Where things lie ---- */

/* The system's text size over the usual one, 10 pt at 96 dots per inch. */
static double
text_size (TarnPlaneView *self)
{
  PangoContext *context = gtk_widget_get_pango_context (GTK_WIDGET (self));
  const PangoFontDescription *font = pango_context_get_font_description (context);
  double pixels = pango_font_description_get_size (font) / (double)PANGO_SCALE;
  if (!pango_font_description_get_size_is_absolute (font))
    pixels *= pango_cairo_context_get_resolution (context) / 72;
  return CLAMP (pixels / USUAL_TEXT_PX, 1, 2);
}

TarnRunPaper
tarn_plane_view_paper (TarnPlaneView *self)
{
  return (TarnRunPaper){ .width = self->width,
                         .height = self->height,
                         .text_size = text_size (self) };
}

static TarnSectorPlace
place_of (TarnPlaneView *self)
{
  TarnSurroundings around
      = { .turn_rad = self->frame->plane_pose.turn_rad, .text_size = text_size (self) };
  return tarn_picture_plane_place (&self->frame->geometry, self->width, self->height, &around);
}

static gboolean
frozen (TarnPlaneView *self)
{
  return self->frame != NULL && self->frame->bedside.frozen;
}

/* ---- Drawing ---- */

static void
find_outline (TarnPlaneView *self)
{
  if (self->outlined == self->frame->plane_number)
    return;
  self->outlined = self->frame->plane_number;
  self->outline = (TarnOutline){ .found = false };
  TarnImage image = { self->frame->geometry, g_bytes_get_data (self->frame->grey, NULL),
                      self->frame->geometry.samples };
  if (self->work == NULL)
    self->work = tarn_outline_work_new ();
  if (self->work != NULL)
    (void)tarn_outline_find (self->work, &image, NULL, &self->outline);
}

/* A line with a short cross stroke at either end, under a dark halo. */
static void
trace_caliper (cairo_t *cr, const double end[2][2])
{
  double dx = end[1][0] - end[0][0], dy = end[1][1] - end[0][1];
  double length = fmax (hypot (dx, dy), 1e-6);
  double nx = -dy / length * END_PX, ny = dx / length * END_PX;

  for (int k = 0; k < 2; k++)
    {
      cairo_move_to (cr, end[k][0] - nx, end[k][1] - ny);
      cairo_line_to (cr, end[k][0] + nx, end[k][1] + ny);
    }
  cairo_move_to (cr, end[0][0], end[0][1]);
  cairo_line_to (cr, end[1][0], end[1][1]);
}

static void
draw_caliper (TarnPlaneView *self, cairo_t *cr, const TarnSectorPlace *place, int which)
{
  const TarnCaliper *caliper = &self->caliper[which];
  const double end[2][2] = {
    { place->x0 + caliper->u0_mm * place->scale, place->y0 + caliper->v0_mm * place->scale },
    { place->x0 + caliper->u1_mm * place->scale, place->y0 + caliper->v1_mm * place->scale },
  };

  trace_caliper (cr, end);
  tarn_palette_source (cr, TARN_PALETTE_HALO);
  cairo_set_line_width (cr, 4);
  cairo_stroke (cr);
  trace_caliper (cr, end);
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_set_line_width (cr, which == self->which ? 2 : 1.2);
  cairo_stroke (cr);
  if (which == self->which)
    {
      cairo_arc (cr, end[self->end][0], end[self->end][1], 5, 0, 2 * TARN_PI);
      tarn_palette_source (cr, TARN_PALETTE_MEASURED);
      cairo_fill (cr);
    }

  g_autofree char *text = g_strdup_printf (_ ("%s %.1f cm"), tarn_diameter_word (which),
                                           tarn_caliper_mm (caliper) / 10);
  cairo_set_font_size (cr, 13 * text_size (self));
  cairo_move_to (cr, end[1][0] + 10, end[1][1] - 10);
  cairo_text_path (cr, text);
  tarn_palette_source (cr, TARN_PALETTE_HALO);
  cairo_set_line_width (cr, 3);
  cairo_stroke_preserve (cr);
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_fill (cr);
}

static void
draw_over (TarnPlaneView *self, cairo_t *cr)
{
  TarnSectorPlace place = place_of (self);
  if (self->outline_shown)
    {
      find_outline (self);
      if (self->outline.found)
        tarn_outline_stroke (cr, &self->outline, &place, 2);
    }
  for (int k = 0; k < TARN_CALIPERS; k++)
    if (self->caliper_plane[k] == self->frame->plane_number)
      draw_caliper (self, cr, &place, k);
}

static void
tarn_plane_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnPlaneView *self = TARN_PLANE_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, (float)width, (float)height);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  if (self->frame != NULL && self->frame->sector != NULL)
    {
      cairo_set_operator (cr, CAIRO_OPERATOR_SOURCE);
      cairo_set_source_surface (cr, self->frame->sector, 0, 0);
      cairo_pattern_set_extend (cairo_get_source (cr), CAIRO_EXTEND_PAD);
      cairo_paint (cr);
      cairo_set_operator (cr, CAIRO_OPERATOR_OVER);
      if (frozen (self))
        draw_over (self, cr);
    }
  else
    {
      tarn_palette_source (cr, TARN_PALETTE_GROUND);
      cairo_paint (cr);
    }
  tarn_view_corners (cr, width, height);
  cairo_destroy (cr);
}

/* ---- Frames ---- */

void
tarn_plane_view_set_frame (TarnPlaneView *self, TarnRunFrame *frame)
{
  if (frame == self->frame)
    return;
  gboolean same = self->frame != NULL && frame != NULL && frame->sector == self->frame->sector
                  && frame->bedside.frozen == self->frame->bedside.frozen;
  g_clear_pointer (&self->frame, tarn_run_frame_unref);
  self->frame = frame != NULL ? tarn_run_frame_ref (frame) : NULL;
  if (!frozen (self))
    self->which = -1;
  if (!same)
    gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
tarn_plane_view_show_outline (TarnPlaneView *self, gboolean shown)
{
  self->outline_shown = shown;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  if (!shown || !frozen (self))
    return FALSE;
  find_outline (self);
  return self->outline.found;
}

/* ---- Calipers ---- */

static void
tell (TarnPlaneView *self)
{
  const TarnCaliper *caliper = &self->caliper[self->which];
  self->caliper_plane[self->which] = self->frame->plane_number;
  g_signal_emit (self, signals[SIGNAL_CALIPER], 0, self->which, caliper->u0_mm, caliper->v0_mm,
                 caliper->u1_mm, caliper->v1_mm);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_plane_view_set_caliper (TarnPlaneView *self, int which)
{
  g_return_if_fail (which >= -1 && which < TARN_CALIPERS);
  if (which >= 0 && !frozen (self))
    which = -1;
  self->which = which;
  self->end = 0;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  if (which < 0 || self->caliper_plane[which] == self->frame->plane_number)
    return;

  const TarnImageGeometry *geometry = &self->frame->geometry;
  double v_mm = geometry->face_radius_mm + DEFAULT_DOWN * tarn_image_depth_limit_mm (geometry);
  self->caliper[which] = which == TARN_CALIPER_HEIGHT
                             ? (TarnCaliper){ 0, v_mm - DEFAULT_MM, 0, v_mm + DEFAULT_MM }
                             : (TarnCaliper){ -DEFAULT_MM, v_mm, DEFAULT_MM, v_mm };
  tell (self);
}

/* Keeps an end within the picture's depth. */
static void
move_end (TarnPlaneView *self, double u_mm, double v_mm)
{
  const TarnImageGeometry *geometry = &self->frame->geometry;
  double far_mm = geometry->face_radius_mm + tarn_image_depth_limit_mm (geometry);
  TarnCaliper *caliper = &self->caliper[self->which];
  double *u = self->end == 0 ? &caliper->u0_mm : &caliper->u1_mm;
  double *v = self->end == 0 ? &caliper->v0_mm : &caliper->v1_mm;
  *u = CLAMP (u_mm, -far_mm, far_mm);
  *v = CLAMP (v_mm, 0, far_mm);
  tell (self);
}

void
tarn_plane_view_nudge (TarnPlaneView *self, double right_mm, double down_mm)
{
  if (self->which < 0 || !frozen (self))
    return;
  const TarnCaliper *caliper = &self->caliper[self->which];
  if (self->end == 0)
    move_end (self, caliper->u0_mm + right_mm, caliper->v0_mm + down_mm);
  else
    move_end (self, caliper->u1_mm + right_mm, caliper->v1_mm + down_mm);
}

void
tarn_plane_view_other_end (TarnPlaneView *self)
{
  self->end = !self->end;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_begin (GtkGestureDrag *gesture, double x, double y, TarnPlaneView *self)
{
  self->dragging = FALSE;
  if (self->which < 0 || !frozen (self))
    {
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  TarnSectorPlace place = place_of (self);
  const TarnCaliper *c = &self->caliper[self->which];
  double first
      = hypot (place.x0 + c->u0_mm * place.scale - x, place.y0 + c->v0_mm * place.scale - y);
  double second
      = hypot (place.x0 + c->u1_mm * place.scale - x, place.y0 + c->v1_mm * place.scale - y);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->dragging = TRUE;
  self->end = first <= second ? 0 : 1;
  if (fmin (first, second) > GRAB_PX)
    {
      /* Away from both ends: a new line from here, drawn wall to wall. */
      double u_mm = (x - place.x0) / place.scale, v_mm = (y - place.y0) / place.scale;
      self->caliper[self->which] = (TarnCaliper){ u_mm, v_mm, u_mm, v_mm };
      self->end = 1;
      move_end (self, u_mm, v_mm);
    }
  self->grabbed = *c;
}

static void
drag_update (GtkGestureDrag *gesture, double dx, double dy, TarnPlaneView *self)
{
  (void)gesture;
  if (!self->dragging || self->which < 0 || !frozen (self))
    return;
  double scale = place_of (self).scale;
  const TarnCaliper *c = &self->grabbed;
  move_end (self, (self->end == 0 ? c->u0_mm : c->u1_mm) + dx / scale,
            (self->end == 0 ? c->v0_mm : c->v1_mm) + dy / scale);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
             TarnPlaneView *self)
{
  (void)controller;
  (void)code;
  double step = (state & GDK_SHIFT_MASK) != 0 ? NUDGE_FINE_MM : NUDGE_MM;
  if (self->which < 0 || !frozen (self) || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Left:
      tarn_plane_view_nudge (self, -step, 0);
      return TRUE;
    case GDK_KEY_Right:
      tarn_plane_view_nudge (self, step, 0);
      return TRUE;
    case GDK_KEY_Up:
      tarn_plane_view_nudge (self, 0, -step);
      return TRUE;
    case GDK_KEY_Down:
      tarn_plane_view_nudge (self, 0, step);
      return TRUE;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      tarn_plane_view_other_end (self);
      return TRUE;
    default:
      return FALSE;
    }
}

/* ---- The widget ---- */

static void
tarn_plane_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TarnPlaneView *self = TARN_PLANE_VIEW (widget);
  (void)baseline;
  if (width == self->width && height == self->height)
    return;
  self->width = width;
  self->height = height;
  g_signal_emit (self, signals[SIGNAL_PAPER_CHANGED], 0);
}

static void
tarn_plane_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                         int *minimum, int *natural, int *minimum_baseline,
                         int *natural_baseline)
{
  (void)widget;
  (void)for_size;
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 320 : 260;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 640 : 520;
  *minimum_baseline = *natural_baseline = -1;
}

static void
tarn_plane_view_finalize (GObject *object)
{
  TarnPlaneView *self = TARN_PLANE_VIEW (object);
  g_clear_pointer (&self->frame, tarn_run_frame_unref);
  tarn_outline_work_free (self->work);
  G_OBJECT_CLASS (tarn_plane_view_parent_class)->finalize (object);
}

static void
tarn_plane_view_class_init (TarnPlaneViewClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->finalize = tarn_plane_view_finalize;
  widget_class->snapshot = tarn_plane_view_snapshot;
  widget_class->size_allocate = tarn_plane_view_size_allocate;
  widget_class->measure = tarn_plane_view_measure;
  gtk_widget_class_set_css_name (widget_class, "planeview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);

  signals[SIGNAL_PAPER_CHANGED]
      = g_signal_new ("paper-changed", TARN_TYPE_PLANE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CALIPER] = g_signal_new (
      "caliper", TARN_TYPE_PLANE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 5,
      G_TYPE_INT, G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE);
}

static void
tarn_plane_view_init (TarnPlaneView *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->which = -1;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  g_signal_connect_object (drag, "drag-begin", G_CALLBACK (drag_begin), self, 0);
  g_signal_connect_object (drag, "drag-update", G_CALLBACK (drag_update), self, 0);
  g_signal_connect_object (keys, "key-pressed", G_CALLBACK (key_pressed), self, 0);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Ultrasound plane"), -1);
}

GtkWidget *
tarn_plane_view_new (void)
{
  return g_object_new (TARN_TYPE_PLANE_VIEW, NULL);
}
