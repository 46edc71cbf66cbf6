/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bedside page and its frames.
 *
 * 1. While something moves, each frame of the screen takes the newest frame of the run, shows
 *    it, and lets the run's time go on; so an input is seen at the second frame after it.
 * 2. When all has been at rest for a while (plane frozen or probe in the air, nothing touched)
 *    time goes on four times a second instead, until something is touched again.
 * 3. Off the screen time stands still. */
#include "app/bedside_private.h"

#include "app/care_list.h"
#include "app/chosen_units.h"
#include "app/plane_words.h"
#include "app/settings.h"
#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

#define LIVELY_US    (G_USEC_PER_SEC / 2)
#define SAID_US      (8 * G_USEC_PER_SEC) /* a reading's words stand so long */
#define IDLE_MS      250
#define WORDS_EVERY  6 /* frames */
#define SWEEP_STEP   8 /* of the guide: until then it is the one voice */
#define NARROW_PX    1000
#define CORNER_WIDTH 250
#define CORNER_HIGH  190

G_DEFINE_FINAL_TYPE (TarnBedsidePage, tarn_bedside_page, GTK_TYPE_WIDGET)

static guint judge_signal;

/* ---- Sending ---- */

static gboolean on_frame (GtkWidget *widget, GdkFrameClock *clock, gpointer data);

void
tarn_bedside_wake (TarnBedsidePage *self)
{
  self->busy_until_us = g_get_monotonic_time () + LIVELY_US;
  g_clear_handle_id (&self->idle_id, g_source_remove);
  if (self->tick_id == 0 && self->run != NULL && gtk_widget_get_mapped (GTK_WIDGET (self)))
    self->tick_id = gtk_widget_add_tick_callback (GTK_WIDGET (self), on_frame, NULL, NULL);
}

void
tarn_bedside_send_hand (TarnBedsidePage *self)
{
  tarn_run_hand (self->run, &self->wanted);
  tarn_bedside_show_hand (self);
  tarn_bedside_wake (self);
}

void
tarn_bedside_feel (TarnBedsidePage *self, double above_mm, double left_mm)
{
  TarnInput input = { .kind = TARN_INPUT_PALPATE, .value = { above_mm, left_mm } };
  self->finger_above_mm = above_mm;
  self->finger_left_mm = left_mm;
  tarn_run_input (self->run, &input);
  tarn_bedside_wake (self);
}

void
tarn_bedside_page_say (TarnBedsidePage *self, const char *text)
{
  gtk_label_set_text (self->patient_label, text);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->patient_label), text);
}

/* ---- Showing ---- */

static void
show_feel (TarnBedsidePage *self, const TarnBedside *now)
{
  g_autofree char *text = tarn_felt_words (now->finger_n_mm);
  tarn_bedside_page_say (self, text);
}

static void
show_words (TarnBedsidePage *self, const TarnBedside *now)
{
  TarnUnits units = tarn_chosen_units ();
  g_autofree char *words = tarn_words_pose (&now->pose, &units);
  if (g_strcmp0 (gtk_label_get_text (self->pose_label), words) != 0)
    {
      gtk_label_set_text (self->pose_label, words);
      gtk_accessible_update_property (GTK_ACCESSIBLE (self->plane_view),
                                      GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, words, -1);
    }
  if (now->sweeping)
    gtk_progress_bar_set_fraction (self->sweep_bar, now->sweep_share);
  gtk_stack_set_visible_child_name (self->pose_stack, now->sweeping ? "sweep" : "pose");
}

static void
show_frame (TarnBedsidePage *self, TarnRunFrame *frame)
{
  const TarnBedside *now = &frame->bedside;
  const TarnBedside *before = self->frame != NULL ? &self->frame->bedside : now;
  bool felt = now->finger_n_mm > 0
              && (now->finger_n_mm != before->finger_n_mm
                  || now->finger_above_mm != before->finger_above_mm);
  bool differs = self->frame == NULL || now->frozen != before->frozen
                 || now->sweeping != before->sweeping || now->readings != before->readings
                 || memcmp (now->caliper, before->caliper, sizeof now->caliper) != 0;

  if (differs && !now->frozen && gtk_toggle_button_get_active (self->outline_button))
    gtk_toggle_button_set_active (self->outline_button, FALSE);
  if (differs && !now->frozen)
    for (int k = 0; k < TARN_CALIPERS; k++)
      gtk_toggle_button_set_active (self->diameter[k], FALSE);
  tarn_plane_view_set_frame (self->plane_view, frame);
  tarn_body_view_set_scene (self->body_view, frame->scene);
  if (!now->frozen || differs)
    tarn_contact_strip_take (self->strip, now);
  if (differs)
    tarn_bedside_show_controls (self, now);
  if (differs || self->shown % WORDS_EVERY == 0)
    {
      show_words (self, now);
      tarn_guide_take (self->guide, now);
    }
  if (felt)
    show_feel (self, now);
  /* Two voices that want different things of the hand would confuse. */
  if (tarn_guide_step (self->guide) < 0 || tarn_guide_step (self->guide) >= SWEEP_STEP)
    tarn_coach_line_take (self->coach_line, frame, g_get_monotonic_time ());

  g_clear_pointer (&self->frame, tarn_run_frame_unref);
  self->frame = tarn_run_frame_ref (frame);
  self->shown++;
}

