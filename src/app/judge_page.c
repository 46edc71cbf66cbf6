/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The page shows a TarnJudgeView.  What the learner does changes the view at once and goes
 *    out as an input; the run's news are taken over when they come.
 * 2. Readings stand in the order in which they were made, sweeps and calipers alike; none is
 *    preferred.  The newest is looked at first, which says nothing about the note. */
#include "app/judge_page.h"

#include "app/chosen_units.h"
#include "app/fan_grid.h"
#include "app/judge_form.h"

#include <glib/gi18n.h>

struct _TarnJudgePage
{
  GtkWidget parent;

  GtkWidget *content, *legend_place, *none_label, *empty_back, *spinner, *cancel, *notice;
  GtkListBox *list;
  GtkStack *stack;
  TarnFanGrid *fan_grid;
  GtkToggleButton *enlarge;
  GtkLabel *plane_label, *why_label;
  GtkLabel *length_label, *width_label, *height_label, *formula_label, *coefficient_label;
  TarnJudgeForm *form;

  TarnRun *run;
  TarnJudgeView view;
  TarnUnits units;
  gboolean busy;
  gboolean ended;   /* the attempt: only its truth is left */
  gboolean filling; /* the list changes, not the learner's mind */
};

G_DEFINE_FINAL_TYPE (TarnJudgePage, tarn_judge_page, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_BACK,
  SIGNAL_FINISHED,
  SIGNAL_CANCEL,
  SIGNAL_INPUT,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- The list ---- */

static GtkWidget *
line_new (const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 22);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

/* "2 · Sweep at 1:24" above "At least 640 mL" above what was said of it. */
static GtkWidget *
row_new (TarnJudgePage *self, int index)
{
  const TarnRunReading *reading = &self->view.reading[index];
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3), *row = gtk_list_box_row_new ();
  g_autofree char *time = tarn_words_time (reading->tick);
  g_autofree char *value = tarn_words_reading (&reading->reading, &self->units);
  g_autofree char *said = tarn_words_judgement_said (&reading->judgement);
  g_autofree char *kind = reading->source == TARN_SOURCE_SWEEP
                              ? g_strdup_printf (_ ("%d · Sweep at %s"), index + 1, time)
                              : g_strdup_printf (_ ("%d · Calipers at %s"), index + 1, time);
  g_autofree char *pose = tarn_words_pose (&reading->pose, &self->units);
  /* Translators: a reading, its kind and time, and what the learner said of it. */
  g_autofree char *name = g_strdup_printf (C_ ("reading", "%s: %s. %s."), kind, value, said);

  gtk_box_append (GTK_BOX (box), line_new (kind, "tarn-quiet"));
  gtk_box_append (GTK_BOX (box), line_new (value, "tarn-heading"));
  gtk_box_append (GTK_BOX (box), line_new (said, "tarn-quiet"));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_widget_set_tooltip_text (row, pose);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, pose, -1);
  return row;
}

static void
fill_list (TarnJudgePage *self)
{
  GtkListBoxRow *row;
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gboolean had_focus = focus != NULL && gtk_widget_is_ancestor (focus, GTK_WIDGET (self->list));

  self->filling = TRUE;
  while ((row = gtk_list_box_get_row_at_index (self->list, 0)) != NULL)
    gtk_list_box_remove (self->list, GTK_WIDGET (row));
  for (int k = 0; k < self->view.readings; k++)
    gtk_list_box_append (self->list, row_new (self, k));
  gtk_widget_set_visible (GTK_WIDGET (self->list), self->view.readings > 0);
  gtk_widget_set_visible (self->none_label, self->view.readings == 0);
  row = gtk_list_box_get_row_at_index (self->list, self->view.chosen);
  gtk_list_box_select_row (self->list, row);
  if (had_focus && row != NULL)
    gtk_widget_grab_focus (GTK_WIDGET (row));
  self->filling = FALSE;
}

/* ---- The middle ---- */

static void
show_sweep (TarnJudgePage *self, const TarnRunReading *reading)
{
  const TarnFan fan = { .planes = reading->planes,
                        .turn_rad = reading->pose.turn_rad,
                        .geometry = reading->geometry,
                        .grey = reading->grey,
                        .plane = reading->plane };
  tarn_fan_grid_set_fan (self->fan_grid, &fan, &self->units);
  gtk_stack_set_visible_child_name (self->stack, "sweep");
}

