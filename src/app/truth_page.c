/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Read from top to bottom: the sentence, reading and truth and verdict, errors that must not
 * happen, where the millilitres went, judgement and score, what the situation needed, the
 * planes.  What does not apply is not there. */
#include "app/truth_page.h"

#include "app/chosen_units.h"
#include "app/debrief_view.h"
#include "app/ledger_view.h"
#include "app/letter_column.h"
#include "app/patient_words.h"
#include "app/replay_page.h"
#include "app/truth_score.h"

#include "base/units.h"

#include <glib/gi18n.h>

struct _TarnTruthPage
{
  GtkWidget parent;

  GtkWidget *content, *scroll, *column, *misses, *misses_box;
  GtkWidget *next_card, *next_box, *debrief_card, *policy_card, *score_box, *care_card;
  GtkWidget *care_box;
  GtkStack *stack;
  GtkToggleButton *letter_button, *replay_button;
  GtkDrawingArea *reading_glyph, *truth_glyph, *verdict_glyph;
  GtkLabel *headline, *causes, *reading_value, *truth_value, *verdict_word, *verdict_sentence;
  GtkLabel *judgement_said, *judgement_right, *debrief, *policy, *score_heading;
  GtkLabel *technique_note;
  TarnDebriefView *debrief_view;
  TarnReplayPage *replay;

  TarnRun *run;
  GCancellable *debrief_wanted; /* while it is being worked out */
  TarnTruth truth;
  TarnUnits units;
};

G_DEFINE_FINAL_TYPE (TarnTruthPage, tarn_truth_page, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_AGAIN,
  SIGNAL_NEXT,
  SIGNAL_LIBRARY,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- Pieces ---- */

static void
empty_box (GtkWidget *box)
{
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), child);
}

