/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the hands can do at the bedside, as actions; and the keys that do them. */
#include "app/bedside_private.h"

#include <glib/gi18n.h>
#include <math.h>

#define GENTLE_N 3.0 /* with which a probe is put down first */

static TarnBedsidePage *
page_with_run (GtkWidget *widget)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (widget);
  return self->run != NULL ? self : NULL;
}

/* Nobody lays gel, feels or scans through a drape: the hand folds it down first. */
static void
uncover_skin (TarnBedsidePage *self)
{
  gtk_toggle_button_set_active (self->uncover_button, TRUE);
}

static void
slide (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  double above, left;
  (void)name;
  if (self == NULL)
    return;
  g_variant_get (target, "(dd)", &above, &left);
  if (gtk_toggle_button_get_active (self->feel_button))
    {
      tarn_bedside_feel (self, self->finger_above_mm + above, self->finger_left_mm + left);
      return;
    }
  self->wanted.above_mm += above;
  self->wanted.left_mm += left;
  tarn_bedside_send_hand (self);
}

/* Each of these changes one number of the wanted pose by its target. */
static void
swing (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  double change = g_variant_get_double (target);
  if (self == NULL)
    return;
  TarnPose *wanted = &self->wanted;
  if (g_str_equal (name, "bedside.tilt"))
    wanted->tilt_rad = tarn_hand_angle (wanted->tilt_rad + tarn_rad_from_deg (change));
  else if (g_str_equal (name, "bedside.lean"))
    wanted->lean_rad = tarn_hand_angle (wanted->lean_rad + tarn_rad_from_deg (change));
  else if (g_str_equal (name, "bedside.turn"))
    wanted->turn_rad = tarn_hand_turn (wanted->turn_rad + tarn_rad_from_deg (change));
  else
    wanted->force_n = tarn_hand_force (wanted->force_n + change);
  tarn_bedside_send_hand (self);
}

/* Transverse to sagittal and back. */
static void
direction (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  (void)target;
  if (self == NULL)
    return;
  bool across = fabs (sin (self->wanted.turn_rad)) < 0.7;
  self->wanted.turn_rad
      = tarn_hand_turn (self->wanted.turn_rad + (across ? TARN_PI / 2 : -TARN_PI / 2));
  tarn_bedside_send_hand (self);
}

static void
down (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  (void)target;
  if (self == NULL)
    return;
  if (self->wanted.force_n > 0)
    {
      self->down_force_n = fmin (self->wanted.force_n, 5);
      self->wanted.force_n = 0;
    }
  else
    {
      uncover_skin (self);
      self->wanted.force_n = self->down_force_n > 0 ? self->down_force_n : GENTLE_N;
    }
  tarn_bedside_send_hand (self);
}

static void
gel (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  if (self == NULL)
    return;
  uncover_skin (self);
  tarn_run_do (self->run, TARN_INPUT_GEL, 0, g_variant_get_double (target));
  tarn_bedside_wake (self);
}

static void
step_adjustment (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  if (self == NULL)
    return;
  GtkAdjustment *adjustment = g_str_equal (name, "bedside.lift")    ? self->fold_adjustment
                              : g_str_equal (name, "bedside.depth") ? self->depth_adjustment
                                                                    : self->gain_adjustment;
  gtk_adjustment_set_value (adjustment, gtk_adjustment_get_value (adjustment)
                                            + g_variant_get_double (target));
}

static void
toggle (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)target;
  if (self == NULL)
    return;
  GtkToggleButton *button = g_str_equal (name, "bedside.freeze")    ? self->freeze_button
                            : g_str_equal (name, "bedside.outline") ? self->outline_button
                            : g_str_equal (name, "bedside.feel")    ? self->feel_button
                            : g_str_equal (name, "bedside.more")    ? self->more_button
                                                                    : self->uncover_button;
  if (gtk_widget_is_sensitive (GTK_WIDGET (button)))
    gtk_toggle_button_set_active (button, !gtk_toggle_button_get_active (button));
}

static void
open_list (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)target;
  if (self != NULL)
    gtk_menu_button_popup (g_str_equal (name, "bedside.care") ? self->care_button
                                                              : self->hand_button);
}

static void
sweep (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  (void)target;
  if (self == NULL || self->frame == NULL)
    return;
  if (self->frame->bedside.sweeping)
    tarn_run_do (self->run, TARN_INPUT_ABANDON, 0, 0);
  else
    tarn_run_do (self->run, TARN_INPUT_SWEEP, 0, 0);
  tarn_bedside_wake (self);
}

static void
calipers (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  (void)target;
  if (self == NULL)
    return;
  bool open = g_strcmp0 (gtk_stack_get_visible_child_name (self->right_stack), "calipers") == 0;
  gtk_stack_set_visible_child_name (self->right_stack, open ? "scan" : "calipers");
  if (open)
    tarn_plane_view_set_caliper (self->plane_view, -1);
}