static void
show_calipers (TarnJudgePage *self, const TarnRunReading *reading)
{
  g_autofree char *length = tarn_words_length (reading->diameters.length_mm, &self->units);
  g_autofree char *width = tarn_words_length (reading->diameters.width_mm, &self->units);
  g_autofree char *height = tarn_words_length (reading->diameters.height_mm, &self->units);
  g_autofree char *formula
      = tarn_words_formula (&reading->diameters, reading->coefficient, &self->units);
  g_autofree char *coefficient = tarn_words_coefficient (reading->coefficient);
  gtk_label_set_text (self->length_label, length);
  gtk_label_set_text (self->width_label, width);
  gtk_label_set_text (self->height_label, height);
  gtk_label_set_text (self->formula_label, formula);
  gtk_label_set_text (self->coefficient_label, coefficient);
  gtk_stack_set_visible_child_name (self->stack, "calipers");
}

static void
show_chosen (TarnJudgePage *self)
{
  const TarnRunReading *reading
      = self->view.chosen >= 0 ? &self->view.reading[self->view.chosen] : NULL;
  if (reading != NULL && reading->source == TARN_SOURCE_SWEEP)
    {
      show_sweep (self, reading);
      return;
    }
  tarn_fan_grid_set_fan (self->fan_grid, NULL, &self->units);
  if (reading != NULL)
    show_calipers (self, reading);
  else
    gtk_stack_set_visible_child_name (self->stack, "empty");
}

/* ---- All of it ---- */

static void
show_finish (TarnJudgePage *self)
{
  g_autofree char *missing = tarn_judge_view_missing (&self->view);
  const char *why = self->busy        ? _ ("Working out where the millilitres went …")
                    : missing != NULL ? missing
                    : self->ended ? _ ("The attempt has ended: nothing more can be changed.")
                                  : "";
  gtk_label_set_text (self->why_label, why);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "judge.finish",
                                 missing == NULL && !self->busy);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "judge.back", !self->busy);
  gtk_widget_set_sensitive (GTK_WIDGET (self->form), !self->busy && !self->ended);
  gtk_widget_set_visible (self->spinner, self->busy);
  gtk_widget_set_visible (self->cancel, self->busy);
  gtk_spinner_set_spinning (GTK_SPINNER (self->spinner), self->busy);
}

static void
show_said (TarnJudgePage *self)
{
  fill_list (self);
  tarn_judge_form_show (self->form, &self->view, &self->units);
  show_finish (self);
}

void
tarn_judge_page_show (TarnJudgePage *self, const TarnJudgeView *view, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_JUDGE_PAGE (self));
  g_return_if_fail (view->chosen < view->readings);
  self->view = *view;
  self->units = *units;
  gtk_widget_set_visible (self->notice, FALSE);
  show_said (self);
  show_chosen (self);
}

const TarnJudgeView *
tarn_judge_page_view (TarnJudgePage *self)
{
  g_return_val_if_fail (TARN_IS_JUDGE_PAGE (self), NULL);
  return &self->view;
}

void
tarn_judge_page_choose (TarnJudgePage *self, int index)
{
  g_return_if_fail (TARN_IS_JUDGE_PAGE (self));
  if (index < 0 || index >= self->view.readings || index == self->view.chosen)
    return;
  self->view.chosen = index;
  show_chosen (self);
  tarn_judge_form_show (self->form, &self->view, &self->units);
  self->filling = TRUE;
  gtk_list_box_select_row (self->list, gtk_list_box_get_row_at_index (self->list, index));
  self->filling = FALSE;
}

gboolean
tarn_judge_page_step_back (TarnJudgePage *self)
{
  gboolean enlarged = tarn_fan_grid_enlarged (self->fan_grid);
  if (enlarged)
    tarn_fan_grid_set_enlarged (self->fan_grid, FALSE);
  return enlarged;
}

