/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The editor's acoustic window: asked for after each edit, told on its card and on its map. */
#include "app/editor_page_private.h"

#include <string.h>

/* The draft's state at which its numbers were last others: texts make no other window. */
static guint64
numbers_state (TarnEditorPage *self)
{
  TarnPatient now = *tarn_editor_draft_patient (self->draft);
  now.prose = NULL;
  now.proses = 0;
  memset (now.id, 0, sizeof now.id);
  if (self->numbers == NULL || memcmp (self->numbers, &now, sizeof now) != 0)
    {
      g_free (self->numbers);
      self->numbers = g_memdup2 (&now, sizeof now);
      self->numbers_state = tarn_editor_draft_state (self->draft);
    }
  return self->numbers_state;
}

/* The newest, of the numbers as they stand; else NULL.  A new reference. */
TarnEditorSurvey *
tarn_editor_page_survey (TarnEditorPage *self)
{
  g_autoptr (TarnEditorSurvey) survey = tarn_editor_map_survey (self->map);
  return survey != NULL && survey->state == numbers_state (self) ? g_steal_pointer (&survey)
                                                                 : NULL;
}

void
tarn_editor_page_show_window (TarnEditorPage *self)
{
  g_autoptr (TarnEditorSurvey) survey = tarn_editor_map_survey (self->map);
  gboolean current = survey != NULL && survey->state == numbers_state (self);
  tarn_editor_window_card_show (self->window_card, survey, current);
  if (self->map_window != NULL)
    tarn_editor_map_window_show (self->map_window, survey,
                                 tarn_editor_draft_patient (self->draft), current);
}

gboolean
tarn_editor_page_on_survey (gpointer data)
{
  TarnEditorPage *self = data;
  tarn_editor_page_show_window (self);
  tarn_editor_page_list_problems (self);
  return G_SOURCE_REMOVE;
}

void
tarn_editor_page_ask_window (TarnEditorPage *self)
{
  guint64 state = numbers_state (self);
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)) || self->resting || self->asked == state)
    return;
  g_autoptr (TarnEditorSurvey) known = tarn_editor_page_survey (self);
  if (known != NULL && known->fine)
    return;
  self->asked = state;
  tarn_editor_map_wish (self->map, tarn_editor_draft_patient (self->draft), state);
}

void
tarn_editor_page_rest_window (TarnEditorPage *self)
{
  self->asked = 0;
  tarn_editor_map_rest (self->map);
}

void
tarn_editor_page_set_surveying (TarnEditorPage *self, gboolean surveying)
{
  g_return_if_fail (TARN_IS_EDITOR_PAGE (self));
  self->resting = !surveying;
  if (surveying)
    tarn_editor_page_ask_window (self);
  else
    tarn_editor_page_rest_window (self);
}

/* ---- The test pose ---- */

void
tarn_editor_page_show_pose (TarnEditorPage *self)
{
  if (self->map_window != NULL)
    tarn_editor_map_window_set_pose (self->map_window, tarn_editor_views_pose (self->views));
}

static void
set_pose (TarnEditorPage *self, const TarnPose *pose, double lift)
{
  tarn_editor_views_set_pose (self->views, pose, lift);
  tarn_editor_pose_show (self->pose, pose, lift);
  tarn_editor_page_show_pose (self);
}

static void
go_to_best (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  g_autoptr (TarnEditorSurvey) survey = tarn_editor_map_survey (self->map);
  (void)action, (void)parameter;
  if (survey != NULL && survey->status == TARN_OK)
    set_pose (self, &survey->window.best, survey->window.best_lift);
}

static void
on_posed (TarnEditorPage *self)
{
  double lift;
  const TarnPose *pose = tarn_editor_map_window_pose (self->map_window, &lift);
  set_pose (self, pose, lift);
}

/* ---- The map ---- */

static void
show_map (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  GtkRoot *root = gtk_widget_get_root (widget);
  (void)action, (void)parameter;
  if (self->map_window == NULL)
    {
      TarnEditorMapWindow *window = TARN_EDITOR_MAP_WINDOW (
          tarn_editor_map_window_new (GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL));
      g_set_weak_pointer (&self->map_window, window);
      g_signal_connect_object (window, "posed", G_CALLBACK (on_posed), self, G_CONNECT_SWAPPED);
      tarn_editor_page_show_window (self);
      tarn_editor_page_show_pose (self);
    }
  gtk_window_present (GTK_WINDOW (self->map_window));
}

void
tarn_editor_page_close_map (TarnEditorPage *self)
{
  if (self->map_window != NULL)
    gtk_window_destroy (GTK_WINDOW (self->map_window));
  g_clear_weak_pointer (&self->map_window);
}

void
tarn_editor_page_install_window (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "editor.best", NULL, go_to_best);
  gtk_widget_class_install_action (widget_class, "editor.map", NULL, show_map);
}
