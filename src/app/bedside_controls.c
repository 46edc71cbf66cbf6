/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bedside's controls: what they do, and what they show of the state. */
#include "app/bedside_private.h"

#include "app/chosen_units.h"
#include "app/plane_words.h"
#include "app/words.h"

#include <glib/gi18n.h>

void
tarn_bedside_set_scene (TarnBedsidePage *self)
{
  if (self->run == NULL)
    return;
  unsigned wanted = TARN_RUN_SCENE;
  if (gtk_toggle_button_get_active (self->uncover_button))
    wanted |= TARN_RUN_UNCOVERED;
  if (gtk_toggle_button_get_active (self->feel_button))
    wanted |= TARN_RUN_FINGER;
  if (tarn_run_mode (self->run) == TARN_MODE_GUIDED)
    {
      wanted |= TARN_RUN_SECTOR;
      if (gtk_check_button_get_active (self->inside_button))
        wanted |= TARN_RUN_INSIDE;
      if (gtk_check_button_get_active (self->advice_button))
        wanted |= TARN_RUN_ADVICE;
    }
  gtk_widget_set_visible (GTK_WIDGET (self->coach_line), (wanted & TARN_RUN_ADVICE) != 0);
  tarn_run_set_scene (self->run, wanted);
  tarn_bedside_wake (self);
}

/* A diameter's button, with what it measures once it is set. */
static void
show_diameter (TarnBedsidePage *self, const TarnBedside *now, int which)
{
  g_autofree char *label = now->caliper_set[which]
                               ? g_strdup_printf (_ ("%s %.1f cm"), tarn_diameter_word (which),
                                                  tarn_caliper_mm (&now->caliper[which]) / 10)
                               : g_strdup (tarn_diameter_word (which));
  gtk_widget_set_sensitive (GTK_WIDGET (self->diameter[which]), now->frozen);
  if (g_strcmp0 (gtk_button_get_label (GTK_BUTTON (self->diameter[which])), label) != 0)
    gtk_button_set_label (GTK_BUTTON (self->diameter[which]), label);
}

/* What may be pressed now; what may not says why. */
void
tarn_bedside_show_controls (TarnBedsidePage *self, const TarnBedside *now)
{
  int set = 0;
  for (int k = 0; k < TARN_CALIPERS; k++)
    set += now->caliper_set[k];

  self->setting = TRUE;
  gtk_toggle_button_set_active (self->freeze_button, now->frozen);
  gtk_widget_set_sensitive (GTK_WIDGET (self->outline_button), now->frozen);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->outline_button),
                               now->frozen ? _ ("Draw the border of the dark region (o)")
                                           : _ ("Freeze the plane first (o)"));
  for (int k = 0; k < TARN_CALIPERS; k++)
    show_diameter (self, now, k);
  gtk_button_set_label (self->sweep_button, now->sweeping ? _ ("Stop") : _ ("Sweep"));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "bedside.measure", set == TARN_CALIPERS);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->measure_button),
                               set == TARN_CALIPERS
                                   ? _ ("Length × width × height × coefficient")
                                   : _ ("Set width, height and length on frozen planes first"));
  g_autofree char *label
      = now->readings == 0 ? g_strdup (_ ("Readings and judgement"))
                           : g_strdup_printf (_ ("Readings and judgement (%d)"), now->readings);
  if (g_strcmp0 (gtk_button_get_label (self->judge_button), label) != 0)
    gtk_button_set_label (self->judge_button, label);
  self->setting = FALSE;
}

/* ---- What comes from the controls ---- */

static void
freeze_toggled (GtkToggleButton *button, TarnBedsidePage *self)
{
  if (self->setting || self->run == NULL)
    return;
  tarn_run_do (self->run, TARN_INPUT_FREEZE, gtk_toggle_button_get_active (button), 0);
  tarn_bedside_wake (self);
}

static void
outline_toggled (GtkToggleButton *button, TarnBedsidePage *self)
{
  gboolean shown = gtk_toggle_button_get_active (button);
  if (shown && !tarn_plane_view_show_outline (self->plane_view, TRUE))
    tarn_bedside_page_say (self, _ ("No border can be found in this plane."));
  else if (!shown)
    tarn_plane_view_show_outline (self->plane_view, FALSE);
}

static void
scene_toggled (GtkToggleButton *button, TarnBedsidePage *self)
{
  if (button == self->feel_button && gtk_toggle_button_get_active (button))
    gtk_toggle_button_set_active (self->uncover_button, TRUE);
  gtk_button_set_label (GTK_BUTTON (self->uncover_button),
                        gtk_toggle_button_get_active (self->uncover_button) ? _ ("Cover")
                                                                            : _ ("Uncover"));
  tarn_bedside_set_scene (self);
  if (button == self->feel_button && self->run != NULL)
    tarn_bedside_page_say (self, gtk_toggle_button_get_active (button)
                                     ? _ ("Click on the skin or use the arrow keys to feel.")
                                     : "");
}

static void
more_toggled (GtkToggleButton *button, TarnBedsidePage *self)
{
  tarn_contact_strip_set_more (self->strip, gtk_toggle_button_get_active (button));
}

static void
diameter_toggled (GtkToggleButton *button, TarnBedsidePage *self)
{
  int which = -1;
  for (int k = 0; k < TARN_CALIPERS && gtk_toggle_button_get_active (button); k++)
    {
      if (self->diameter[k] == button)
        which = k;
      else
        gtk_toggle_button_set_active (self->diameter[k], FALSE);
    }
  tarn_plane_view_set_caliper (self->plane_view, which);
  if (which >= 0)
    gtk_widget_grab_focus (GTK_WIDGET (self->plane_view));
}

