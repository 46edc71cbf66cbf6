/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The replay page: one time, and all that shows it.  Time is attempt A's; B's is the same, or
 * so much later that both begin their first sweep together. */
#include "app/replay_page_private.h"

#include "app/chosen_units.h"
#include "app/replay_differences.h"
#include "app/replay_events.h"
#include "app/replay_words.h"

#include <glib/gi18n.h>
#include <math.h>

#define SECONDS(tick) ((double)(tick) / TARN_TICKS_PER_SECOND)
#define STEP_S        1.0
#define STEP_FINE_S   0.1
#define STALL_S       0.25 /* more than that between two frames is let go */

enum
{
  ALIGN_START,
  ALIGN_SWEEP,
};

G_DEFINE_FINAL_TYPE (TarnReplayPage, tarn_replay_page, GTK_TYPE_WIDGET)

static gboolean
compares (TarnReplayPage *self)
{
  return tarn_replay_side_player (self->side_b) != NULL;
}

/* ---- Time ---- */

/* By how much B is shown later than its own time. */
static double
shift_s (TarnReplayPage *self)
{
  if (!compares (self) || gtk_drop_down_get_selected (self->align) != ALIGN_SWEEP
      || self->known_a.marks == NULL || self->known_b.marks == NULL)
    return 0;
  gint64 a = tarn_replay_first_sweep (&self->known_a);
  gint64 b = tarn_replay_first_sweep (&self->known_b);
  return a >= 0 && b >= 0 ? SECONDS (a - b) : 0;
}

static void
range (TarnReplayPage *self, double *from_s, double *to_s)
{
  double shift = shift_s (self);
  *from_s = MIN (0, shift);
  *to_s = SECONDS (self->known_a.last_tick);
  if (compares (self))
    *to_s = MAX (*to_s, SECONDS (self->known_b.last_tick) + shift);
}

static uint32_t
tick_of (double seconds, const TarnReplayKnown *known)
{
  return (uint32_t)lround (CLAMP (seconds, 0, SECONDS (known->last_tick))
                           * TARN_TICKS_PER_SECOND);
}

static char *
clock_text (double seconds)
{
  int tenths = (int)lround (fabs (seconds) * 10);
  return g_strdup_printf ("%s%d:%02d.%d", seconds < 0 ? "−" : "", tenths / 600,
                          tenths / 10 % 60, tenths % 10);
}

/* The last mark of A up to now; -1: none. */
static int
mark_now (TarnReplayPage *self)
{
  int found = -1;
  for (guint k = 0; self->known_a.marks != NULL && k < self->known_a.marks->len; k++)
    if (SECONDS (g_array_index (self->known_a.marks, TarnReplayMark, k).tick)
        <= self->now_s + 1e-6)
      found = (int)k;
  return found;
}

static void
tell_time (TarnReplayPage *self)
{
  double from_s, to_s;
  range (self, &from_s, &to_s);
  g_autofree char *now = clock_text (self->now_s), *end = clock_text (to_s);
  g_autofree char *text = g_strdup_printf (_ ("%s of %s"), now, end);
  gtk_label_set_text (self->time, text);
  int mark = mark_now (self);
  g_autofree char *said = NULL;
  if (mark >= 0)
    {
      TarnUnits units = tarn_chosen_units ();
      g_autofree char *what
          = tarn_words_replay_mark (&g_array_index (self->known_a.marks, TarnReplayMark, mark),
                                    self->known_a.readings, &units);
      said = g_strdup_printf (_ ("%s; last: %s"), text, what);
    }
  tarn_replay_line_set_now (self->line_a, self->now_s, said != NULL ? said : text);
  tarn_replay_line_set_now (self->line_b, self->now_s - shift_s (self), text);
  self->following = TRUE;
  tarn_replay_events_follow (self->list, mark);
  self->following = FALSE;
}

static void
go_to (TarnReplayPage *self, double seconds)
{
  double from_s, to_s;
  TarnReplayPlayer *a = tarn_replay_side_player (self->side_a);
  TarnReplayPlayer *b = tarn_replay_side_player (self->side_b);
  range (self, &from_s, &to_s);
  self->now_s = CLAMP (seconds, from_s, MAX (to_s, from_s));
  if (a != NULL)
    tarn_replay_player_seek (a, tick_of (self->now_s, &self->known_a));
  if (b != NULL)
    tarn_replay_player_seek (b, tick_of (self->now_s - shift_s (self), &self->known_b));
  tell_time (self);
}

void
tarn_replay_page_seek (TarnReplayPage *self, uint32_t tick)
{
  g_return_if_fail (TARN_IS_REPLAY_PAGE (self));
  go_to (self, SECONDS (tick));
}

