/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/patient_card.h"

#include "app/picture_of_patient.h"

#include <glib/gi18n.h>

#define SCENARIO_LINES 2
#define PROBLEM_LINES  4

struct _TarnPatientCard
{
  GtkFlowBoxChild parent_instance;
  TarnPatientItem *item;
  GtkWidget *picture;
  GtkLabel *title, *text, *result, *difficulty;
};

G_DEFINE_FINAL_TYPE (TarnPatientCard, tarn_patient_card, GTK_TYPE_FLOW_BOX_CHILD)

static void
show_result (TarnPatientCard *self)
{
  g_autofree char *result = tarn_patient_item_result_text (self->item);
  g_autofree char *difficulty = tarn_patient_item_difficulty_text (self->item);
  gtk_label_set_text (self->result, result);
  gtk_label_set_text (self->difficulty, difficulty);
  gtk_widget_set_tooltip_text (
      GTK_WIDGET (self->difficulty),
      _ ("Of 100 beginners without advice, how many would keep a wrong "
         "reading of this bladder"));
  g_autofree char *description
      = g_strdup_printf ("%s %s %s", gtk_label_get_text (self->text), result, difficulty);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  tarn_patient_item_title (self->item),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, description, -1);
}

GtkWidget *
tarn_patient_card_new (TarnPatientItem *item)
{
  g_return_val_if_fail (TARN_IS_PATIENT_ITEM (item), NULL);
  TarnPatientCard *self = g_object_new (TARN_TYPE_PATIENT_CARD, NULL);
  self->item = g_object_ref (item);
  g_object_set (self->picture, "item", item, NULL);
  gtk_label_set_text (self->title, tarn_patient_item_title (item));
  if (tarn_patient_item_problem (item) == NULL)
    {
      /* Not the objective, which is the instructor's: it gives away what there is to find. */
      const char *scenario = tarn_patient_item_text (item, "scenario");
      gtk_label_set_text (self->text, scenario != NULL ? scenario : "");
      gtk_label_set_lines (self->text, SCENARIO_LINES);
      gtk_widget_set_tooltip_text (GTK_WIDGET (self->text), scenario);
    }
  else
    {
      gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-broken");
      gtk_label_set_text (self->text, tarn_patient_item_first_problem (item));
      gtk_label_set_lines (self->text, PROBLEM_LINES);
      gtk_widget_set_tooltip_text (GTK_WIDGET (self), tarn_patient_item_problem (item));
    }
  g_signal_connect_object (item, "notify::result", G_CALLBACK (show_result), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (item, "notify::difficulty", G_CALLBACK (show_result), self,
                           G_CONNECT_SWAPPED);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "card.open",
                                 tarn_patient_item_problem (item) == NULL);
  show_result (self);
  return GTK_WIDGET (self);
}

TarnPatientItem *
tarn_patient_card_item (TarnPatientCard *self)
{
  return self->item;
}

/* As the Return key does: also for who presses by way of the accessibility bus, which knows a
 * card's actions alone. */
static void
open_card (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action;
  (void)parameter;
  gtk_widget_activate (widget);
}

static void
tarn_patient_card_dispose (GObject *object)
{
  TarnPatientCard *self = TARN_PATIENT_CARD (object);
  g_clear_object (&self->item);
  gtk_flow_box_child_set_child (GTK_FLOW_BOX_CHILD (self), NULL);
  G_OBJECT_CLASS (tarn_patient_card_parent_class)->dispose (object);
}

static void
tarn_patient_card_class_init (TarnPatientCardClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  G_OBJECT_CLASS (klass)->dispose = tarn_patient_card_dispose;
  g_type_ensure (TARN_TYPE_PICTURE_OF_PATIENT);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/patient-card.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnPatientCard, picture);
  gtk_widget_class_bind_template_child (widget_class, TarnPatientCard, title);
  gtk_widget_class_bind_template_child (widget_class, TarnPatientCard, text);
  gtk_widget_class_bind_template_child (widget_class, TarnPatientCard, result);
  gtk_widget_class_bind_template_child (widget_class, TarnPatientCard, difficulty);
  gtk_widget_class_install_action (widget_class, "card.open", NULL, open_card);
}

static void
tarn_patient_card_init (TarnPatientCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