static void
caliper_moved (TarnPlaneView *view, int which, double u0, double v0, double u1, double v1,
               TarnBedsidePage *self)
{
  (void)view;
  TarnInput input
      = { .kind = TARN_INPUT_CALIPER, .code = (uint8_t)which, .value = { u0, v0, u1, v1 } };
  tarn_run_input (self->run, &input);
  tarn_bedside_wake (self);
}

static void
depth_changed (GtkAdjustment *adjustment, TarnBedsidePage *self)
{
  if (self->setting || self->run == NULL)
    return;
  tarn_run_do (self->run, TARN_INPUT_DEPTH, 0, 10 * gtk_adjustment_get_value (adjustment));
  tarn_bedside_wake (self);
}

static void
gain_changed (GtkAdjustment *adjustment, TarnBedsidePage *self)
{
  if (self->setting || self->run == NULL)
    return;
  tarn_run_do (self->run, TARN_INPUT_GAIN, 0, gtk_adjustment_get_value (adjustment));
  tarn_bedside_wake (self);
}

static void
fold_changed (GtkAdjustment *adjustment, TarnBedsidePage *self)
{
  if (self->setting || self->run == NULL)
    return;
  tarn_run_do (self->run, TARN_INPUT_LIFT, 0, gtk_adjustment_get_value (adjustment) / 100);
  tarn_bedside_wake (self);
}

void
tarn_bedside_set_paper (TarnBedsidePage *self)
{
  if (self->run == NULL)
    return;
  TarnRunPaper paper = tarn_plane_view_paper (self->plane_view);
  paper.millimetres = tarn_chosen_units ().millimetres;
  tarn_run_set_paper (self->run, &paper);
  tarn_bedside_wake (self);
}

void
tarn_bedside_reset_controls (TarnBedsidePage *self, const TarnBedside *now)
{
  const TarnPatient *patient = tarn_run_patient (self->run);
  self->setting = TRUE;
  gtk_adjustment_set_value (self->depth_adjustment, now->depth_mm / 10);
  gtk_adjustment_set_value (self->gain_adjustment, now->gain_db);
  gtk_adjustment_set_value (self->fold_adjustment, 100 * now->lift_wanted);
  gtk_toggle_button_set_active (self->feel_button, FALSE);
  gtk_toggle_button_set_active (self->outline_button, FALSE);
  bool guided = tarn_run_mode (self->run) == TARN_MODE_GUIDED;
  gtk_check_button_set_active (self->inside_button, FALSE);
  gtk_widget_set_sensitive (GTK_WIDGET (self->inside_button), guided);
  gtk_check_button_set_active (self->advice_button, guided);
  gtk_widget_set_sensitive (GTK_WIDGET (self->advice_button), guided);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->advice_button),
                               guided ? _ ("What the picture shows, and what to do about it")
                                      : _ ("In guided mode only"));
  tarn_coach_line_clear (self->coach_line);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->inside_button),
                               guided ? _ ("Skin as glass: bones and bladder")
                                      : _ ("In guided mode only"));
  gtk_toggle_button_set_active (self->uncover_button, now->on_skin || now->gel_laid_g > 0);
  gtk_stack_set_visible_child_name (self->right_stack, "scan");
  self->setting = FALSE;
  gtk_widget_set_visible (self->fold_box, patient->habitus.pannus_mm > 0);
  /* A bedside has no newtons and no map of gel: in an exam the patient's words must do. */
  gtk_widget_set_visible (self->strip_box, tarn_run_mode (self->run) != TARN_MODE_EXAM);
  gtk_label_set_text (self->patient_label, "");
}

static void
fill_coefficients (GtkDropDown *drop)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  for (int k = 0; k < TARN_COEFFICIENTS; k++)
    {
      g_autofree char *text
          = g_strdup_printf ("%.3f  %s", tarn_coefficient (k)->k, tarn_words_shape (k));
      gtk_string_list_append (names, text);
    }
  gtk_drop_down_set_model (drop, G_LIST_MODEL (names));
  g_object_unref (names);
}

void
tarn_bedside_connect_controls (TarnBedsidePage *self)
{
  fill_coefficients (self->coefficient_drop);
  g_signal_connect_object (self->freeze_button, "toggled", G_CALLBACK (freeze_toggled), self,
                           0);
  g_signal_connect_object (self->outline_button, "toggled", G_CALLBACK (outline_toggled), self,
                           0);
  g_signal_connect_object (self->more_button, "toggled", G_CALLBACK (more_toggled), self, 0);
  g_signal_connect_object (self->feel_button, "toggled", G_CALLBACK (scene_toggled), self, 0);
  g_signal_connect_object (self->uncover_button, "toggled", G_CALLBACK (scene_toggled), self,
                           0);
  for (int k = 0; k < TARN_CALIPERS; k++)
    g_signal_connect_object (self->diameter[k], "toggled", G_CALLBACK (diameter_toggled), self,
                             0);
  g_signal_connect_object (self->depth_adjustment, "value-changed", G_CALLBACK (depth_changed),
                           self, 0);
  g_signal_connect_object (self->gain_adjustment, "value-changed", G_CALLBACK (gain_changed),
                           self, 0);
  g_signal_connect_object (self->fold_adjustment, "value-changed", G_CALLBACK (fold_changed),
                           self, 0);
  g_signal_connect_object (self->plane_view, "paper-changed",
                           G_CALLBACK (tarn_bedside_set_paper), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->plane_view, "caliper", G_CALLBACK (caliper_moved), self, 0);
  tarn_bedside_connect_drags (self);
}