/* ---- Playing ---- */

static void
show_playing (TarnReplayPage *self)
{
  gboolean plays = self->tick_id != 0;
  const char *text = plays ? _ ("Pause") : _ ("Play");
  g_autofree char *tip = g_strdup_printf (_ ("%s (Space)"), text);
  gtk_button_set_icon_name (GTK_BUTTON (self->play), plays ? "media-playback-pause-symbolic"
                                                           : "media-playback-start-symbolic");
  gtk_widget_set_tooltip_text (self->play, tip);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->play), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  text, -1);
}

static void
stop_playing (TarnReplayPage *self)
{
  if (self->tick_id != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->tick_id);
  self->tick_id = 0;
  show_playing (self);
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  TarnReplayPage *self = TARN_REPLAY_PAGE (widget);
  gint64 now_us = gdk_frame_clock_get_frame_time (clock);
  double passed_s
      = self->played_us > 0 ? (double)(now_us - self->played_us) / G_USEC_PER_SEC : 0;
  double speed = (double)(1 << gtk_drop_down_get_selected (self->speed)), from_s, to_s;
  (void)data;
  self->played_us = now_us;
  range (self, &from_s, &to_s);
  go_to (self, self->now_s + MIN (passed_s, STALL_S) * speed);
  if (self->now_s < to_s)
    return G_SOURCE_CONTINUE;
  self->tick_id = 0;
  show_playing (self);
  return G_SOURCE_REMOVE;
}

static void
toggle_play (GtkWidget *widget, const char *action, GVariant *target)
{
  TarnReplayPage *self = TARN_REPLAY_PAGE (widget);
  double from_s, to_s;
  (void)action;
  (void)target;
  if (self->tick_id != 0)
    {
      stop_playing (self);
      return;
    }
  if (self->run == NULL)
    return;
  range (self, &from_s, &to_s);
  if (self->now_s >= to_s)
    go_to (self, from_s);
  self->played_us = 0;
  self->tick_id = gtk_widget_add_tick_callback (widget, on_tick, NULL, NULL);
  show_playing (self);
}

/* ---- From mark to mark ---- */

/* @direction: 1 or -1. */
static void
to_mark (TarnReplayPage *self, int direction)
{
  const GArray *marks = self->known_a.marks;
  double best = NAN;
  for (guint k = 0; marks != NULL && k < marks->len; k++)
    {
      double at = SECONDS (g_array_index (marks, TarnReplayMark, k).tick);
      if (direction > 0 ? at > self->now_s + 1e-6 && !(best <= at)
                        : at < self->now_s - 1e-6 && !(best >= at))
        best = at;
    }
  stop_playing (self);
  if (!isnan (best))
    go_to (self, best);
}

static void
step_marks (GtkWidget *widget, const char *action, GVariant *target)
{
  (void)target;
  to_mark (TARN_REPLAY_PAGE (widget), g_str_equal (action, "replay.next") ? 1 : -1);
}

static void
on_row_selected (GtkListBox *list, GtkListBoxRow *row, TarnReplayPage *self)
{
  (void)list;
  if (self->following || row == NULL || self->known_a.marks == NULL)
    return;
  int mark = tarn_replay_events_mark (row);
  stop_playing (self);
  if (mark < (int)self->known_a.marks->len)
    go_to (self,
           SECONDS (g_array_index (self->known_a.marks, TarnReplayMark, (guint)mark).tick));
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
        TarnReplayPage *self)
{
  double from_s, to_s;
  double step = (state & (GDK_SHIFT_MASK | GDK_CONTROL_MASK)) != 0 ? STEP_FINE_S : STEP_S;
  (void)controller;
  (void)code;
  if (self->run == NULL || (state & GDK_ALT_MASK) != 0)
    return FALSE;
  range (self, &from_s, &to_s);
  switch (key)
    {
    case GDK_KEY_Left:
    case GDK_KEY_Right:
      stop_playing (self);
      go_to (self, self->now_s + (key == GDK_KEY_Right ? step : -step));
      return TRUE;
    case GDK_KEY_Page_Up:
    case GDK_KEY_Page_Down:
      to_mark (self, key == GDK_KEY_Page_Down ? 1 : -1);
      return TRUE;
    case GDK_KEY_Home:
    case GDK_KEY_End:
      stop_playing (self);
      go_to (self, key == GDK_KEY_Home ? from_s : to_s);
      return TRUE;
    case GDK_KEY_space:
      toggle_play (GTK_WIDGET (self), NULL, NULL);
      return TRUE;
    default:
      return FALSE;
    }
}

static void
on_seek_a (TarnReplayLine *line, double seconds, TarnReplayPage *self)
{
  (void)line;
  stop_playing (self);
  go_to (self, seconds);
}