/* Whether nothing moves that anybody could see. */
static bool
at_rest (TarnBedsidePage *self)
{
  const TarnBedside *now = &self->frame->bedside;
  return g_get_monotonic_time () > self->busy_until_us && (now->frozen || !now->on_skin)
         && !now->sweeping && fabs (now->lift - now->lift_wanted) < 1e-6;
}

static void
step (TarnBedsidePage *self, gint64 time_us)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (self->run);
  if (frame != self->frame)
    show_frame (self, frame);
  if (self->watch != NULL)
    self->watch (frame, time_us, self->watch_data);
  tarn_run_advance (self->run, time_us);
}

static gboolean
on_idle_step (gpointer data)
{
  TarnBedsidePage *self = data;
  step (self, g_get_monotonic_time ());
  if (at_rest (self))
    return G_SOURCE_CONTINUE;
  self->idle_id = 0;
  tarn_bedside_wake (self);
  return G_SOURCE_REMOVE;
}

static gboolean
on_frame (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (widget);
  (void)data;
  step (self, gdk_frame_clock_get_frame_time (clock));
  if (self->watch != NULL || !at_rest (self))
    return G_SOURCE_CONTINUE;
  self->tick_id = 0;
  self->idle_id = g_timeout_add (IDLE_MS, on_idle_step, self);
  return G_SOURCE_REMOVE;
}

static void
tarn_bedside_page_map (GtkWidget *widget)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (widget);
  GTK_WIDGET_CLASS (tarn_bedside_page_parent_class)->map (widget);
  if (self->run != NULL)
    tarn_bedside_wake (self);
}

static void
rest (TarnBedsidePage *self)
{
  if (self->tick_id != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->tick_id);
  self->tick_id = 0;
  g_clear_handle_id (&self->idle_id, g_source_remove);
  if (self->run != NULL)
    tarn_run_pause (self->run);
}

static void
tarn_bedside_page_unmap (GtkWidget *widget)
{
  rest (TARN_BEDSIDE_PAGE (widget));
  GTK_WIDGET_CLASS (tarn_bedside_page_parent_class)->unmap (widget);
}

/* ---- What comes from the run ---- */

static void
on_voice (TarnRun *run, int voice, TarnBedsidePage *self)
{
  (void)run;
  /* A reading is not talked over. */
  if (g_get_monotonic_time () > self->said_until_us)
    tarn_bedside_page_say (self, tarn_words_voice ((TarnVoice)voice));
}

static void
on_reading (TarnRun *run, int index, TarnBedsidePage *self)
{
  TarnRunReading reading;
  tarn_run_reading (run, index, &reading);
  TarnUnits units = tarn_chosen_units ();
  g_autofree char *volume = tarn_words_reading (&reading.reading, &units);
  g_autofree char *text = g_strdup_printf (
      _ ("Reading %d: %s. Look at its planes before you believe it (j)."), index + 1, volume);
  tarn_bedside_page_say (self, text);
  self->said_until_us = g_get_monotonic_time () + SAID_US;
}

static void
on_refused (TarnRun *run, int kind, int status, TarnBedsidePage *self)
{
  (void)run;
  (void)status;
  switch (kind)
    {
    case TARN_INPUT_SWEEP:
      tarn_bedside_page_say (self, _ ("Put the probe on the skin first."));
      break;
    case TARN_INPUT_CALIPER:
    case TARN_INPUT_MEASURE:
      tarn_bedside_page_say (self, _ ("Calipers stand on a frozen plane: freeze it first."));
      break;
    default:
      break;
    }
}

/* OpenGL has failed: the 3-D view goes on without it, and says so. */
static void
on_view_notice (TarnBedsidePage *self)
{
  tarn_bedside_page_say (self, tarn_body_view_get_notice (self->body_view));
}

/* ---- The run ---- */