void
tarn_judge_page_set_busy (TarnJudgePage *self, gboolean busy)
{
  g_return_if_fail (TARN_IS_JUDGE_PAGE (self));
  self->busy = busy;
  self->ended = self->ended || (busy && self->run != NULL);
  show_finish (self);
  if (busy)
    gtk_widget_grab_focus (self->cancel);
}

/* ---- The run ---- */

/* The run's own state; what was said before any reading is remembered here, for the run does
 * not tell it. */
static void
take_over (TarnJudgePage *self, TarnJudgeView *view)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (self->run);
  const TarnBedside *now = &frame->bedside;
  view->readings = MIN (tarn_run_readings (self->run), TARN_ATTEMPT_READINGS_MAX);
  for (int k = 0; k < view->readings; k++)
    tarn_run_reading (self->run, k, &view->reading[k]);
  self->ended = self->ended || now->finished;
  view->record = now->record;
  view->recorded = now->recorded;
  view->recorded_ml = now->recorded_ml;
  view->deeds = now->deeds;
  for (int k = 0; k < TARN_DEEDS; k++)
    view->answer[k] = now->answer[k];
  view->minutes_since_void = tarn_run_patient (self->run)->situation.minutes_since_void;
}

void
tarn_judge_page_refresh (TarnJudgePage *self)
{
  g_return_if_fail (TARN_IS_JUDGE_PAGE (self));
  if (self->run == NULL)
    return;
  TarnJudgeView view = self->view;
  const TarnUnits units = tarn_chosen_units ();
  take_over (self, &view);
  if (view.readings != self->view.readings)
    view.chosen = view.readings - 1;
  tarn_judge_page_show (self, &view, &units);
}

static void
run_answered (TarnJudgePage *self)
{
  TarnJudgeView view = self->view;
  take_over (self, &view);
  self->view.deeds |= view.deeds;
  for (int k = 0; k < TARN_DEEDS; k++)
    self->view.answer[k] = view.answer[k];
  tarn_judge_form_show (self->form, &self->view, &self->units);
}

static void
run_refused (TarnJudgePage *self, int kind)
{
  if (kind != TARN_INPUT_JUDGE && kind != TARN_INPUT_RECORD && kind != TARN_INPUT_DEED)
    return;
  tarn_judge_page_refresh (self);
  gtk_label_set_text (GTK_LABEL (self->notice),
                      _ ("That could not be taken now. What is shown is what counts."));
  gtk_widget_set_visible (self->notice, TRUE);
}

void
tarn_judge_page_set_run (TarnJudgePage *self, TarnRun *run)
{
  g_return_if_fail (TARN_IS_JUDGE_PAGE (self));
  const TarnJudgeView nothing = { .chosen = -1, .recorded = -1 };
  const TarnUnits units = tarn_chosen_units ();

  if (self->run != NULL)
    g_signal_handlers_disconnect_by_data (self->run, self);
  /* First the view lets go of what belongs to the run. */
  tarn_judge_page_show (self, &nothing, &units);
  g_set_object (&self->run, run);
  self->ended = FALSE;
  tarn_judge_page_set_busy (self, FALSE);
  if (run == NULL)
    return;
  g_signal_connect_swapped (run, "reading", G_CALLBACK (tarn_judge_page_refresh), self);
  g_signal_connect_swapped (run, "answer", G_CALLBACK (run_answered), self);
  g_signal_connect_swapped (run, "refused", G_CALLBACK (run_refused), self);
  tarn_judge_page_refresh (self);
}

/* ---- What the learner does ---- */

static void
form_input (TarnJudgeForm *form, gpointer data, TarnJudgePage *self)
{
  const TarnInput *input = data;
  (void)form;
  gtk_widget_set_visible (self->notice, FALSE);
  tarn_judge_view_take (&self->view, input);
  if (self->run != NULL)
    tarn_run_input (self->run, input);
  show_said (self);
  g_signal_emit (self, signals[SIGNAL_INPUT], 0, input);
}

static void
row_selected (GtkListBox *list, GtkListBoxRow *row, TarnJudgePage *self)
{
  (void)list;
  if (!self->filling && row != NULL)
    tarn_judge_page_choose (self, gtk_list_box_row_get_index (row));
}

