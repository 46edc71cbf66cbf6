/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The form never decides anything: what is pressed goes out as an input, and what is shown
 * comes in as a view. */
#include "app/judge_form.h"

#include <glib/gi18n.h>

/* In the order of the list; the last stands for no cause. */
static const TarnVerdict causes[] = {
  TARN_VERDICT_CLIPPED, TARN_VERDICT_SHADOWED,    TARN_VERDICT_POOR_CONTACT,
  TARN_VERDICT_MOVED,   TARN_VERDICT_WRONG_FLUID, TARN_VERDICT_NOT_ACCURATE,
};

static const TarnDeed deeds[]
    = { TARN_DEED_NOTE, TARN_DEED_ACTION, TARN_DEED_ESCALATE, TARN_DEED_CLEAN };

#define TARGET  24 /* the least height of what is pressed, px (WCAG 2.2, 2.5.8) */
#define RECORDS (TARN_RECORD_NOT_SEEN + 1)

/* A choice with a line of explanation. */
typedef struct
{
  GtkCheckButton *button;
  GtkLabel *label, *hint;
} Choice;

struct _TarnJudgeForm
{
  GtkWidget parent;
  GtkWidget *content, *judge_box, *record_box, *deed_box, *cause_label;
  GtkLabel *judge_heading, *note_heading, *record_label;
  GtkDropDown *cause;
  Choice judgement[TARN_JUDGEMENTS]; /* none for TARN_JUDGEMENT_NONE */
  Choice record[RECORDS];
  Choice own; /* a number of the learner's own in the note */
  GtkWidget *own_box;
  GtkLabel *own_label;
  GtkSpinButton *own_ml;
  GtkCheckButton *own_at_least;
  Choice deed[G_N_ELEMENTS (deeds)];
  TarnJudgeView view;
  gboolean showing; /* what changes is not the learner's doing */
};

G_DEFINE_FINAL_TYPE (TarnJudgeForm, tarn_judge_form, GTK_TYPE_WIDGET)

static guint input_signal;

/* ---- Out ---- */

static void
emit (TarnJudgeForm *self, TarnInputKind kind, int code, TarnVerdict cause, int reading)
{
  const TarnInput input = { .kind = (uint8_t)kind,
                            .code = (uint8_t)code,
                            .cause = (uint8_t)cause,
                            .reading = (int8_t)reading };
  g_signal_emit (self, input_signal, 0, &input);
}

static TarnVerdict
chosen_cause (TarnJudgeForm *self)
{
  guint selected = gtk_drop_down_get_selected (self->cause);
  return selected < G_N_ELEMENTS (causes) ? causes[selected] : TARN_VERDICT_NOT_ACCURATE;
}

static void
judgement_toggled (GtkCheckButton *button, TarnJudgeForm *self)
{
  if (self->showing || !gtk_check_button_get_active (button))
    return;
  for (int k = TARN_JUDGEMENT_NONE + 1; k < TARN_JUDGEMENTS; k++)
    if (self->judgement[k].button == button)
      emit (self, TARN_INPUT_JUDGE, k,
            k == TARN_JUDGEMENT_DO_NOT_USE ? chosen_cause (self) : TARN_VERDICT_NOT_ACCURATE,
            self->view.chosen);
}

static void
cause_selected (GtkDropDown *cause, GParamSpec *pspec, TarnJudgeForm *self)
{
  (void)cause;
  (void)pspec;
  if (!self->showing
      && tarn_judge_view_judgement (&self->view).kind == TARN_JUDGEMENT_DO_NOT_USE)
    emit (self, TARN_INPUT_JUDGE, TARN_JUDGEMENT_DO_NOT_USE, chosen_cause (self),
          self->view.chosen);
}

static void
record_toggled (GtkCheckButton *button, TarnJudgeForm *self)
{
  if (self->showing || !gtk_check_button_get_active (button))
    return;
  for (int k = 0; k < RECORDS; k++)
    if (self->record[k].button == button)
      emit (self, TARN_INPUT_RECORD, k, 0, k == TARN_RECORD_NONE ? -1 : self->view.chosen);
}

static void
emit_own_number (TarnJudgeForm *self)
{
  const TarnInput input
      = { .kind = TARN_INPUT_RECORD,
          .code = gtk_check_button_get_active (self->own_at_least) ? TARN_RECORD_AT_LEAST
                                                                   : TARN_RECORD_EXACT,
          .reading = -1,
          .value = { gtk_spin_button_get_value (self->own_ml) } };
  g_signal_emit (self, input_signal, 0, &input);
}