static void
on_seek_b (TarnReplayLine *line, double seconds, TarnReplayPage *self)
{
  (void)line;
  stop_playing (self);
  go_to (self, seconds + shift_s (self));
}

/* ---- What is known ---- */

void
tarn_replay_page_say (TarnReplayPage *self, const char *problem)
{
  gtk_label_set_text (GTK_LABEL (self->problem), problem != NULL ? problem : "");
  gtk_widget_set_visible (self->problem, problem != NULL);
}

static void
lay_out_time (TarnReplayPage *self)
{
  double from_s, to_s, shift = shift_s (self);
  range (self, &from_s, &to_s);
  tarn_replay_line_set_stretch (self->line_a, from_s, to_s);
  tarn_replay_line_set_stretch (self->line_b, from_s - shift, to_s - shift);
}

static void
tell_differences (TarnReplayPage *self)
{
  TarnUnits units = tarn_chosen_units ();
  if (compares (self) && self->known_a.marks != NULL)
    tarn_replay_differences_fill (
        self->differences, &self->known_a,
        self->known_b.marks != NULL && self->known_b.complete ? &self->known_b : NULL, &units);
}

/* "214 mL, Shadowed": for the list of attempts. */
static void
note_result (TarnReplayPage *self)
{
  const TarnReplayKnown *known = &self->known_a;
  TarnUnits units = tarn_chosen_units ();
  if (!known->has_truth || self->run == NULL)
    return;
  g_autofree char *written
      = tarn_words_record (known->truth.record, known->truth.recorded_ml, &units);
  g_autofree char *result
      = g_strdup_printf (_ ("%s, %s"), written, tarn_words_result (&known->truth));
  tarn_replay_history_tell (self->history, self->run, result);
}

static void
on_changed_a (TarnReplayPage *self)
{
  TarnUnits units = tarn_chosen_units ();
  tarn_replay_known_clear (&self->known_a);
  tarn_replay_player_known (tarn_replay_side_player (self->side_a), &self->known_a);
  tarn_replay_line_set_known (self->line_a, &self->known_a);
  self->following = TRUE;
  tarn_replay_events_fill (self->list, &self->known_a, &units);
  self->following = FALSE;
  if (self->known_a.problem != NULL)
    tarn_replay_page_say (self, self->known_a.problem);
  if (self->known_a.complete)
    {
      note_result (self);
      tell_differences (self);
    }
  lay_out_time (self);
  tell_time (self);
}

static void
on_changed_b (TarnReplayPage *self)
{
  tarn_replay_known_clear (&self->known_b);
  tarn_replay_player_known (tarn_replay_side_player (self->side_b), &self->known_b);
  tarn_replay_line_set_known (self->line_b, &self->known_b);
  if (self->known_b.problem != NULL)
    tarn_replay_page_say (self, self->known_b.problem);
  tell_differences (self);
  lay_out_time (self);
  go_to (self, self->now_s);
}

/* ---- Alone, or two beside one another ---- */

static void
arrange (TarnReplayPage *self)
{
  gboolean two = compares (self);
  gboolean patients = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->patients));
  gtk_widget_set_visible (GTK_WIDGET (self->side_b), two);
  gtk_widget_set_visible (self->row_b, two);
  gtk_widget_set_visible (self->letter_a, two);
  gtk_widget_set_visible (self->patients, two);
  gtk_widget_set_visible (self->alone, two);
  gtk_widget_set_visible (self->save, !two);
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), two ? "differences" : "events");
  tarn_replay_side_set_heading (self->side_a, two ? _ ("A: this attempt") : NULL);
  tarn_replay_side_set_heading (self->side_b, two ? _ ("B: the other attempt") : NULL);
  tarn_replay_side_show_parts (self->side_a, !two || patients, !two || !patients);
  tarn_replay_side_show_parts (self->side_b, patients, !patients);
  tarn_replay_line_set_compact (self->line_a, two);
  tarn_replay_line_set_compact (self->line_b, TRUE);
  tell_differences (self);
  lay_out_time (self);
}

void
tarn_replay_page_set_other (TarnReplayPage *self, TarnAttemptLog *log, const char *path)
{
  g_autoptr (TarnReplayPlayer) player
      = log != NULL ? tarn_replay_player_new_of_log (log, path) : NULL;
  stop_playing (self);
  tarn_replay_known_clear (&self->known_b);
  tarn_replay_line_set_known (self->line_b, NULL);
  tarn_replay_side_set_player (self->side_b, player);
  arrange (self);
  go_to (self, self->now_s);
}

static void
on_aligned (TarnReplayPage *self)
{
  lay_out_time (self);
  go_to (self, self->now_s);
}

