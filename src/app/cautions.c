/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/cautions.h"

#include <glib/gi18n.h>

struct _TarnCautionsPage
{
  GtkWidget parent_instance;
  TarnSettings *settings;
  GtkWidget *scroller, *tour, *accept;
};

G_DEFINE_FINAL_TYPE (TarnCautionsPage, tarn_cautions_page, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_ACCEPTED,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

const char *
tarn_cautions_text (void)
{
  return _ ("Training only, synthetic anatomy; not for clinical use. Tarn supports supervised "
            "practice on people and never replaces it; local policy and a licensed "
            "practitioner decide.");
}

GtkWidget *
tarn_cautions_page_new (TarnSettings *settings)
{
  g_return_val_if_fail (TARN_IS_SETTINGS (settings), NULL);
  TarnCautionsPage *self = g_object_new (TARN_TYPE_CAUTIONS_PAGE, NULL);
  self->settings = g_object_ref (settings);
  return GTK_WIDGET (self);
}

static void
accept (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnCautionsPage *self = TARN_CAUTIONS_PAGE (widget);
  gboolean tour = g_str_equal (action, "cautions.tour");
  (void)parameter;
  g_object_set (self->settings, "cautions-accepted", TRUE, NULL);
  g_signal_emit (self, signals[SIGNAL_ACCEPTED], 0, tour);
}

static gboolean
tarn_cautions_page_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (TARN_CAUTIONS_PAGE (widget)->tour);
}

static void
tarn_cautions_page_dispose (GObject *object)
{
  g_clear_object (&TARN_CAUTIONS_PAGE (object)->settings);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_CAUTIONS_PAGE);
  G_OBJECT_CLASS (tarn_cautions_page_parent_class)->dispose (object);
}

static void
tarn_cautions_page_class_init (TarnCautionsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  G_OBJECT_CLASS (klass)->dispose = tarn_cautions_page_dispose;
  widget_class->grab_focus = tarn_cautions_page_grab_focus;
  signals[SIGNAL_ACCEPTED]
      = g_signal_new ("accepted", TARN_TYPE_CAUTIONS_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 1, G_TYPE_BOOLEAN);
  gtk_widget_class_install_action (widget_class, "cautions.accept", NULL, accept);
  gtk_widget_class_install_action (widget_class, "cautions.tour", NULL, accept);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/cautions-page.ui");
  /* Bound, so that disposing takes it away. */
  gtk_widget_class_bind_template_child (widget_class, TarnCautionsPage, scroller);
  gtk_widget_class_bind_template_child (widget_class, TarnCautionsPage, tour);
  gtk_widget_class_bind_template_child (widget_class, TarnCautionsPage, accept);
}

static void
tarn_cautions_page_init (TarnCautionsPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