static void
own_toggled (GtkCheckButton *button, TarnJudgeForm *self)
{
  if (!self->showing && gtk_check_button_get_active (button))
    emit_own_number (self);
}

static void
own_number_changed (TarnJudgeForm *self)
{
  if (!self->showing && tarn_judge_view_own_number (&self->view))
    emit_own_number (self);
}

void
tarn_judge_form_commit (TarnJudgeForm *self)
{
  g_return_if_fail (TARN_IS_JUDGE_FORM (self));
  if (tarn_judge_view_own_number (&self->view))
    gtk_spin_button_update (self->own_ml);
}

/* What is done stays done. */
static void
deed_toggled (GtkCheckButton *button, TarnJudgeForm *self)
{
  if (self->showing)
    return;
  for (guint k = 0; k < G_N_ELEMENTS (deeds); k++)
    if (self->deed[k].button == button)
      {
        self->showing = TRUE;
        gtk_check_button_set_active (button, TRUE);
        self->showing = FALSE;
        emit (self, TARN_INPUT_DEED, deeds[k], 0, -1);
      }
}

/* ---- In ---- */

static void
show_choice (Choice *choice, gboolean active, gboolean sensitive, const char *why_not)
{
  GtkWidget *widget = GTK_WIDGET (choice->button);
  gtk_check_button_set_active (choice->button, active);
  gtk_widget_set_sensitive (widget, sensitive);
  /* A control that is not to be had says why. */
  gtk_widget_set_tooltip_text (widget, sensitive ? NULL : why_not);
}

static void
show_judgement (TarnJudgeForm *self)
{
  const TarnJudgeView *view = &self->view;
  const TarnJudgement judgement = tarn_judge_view_judgement (view);
  g_autofree char *heading
      = view->chosen >= 0
            ? g_strdup_printf (_ ("Your judgement of reading %d"), view->chosen + 1)
            : g_strdup (_ ("Your judgement"));
  gtk_label_set_text (self->judge_heading, heading);

  for (int k = TARN_JUDGEMENT_NONE + 1; k < TARN_JUDGEMENTS; k++)
    show_choice (&self->judgement[k], judgement.kind == (TarnJudgementKind)k,
                 view->chosen >= 0 || k == TARN_JUDGEMENT_NOT_SEEN
                     || k == TARN_JUDGEMENT_NOT_TO_BE_SCANNED,
                 _ ("There is no reading to say it of."));

  gboolean named = judgement.kind == TARN_JUDGEMENT_DO_NOT_USE;
  guint selected = G_N_ELEMENTS (causes) - 1;
  for (guint k = 0; named && k < G_N_ELEMENTS (causes); k++)
    if (causes[k] == judgement.cause)
      selected = k;
  gtk_drop_down_set_selected (self->cause, selected);
  gtk_widget_set_visible (gtk_widget_get_parent (GTK_WIDGET (self->cause)), named);
}

/* What the note holds, in words. */
static char *
record_text (const TarnJudgeView *view, const TarnUnits *units)
{
  gboolean own = tarn_judge_view_own_number (view);
  gboolean of_reading = view->recorded >= 0 && view->recorded < view->readings;
  double ml = of_reading ? view->reading[view->recorded].reading.volume_ml : view->recorded_ml;
  g_autofree char *written = tarn_words_record (view->record, ml, units);

  if (view->record == TARN_RECORD_NONE)
    return g_strdup (_ ("Nothing is in the note yet."));
  if (own)
    return g_strdup_printf (_ ("In the note: a number of your own, “%s”."), written);
  if (!of_reading)
    return g_strdup (_ ("In the note: no bladder seen."));
  return g_strdup_printf (_ ("In the note: reading %d, written as “%s”."), view->recorded + 1,
                          written);
}

static void
show_own_number (TarnJudgeForm *self, const TarnUnits *units)
{
  const TarnJudgeView *view = &self->view;
  gboolean own = tarn_judge_view_own_number (view);
  /* Translators: beside the field for a volume; %s is its unit. */
  g_autofree char *label = g_strdup_printf (_ ("Volume, %s"), tarn_words_volume_unit (units));

  gtk_check_button_set_active (self->own.button, own);
  gtk_widget_set_visible (self->own_box, own);
  gtk_label_set_text (self->own_label, label);
  if (!own)
    return;
  gtk_spin_button_set_value (self->own_ml, view->recorded_ml);
  gtk_check_button_set_active (self->own_at_least, view->record == TARN_RECORD_AT_LEAST);
}

