/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/briefing_page.h"

#include "app/library_page.h"
#include "engine/attempt/input.h"

#include <glib/gi18n.h>

struct _TarnBriefingPage
{
  GtkWidget parent_instance;
  TarnPatientItem *item;
  int mode;
  GtkScrolledWindow *scroller;
  GtkLabel *title, *scenario, *briefing, *objective, *policy, *mode_heading, *mode_text;
  GtkWidget *objective_heading, *policy_heading, *buttons, *begin;
  GtkButton *other_mode;
};

G_DEFINE_FINAL_TYPE (TarnBriefingPage, tarn_briefing_page, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_BEGIN,
  SIGNAL_BACK,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

/* A text that a patient does not have takes no room. */
static void
show_text (GtkLabel *label, GtkWidget *heading, const char *text)
{
  gboolean has = text != NULL && text[0] != '\0';
  gtk_label_set_text (label, has ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (label), has);
  if (heading != NULL)
    gtk_widget_set_visible (heading, has);
}

/* What one is to learn here would give away, in practice, what there is to find. */
static void
show_mode (TarnBriefingPage *self)
{
  gboolean guided = self->mode == TARN_MODE_GUIDED;
  show_text (self->objective, self->objective_heading,
             guided ? tarn_patient_item_objective (self->item) : NULL);
  gtk_label_set_text (self->mode_heading, guided ? _ ("Guided") : _ ("Practice"));
  gtk_label_set_text (self->mode_text, tarn_library_mode_text (self->mode));
  gtk_button_set_label (self->other_mode,
                        guided ? _ ("Practise without advice") : _ ("Ask for guidance"));
}

void
tarn_briefing_page_show (TarnBriefingPage *self, TarnPatientItem *item, int mode)
{
  g_return_if_fail (TARN_IS_BRIEFING_PAGE (self));
  g_return_if_fail (tarn_patient_item_patient (item) != NULL);
  g_return_if_fail (mode == TARN_MODE_GUIDED || mode == TARN_MODE_PRACTICE);
  g_set_object (&self->item, item);
  self->mode = mode;
  gtk_label_set_text (self->title, tarn_patient_item_title (item));
  show_text (self->scenario, NULL, tarn_patient_item_text (item, "scenario"));
  show_text (self->briefing, NULL, tarn_patient_item_text (item, "briefing"));
  show_text (self->policy, self->policy_heading, tarn_patient_item_text (item, "local-policy"));
  show_mode (self);
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
}

int
tarn_briefing_page_mode (TarnBriefingPage *self)
{
  g_return_val_if_fail (TARN_IS_BRIEFING_PAGE (self), TARN_MODE_GUIDED);
  return self->mode;
}

GtkWidget *
tarn_briefing_page_new (void)
{
  return g_object_new (TARN_TYPE_BRIEFING_PAGE, NULL);
}

static void
begin (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnBriefingPage *self = TARN_BRIEFING_PAGE (widget);
  (void)action;
  (void)parameter;
  if (self->item != NULL)
    g_signal_emit (self, signals[SIGNAL_BEGIN], 0, self->item, self->mode);
}

static void
back (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action;
  (void)parameter;
  g_signal_emit (widget, signals[SIGNAL_BACK], 0);
}

static void
change_mode (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnBriefingPage *self = TARN_BRIEFING_PAGE (widget);
  (void)action;
  (void)parameter;
  self->mode = self->mode == TARN_MODE_GUIDED ? TARN_MODE_PRACTICE : TARN_MODE_GUIDED;
  show_mode (self);
}

static gboolean
tarn_briefing_page_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (TARN_BRIEFING_PAGE (widget)->begin);
}

static void
tarn_briefing_page_dispose (GObject *object)
{
  g_clear_object (&TARN_BRIEFING_PAGE (object)->item);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_BRIEFING_PAGE);
  G_OBJECT_CLASS (tarn_briefing_page_parent_class)->dispose (object);
}

static void
tarn_briefing_page_class_init (TarnBriefingPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  G_OBJECT_CLASS (klass)->dispose = tarn_briefing_page_dispose;
  widget_class->grab_focus = tarn_briefing_page_grab_focus;
  signals[SIGNAL_BEGIN]
      = g_signal_new ("begin", TARN_TYPE_BRIEFING_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                      G_TYPE_NONE, 2, TARN_TYPE_PATIENT_ITEM, G_TYPE_INT);
  signals[SIGNAL_BACK] = g_signal_new ("back", TARN_TYPE_BRIEFING_PAGE, G_SIGNAL_RUN_LAST, 0,
                                       NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_install_action (widget_class, "briefing.begin", NULL, begin);
  gtk_widget_class_install_action (widget_class, "briefing.back", NULL, back);
  gtk_widget_class_install_action (widget_class, "briefing.other-mode", NULL, change_mode);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "briefing.back", NULL);

  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/briefing-page.ui");
  /* Both direct children are bound, so that disposing takes them away. */
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, scroller);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, buttons);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, title);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, scenario);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, briefing);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, objective_heading);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, objective);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, policy_heading);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, policy);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, mode_heading);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, mode_text);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, other_mode);
  gtk_widget_class_bind_template_child (widget_class, TarnBriefingPage, begin);
}

static void
tarn_briefing_page_init (TarnBriefingPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