void
tarn_bedside_page_set_run (TarnBedsidePage *self, TarnRun *run)
{
  rest (self);
  if (self->run != NULL)
    g_signal_handlers_disconnect_by_data (self->run, self);
  g_clear_object (&self->run);
  g_clear_pointer (&self->frame, tarn_run_frame_unref);
  tarn_plane_view_set_frame (self->plane_view, NULL);
  tarn_body_view_set_scene (self->body_view, NULL);
  tarn_contact_strip_clear (self->strip);
  tarn_care_list_set_run (
      TARN_CARE_LIST (gtk_popover_get_child (gtk_menu_button_get_popover (self->care_button))),
      run);
  if (run == NULL)
    return;

  self->run = g_object_ref (run);
  g_signal_connect_object (run, "voice", G_CALLBACK (on_voice), self, 0);
  g_signal_connect_object (run, "reading", G_CALLBACK (on_reading), self, 0);
  g_signal_connect_object (run, "refused", G_CALLBACK (on_refused), self, 0);
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (run);
  self->wanted = frame->bedside.hand;
  self->down_force_n = 0;
  self->finger_above_mm = self->wanted.above_mm;
  self->finger_left_mm = self->wanted.left_mm;
  tarn_bedside_reset_controls (self, &frame->bedside);
  tarn_bedside_show_hand (self);
  show_frame (self, frame);
  tarn_bedside_set_paper (self);
  tarn_bedside_set_scene (self);
}

void
tarn_bedside_page_guide (TarnBedsidePage *self, gboolean guided)
{
  if (guided && self->frame != NULL)
    tarn_guide_start (self->guide, &self->frame->bedside);
  else
    tarn_guide_stop (self->guide);
}

gboolean
tarn_bedside_page_step_back (TarnBedsidePage *self)
{
  if (g_strcmp0 (gtk_stack_get_visible_child_name (self->right_stack), "calipers") == 0)
    gtk_widget_activate_action (GTK_WIDGET (self), "bedside.calipers", NULL);
  else if (gtk_toggle_button_get_active (self->feel_button))
    gtk_toggle_button_set_active (self->feel_button, FALSE);
  else
    return FALSE;
  return TRUE;
}

void
tarn_bedside_page_watch (TarnBedsidePage *self, TarnFrameWatch watch, gpointer data)
{
  self->watch = watch;
  self->watch_data = data;
  tarn_bedside_wake (self);
}

/* ---- The widget ---- */

/* Side by side, or below NARROW_PX the patient as a picture in the plane's corner. */
static void
arrange (TarnBedsidePage *self, gboolean narrow)
{
  GtkWidget *plane = GTK_WIDGET (self->plane_view), *body = GTK_WIDGET (self->body_view);
  bool left_handed = tarn_settings_handedness (tarn_settings ()) == TARN_HAND_LEFT;

  g_object_ref (plane);
  g_object_ref (body);
  if (gtk_widget_get_parent (plane) != NULL)
    gtk_grid_remove (GTK_GRID (self->grid), plane);
  if (gtk_widget_get_parent (body) == self->grid)
    gtk_grid_remove (GTK_GRID (self->grid), body);
  else if (gtk_widget_get_parent (body) != NULL)
    gtk_overlay_remove_overlay (GTK_OVERLAY (self->views), body);

  gtk_grid_attach (GTK_GRID (self->grid), plane, left_handed && !narrow ? 6 : 0, 0,
                   narrow ? 13 : 7, 1);
  gtk_widget_set_halign (body, narrow ? GTK_ALIGN_END : GTK_ALIGN_FILL);
  gtk_widget_set_valign (body, narrow ? GTK_ALIGN_END : GTK_ALIGN_FILL);
  gtk_widget_set_size_request (body, narrow ? CORNER_WIDTH : -1, narrow ? CORNER_HIGH : -1);
  if (narrow)
    gtk_overlay_add_overlay (GTK_OVERLAY (self->views), body);
  else
    gtk_grid_attach (GTK_GRID (self->grid), body, left_handed ? 0 : 7, 0, 6, 1);
  g_object_unref (plane);
  g_object_unref (body);
  self->narrow = narrow;
}

static gboolean
rearrange (gpointer data)
{
  TarnBedsidePage *self = data;
  arrange (self, gtk_widget_get_width (GTK_WIDGET (self)) < NARROW_PX);
  return G_SOURCE_REMOVE;
}

static void
tarn_bedside_page_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (widget);
  gtk_widget_allocate (self->content, width, height, baseline, NULL);
  if ((width < NARROW_PX) != self->narrow)
    g_idle_add_full (G_PRIORITY_HIGH_IDLE, rearrange, g_object_ref (self), g_object_unref);
}