static void
show_record (TarnJudgeForm *self, const TarnUnits *units)
{
  const TarnJudgeView *view = &self->view;
  const TarnRunReading *chosen = view->chosen >= 0 ? &view->reading[view->chosen] : NULL;
  double ml = chosen != NULL ? chosen->reading.volume_ml : 0;
  gboolean number = chosen != NULL && chosen->reading.kind != TARN_READING_NOT_SEEN;
  gboolean here = view->record != TARN_RECORD_NONE && view->recorded == view->chosen
                  && !tarn_judge_view_own_number (view);

  for (int k = 0; k < RECORDS; k++)
    {
      TarnRecordKind kind = (TarnRecordKind)k;
      gboolean needs_number = kind == TARN_RECORD_EXACT || kind == TARN_RECORD_AT_LEAST;
      g_autofree char *text = tarn_words_record (kind, ml, units);
      gtk_label_set_text (self->record[k].label, text);
      gtk_widget_set_visible (GTK_WIDGET (self->record[k].button), number || !needs_number);
      gtk_check_button_set_active (self->record[k].button,
                                   kind == TARN_RECORD_NONE ? view->record == TARN_RECORD_NONE
                                                            : here && view->record == kind);
    }
  show_own_number (self, units);
  gtk_label_set_text (self->note_heading, chosen != NULL ? _ ("Write this reading in the note")
                                                         : _ ("Write in the note"));
  g_autofree char *said = record_text (view, units);
  gtk_label_set_text (self->record_label, said);
}

static void
show_deeds (TarnJudgeForm *self)
{
  for (guint k = 0; k < G_N_ELEMENTS (deeds); k++)
    {
      gboolean done = (self->view.deeds >> deeds[k] & 1) != 0;
      TarnAnswer answer = self->view.answer[deeds[k]];
      g_autofree char *text = tarn_words_answer (answer, self->view.minutes_since_void);
      gboolean says_more = done && answer != TARN_ANSWER_NONE && answer != TARN_ANSWER_DONE;
      gtk_check_button_set_active (self->deed[k].button, done);
      gtk_label_set_text (self->deed[k].hint, says_more ? text : "");
      gtk_widget_set_visible (GTK_WIDGET (self->deed[k].hint), says_more);
    }
}

void
tarn_judge_form_show (TarnJudgeForm *self, const TarnJudgeView *view, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_JUDGE_FORM (self));
  self->view = *view;
  self->showing = TRUE;
  show_judgement (self);
  show_record (self, units);
  show_deeds (self);
  self->showing = FALSE;
}

/* ---- Building ---- */

static void
press (GSimpleAction *action, GVariant *parameter, gpointer button)
{
  (void)action;
  (void)parameter;
  gtk_widget_activate (button);
}

/* GTK lets nobody press a check button by way of the accessibility bus, which knows a widget's
 * actions alone. */
static void
give_bus_press (GtkWidget *button)
{
  static const GActionEntry entry = { .name = "press", .activate = press };
  GSimpleActionGroup *group = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (group), &entry, 1, button);
  gtk_widget_insert_action_group (button, "choice", G_ACTION_GROUP (group));
  g_object_unref (group);
}

static Choice
choice_new (GtkWidget *box, const char *text, const char *hint, GCallback toggled,
            TarnJudgeForm *self)
{
  gboolean one_of_many = box != self->deed_box;
  Choice choice
      = { .button = g_object_new (
              GTK_TYPE_CHECK_BUTTON, "accessible-role",
              one_of_many ? GTK_ACCESSIBLE_ROLE_RADIO : GTK_ACCESSIBLE_ROLE_CHECKBOX, NULL) };
  GtkWidget *lines = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *label = gtk_label_new (text), *second = gtk_label_new (hint);
  for (int k = 0; k < 2; k++)
    {
      GtkLabel *line = GTK_LABEL (k == 0 ? label : second);
      gtk_label_set_xalign (line, 0);
      gtk_label_set_wrap (line, TRUE);
      gtk_label_set_max_width_chars (line, 36);
      gtk_box_append (GTK_BOX (lines), GTK_WIDGET (line));
    }
  gtk_widget_add_css_class (second, "tarn-quiet");
  gtk_widget_set_visible (second, hint[0] != '\0');
  gtk_widget_set_margin_start (lines, 6);
  gtk_widget_set_valign (lines, GTK_ALIGN_CENTER);
  gtk_widget_set_size_request (GTK_WIDGET (choice.button), -1, TARGET);
  gtk_widget_set_hexpand (lines, TRUE);
  gtk_check_button_set_child (choice.button, lines);
  gtk_accessible_update_property (GTK_ACCESSIBLE (choice.button),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, hint, -1);
  gtk_accessible_update_relation (GTK_ACCESSIBLE (choice.button),
                                  GTK_ACCESSIBLE_RELATION_LABELLED_BY, label, NULL, -1);
  choice.label = GTK_LABEL (label);
  choice.hint = GTK_LABEL (second);
  g_signal_connect (choice.button, "toggled", toggled, self);
  give_bus_press (GTK_WIDGET (choice.button));
  gtk_box_append (GTK_BOX (box), GTK_WIDGET (choice.button));
  return choice;
}

