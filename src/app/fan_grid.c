/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is shown of the fan, and what of that is chosen. */
#include "app/fan_grid_private.h"

#include "app/ledger_view.h"
#include "app/words_debrief.h"

#include <glib/gi18n.h>
#include <math.h>

#define LEAST   280
#define NATURAL 520

G_DEFINE_FINAL_TYPE (TarnFanGrid, tarn_fan_grid, GTK_TYPE_WIDGET)

enum
{
  PROP_ENLARGED = 1,
  PROP_TEXT,
  PROP_TRUE_BORDER,
  PROPS
};
static GParamSpec *properties[PROPS];

static void
tarn_fan_grid_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  tarn_fan_grid_draw (TARN_FAN_GRID (widget), snapshot);
}

static void
tarn_fan_grid_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                       int *minimum, int *natural, int *minimum_baseline, int *natural_baseline)
{
  (void)widget;
  (void)for_size;
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? LEAST : LEAST * 3 / 4;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? NATURAL : NATURAL * 3 / 4;
  *minimum_baseline = *natural_baseline = -1;
}

/* ---- Choosing ---- */

/* The chosen plane in words, for the page, for screen readers, and for listeners. */
static void
tell (TarnFanGrid *self)
{
  g_free (self->text);
  self->text = NULL;
  if (self->fan.planes > 0)
    {
      const TarnSweepPlane *plane = &self->fan.plane[self->chosen];
      g_autofree char *which = tarn_words_plane (self->chosen, self->fan.planes, plane->fan_rad,
                                                 self->fan.turn_rad);
      g_autofree char *evidence = tarn_words_evidence (&plane->outline);
      /* Translators: a plane, and how sure its outline is. */
      g_autofree char *told = g_strdup_printf (C_ ("plane", "%s: %s"), which, evidence);
      const TarnDebriefPlane *truth = tarn_fan_grid_truth (self, self->chosen);
      g_autofree char *lost
          = truth != NULL ? tarn_words_plane_loss (&truth->loss, &self->units) : g_strdup ("");
      self->text = lost[0] != '\0'
                       /* Translators: what is seen of a plane; what it lost. */
                       ? g_strdup_printf (C_ ("plane", "%s; %s"), told, lost)
                       : g_steal_pointer (&told);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  self->text != NULL ? self->text : _ ("No planes"), -1);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TEXT]);
}

const TarnDebriefPlane *
tarn_fan_grid_truth (TarnFanGrid *self, int plane)
{
  return self->debrief != NULL && plane < self->debrief->planes ? &self->debrief->plane[plane]
                                                                : NULL;
}

/* The planes in which the cause acts, or all of them. */
static void
find_shown (TarnFanGrid *self)
{
  self->shown_count = 0;
  for (int k = 0; k < self->fan.planes; k++)
    {
      const TarnDebriefPlane *truth = tarn_fan_grid_truth (self, k);
      if (self->cause < 0 || (truth != NULL && (truth->loss.acts & 1u << self->cause) != 0))
        self->shown[self->shown_count++] = k;
    }
}

/* Where the chosen plane stands among those shown. */
static int
place_of_chosen (TarnFanGrid *self)
{
  for (int k = 0; k < self->shown_count; k++)
    if (self->shown[k] == self->chosen)
      return k;
  return 0;
}

/* The plane that lost most; of motion, the one furthest off. */
static int
worst_shown (TarnFanGrid *self)
{
  int worst = self->shown[0];
  double most = -1;
  for (int k = 0; k < self->shown_count; k++)
    {
      const TarnPlaneLoss *loss = &tarn_fan_grid_truth (self, self->shown[k])->loss;
      double size = self->cause == TARN_CAUSE_MOTION ? loss->off_mm
                                                     : fabs (tarn_plane_loss_error_ml (loss));
      if (size <= most)
        continue;
      most = size;
      worst = self->shown[k];
    }
  return worst;
}

void
tarn_fan_grid_set_cause (TarnFanGrid *self, int cause)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  g_return_if_fail (cause < TARN_CAUSES);
  self->cause = cause;
  find_shown (self);
  if (self->shown_count == 0)
    {
      self->cause = -1;
      find_shown (self);
    }
  else if (self->cause >= 0)
    self->chosen = worst_shown (self);
  tarn_fan_grid_forget (self);
  tarn_fan_grid_set_enlarged (self, FALSE);
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