void
tarn_replay_page_show (TarnReplayPage *self, TarnRun *run)
{
  g_return_if_fail (TARN_IS_REPLAY_PAGE (self));
  tarn_replay_page_clear (self);
  self->run = g_object_ref (run);
  gboolean known = tarn_replay_history_add (self->history, run);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "replay.save", known);
  g_autoptr (TarnReplayPlayer) player = tarn_replay_player_new_of_run (run);
  tarn_replay_side_set_player (self->side_a, player);
  tarn_replay_page_fill_menu (self);
  arrange (self);
  tell_time (self);
}

void
tarn_replay_page_clear (TarnReplayPage *self)
{
  stop_playing (self);
  tarn_replay_page_say (self, NULL);
  tarn_replay_side_set_player (self->side_a, NULL);
  tarn_replay_side_set_player (self->side_b, NULL);
  tarn_replay_known_clear (&self->known_a);
  tarn_replay_known_clear (&self->known_b);
  tarn_replay_line_set_known (self->line_a, NULL);
  tarn_replay_line_set_known (self->line_b, NULL);
  self->following = TRUE;
  GtkListBoxRow *row;
  while ((row = gtk_list_box_get_row_at_index (self->list, 0)) != NULL)
    gtk_list_box_remove (self->list, GTK_WIDGET (row));
  self->following = FALSE;
  self->now_s = 0;
  g_clear_object (&self->run);
}

void
tarn_replay_page_forget (TarnReplayPage *self)
{
  tarn_replay_page_clear (self);
  tarn_replay_history_forget (self->history);
}

/* ---- The class ---- */

static void
tarn_replay_page_dispose (GObject *object)
{
  TarnReplayPage *self = TARN_REPLAY_PAGE (object);
  if (self->content != NULL)
    tarn_replay_page_clear (self);
  g_clear_object (&self->chooser);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_REPLAY_PAGE);
  self->content = NULL;
  G_OBJECT_CLASS (tarn_replay_page_parent_class)->dispose (object);
}

static void
tarn_replay_page_finalize (GObject *object)
{
  tarn_replay_history_free (TARN_REPLAY_PAGE (object)->history);
  G_OBJECT_CLASS (tarn_replay_page_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnReplayPage, name)
  CHILD (scroll);
  CHILD (content);
  CHILD (problem);
  CHILD (play);
  CHILD (speed);
  CHILD (time);
  CHILD (align);
  CHILD (patients);
  CHILD (alone);
  CHILD (compare);
  CHILD (save);
  CHILD (side_a);
  CHILD (side_b);
  CHILD (stack);
  CHILD (list);
  CHILD (differences);
  CHILD (letter_a);
  CHILD (line_a);
  CHILD (row_b);
  CHILD (line_b);
#undef CHILD
}

static void
tarn_replay_page_class_init (TarnReplayPageClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_replay_page_dispose;
  G_OBJECT_CLASS (class)->finalize = tarn_replay_page_finalize;
  g_type_ensure (TARN_TYPE_REPLAY_SIDE);
  g_type_ensure (TARN_TYPE_REPLAY_LINE);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/replay-page.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_changed_a);
  gtk_widget_class_bind_template_callback (widget_class, on_changed_b);
  gtk_widget_class_bind_template_callback (widget_class, on_seek_a);
  gtk_widget_class_bind_template_callback (widget_class, on_seek_b);
  gtk_widget_class_bind_template_callback (widget_class, on_row_selected);
  gtk_widget_class_bind_template_callback (widget_class, on_aligned);
  gtk_widget_class_bind_template_callback (widget_class, arrange);
  gtk_widget_class_install_action (widget_class, "replay.play", NULL, toggle_play);
  gtk_widget_class_install_action (widget_class, "replay.previous", NULL, step_marks);
  gtk_widget_class_install_action (widget_class, "replay.next", NULL, step_marks);
  tarn_replay_page_install_files (widget_class);
}

static void
tarn_replay_page_init (TarnReplayPage *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();
  self->history = tarn_replay_history_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  g_signal_connect_object (keys, "key-pressed", G_CALLBACK (on_key), self, 0);
  gtk_widget_add_controller (self->content, keys);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->line_b), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Time line of attempt B"), -1);
  gtk_list_box_set_adjustment (
      self->list,
      gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (
          gtk_widget_get_ancestor (GTK_WIDGET (self->list), GTK_TYPE_SCROLLED_WINDOW))));
  show_playing (self);
  arrange (self);
}

GtkWidget *
tarn_replay_page_new (void)
{
  return g_object_new (TARN_TYPE_REPLAY_PAGE, NULL);
}
