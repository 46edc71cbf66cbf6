/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The picture comes from the thread behind the editor and may be a moment old; the marks follow
 * the draft at once. */
#include "app/editor_section_private.h"

#include "app/editor_words.h"
#include <glib/gi18n.h>
#include <math.h>

#define GRASP_PX 14.0 /* how near is on it: targets of at least 24 px */
#define STEP_MM  1.0
#define LEAP_MM  5.0
#define CUT_MM   2.0

G_DEFINE_FINAL_TYPE (TarnEditorSection, tarn_editor_section, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_CHOSEN,
  SIGNAL_CUT,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- Geometry, in widget pixels ---- */

TarnSection
tarn_editor_section_cut (TarnEditorSection *self)
{
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));
  static const TarnEditorWish none = { .px_per_mm = 1 };
  const TarnEditorWish *wish = self->shot != NULL ? &self->shot->wish : &none;
  return tarn_editor_cut (wish, self->kind, width, height, wish->px_per_mm / scale);
}

/* Where all cuts meet. */
TarnVec3
tarn_editor_section_where (TarnEditorSection *self)
{
  return self->shot != NULL ? self->shot->wish.cut_mm : tarn_vec3 (0, 0, 0);
}

const TarnStructure *
tarn_editor_section_structure (TarnEditorSection *self, int index)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  return index >= 0 && index < patient->structures ? &patient->structure[index] : NULL;
}

/* @share: of the way to the border; 1 on it. */
static bool
is_within (const TarnSectionEllipse *ellipse, double x, double y)
{
  double dx = x - ellipse->x, dy = y - ellipse->y;
  double major2 = ellipse->major_x * ellipse->major_x + ellipse->major_y * ellipse->major_y;
  double minor2 = ellipse->minor_x * ellipse->minor_x + ellipse->minor_y * ellipse->minor_y;
  double along = (dx * ellipse->major_x + dy * ellipse->major_y) / major2;
  double across = (dx * ellipse->minor_x + dy * ellipse->minor_y) / minor2;
  return along * along + across * across <= 1;
}

/* The structure under the pointer: the chosen one first, then the smallest. */
static int
find (TarnEditorSection *self, double x, double y)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  TarnSection cut = tarn_editor_section_cut (self);
  int found = -1;
  double least = INFINITY;
  for (int k = 0; k < patient->structures; k++)
    {
      TarnSectionEllipse ellipse;
      const TarnVec3 *radii = &patient->structure[k].radii_mm;
      double size = k == self->chosen ? 0 : radii->x * radii->y * radii->z;
      if (tarn_section_ellipse (&cut, &patient->structure[k], &ellipse)
          && is_within (&ellipse, x, y) && size < least)
        {
          found = k;
          least = size;
        }
    }
  return found;
}

/* ---- Edits ---- */

static double
to_half (double mm)
{
  return round (mm * 2) / 2;
}

static double
fit (double mm, const TarnField *field)
{
  return CLAMP (to_half (mm), field->low, field->high);
}

static void
set_vector (TarnEditorSection *self, const char *key, TarnVec3 value)
{
  const TarnField *field = tarn_field_find (TARN_GROUP_STRUCTURE, key);
  value = tarn_vec3 (fit (value.x, field), fit (value.y, field), fit (value.z, field));
  tarn_editor_draft_set_vector (self->draft, field, self->chosen, value);
}

/* The structure's own axis that lies nearest to @direction: 0, 1 or 2. */
static int
nearest_axis (const TarnStructure *structure, TarnVec3 direction)
{
  static const TarnVec3 unit[3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } };
  TarnVec3 turn = structure->turn_deg;
  int best = 0;
  double most = -1;
  for (int k = 0; k < 3; k++)
    {
      TarnVec3 axis = tarn_rotate (unit[k], unit[0], turn.x * G_PI / 180);
      axis = tarn_rotate (axis, unit[1], turn.y * G_PI / 180);
      axis = tarn_rotate (axis, unit[2], turn.z * G_PI / 180);
      double along = fabs (tarn_dot (axis, direction));
      if (along > most)
        {
          best = k;
          most = along;
        }
    }
  return best;
}

/* Makes one half axis of @from longer by @mm, or so many times as long. */
static void
resize (TarnEditorSection *self, const TarnStructure *from, TarnVec3 direction, double times,
        double mm)
{
  TarnVec3 radii = from->radii_mm;
  double *radius[3] = { &radii.x, &radii.y, &radii.z };
  int axis = nearest_axis (from, direction);
  *radius[axis] = *radius[axis] * times + mm;
  set_vector (self, "radii-mm", radii);
}

static void
emit_cut (TarnEditorSection *self, TarnVec3 point_mm)
{
  g_signal_emit (self, signals[SIGNAL_CUT], 0, point_mm.x, point_mm.y, point_mm.z);
}