int
tarn_fan_grid_shown (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), 0);
  return self->shown_count;
}

void
tarn_fan_grid_set_debrief (TarnFanGrid *self, TarnDebrief *debrief)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  if (debrief != NULL)
    tarn_debrief_ref (debrief);
  g_clear_pointer (&self->debrief, tarn_debrief_unref);
  self->debrief = debrief;
  self->cause = -1;
  find_shown (self);
  tarn_fan_grid_forget (self);
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
set_true_border (TarnFanGrid *self, gboolean wanted)
{
  if (wanted == self->true_border)
    return;
  self->true_border = wanted;
  tarn_fan_grid_forget (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TRUE_BORDER]);
}

int
tarn_fan_grid_chosen (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), -1);
  return self->fan.planes > 0 ? self->chosen : -1;
}

void
tarn_fan_grid_choose (TarnFanGrid *self, int plane)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  if (self->fan.planes == 0)
    return;
  plane = CLAMP (plane, 0, self->fan.planes - 1);
  if (plane == self->chosen)
    return;
  self->chosen = plane;
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
tarn_fan_grid_enlarged (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), FALSE);
  return self->enlarged;
}

void
tarn_fan_grid_set_enlarged (TarnFanGrid *self, gboolean enlarged)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  enlarged = enlarged && self->fan.planes > 0;
  if (enlarged == self->enlarged)
    return;
  self->enlarged = enlarged;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ENLARGED]);
}

const char *
tarn_fan_grid_text (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), "");
  return self->text != NULL ? self->text : "";
}