static void
build_choices (TarnJudgeForm *self)
{
  for (int k = TARN_JUDGEMENT_NONE + 1; k < TARN_JUDGEMENTS; k++)
    {
      TarnJudgementKind kind = (TarnJudgementKind)k;
      self->judgement[k]
          = choice_new (self->judge_box, tarn_words_judgement (kind),
                        tarn_words_judgement_hint (kind), G_CALLBACK (judgement_toggled), self);
      if (k > TARN_JUDGEMENT_NONE + 1)
        gtk_check_button_set_group (self->judgement[k].button,
                                    self->judgement[TARN_JUDGEMENT_NONE + 1].button);
    }
  for (int k = 0; k < RECORDS; k++)
    {
      self->record[k]
          = choice_new (self->record_box, "", "", G_CALLBACK (record_toggled), self);
      if (k > 0)
        gtk_check_button_set_group (self->record[k].button, self->record[0].button);
    }
  self->own = choice_new (self->record_box, _ ("A number of your own"), "",
                          G_CALLBACK (own_toggled), self);
  gtk_check_button_set_group (self->own.button, self->record[0].button);
  for (guint k = 0; k < G_N_ELEMENTS (deeds); k++)
    self->deed[k] = choice_new (self->deed_box, tarn_words_deed (deeds[k]), "",
                                G_CALLBACK (deed_toggled), self);
}

static void
build_causes (TarnJudgeForm *self)
{
  GtkStringList *list = gtk_string_list_new (NULL);
  for (guint k = 0; k < G_N_ELEMENTS (causes); k++)
    gtk_string_list_append (list, causes[k] == TARN_VERDICT_NOT_ACCURATE
                                      ? _ ("Not sure")
                                      : tarn_words_verdict (causes[k]));
  gtk_drop_down_set_model (self->cause, G_LIST_MODEL (list));
  g_object_unref (list);
  g_signal_connect (self->cause, "notify::selected", G_CALLBACK (cause_selected), self);
}

static void
tarn_judge_form_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_JUDGE_FORM);
  G_OBJECT_CLASS (tarn_judge_form_parent_class)->dispose (object);
}

static void
tarn_judge_form_class_init (TarnJudgeFormClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_judge_form_dispose;
  input_signal = g_signal_new ("input", TARN_TYPE_JUDGE_FORM, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                               NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/judge-form.ui");
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnJudgeForm, name)
  CHILD (content);
  CHILD (judge_heading);
  CHILD (judge_box);
  CHILD (cause_label);
  CHILD (cause);
  CHILD (note_heading);
  CHILD (record_box);
  CHILD (own_box);
  CHILD (own_label);
  CHILD (own_ml);
  CHILD (own_at_least);
  CHILD (record_label);
  CHILD (deed_box);
#undef CHILD
}

static void
tarn_judge_form_init (TarnJudgeForm *self)
{
  self->showing = TRUE;
  self->view.chosen = self->view.recorded = -1;
  gtk_widget_init_template (GTK_WIDGET (self));
  build_causes (self);
  build_choices (self);
  gtk_spin_button_set_range (self->own_ml, 0, TARN_RECORD_MAX_ML);
  give_bus_press (GTK_WIDGET (self->own_at_least));
  g_signal_connect_swapped (self->own_ml, "value-changed", G_CALLBACK (own_number_changed),
                            self);
  g_signal_connect_swapped (self->own_at_least, "toggled", G_CALLBACK (own_number_changed),
                            self);
  self->showing = FALSE;
}