/* ---- Pointer ---- */

static bool
is_near (double x, double y, double ax, double ay)
{
  return hypot (x - ax, y - ay) <= GRASP_PX;
}

/* Which mark of the chosen structure is under the pointer. */
static Grasp
mark_at (TarnEditorSection *self, const TarnSectionEllipse *e, double x, double y)
{
  for (int side = -1; side <= 1; side += 2)
    {
      if (is_near (x, y, e->x + side * e->major_x, e->y + side * e->major_y))
        return GRASP_MAJOR;
      if (is_near (x, y, e->x + side * e->minor_x, e->y + side * e->minor_y))
        return GRASP_MINOR;
    }
  (void)self;
  return GRASP_NONE;
}

static void
grasp_mark (TarnEditorSection *self, Grasp grasp, const TarnSectionEllipse *ellipse)
{
  TarnVec3 right, down;
  double dx = grasp == GRASP_MAJOR ? ellipse->major_x : ellipse->minor_x;
  double dy = grasp == GRASP_MAJOR ? ellipse->major_y : ellipse->minor_y;
  tarn_section_axes (self->kind, &right, &down);
  self->grasp = grasp;
  self->grasp_axis = tarn_normalize (tarn_add_scaled (tarn_scale (right, dx), down, dy));
  self->grasp_length_px = hypot (dx, dy);
}

static void
on_drag_begin (GtkGestureDrag *gesture, double x, double y, TarnEditorSection *self)
{
  TarnSection cut = tarn_editor_section_cut (self);
  TarnSectionEllipse ellipse;
  const TarnStructure *chosen = tarn_editor_section_structure (self, self->chosen);
  (void)gesture;
  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->from_x = x;
  self->from_y = y;
  self->grasp = GRASP_NONE;
  tarn_editor_draft_seal (self->draft);
  if (chosen != NULL && tarn_section_ellipse (&cut, chosen, &ellipse))
    {
      Grasp mark = mark_at (self, &ellipse, x, y);
      if (mark != GRASP_NONE)
        grasp_mark (self, mark, &ellipse);
    }
  if (self->grasp == GRASP_NONE)
    {
      int found = find (self, x, y);
      self->grasp = found >= 0 ? GRASP_MOVE : GRASP_CUT;
      if (found >= 0 && found != self->chosen)
        g_signal_emit (self, signals[SIGNAL_CHOSEN], 0, found);
    }
  chosen = tarn_editor_section_structure (self, self->chosen);
  if (chosen != NULL)
    self->grasped = *chosen;
  if (self->grasp == GRASP_CUT)
    emit_cut (self, tarn_section_point (&cut, x, y));
}

static void
on_drag_update (GtkGestureDrag *gesture, double dx, double dy, TarnEditorSection *self)
{
  TarnSection cut = tarn_editor_section_cut (self);
  TarnVec3 right, down;
  (void)gesture;
  tarn_section_axes (self->kind, &right, &down);
  TarnVec3 way
      = tarn_scale (tarn_add_scaled (tarn_scale (right, dx), down, dy), 1 / cut.px_per_mm);
  if (self->grasp == GRASP_CUT)
    emit_cut (self, tarn_section_point (&cut, self->from_x + dx, self->from_y + dy));
  else if (self->grasp == GRASP_MOVE
           && tarn_editor_section_structure (self, self->chosen) != NULL)
    set_vector (self, "centre-mm", tarn_add (self->grasped.centre_mm, way));
  else if (self->grasp == GRASP_MAJOR || self->grasp == GRASP_MINOR)
    {
      TarnSectionEllipse ellipse;
      if (!tarn_section_ellipse (&cut, &self->grasped, &ellipse))
        return;
      double now = hypot (self->from_x + dx - ellipse.x, self->from_y + dy - ellipse.y);
      resize (self, &self->grasped, self->grasp_axis, now / self->grasp_length_px, 0);
    }
}

static void
on_drag_end (GtkGestureDrag *gesture, double dx, double dy, TarnEditorSection *self)
{
  (void)gesture, (void)dx, (void)dy;
  self->grasp = GRASP_NONE;
  tarn_editor_draft_seal (self->draft);
}

/* ---- Keyboard ---- */

static bool
arrow (guint key, double *right, double *down)
{
  *right = key == GDK_KEY_Right || key == GDK_KEY_KP_Right ? 1
           : key == GDK_KEY_Left || key == GDK_KEY_KP_Left ? -1
                                                           : 0;
  *down = key == GDK_KEY_Down || key == GDK_KEY_KP_Down ? 1
          : key == GDK_KEY_Up || key == GDK_KEY_KP_Up   ? -1
                                                        : 0;
  return *right != 0 || *down != 0;
}