static GtkWidget *
add_line (GtkWidget *box, const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 72);
  if (css_class != NULL)
    gtk_widget_add_css_class (label, css_class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

/* ---- The glyphs: a verdict has a shape and a pattern as well as its word ---- */

static void
draw_swatch (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  cairo_rectangle (cr, 0.5, 0.5, width - 1, height - 1);
  tarn_paper_fill_mark (cr, &paper, (TarnMark)GPOINTER_TO_INT (data));
}

/* A plain disc for what is accurate, a patterned square for every other verdict. */
static void
draw_verdict (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnTruthPage *self = data;
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  if (self->truth.verdict == TARN_VERDICT_ACCURATE)
    cairo_arc (cr, width / 2.0, height / 2.0, MIN (width, height) / 2.0 - 1, 0, 2 * TARN_PI);
  else
    cairo_rectangle (cr, 1.5, 1.5, width - 3, height - 3);
  tarn_paper_fill_mark (cr, &paper, tarn_mark_of_verdict (self->truth.verdict));
}

/* ---- From top to bottom ---- */

/* Whether a reading was made that a verdict can be about. */
static gboolean
has_reading (TarnTruthPage *self, const TarnRunReading *reading)
{
  return reading != NULL || self->truth.has_ledger || self->truth.calipers.coefficient > 0;
}

static void
tell_sums (TarnTruthPage *self, const TarnRunReading *reading)
{
  const TarnTruth *truth = &self->truth;
  const TarnUnits *units = &self->units;
  g_autofree char *headline = tarn_words_headline (truth, units);
  g_autofree char *main
      = has_reading (self, reading) ? tarn_words_main_causes (truth, units) : g_strdup ("");
  g_autofree char *compared
      = truth->score.failed ? tarn_words_comparison (truth, units) : g_strdup ("");
  const char *between = compared[0] != '\0' && main[0] != '\0' ? " " : "";
  g_autofree char *causes = g_strconcat (compared, between, main, NULL);
  g_autofree char *read = reading != NULL ? tarn_words_reading (&reading->reading, units)
                          : has_reading (self, reading)
                              ? tarn_words_volume (truth->facts.facts.reading_ml, units)
                              : g_strdup (_ ("None"));
  g_autofree char *held = tarn_words_volume (truth->truth_ml, units);

  gtk_label_set_text (self->headline, headline);
  gtk_label_set_text (self->causes, causes);
  gtk_widget_set_visible (GTK_WIDGET (self->causes), causes[0] != '\0');
  gtk_label_set_text (self->reading_value, read);
  gtk_label_set_text (self->truth_value, held);
}

static void
tell_verdict (TarnTruthPage *self, const TarnRunReading *reading)
{
  const TarnTruth *truth = &self->truth;
  gboolean calipers = truth->calipers.coefficient > 0;
  const char *sentence = tarn_words_verdict_sentence (truth->verdict);
  g_autofree char *tolerance = tarn_words_volume (truth->tolerance_ml, &self->units);
  g_autofree char *accepted
      = g_strdup_printf (_ ("Up to %s either way is accepted here."), tolerance);

  if (truth->verdict == TARN_VERDICT_ACCURATE && truth->score.failed)
    sentence = _ ("The number alone: the attempt is not passed.");
  else if (truth->verdict == TARN_VERDICT_ACCURATE && !truth->by_luck)
    sentence = accepted;
  else if (truth->verdict == TARN_VERDICT_ACCURATE)
    sentence = _ ("But by luck: large errors cancel.");
  else if (calipers && truth->verdict >= TARN_VERDICT_UNEXPLAINED)
    sentence = _ ("Calipers and formula have their parts in it, told apart below.");
  gtk_label_set_text (self->verdict_word, tarn_words_verdict (truth->verdict));
  gtk_label_set_text (self->verdict_sentence, sentence);
  gtk_widget_set_visible (gtk_widget_get_parent (GTK_WIDGET (self->verdict_glyph)),
                          has_reading (self, reading));
  gtk_widget_queue_draw (GTK_WIDGET (self->verdict_glyph));
}

/* Those that the headline does not name. */
static void
tell_misses (TarnTruthPage *self)
{
  unsigned missed = self->truth.score.missed & ~tarn_words_failing (&self->truth);
  empty_box (self->misses_box);
  for (unsigned bit = 1; bit <= missed; bit <<= 1)
    if (missed & bit)
      add_line (self->misses_box, tarn_words_miss ((TarnMustNotMiss)bit), NULL);
  gtk_widget_set_visible (self->misses, missed != 0);
}

static void
tell_judgement (TarnTruthPage *self)
{
  const TarnTruth *truth = &self->truth;
  g_autofree char *said = tarn_words_judgement_said (&truth->judgement);
  g_autofree char *of = truth->judged >= 0 && truth->judgement.kind != TARN_JUDGEMENT_NONE
                            ? g_strdup_printf (_ ("Of reading %d: %s"), truth->judged + 1, said)
                            : g_strdup (said);
  gtk_label_set_text (self->judgement_said, of);
  gtk_label_set_text (self->judgement_right, tarn_words_judged (truth));
}

#define STEPS 2 /* of advice */

/* @coached: a move that fits the sweep is told elsewhere, so what helps in general is not. */
static void
tell_next (TarnTruthPage *self, const TarnRunReading *reading, gboolean coached)
{
  const TarnTruth *truth = &self->truth;
  TarnWordsSplit split = tarn_words_split (truth);
  double error_ml = split.reading_ml - truth->truth_ml;
  int told = 0;

  empty_box (self->next_box);
  if (tarn_words_own_number (truth))
    {
      add_line (self->next_box,
                _ ("Write down only what a reading gives; where none can be had, write that."),
                NULL);
      told++;
    }
  if (truth->facts.force_n > truth->facts.comfort_n && truth->facts.comfort_n > 0)
    {
      add_line (self->next_box,
                _ ("Press less: the patient bears only so much, and muscle that guards gets in "
                   "the way."),
                NULL);
      told++;
    }
  if (!coached && has_reading (self, reading)
      && (truth->verdict != TARN_VERDICT_ACCURATE || truth->by_luck))
    for (int k = 0; k < split.causes && told < STEPS; k++)
      if (split.steps[k] != 0 && (truth->by_luck || split.ml[k] * error_ml > 0))
        {
          add_line (self->next_box, tarn_words_next (split.cause[k]), NULL);
          told++;
        }
  if (told == 0 && has_reading (self, reading) && truth->verdict == TARN_VERDICT_ACCURATE
      && !truth->score.failed)
    add_line (self->next_box, _ ("The same again, with another patient."), NULL), told++;
  gtk_widget_set_visible (self->next_card, told > 0);
}

static void
tell_score (TarnTruthPage *self)
{
  const TarnScore *score = &self->truth.score;
  g_autofree char *total = tarn_score_heading_text (score);
  g_autofree char *technique = tarn_score_technique_text (&self->truth.facts);
  gtk_label_set_text (self->score_heading, total);
  tarn_score_bars_fill (self->score_box, score, &self->truth.facts);
  if (score->failed)
    gtk_box_reorder_child_after (
        GTK_BOX (self->score_box),
        add_line (self->score_box,
                  _ ("An error that must not happen fails the attempt, whatever the score."),
                  NULL),
        NULL);
  gtk_label_set_text (self->technique_note, technique);
  gtk_widget_set_visible (GTK_WIDGET (self->technique_note), technique[0] != '\0');
}

/* First what is missing, then what was done. */
static void
tell_care (TarnTruthPage *self)
{
  unsigned needed = self->truth.care_needed, done = self->truth.care_done;
  empty_box (self->care_box);
  for (int pass = 0; pass < 2; pass++)
    {
      unsigned these = pass == 0 ? needed & ~done : needed & done;
      if (these == 0)
        continue;
      GtkWidget *heading
          = add_line (self->care_box, pass == 0 ? _ ("Not done, or not in time:") : _ ("Done:"),
                      pass == 0 ? NULL : "tarn-quiet");
      gtk_widget_set_margin_top (heading, pass == 0 ? 0 : 6);
      for (int k = 0; k < TARN_WORDS_CARES; k++)
        if (these >> k & 1)
          {
            GtkWidget *line = add_line (self->care_box, tarn_words_care (k),
                                        pass == 0 ? NULL : "tarn-quiet");
            gtk_widget_set_margin_start (line, 18);
          }
    }
  gtk_widget_set_visible (self->care_card, needed != 0);
}

static void
tell_prose (GtkLabel *label, GtkWidget *card, const TarnPatient *patient, const char *key)
{
  const char *text = patient != NULL ? tarn_patient_words (patient, key) : NULL;
  gtk_label_set_text (label, text != NULL ? text : "");
  gtk_widget_set_visible (card, text != NULL && text[0] != '\0');
}

static void
scroll_to_focus (TarnTruthPage *self, gboolean follow)
{
  GtkScrolledWindow *scroll = GTK_SCROLLED_WINDOW (self->scroll);
  gtk_viewport_set_scroll_to_focus (GTK_VIEWPORT (gtk_scrolled_window_get_child (scroll)),
                                    follow);
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (scroll), 0);
}