static void
tarn_bedside_page_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                           int *minimum, int *natural, int *minimum_baseline,
                           int *natural_baseline)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (widget);
  gtk_widget_measure (self->content, orientation, for_size, minimum, natural, minimum_baseline,
                      natural_baseline);
}

static void
tarn_bedside_page_dispose (GObject *object)
{
  TarnBedsidePage *self = TARN_BEDSIDE_PAGE (object);
  if (self->plane_view != NULL)
    tarn_bedside_page_set_run (self, NULL);
  gtk_widget_dispose_template (GTK_WIDGET (self), TARN_TYPE_BEDSIDE_PAGE);
  self->plane_view = NULL;
  G_OBJECT_CLASS (tarn_bedside_page_parent_class)->dispose (object);
}

static void
bind_template (GtkWidgetClass *class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (class, TarnBedsidePage, name)
  CHILD (content);
  CHILD (views);
  CHILD (grid);
  CHILD (lines);
  CHILD (pose_stack);
  CHILD (right_stack);
  CHILD (pose_label);
  CHILD (patient_label);
  CHILD (sweep_bar);
  CHILD (care_button);
  CHILD (hand_button);
  CHILD (feel_button);
  CHILD (uncover_button);
  CHILD (more_button);
  CHILD (freeze_button);
  CHILD (outline_button);
  CHILD (down_button);
  CHILD (sweep_button);
  CHILD (judge_button);
  CHILD (measure_button);
  CHILD (coefficient_drop);
  CHILD (fold_box);
  CHILD (strip_box);
  CHILD (fold_adjustment);
  CHILD (depth_adjustment);
  CHILD (gain_adjustment);
#undef CHILD
  static const char *const diameter[TARN_CALIPERS]
      = { "width_button", "height_button", "length_button" };
  for (int k = 0; k < TARN_CALIPERS; k++)
    gtk_widget_class_bind_template_child_full (class, diameter[k], FALSE,
                                               G_STRUCT_OFFSET (TarnBedsidePage, diameter)
                                                   + k * (gssize)sizeof (GtkToggleButton *));
}

static void
tarn_bedside_page_class_init (TarnBedsidePageClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_bedside_page_dispose;
  widget_class->map = tarn_bedside_page_map;
  widget_class->unmap = tarn_bedside_page_unmap;
  widget_class->size_allocate = tarn_bedside_page_size_allocate;
  widget_class->measure = tarn_bedside_page_measure;
  gtk_widget_class_set_css_name (widget_class, "bedside");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/bedside-page.ui");
  bind_template (widget_class);
  tarn_bedside_install_actions (widget_class);
  judge_signal = g_signal_new ("judge", TARN_TYPE_BEDSIDE_PAGE, G_SIGNAL_RUN_LAST, 0, NULL,
                               NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
popover_of (GtkWidget *child)
{
  GtkWidget *popover = gtk_popover_new ();
  gtk_popover_set_child (GTK_POPOVER (popover), child);
  return popover;
}

static void
tarn_bedside_page_init (TarnBedsidePage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  self->plane_view = TARN_PLANE_VIEW (tarn_plane_view_new ());
  self->body_view = TARN_BODY_VIEW (tarn_body_view_new ());
  self->strip = TARN_CONTACT_STRIP (tarn_contact_strip_new ());
  self->guide = TARN_GUIDE (tarn_guide_new ());
  gtk_box_prepend (GTK_BOX (self->content), GTK_WIDGET (self->guide));
  self->coach_line = TARN_COACH_LINE (tarn_coach_line_new ());
  gtk_grid_attach (GTK_GRID (self->lines), GTK_WIDGET (self->coach_line), 0, 1, 13, 1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->body_view),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("The patient"), -1);
  gtk_widget_set_hexpand (GTK_WIDGET (self->strip), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->plane_view), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->body_view), TRUE);
  gtk_box_prepend (GTK_BOX (self->strip_box), GTK_WIDGET (self->strip));
  arrange (self, FALSE);

  gtk_menu_button_set_popover (self->hand_button,
                               popover_of (tarn_bedside_hand_sliders (self)));
  gtk_menu_button_set_popover (self->care_button, popover_of (tarn_care_list_new ()));
  tarn_bedside_connect_controls (self);
  g_signal_connect_object (self->body_view, "notify::notice", G_CALLBACK (on_view_notice), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (tarn_settings (), "notify::handedness", G_CALLBACK (rearrange), self,
                           G_CONNECT_SWAPPED);
}

GtkWidget *
tarn_bedside_page_new (void)
{
  return g_object_new (TARN_TYPE_BEDSIDE_PAGE, NULL);
}
