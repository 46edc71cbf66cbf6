/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of care: a button for each deed, with the answer under it once there is one. */
#include "app/care_list.h"

#include "app/words.h"

#include <glib/gi18n.h>

struct _TarnCareList
{
  GtkWidget parent;
  GtkWidget *box;
  GtkLabel *answer[TARN_DEEDS];
  GtkWidget *done[TARN_DEEDS];
  TarnRun *run;
};

G_DEFINE_FINAL_TYPE (TarnCareList, tarn_care_list, GTK_TYPE_WIDGET)

static void
set_answer (TarnCareList *self, TarnDeed deed, TarnAnswer answer)
{
  bool done = answer != TARN_ANSWER_NONE;
  g_autofree char *text
      = done && self->run != NULL ? tarn_words_answer (
            answer, tarn_run_patient (self->run)->situation.minutes_since_void)
                                  : g_strdup ("");
  gtk_label_set_text (self->answer[deed], text);
  gtk_widget_set_visible (GTK_WIDGET (self->answer[deed]), text[0] != '\0');
  gtk_widget_set_opacity (self->done[deed], done ? 1 : 0);
}

static void
on_answer (TarnRun *run, int deed, int answer, TarnCareList *self)
{
  (void)run;
  set_answer (self, (TarnDeed)deed, (TarnAnswer)answer);
}

static void
pressed (GtkButton *button, TarnCareList *self)
{
  int deed = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "deed"));
  if (self->run != NULL)
    tarn_run_do (self->run, TARN_INPUT_DEED, deed, 0);
}

void
tarn_care_list_set_run (TarnCareList *self, TarnRun *run)
{
  if (self->run != NULL)
    g_signal_handlers_disconnect_by_data (self->run, self);
  g_set_object (&self->run, run);
  g_autoptr (TarnRunFrame) frame = run != NULL ? tarn_run_frame (run) : NULL;
  for (int k = 0; k < TARN_DEEDS; k++)
    set_answer (self, (TarnDeed)k, frame != NULL ? frame->bedside.answer[k] : TARN_ANSWER_NONE);
  if (run != NULL)
    g_signal_connect_object (run, "answer", G_CALLBACK (on_answer), self, 0);
}

static void
add_heading (TarnCareList *self, const char *text)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "tarn-heading");
  gtk_box_append (GTK_BOX (self->box), label);
}

static void
add_deed (TarnCareList *self, TarnDeed deed)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *button = gtk_button_new ();
  GtkWidget *label = gtk_label_new (tarn_words_deed (deed));
  GtkWidget *answer = gtk_label_new ("");

  self->done[deed] = gtk_image_new_from_icon_name ("object-select-symbolic");
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (GTK_BOX (line), self->done[deed]);
  gtk_button_set_child (GTK_BUTTON (button), line);
  gtk_button_set_has_frame (GTK_BUTTON (button), FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  tarn_words_deed (deed), -1);
  g_object_set_data (G_OBJECT (button), "deed", GINT_TO_POINTER ((int)deed));
  g_signal_connect_object (button, "clicked", G_CALLBACK (pressed), self, 0);

  self->answer[deed] = GTK_LABEL (answer);
  gtk_label_set_xalign (self->answer[deed], 0);
  gtk_label_set_wrap (self->answer[deed], TRUE);
  gtk_label_set_max_width_chars (self->answer[deed], 44);
  gtk_widget_add_css_class (answer, "tarn-quiet");
  gtk_widget_set_margin_start (answer, 12);
  gtk_widget_set_margin_bottom (answer, 3);
  gtk_box_append (GTK_BOX (row), button);
  gtk_box_append (GTK_BOX (row), answer);
  gtk_box_append (GTK_BOX (self->box), row);
}

static void
tarn_care_list_dispose (GObject *object)
{
  TarnCareList *self = TARN_CARE_LIST (object);
  g_clear_object (&self->run);
  GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (self));
  if (child != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (tarn_care_list_parent_class)->dispose (object);
}

static void
tarn_care_list_class_init (TarnCareListClass *class)
{
  G_OBJECT_CLASS (class)->dispose = tarn_care_list_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "carelist");
}

static void
tarn_care_list_init (TarnCareList *self)
{
  GtkWidget *scroller = gtk_scrolled_window_new ();

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  add_heading (self, _ ("Before"));
  for (TarnDeed deed = TARN_DEED_HANDS; deed < TARN_DEED_NOTE; deed++)
    add_deed (self, deed);
  add_heading (self, _ ("Afterwards"));
  for (TarnDeed deed = TARN_DEED_NOTE; deed < TARN_DEEDS; deed++)
    add_deed (self, deed);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->box);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (scroller), TRUE);
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (scroller), 560);
  gtk_widget_set_size_request (scroller, 340, -1);
  gtk_widget_set_parent (scroller, GTK_WIDGET (self));
}

GtkWidget *
tarn_care_list_new (void)
{
  return g_object_new (TARN_TYPE_CARE_LIST, NULL);
}
