/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/editor_pose.h"

#include "app/editor_slider.h"

#include <glib/gi18n.h>

enum
{
  ABOVE,
  LEFT,
  TILT,
  LEAN,
  TURN,
  FORCE,
  LIFT,
  NUMBERS
};

struct _TarnEditorPose
{
  GtkWidget parent_instance;
  GtkWidget *box;
  TarnEditorSlider *slider[NUMBERS];
};

G_DEFINE_FINAL_TYPE (TarnEditorPose, tarn_editor_pose, GTK_TYPE_WIDGET)

static guint moved_signal;

static const struct
{
  const char *word, *unit;
  double low, high, step;
} number[NUMBERS] = {
  [ABOVE] = { N_ ("Above the bone"), "mm", -60, 200, 1 },
  [LEFT] = { N_ ("To the left"), "mm", -120, 120, 1 },
  [TILT] = { N_ ("Tilt to the feet"), "°", -60, 60, 1 },
  [LEAN] = { N_ ("Lean to the left"), "°", -60, 60, 1 },
  [TURN] = { N_ ("Turn; 90° is sagittal"), "°", 0, 180, 5 },
  [FORCE] = { N_ ("Force"), "N", 0.5, 40, 1 },
  [LIFT] = { N_ ("Pannus lifted"), "%", 0, 100, 10 },
};

static double
deg (double rad)
{
  return rad * 180 / G_PI;
}

static double
rad (TarnEditorPose *self, int index)
{
  return tarn_editor_slider_value (self->slider[index]) * G_PI / 180;
}

void
tarn_editor_pose_show (TarnEditorPose *self, const TarnPose *pose, double lift)
{
  g_return_if_fail (TARN_IS_EDITOR_POSE (self));
  const double value[NUMBERS] = { pose->above_mm,
                                  pose->left_mm,
                                  deg (pose->tilt_rad),
                                  deg (pose->lean_rad),
                                  deg (pose->turn_rad),
                                  pose->force_n,
                                  lift * 100 };
  for (int k = 0; k < NUMBERS; k++)
    tarn_editor_slider_show (self->slider[k], value[k]);
}

TarnPose
tarn_editor_pose_get (TarnEditorPose *self, double *lift)
{
  *lift = tarn_editor_slider_value (self->slider[LIFT]) / 100;
  return (TarnPose){ .above_mm = tarn_editor_slider_value (self->slider[ABOVE]),
                     .left_mm = tarn_editor_slider_value (self->slider[LEFT]),
                     .tilt_rad = rad (self, TILT),
                     .lean_rad = rad (self, LEAN),
                     .turn_rad = rad (self, TURN),
                     .force_n = tarn_editor_slider_value (self->slider[FORCE]) };
}

static void
on_moved (TarnEditorPose *self)
{
  g_signal_emit (self, moved_signal, 0);
}

GtkWidget *
tarn_editor_pose_new (void)
{
  return g_object_new (TARN_TYPE_EDITOR_POSE, NULL);
}

static void
tarn_editor_pose_dispose (GObject *object)
{
  g_clear_pointer (&TARN_EDITOR_POSE (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (tarn_editor_pose_parent_class)->dispose (object);
}

static void
tarn_editor_pose_class_init (TarnEditorPoseClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_pose_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  moved_signal = g_signal_new ("moved", TARN_TYPE_EDITOR_POSE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                               NULL, G_TYPE_NONE, 0);
}

static void
add_label (GtkWidget *box, const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, class);
  gtk_box_append (GTK_BOX (box), label);
}

static void
tarn_editor_pose_init (TarnEditorPose *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  add_label (self->box, _ ("Test pose"), "tarn-heading");
  add_label (self->box,
             _ ("Where the probe stands for the plane beside the sections; it belongs to no "
                "patient."),
             "tarn-quiet");
  GtkWidget *best = gtk_button_new_with_label (_ ("Best pose"));
  gtk_widget_set_tooltip_text (best, _ ("Put the test pose there (Ctrl+G)"));
  gtk_widget_set_halign (best, GTK_ALIGN_START);
  /* The page's own action. */
  gtk_actionable_set_action_name (GTK_ACTIONABLE (best), "editor.best");
  gtk_box_append (GTK_BOX (self->box), best);
  for (int k = 0; k < NUMBERS; k++)
    {
      TarnEditorSliderSetup setup = { .name = _ (number[k].word),
                                      .unit = number[k].unit,
                                      .low = number[k].low,
                                      .high = number[k].high,
                                      .step = number[k].step,
                                      .digits = 1 };
      add_label (self->box, _ (number[k].word), "tarn-field-word");
      self->slider[k] = TARN_EDITOR_SLIDER (tarn_editor_slider_new (&setup));
      gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->slider[k]));
      g_signal_connect_swapped (self->slider[k], "moved", G_CALLBACK (on_moved), self);
    }
}