static void
go_back (GtkWidget *widget, const char *name, GVariant *target)
{
  (void)name;
  (void)target;
  g_signal_emit (widget, signals[SIGNAL_BACK], 0);
}

static void
finish (GtkWidget *widget, const char *name, GVariant *target)
{
  (void)name;
  (void)target;
  /* A number that is still being typed counts as well. */
  tarn_judge_form_commit (TARN_JUDGE_PAGE (widget)->form);
  g_signal_emit (widget, signals[SIGNAL_FINISHED], 0);
}

static void
cancel (TarnJudgePage *self)
{
  g_signal_emit (self, signals[SIGNAL_CANCEL], 0);
}

static void
empty_back_clicked (TarnJudgePage *self)
{
  g_signal_emit (self, signals[SIGNAL_BACK], 0);
}

/* ---- The class ---- */

static void
tarn_judge_page_dispose (GObject *object)
{
  TarnJudgePage *self = TARN_JUDGE_PAGE (object);
  if (self->run != NULL)
    g_signal_handlers_disconnect_by_data (self->run, self);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_JUDGE_PAGE);
  g_clear_object (&self->run);
  G_OBJECT_CLASS (tarn_judge_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnJudgePage, name)
  CHILD (content);
  CHILD (list);
  CHILD (stack);
  CHILD (fan_grid);
  CHILD (enlarge);
  CHILD (plane_label);
  CHILD (why_label);
  CHILD (legend_place);
  CHILD (none_label);
  CHILD (empty_back);
  CHILD (spinner);
  CHILD (cancel);
  CHILD (notice);
  CHILD (length_label);
  CHILD (width_label);
  CHILD (height_label);
  CHILD (formula_label);
  CHILD (coefficient_label);
  CHILD (form);
#undef CHILD
}

static void
tarn_judge_page_class_init (TarnJudgePageClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_judge_page_dispose;

  signals[SIGNAL_BACK] = g_signal_new ("back", TARN_TYPE_JUDGE_PAGE, G_SIGNAL_RUN_LAST, 0, NULL,
                                       NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_FINISHED] = g_signal_new ("finished", TARN_TYPE_JUDGE_PAGE, G_SIGNAL_RUN_LAST,
                                           0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CANCEL] = g_signal_new ("cancel", TARN_TYPE_JUDGE_PAGE, G_SIGNAL_RUN_LAST, 0,
                                         NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_INPUT] = g_signal_new ("input", TARN_TYPE_JUDGE_PAGE, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);

  g_type_ensure (TARN_TYPE_FAN_GRID);
  g_type_ensure (TARN_TYPE_JUDGE_FORM);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/judge-page.ui");
  bind_children (widget_class);
  gtk_widget_class_install_action (widget_class, "judge.back", NULL, go_back);
  gtk_widget_class_install_action (widget_class, "judge.finish", NULL, finish);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Left, GDK_ALT_MASK, "judge.back",
                                       NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, GDK_CONTROL_MASK,
                                       "judge.finish", NULL);
}

static void
tarn_judge_page_init (TarnJudgePage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->legend_place), tarn_fan_legend_new ());
  g_object_bind_property (self->fan_grid, "enlarged", self->enlarge, "active",
                          G_BINDING_BIDIRECTIONAL | G_BINDING_SYNC_CREATE);
  g_object_bind_property (self->fan_grid, "text", self->plane_label, "label",
                          G_BINDING_SYNC_CREATE);
  g_object_bind_property (self->fan_grid, "text", self->plane_label, "tooltip-text",
                          G_BINDING_SYNC_CREATE);
  g_signal_connect (self->list, "row-selected", G_CALLBACK (row_selected), self);
  g_signal_connect (self->form, "input", G_CALLBACK (form_input), self);
  g_signal_connect_swapped (self->empty_back, "clicked", G_CALLBACK (empty_back_clicked), self);
  g_signal_connect_swapped (self->cancel, "clicked", G_CALLBACK (cancel), self);

  const TarnJudgeView nothing = { .chosen = -1, .recorded = -1 };
  tarn_judge_page_show (self, &nothing, &(TarnUnits){ 0 });
}

GtkWidget *
tarn_judge_page_new (void)
{
  return g_object_new (TARN_TYPE_JUDGE_PAGE, NULL);
}