static void
measure (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  (void)target;
  if (self == NULL)
    return;
  guint chosen = gtk_drop_down_get_selected (self->coefficient_drop);
  double k = tarn_coefficient ((int)MIN (chosen, TARN_COEFFICIENTS - 1))->k;
  tarn_run_do (self->run, TARN_INPUT_MEASURE, 0, k);
  tarn_bedside_wake (self);
}

/* The patient from another side; the target names an action of the 3-D view. */
static void
view (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)name;
  if (self != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self->body_view),
                                g_variant_get_string (target, NULL), NULL);
}

/* What only guided mode has. */
static void
guided (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnBedsidePage *self = page_with_run (widget);
  (void)target;
  if (self == NULL)
    return;
  GtkCheckButton *button
      = g_str_equal (name, "bedside.advice") ? self->advice_button : self->inside_button;
  if (gtk_widget_is_sensitive (GTK_WIDGET (button)))
    gtk_check_button_set_active (button, !gtk_check_button_get_active (button));
}

static void
judge (GtkWidget *widget, const char *name, GVariant *target)
{
  (void)name;
  (void)target;
  if (page_with_run (widget) != NULL)
    g_signal_emit_by_name (widget, "judge");
}

static void
bind (GtkWidgetClass *class, guint key, GdkModifierType state, const char *action,
      const char *format, double first, double second)
{
  if (format == NULL)
    gtk_widget_class_add_binding_action (class, key, state, action, NULL);
  else if (g_str_equal (format, "d"))
    gtk_widget_class_add_binding_action (class, key, state, action, "d", first);
  else
    gtk_widget_class_add_binding_action (class, key, state, action, "(dd)", first, second);
}

static void
bind_hand (GtkWidgetClass *class)
{
  static const struct
  {
    guint key, keypad;
    double above, left;
  } way[] = { { GDK_KEY_Up, GDK_KEY_KP_Up, 1, 0 },
              { GDK_KEY_Down, GDK_KEY_KP_Down, -1, 0 },
              { GDK_KEY_Left, GDK_KEY_KP_Left, 0, -1 },
              { GDK_KEY_Right, GDK_KEY_KP_Right, 0, 1 } };

  for (gsize k = 0; k < G_N_ELEMENTS (way); k++)
    for (int pad = 0; pad < 2; pad++)
      {
        guint key = pad ? way[k].keypad : way[k].key;
        double above = way[k].above, left = way[k].left;
        bind (class, key, 0, "bedside.slide", "(dd)", 2 * above, 2 * left);
        bind (class, key, GDK_SHIFT_MASK, "bedside.slide", "(dd)", 10 * above, 10 * left);
        /* The beam follows the arrow: up aims at the head. */
        if (above != 0)
          bind (class, key, GDK_CONTROL_MASK, "bedside.tilt", "d", -2 * above, 0);
        else
          bind (class, key, GDK_CONTROL_MASK, "bedside.lean", "d", 2 * left, 0);
      }
  bind (class, GDK_KEY_comma, 0, "bedside.turn", "d", -5, 0);
  bind (class, GDK_KEY_period, 0, "bedside.turn", "d", 5, 0);
  bind (class, GDK_KEY_less, GDK_SHIFT_MASK, "bedside.turn", "d", -90, 0);
  bind (class, GDK_KEY_greater, GDK_SHIFT_MASK, "bedside.turn", "d", 90, 0);
  bind (class, GDK_KEY_t, 0, "bedside.direction", NULL, 0, 0);
  bind (class, GDK_KEY_plus, 0, "bedside.press", "d", 1, 0);
  bind (class, GDK_KEY_plus, GDK_SHIFT_MASK, "bedside.press", "d", 1, 0);
  bind (class, GDK_KEY_equal, 0, "bedside.press", "d", 1, 0);
  bind (class, GDK_KEY_KP_Add, 0, "bedside.press", "d", 1, 0);
  bind (class, GDK_KEY_minus, 0, "bedside.press", "d", -1, 0);
  bind (class, GDK_KEY_KP_Subtract, 0, "bedside.press", "d", -1, 0);
  bind (class, GDK_KEY_0, 0, "bedside.down", NULL, 0, 0);
  bind (class, GDK_KEY_l, 0, "bedside.lift", "d", 10, 0);
  bind (class, GDK_KEY_L, GDK_SHIFT_MASK, "bedside.lift", "d", -10, 0);
  bind (class, GDK_KEY_g, 0, "bedside.gel", "d", 10, 0);
  bind (class, GDK_KEY_G, GDK_SHIFT_MASK, "bedside.gel", "d", 5, 0);
}