static gboolean
on_first_frame (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  (void)clock;
  (void)data;
  scroll_to_focus (TARN_TRUTH_PAGE (widget), TRUE);
  return G_SOURCE_REMOVE;
}

/* Who shows the page gives it the focus, and the view would follow that down to whatever can
 * have it; so it does not until the first frame. */
static void
start_at_the_top (TarnTruthPage *self)
{
  scroll_to_focus (self, FALSE);
  gtk_widget_add_tick_callback (GTK_WIDGET (self), on_first_frame, NULL, NULL);
}

/* ---- What comes later ---- */

static void
forgo_debrief (TarnTruthPage *self)
{
  if (self->debrief_wanted != NULL)
    g_cancellable_cancel (self->debrief_wanted);
  g_clear_object (&self->debrief_wanted);
}

static void
on_debrief (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnTruthPage) self = data;
  g_autoptr (TarnDebrief) debrief = tarn_run_debrief_finish (TARN_RUN (source), result, NULL);
  if (self->debrief_wanted == NULL
      || self->debrief_wanted != g_task_get_cancellable (G_TASK (result)))
    return;
  g_clear_object (&self->debrief_wanted);
  tarn_debrief_view_fill (self->debrief_view, debrief, source);
}

static void
on_part (TarnTruthPage *self)
{
  gtk_stack_set_visible_child_name (
      self->stack, gtk_toggle_button_get_active (self->replay_button) ? "replay" : "letter");
}

/* @more: a debrief will follow. */
static void
tell (TarnTruthPage *self, const TarnPatient *patient, const TarnRunReading *reading,
      const TarnTruth *truth, const TarnUnits *units, gboolean more)
{
  self->truth = *truth;
  self->units = *units;
  tell_sums (self, reading);
  tell_verdict (self, reading);
  tell_misses (self);
  tarn_debrief_view_tell (self->debrief_view, reading, truth, units, more);
  tell_judgement (self);
  tell_next (self, reading, more && reading != NULL && reading->planes > 0);
  tell_score (self);
  tell_care (self);
  tell_prose (self->debrief, self->debrief_card, patient, "debrief");
  tell_prose (self->policy, self->policy_card, patient, "local-policy");
  gtk_toggle_button_set_active (self->letter_button, TRUE);
  gtk_widget_set_visible (gtk_widget_get_parent (GTK_WIDGET (self->letter_button)), more);
  start_at_the_top (self);
}

void
tarn_truth_page_tell (TarnTruthPage *self, const TarnPatient *patient,
                      const TarnRunReading *reading, const TarnTruth *truth,
                      const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_TRUTH_PAGE (self));
  forgo_debrief (self);
  tell (self, patient, reading, truth, units, FALSE);
}

void
tarn_truth_page_show (TarnTruthPage *self, TarnRun *run, const TarnTruth *truth)
{
  g_return_if_fail (TARN_IS_TRUTH_PAGE (self));
  const TarnUnits units = tarn_chosen_units ();
  TarnRunReading reading;
  int index = truth->record != TARN_RECORD_NONE && truth->recorded >= 0 ? truth->recorded
                                                                        : truth->judged;
  gboolean has = index >= 0 && index < tarn_run_readings (run);

  if (has)
    tarn_run_reading (run, index, &reading);
  g_object_ref (run);
  forgo_debrief (self);
  tell (self, tarn_run_patient (run), has ? &reading : NULL, truth, &units, TRUE);
  /* Only now does nothing point into the run before. */
  g_set_object (&self->run, run);
  g_object_unref (run);
  self->debrief_wanted = g_cancellable_new ();
  /* The replay first: it takes the run's thread for a moment only. */
  tarn_replay_page_show (self->replay, run);
  tarn_run_debrief_async (run, has ? index : -1, self->debrief_wanted, on_debrief,
                          g_object_ref (self));
}

