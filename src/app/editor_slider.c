/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Slider and entry share an adjustment.  A value with more digits than are shown is kept as it
 * is until somebody really sets another one. */
#include "app/editor_slider.h"

#include <math.h>

struct _TarnEditorSlider
{
  GtkWidget parent_instance;
  GtkAdjustment *adjustment;
  GtkWidget *scale, *entry;
  double value, low, high;
  int digits;
  gboolean showing;
};

G_DEFINE_FINAL_TYPE (TarnEditorSlider, tarn_editor_slider, GTK_TYPE_WIDGET)

static guint moved_signal;

void
tarn_editor_ignore_wheel (GtkWidget *widget)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);
  for (guint k = 0; k < g_list_model_get_n_items (controllers); k++)
    {
      g_autoptr (GtkEventController) each = g_list_model_get_item (controllers, k);
      if (GTK_IS_EVENT_CONTROLLER_SCROLL (each))
        gtk_event_controller_set_propagation_phase (each, GTK_PHASE_NONE);
    }
}

static void
on_value_changed (TarnEditorSlider *self)
{
  double unit = pow (10, -self->digits);
  double value = round (gtk_adjustment_get_value (self->adjustment) / unit) * unit;
  value = CLAMP (value, self->low, self->high);
  if (self->showing || fabs (value - self->value) < 0.5 * unit)
    return;
  self->value = value;
  g_signal_emit (self, moved_signal, 0, value);
}

void
tarn_editor_slider_show (TarnEditorSlider *self, double value)
{
  g_return_if_fail (TARN_IS_EDITOR_SLIDER (self));
  self->showing = TRUE;
  self->value = value;
  gtk_adjustment_set_value (self->adjustment, value);
  self->showing = FALSE;
}

double
tarn_editor_slider_value (TarnEditorSlider *self)
{
  g_return_val_if_fail (TARN_IS_EDITOR_SLIDER (self), 0);
  return self->value;
}

static void
add (TarnEditorSlider *self, GtkWidget *child, const char *name)
{
  gtk_widget_set_parent (child, GTK_WIDGET (self));
  if (name != NULL)
    gtk_accessible_update_property (GTK_ACCESSIBLE (child), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                    -1);
}

static GtkWidget *
quiet_label (const char *text, int chars)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_width_chars (GTK_LABEL (label), chars);
  gtk_widget_add_css_class (label, "tarn-quiet");
  return label;
}

GtkWidget *
tarn_editor_slider_new (const TarnEditorSliderSetup *setup)
{
  TarnEditorSlider *self = g_object_new (TARN_TYPE_EDITOR_SLIDER, NULL);
  self->digits = setup->digits;
  self->low = setup->low;
  self->high = setup->high;
  self->value = setup->low;
  self->adjustment = g_object_ref_sink (gtk_adjustment_new (setup->low, setup->low, setup->high,
                                                            setup->step, setup->step * 10, 0));

  if (setup->word != NULL)
    add (self, quiet_label (setup->word, 13), NULL);
  if (!setup->entry_only)
    {
      self->scale = gtk_scale_new (GTK_ORIENTATION_HORIZONTAL, self->adjustment);
      gtk_range_set_round_digits (GTK_RANGE (self->scale), setup->digits);
      gtk_widget_set_hexpand (self->scale, TRUE);
      gtk_widget_set_size_request (self->scale, 72, 24);
      tarn_editor_ignore_wheel (self->scale);
      add (self, self->scale, setup->name);
    }
  self->entry
      = gtk_spin_button_new (self->adjustment, setup->step, (guint)MAX (setup->digits, 0));
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), setup->entry_only ? 16 : 6);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), setup->entry_only ? 16 : 6);
  gtk_widget_set_hexpand (self->entry, setup->entry_only);
  gtk_editable_set_enable_undo (GTK_EDITABLE (self->entry), FALSE);
  tarn_editor_ignore_wheel (self->entry);
  add (self, self->entry, setup->name);
  /* As wide for every unit, so that the entries stand below each other. */
  if (!setup->entry_only)
    add (self, quiet_label (setup->unit, 6), NULL);
  g_signal_connect_object (self->adjustment, "value-changed", G_CALLBACK (on_value_changed),
                           self, G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

static gboolean
tarn_editor_slider_grab_focus (GtkWidget *widget)
{
  /* Shift+Tab at the first of its controls asks too, and has to go on. */
  if (gtk_widget_get_focus_child (widget) != NULL)
    return FALSE;
  return gtk_widget_grab_focus (TARN_EDITOR_SLIDER (widget)->entry);
}

static void
tarn_editor_slider_dispose (GObject *object)
{
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  g_clear_object (&TARN_EDITOR_SLIDER (object)->adjustment);
  G_OBJECT_CLASS (tarn_editor_slider_parent_class)->dispose (object);
}

static void
tarn_editor_slider_class_init (TarnEditorSliderClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_slider_dispose;
  widget_class->grab_focus = tarn_editor_slider_grab_focus;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  moved_signal = g_signal_new ("moved", TARN_TYPE_EDITOR_SLIDER, G_SIGNAL_RUN_LAST, 0, NULL,
                               NULL, NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
}

static void
tarn_editor_slider_init (TarnEditorSlider *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 6);
}
