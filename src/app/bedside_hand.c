/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand at the bedside by pointer, and by sliders.  A drag without modifier slides the probe
 * along the skin; with Control it swings the handle, which tilts and leans the beam the other
 * way; with Shift it turns the probe; the wheel presses. */
#include "app/bedside_private.h"

#include <glib/gi18n.h>
#include <math.h>

#define NEAR_MM      30.0 /* a drag that starts so near the probe keeps its distance */
#define SWING_DEG_MM 0.6
#define TURN_DEG_PX  0.5
#define PRESS_STEP_N 0.5

/* ---- By pointer ---- */

static void
grab_begin (TarnBodyView *view, double above_mm, double left_mm, guint modifiers,
            TarnBedsidePage *self)
{
  (void)view;
  self->grab = TARN_GRAB_NONE;
  if (self->run == NULL)
    return;
  self->grab_pose = self->wanted;
  self->grab_above_mm = above_mm;
  self->grab_left_mm = left_mm;
  if (gtk_toggle_button_get_active (self->feel_button))
    {
      self->grab = TARN_GRAB_FEEL;
      tarn_bedside_feel (self, above_mm, left_mm);
    }
  else if ((modifiers & GDK_CONTROL_MASK) != 0)
    self->grab = TARN_GRAB_SWING;
  else if ((modifiers & GDK_SHIFT_MASK) != 0)
    self->grab = TARN_GRAB_TURN;
  else
    {
      self->grab = TARN_GRAB_SLIDE;
      if (hypot (above_mm - self->wanted.above_mm, left_mm - self->wanted.left_mm) > NEAR_MM)
        {
          self->grab_pose.above_mm = above_mm;
          self->grab_pose.left_mm = left_mm;
          self->wanted.above_mm = above_mm;
          self->wanted.left_mm = left_mm;
          tarn_bedside_send_hand (self);
        }
    }
}

static void
grab_move (TarnBodyView *view, double dx, double dy, double above_mm, double left_mm,
           guint modifiers, TarnBedsidePage *self)
{
  double per_mm = tarn_rad_from_deg (SWING_DEG_MM);
  double up_mm = above_mm - self->grab_above_mm, over_mm = left_mm - self->grab_left_mm;
  const TarnPose *from = &self->grab_pose;

  (void)view;
  (void)dy;
  (void)modifiers;
  switch (self->grab)
    {
    case TARN_GRAB_NONE:
      return;
    case TARN_GRAB_FEEL:
      tarn_bedside_feel (self, above_mm, left_mm);
      return;
    case TARN_GRAB_SLIDE:
      self->wanted.above_mm = from->above_mm + up_mm;
      self->wanted.left_mm = from->left_mm + over_mm;
      break;
    case TARN_GRAB_SWING:
      self->wanted.tilt_rad = tarn_hand_angle (from->tilt_rad + up_mm * per_mm);
      self->wanted.lean_rad = tarn_hand_angle (from->lean_rad - over_mm * per_mm);
      break;
    case TARN_GRAB_TURN:
      self->wanted.turn_rad
          = tarn_hand_turn (from->turn_rad + dx * tarn_rad_from_deg (TURN_DEG_PX));
      break;
    }
  tarn_bedside_send_hand (self);
}

static void
grab_end (TarnBodyView *view, TarnBedsidePage *self)
{
  (void)view;
  self->grab = TARN_GRAB_NONE;
}

static void
press_step (TarnBodyView *view, double steps, TarnBedsidePage *self)
{
  (void)view;
  if (self->run == NULL)
    return;
  self->wanted.force_n = tarn_hand_force (self->wanted.force_n + steps * PRESS_STEP_N);
  tarn_bedside_send_hand (self);
}

void
tarn_bedside_connect_drags (TarnBedsidePage *self)
{
  g_signal_connect_object (self->body_view, "grab-begin", G_CALLBACK (grab_begin), self, 0);
  g_signal_connect_object (self->body_view, "grab-move", G_CALLBACK (grab_move), self, 0);
  g_signal_connect_object (self->body_view, "grab-end", G_CALLBACK (grab_end), self, 0);
  g_signal_connect_object (self->body_view, "press-step", G_CALLBACK (press_step), self, 0);
}

/* ---- By sliders ---- */

static double *
number_of (TarnPose *pose, int slider)
{
  switch (slider)
    {
    case TARN_SLIDER_ABOVE:
      return &pose->above_mm;
    case TARN_SLIDER_LEFT:
      return &pose->left_mm;
    case TARN_SLIDER_TILT:
      return &pose->tilt_rad;
    case TARN_SLIDER_LEAN:
      return &pose->lean_rad;
    case TARN_SLIDER_TURN:
      return &pose->turn_rad;
    default:
      return &pose->force_n;
    }
}

static bool
is_angle (int slider)
{
  return slider == TARN_SLIDER_TILT || slider == TARN_SLIDER_LEAN || slider == TARN_SLIDER_TURN;
}

static void
slider_moved (GtkAdjustment *adjustment, TarnBedsidePage *self)
{
  if (self->setting || self->run == NULL)
    return;
  for (int k = 0; k < TARN_SLIDERS; k++)
    if (self->slider[k] == adjustment)
      {
        double value = gtk_adjustment_get_value (adjustment);
        *number_of (&self->wanted, k) = is_angle (k) ? tarn_rad_from_deg (value) : value;
      }
  tarn_bedside_send_hand (self);
}