/* ---- The class ---- */

static void
show_part (GtkWidget *widget, const char *action, GVariant *target)
{
  TarnTruthPage *self = TARN_TRUTH_PAGE (widget);
  gboolean replay = g_str_equal (action, "truth.replay");
  (void)target;
  if (self->run != NULL)
    gtk_toggle_button_set_active (replay ? self->replay_button : self->letter_button, TRUE);
}

static void
emit_signal (GtkWidget *widget, const char *action, GVariant *target)
{
  guint which = g_str_equal (action, "truth.again")  ? SIGNAL_AGAIN
                : g_str_equal (action, "truth.next") ? SIGNAL_NEXT
                                                     : SIGNAL_LIBRARY;
  (void)target;
  g_signal_emit (widget, signals[which], 0);
}

static void
tarn_truth_page_dispose (GObject *object)
{
  TarnTruthPage *self = TARN_TRUTH_PAGE (object);
  forgo_debrief (self);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_TRUTH_PAGE);
  g_clear_object (&self->run);
  G_OBJECT_CLASS (tarn_truth_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnTruthPage, name)
  CHILD (content);
  CHILD (scroll);
  CHILD (column);
  CHILD (headline);
  CHILD (causes);
  CHILD (reading_glyph);
  CHILD (reading_value);
  CHILD (truth_glyph);
  CHILD (truth_value);
  CHILD (verdict_glyph);
  CHILD (verdict_word);
  CHILD (verdict_sentence);
  CHILD (misses);
  CHILD (misses_box);
  CHILD (debrief_view);
  CHILD (stack);
  CHILD (letter_button);
  CHILD (replay_button);
  CHILD (judgement_said);
  CHILD (judgement_right);
  CHILD (next_card);
  CHILD (next_box);
  CHILD (debrief_card);
  CHILD (debrief);
  CHILD (policy_card);
  CHILD (policy);
  CHILD (score_heading);
  CHILD (score_box);
  CHILD (technique_note);
  CHILD (care_card);
  CHILD (care_box);
#undef CHILD
}

static void
tarn_truth_page_class_init (TarnTruthPageClass *class)
{
  static const char *const names[SIGNALS] = { "again", "next", "library" };
  static const char *const actions[SIGNALS] = { "truth.again", "truth.next", "truth.library" };
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_truth_page_dispose;

  g_type_ensure (TARN_TYPE_LETTER_COLUMN);
  g_type_ensure (TARN_TYPE_DEBRIEF_VIEW);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/truth-page.ui");
  bind_children (widget_class);
  for (int k = 0; k < SIGNALS; k++)
    {
      signals[k] = g_signal_new (names[k], TARN_TYPE_TRUTH_PAGE, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
      gtk_widget_class_install_action (widget_class, actions[k], NULL, emit_signal);
    }
  gtk_widget_class_install_action (widget_class, "truth.letter", NULL, show_part);
  gtk_widget_class_install_action (widget_class, "truth.replay", NULL, show_part);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_1, GDK_CONTROL_MASK,
                                       "truth.letter", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_2, GDK_CONTROL_MASK,
                                       "truth.replay", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_r, GDK_CONTROL_MASK, "truth.again",
                                       NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, GDK_CONTROL_MASK,
                                       "truth.next", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Left, GDK_ALT_MASK,
                                       "truth.library", NULL);
}

static void
tarn_truth_page_init (TarnTruthPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  self->replay = TARN_REPLAY_PAGE (tarn_replay_page_new ());
  gtk_stack_add_named (self->stack, GTK_WIDGET (self->replay), "replay");
  g_signal_connect_object (self->replay_button, "toggled", G_CALLBACK (on_part), self,
                           G_CONNECT_SWAPPED);
  gtk_drawing_area_set_draw_func (self->reading_glyph, draw_swatch,
                                  GINT_TO_POINTER (TARN_MARK_MEASURED), NULL);
  gtk_drawing_area_set_draw_func (self->truth_glyph, draw_swatch,
                                  GINT_TO_POINTER (TARN_MARK_TRUTH), NULL);
  gtk_drawing_area_set_draw_func (self->verdict_glyph, draw_verdict, self, NULL);
}

GtkWidget *
tarn_truth_page_new (void)
{
  return g_object_new (TARN_TYPE_TRUTH_PAGE, NULL);
}