/* Across the paper, away from who looks. */
static TarnVec3
inward (TarnEditorSection *self)
{
  TarnVec3 right, down;
  tarn_section_axes (self->kind, &right, &down);
  return tarn_cross (right, down);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
        TarnEditorSection *self)
{
  const TarnStructure *chosen = tarn_editor_section_structure (self, self->chosen);
  TarnVec3 right_axis, down_axis;
  double right, down, step = (state & GDK_SHIFT_MASK) != 0 ? LEAP_MM : STEP_MM;
  (void)controller, (void)code;

  if (key == GDK_KEY_Page_Up || key == GDK_KEY_Page_Down)
    {
      double way = key == GDK_KEY_Page_Up ? -CUT_MM : CUT_MM;
      emit_cut (self, tarn_add_scaled (tarn_editor_section_where (self), inward (self), way));
      return TRUE;
    }
  if (!arrow (key, &right, &down) || (state & GDK_ALT_MASK) != 0)
    return FALSE;
  tarn_section_axes (self->kind, &right_axis, &down_axis);
  TarnVec3 way = tarn_add_scaled (tarn_scale (right_axis, right), down_axis, down);
  if (chosen == NULL)
    emit_cut (self, tarn_add_scaled (tarn_editor_section_where (self), way, step));
  else if ((state & GDK_CONTROL_MASK) != 0)
    resize (self, chosen, way, 1, (right - down) * step);
  else
    set_vector (self, "centre-mm", tarn_add_scaled (chosen->centre_mm, way, step));
  return TRUE;
}

/* ---- For others ---- */

void
tarn_editor_section_set_shot (TarnEditorSection *self, TarnEditorShot *shot)
{
  g_return_if_fail (TARN_IS_EDITOR_SECTION (self));
  if (shot != NULL)
    tarn_editor_shot_ref (shot);
  g_clear_pointer (&self->shot, tarn_editor_shot_unref);
  self->shot = shot;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_editor_section_choose (TarnEditorSection *self, int structure)
{
  g_return_if_fail (TARN_IS_EDITOR_SECTION (self));
  self->chosen = structure;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_editor_section_size (TarnEditorSection *self, int *width, int *height)
{
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  *width = gtk_widget_get_width (GTK_WIDGET (self)) * scale;
  *height = gtk_widget_get_height (GTK_WIDGET (self)) * scale;
}

/* What lies under the pointer, in a word. */
static gboolean
on_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  TarnEditorSection *self = TARN_EDITOR_SECTION (widget);
  if (keyboard || self->shot == NULL || self->shot->body == NULL)
    {
      gtk_tooltip_set_text (tooltip, _ ("Arrows move the chosen structure, with Ctrl they "
                                        "resize it; Page Up and Page Down move the cut"));
      return TRUE;
    }
  TarnSection cut = tarn_editor_section_cut (self);
  TarnTissue tissue
      = tarn_body_tissue (self->shot->body->body, tarn_section_point (&cut, x, y));
  gtk_tooltip_set_text (tooltip, tarn_editor_tissue_word (tissue));
  return TRUE;
}

GtkWidget *
tarn_editor_section_new (TarnEditorDraft *draft, TarnSectionKind kind)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  static const char *const name[TARN_SECTIONS]
      = { N_ ("Sagittal section"), N_ ("Transverse section"), N_ ("Coronal section") };
  TarnEditorSection *self = g_object_new (TARN_TYPE_EDITOR_SECTION, NULL);
  self->draft = g_object_ref (draft);
  self->kind = kind;
  gtk_accessible_update_property (
      GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, _ (name[kind]),
      GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
      _ ("Arrows move the chosen structure, with Control they resize it; Page Up and Page Down "
         "move the cut"),
      -1);
  g_signal_connect_object (draft, "changed", G_CALLBACK (gtk_widget_queue_draw), self,
                           G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

static void
tarn_editor_section_dispose (GObject *object)
{
  TarnEditorSection *self = TARN_EDITOR_SECTION (object);
  g_clear_pointer (&self->shot, tarn_editor_shot_unref);
  g_clear_object (&self->draft);
  G_OBJECT_CLASS (tarn_editor_section_parent_class)->dispose (object);
}

static void
tarn_editor_section_class_init (TarnEditorSectionClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_section_dispose;
  widget_class->snapshot = tarn_editor_section_snapshot;
  widget_class->query_tooltip = on_tooltip;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  signals[SIGNAL_CHOSEN] = g_signal_new ("chosen", TARN_TYPE_EDITOR_SECTION, G_SIGNAL_RUN_LAST,
                                         0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  signals[SIGNAL_CUT]
      = g_signal_new ("cut", TARN_TYPE_EDITOR_SECTION, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                      G_TYPE_NONE, 3, G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_DOUBLE);
}

static void
tarn_editor_section_init (TarnEditorSection *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();
  self->chosen = -1;
  g_signal_connect (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (on_drag_update), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (on_drag_end), self);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-view");
}