void
tarn_bedside_show_hand (TarnBedsidePage *self)
{
  self->setting = TRUE;
  for (int k = 0; k < TARN_SLIDERS; k++)
    {
      double value = *number_of (&self->wanted, k);
      gtk_adjustment_set_value (self->slider[k],
                                is_angle (k) ? tarn_deg_from_rad (value) : value);
    }
  gtk_button_set_label (self->down_button,
                        self->wanted.force_n > 0 ? _ ("Probe off") : _ ("Probe down"));
  self->setting = FALSE;
}

/* The patient from another side, for who neither drags nor knows the keys. */
static GtkWidget *
view_buttons (TarnBedsidePage *self)
{
  static const struct
  {
    const char *label, *action;
  } views[] = {
    { N_ ("From the bedside"), "view.bedside" }, { N_ ("From above"), "view.above" },
    { N_ ("From the feet"), "view.feet" },       { N_ ("Nearer"), "view.nearer" },
    { N_ ("Farther"), "view.farther" },          { N_ ("Turn left"), "view.orbit-left" },
    { N_ ("Turn right"), "view.orbit-right" },   { N_ ("Higher"), "view.orbit-up" },
    { N_ ("Lower"), "view.orbit-down" },
  };
  GtkWidget *grid = gtk_grid_new ();

  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_homogeneous (GTK_GRID (grid), TRUE);
  for (int k = 0; k < (int)G_N_ELEMENTS (views); k++)
    {
      GtkWidget *button = gtk_button_new_with_label (_ (views[k].label));
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "bedside.view");
      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", views[k].action);
      gtk_grid_attach (GTK_GRID (grid), button, k % 3, k / 3, 1, 1);
    }
  GtkWidget *inside = gtk_check_button_new_with_label (_ ("Look inside (i)"));
  self->inside_button = GTK_CHECK_BUTTON (inside);
  g_signal_connect_object (inside, "toggled", G_CALLBACK (tarn_bedside_set_scene), self,
                           G_CONNECT_SWAPPED);
  gtk_grid_attach (GTK_GRID (grid), inside, 0, 3, 3, 1);
  GtkWidget *advice = gtk_check_button_new_with_label (_ ("Advice under the plane (a)"));
  self->advice_button = GTK_CHECK_BUTTON (advice);
  g_signal_connect_object (advice, "toggled", G_CALLBACK (tarn_bedside_set_scene), self,
                           G_CONNECT_SWAPPED);
  gtk_grid_attach (GTK_GRID (grid), advice, 0, 4, 3, 1);
  return grid;
}

GtkWidget *
tarn_bedside_hand_sliders (TarnBedsidePage *self)
{
  static const struct
  {
    const char *label, *low, *high;
    double least, most, step, page;
  } rows[TARN_SLIDERS] = {
    [TARN_SLIDER_ABOVE]
    = { N_ ("Above the bone, mm"), N_ ("feet"), N_ ("head"), -60, 240, 2, 10 },
    [TARN_SLIDER_LEFT] = { N_ ("Across, mm"), N_ ("right"), N_ ("left"), -150, 150, 2, 10 },
    [TARN_SLIDER_TILT] = { N_ ("Tilt, degrees"), N_ ("head"), N_ ("feet"), -60, 60, 1, 5 },
    [TARN_SLIDER_LEAN] = { N_ ("Lean, degrees"), N_ ("right"), N_ ("left"), -60, 60, 1, 5 },
    [TARN_SLIDER_TURN] = { N_ ("Turn, degrees"), "", "", -180, 180, 5, 45 },
    [TARN_SLIDER_FORCE] = { N_ ("Force, N"), N_ ("light"), N_ ("firm"), 0, 40, 0.5, 5 },
  };
  GtkWidget *grid = gtk_grid_new ();

  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  for (int k = 0; k < TARN_SLIDERS; k++)
    {
      GtkWidget *label = gtk_label_new (_ (rows[k].label));
      self->slider[k]
          = gtk_adjustment_new (0, rows[k].least, rows[k].most, rows[k].step, rows[k].page, 0);
      GtkWidget *scale = gtk_scale_new (GTK_ORIENTATION_HORIZONTAL, self->slider[k]);
      GtkWidget *spin
          = gtk_spin_button_new (self->slider[k], rows[k].step, rows[k].step < 1 ? 1 : 0);
      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_scale_set_draw_value (GTK_SCALE (scale), FALSE);
      gtk_widget_set_valign (spin, GTK_ALIGN_CENTER);
      gtk_widget_set_size_request (scale, 240, -1);
      if (rows[k].low[0] != '\0')
        {
          gtk_scale_add_mark (GTK_SCALE (scale), rows[k].least, GTK_POS_BOTTOM,
                              _ (rows[k].low));
          gtk_scale_add_mark (GTK_SCALE (scale), rows[k].most, GTK_POS_BOTTOM,
                              _ (rows[k].high));
        }
      gtk_accessible_update_property (GTK_ACCESSIBLE (scale), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                      _ (rows[k].label), -1);
      gtk_accessible_update_property (GTK_ACCESSIBLE (spin), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                      _ (rows[k].label), -1);
      gtk_grid_attach (GTK_GRID (grid), label, 0, k, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), scale, 1, k, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), spin, 2, k, 1, 1);
      g_signal_connect_object (self->slider[k], "value-changed", G_CALLBACK (slider_moved),
                               self, 0);
    }
  gtk_grid_attach (GTK_GRID (grid), gtk_separator_new (GTK_ORIENTATION_HORIZONTAL), 0,
                   TARN_SLIDERS, 3, 1);
  gtk_grid_attach (GTK_GRID (grid), view_buttons (self), 0, TARN_SLIDERS + 1, 3, 1);
  return grid;
}