void
tarn_fan_grid_set_fan (TarnFanGrid *self, const TarnFan *fan, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  g_clear_pointer (&self->fan.grey, g_bytes_unref);
  tarn_fan_grid_forget (self);
  g_clear_pointer (&self->debrief, tarn_debrief_unref);
  self->cause = -1;
  self->fan = (TarnFan){ 0 };
  self->units = *units;
  self->chosen = 0;
  if (fan != NULL && fan->planes > 0 && fan->grey != NULL && fan->plane != NULL)
    {
      g_return_if_fail (g_bytes_get_size (fan->grey) >= (gsize)fan->planes
                                                            * (gsize)fan->geometry.lines
                                                            * (gsize)fan->geometry.samples);
      self->fan = *fan;
      g_bytes_ref (self->fan.grey);
      self->chosen = fan->planes / 2;
    }
  find_shown (self);
  tarn_fan_grid_set_enlarged (self, FALSE);
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* A row up or down: as far as the grid has columns; one plane when enlarged. */
static int
row_step (TarnFanGrid *self)
{
  if (self->enlarged)
    return 1;
  GtkWidget *widget = GTK_WIDGET (self);
  return tarn_fan_grid_cells (self, gtk_widget_get_width (widget),
                              gtk_widget_get_height (widget),
                              tarn_paper_of_widget (widget).text_size)
      .columns;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode,
             GdkModifierType state, gpointer data)
{
  TarnFanGrid *self = data;
  (void)controller;
  (void)keycode;
  if (self->fan.planes == 0 || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  int to = place_of_chosen (self);
  switch (keyval)
    {
    case GDK_KEY_Left:
      to--;
      break;
    case GDK_KEY_Right:
      to++;
      break;
    case GDK_KEY_Up:
      to -= row_step (self);
      break;
    case GDK_KEY_Down:
      to += row_step (self);
      break;
    case GDK_KEY_Home:
      to = 0;
      break;
    case GDK_KEY_End:
      to = self->shown_count - 1;
      break;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_space:
      tarn_fan_grid_set_enlarged (self, !self->enlarged);
      return GDK_EVENT_STOP;
    case GDK_KEY_Escape:
      if (!self->enlarged)
        return GDK_EVENT_PROPAGATE;
      tarn_fan_grid_set_enlarged (self, FALSE);
      return GDK_EVENT_STOP;
    default:
      return GDK_EVENT_PROPAGATE;
    }
  if (to >= 0 && to < self->shown_count)
    tarn_fan_grid_choose (self, self->shown[to]);
  return GDK_EVENT_STOP;
}

static void
pressed (GtkGestureClick *gesture, int presses, double x, double y, gpointer data)
{
  TarnFanGrid *self = data;
  GtkWidget *widget = GTK_WIDGET (self);
  (void)gesture;
  (void)presses;
  gtk_widget_grab_focus (widget);
  if (self->enlarged || self->fan.planes == 0)
    {
      tarn_fan_grid_set_enlarged (self, FALSE);
      return;
    }
  TarnFanCells cells = tarn_fan_grid_cells (self, gtk_widget_get_width (widget),
                                            gtk_widget_get_height (widget),
                                            tarn_paper_of_widget (widget).text_size);
  int column = (int)((x - TARN_FAN_GAP / 2.0) / (cells.width + TARN_FAN_GAP));
  int row = (int)((y - TARN_FAN_GAP / 2.0) / (cells.height + TARN_FAN_GAP));
  int cell = row * cells.columns + column;
  if (column < 0 || column >= cells.columns || cell < 0 || cell >= self->shown_count)
    return;
  int plane = self->shown[cell];
  if (plane == self->chosen)
    tarn_fan_grid_set_enlarged (self, TRUE);
  else
    tarn_fan_grid_choose (self, plane);
}

/* ---- The class ---- */

static void
tarn_fan_grid_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TarnFanGrid *self = TARN_FAN_GRID (object);
  if (id == PROP_ENLARGED)
    g_value_set_boolean (value, self->enlarged);
  else if (id == PROP_TEXT)
    g_value_set_string (value, tarn_fan_grid_text (self));
  else if (id == PROP_TRUE_BORDER)
    g_value_set_boolean (value, self->true_border);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_fan_grid_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ENLARGED)
    tarn_fan_grid_set_enlarged (TARN_FAN_GRID (object), g_value_get_boolean (value));
  else if (id == PROP_TRUE_BORDER)
    set_true_border (TARN_FAN_GRID (object), g_value_get_boolean (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_fan_grid_finalize (GObject *object)
{
  TarnFanGrid *self = TARN_FAN_GRID (object);
  g_clear_pointer (&self->fan.grey, g_bytes_unref);
  tarn_fan_grid_forget (self);
  g_clear_pointer (&self->debrief, tarn_debrief_unref);
  g_free (self->text);
  G_OBJECT_CLASS (tarn_fan_grid_parent_class)->finalize (object);
}

static void
tarn_fan_grid_class_init (TarnFanGridClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  object_class->get_property = tarn_fan_grid_get_property;
  object_class->set_property = tarn_fan_grid_set_property;
  object_class->finalize = tarn_fan_grid_finalize;
  widget_class->snapshot = tarn_fan_grid_snapshot;
  widget_class->measure = tarn_fan_grid_measure;

  properties[PROP_ENLARGED] = g_param_spec_boolean ("enlarged", NULL, NULL, FALSE,
                                                    G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY
                                                        | G_PARAM_STATIC_STRINGS);
  properties[PROP_TEXT] = g_param_spec_string ("text", NULL, NULL, NULL,
                                               G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_TRUE_BORDER] = g_param_spec_boolean (
      "true-border", NULL, NULL, TRUE,
      G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, PROPS, properties);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_set_css_name (widget_class, "fangrid");
}

static void
tarn_fan_grid_init (TarnFanGrid *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  self->true_border = TRUE;
  self->cause = -1;
  gtk_widget_set_focusable (widget, TRUE);
  gtk_widget_set_overflow (widget, GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (widget, "tarn-view");

  GtkEventController *keys = gtk_event_controller_key_new ();
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (widget, keys);
  GtkGesture *click = gtk_gesture_click_new ();
  g_signal_connect (click, "pressed", G_CALLBACK (pressed), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (click));
  g_signal_connect (self, "notify::has-focus", G_CALLBACK (gtk_widget_queue_draw), NULL);
}

GtkWidget *
tarn_fan_grid_new (void)
{
  return g_object_new (TARN_TYPE_FAN_GRID, NULL);
}