static void
bind_plane (GtkWidgetClass *class)
{
  bind (class, GDK_KEY_space, 0, "bedside.freeze", NULL, 0, 0);
  bind (class, GDK_KEY_o, 0, "bedside.outline", NULL, 0, 0);
  bind (class, GDK_KEY_s, 0, "bedside.sweep", NULL, 0, 0);
  bind (class, GDK_KEY_c, 0, "bedside.calipers", NULL, 0, 0);
  bind (class, GDK_KEY_bracketleft, 0, "bedside.depth", "d", -1, 0);
  bind (class, GDK_KEY_bracketright, 0, "bedside.depth", "d", 1, 0);
  bind (class, GDK_KEY_braceleft, GDK_SHIFT_MASK, "bedside.gain", "d", -2, 0);
  bind (class, GDK_KEY_braceright, GDK_SHIFT_MASK, "bedside.gain", "d", 2, 0);
  bind (class, GDK_KEY_p, 0, "bedside.feel", NULL, 0, 0);
  bind (class, GDK_KEY_u, 0, "bedside.uncover", NULL, 0, 0);
  bind (class, GDK_KEY_m, 0, "bedside.more", NULL, 0, 0);
  bind (class, GDK_KEY_i, 0, "bedside.inside", NULL, 0, 0);
  bind (class, GDK_KEY_a, 0, "bedside.advice", NULL, 0, 0);
  bind (class, GDK_KEY_b, 0, "bedside.care", NULL, 0, 0);
  bind (class, GDK_KEY_h, 0, "bedside.hand", NULL, 0, 0);
  bind (class, GDK_KEY_j, 0, "bedside.judge", NULL, 0, 0);
}

static void
bind_views (GtkWidgetClass *class)
{
  static const struct
  {
    guint key;
    GdkModifierType state;
    const char *view;
  } views[] = {
    { GDK_KEY_1, 0, "view.bedside" },
    { GDK_KEY_2, 0, "view.above" },
    { GDK_KEY_3, 0, "view.feet" },
    { GDK_KEY_Page_Up, 0, "view.nearer" },
    { GDK_KEY_Page_Down, 0, "view.farther" },
    { GDK_KEY_Left, GDK_ALT_MASK, "view.orbit-left" },
    { GDK_KEY_Right, GDK_ALT_MASK, "view.orbit-right" },
    { GDK_KEY_Up, GDK_ALT_MASK, "view.orbit-up" },
    { GDK_KEY_Down, GDK_ALT_MASK, "view.orbit-down" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (views); k++)
    gtk_widget_class_add_binding_action (class, views[k].key, views[k].state, "bedside.view",
                                         "s", views[k].view);
}

void
tarn_bedside_install_actions (GtkWidgetClass *class)
{
  gtk_widget_class_install_action (class, "bedside.slide", "(dd)", slide);
  gtk_widget_class_install_action (class, "bedside.tilt", "d", swing);
  gtk_widget_class_install_action (class, "bedside.lean", "d", swing);
  gtk_widget_class_install_action (class, "bedside.turn", "d", swing);
  gtk_widget_class_install_action (class, "bedside.press", "d", swing);
  gtk_widget_class_install_action (class, "bedside.direction", NULL, direction);
  gtk_widget_class_install_action (class, "bedside.down", NULL, down);
  gtk_widget_class_install_action (class, "bedside.gel", "d", gel);
  gtk_widget_class_install_action (class, "bedside.lift", "d", step_adjustment);
  gtk_widget_class_install_action (class, "bedside.depth", "d", step_adjustment);
  gtk_widget_class_install_action (class, "bedside.gain", "d", step_adjustment);
  gtk_widget_class_install_action (class, "bedside.freeze", NULL, toggle);
  gtk_widget_class_install_action (class, "bedside.outline", NULL, toggle);
  gtk_widget_class_install_action (class, "bedside.feel", NULL, toggle);
  gtk_widget_class_install_action (class, "bedside.uncover", NULL, toggle);
  gtk_widget_class_install_action (class, "bedside.more", NULL, toggle);
  gtk_widget_class_install_action (class, "bedside.care", NULL, open_list);
  gtk_widget_class_install_action (class, "bedside.hand", NULL, open_list);
  gtk_widget_class_install_action (class, "bedside.sweep", NULL, sweep);
  gtk_widget_class_install_action (class, "bedside.calipers", NULL, calipers);
  gtk_widget_class_install_action (class, "bedside.measure", NULL, measure);
  gtk_widget_class_install_action (class, "bedside.judge", NULL, judge);
  gtk_widget_class_install_action (class, "bedside.view", "s", view);
  gtk_widget_class_install_action (class, "bedside.inside", NULL, guided);
  gtk_widget_class_install_action (class, "bedside.advice", NULL, guided);
  bind_hand (class);
  bind_plane (class);
  bind_views (class);
}
