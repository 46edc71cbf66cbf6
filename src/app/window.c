/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window: which page is shown when, and the attempt that goes from one to the next. */
#include "app/window.h"

#include "app/briefing_page.h"
#include "app/cautions.h"
#include "app/journal.h"
#include "app/judge_page.h"
#include "app/library_page.h"
#include "app/memory.h"
#include "app/patient_item.h"
#include "app/patient_list.h"
#include "app/settings.h"
#include "app/style.h"
#include "app/truth_page.h"
#include "app/window_editor.h"
#include "app/words.h"
#include "store/patient_file.h"

#include <glib/gi18n.h>

#define FIRST_PATIENT "plain-adult" /* on whom the guided first attempt is made */

struct _TarnWindow
{
  GtkApplicationWindow parent;

  GtkWidget *title, *back, *notice, *notice_text, *notice_action;
  GtkStack *stack;
  TarnPatientList *patients;
  TarnLibraryPage *library;
  TarnBriefingPage *briefing;
  TarnBedsidePage *bedside;
  TarnJudgePage *judge;
  TarnTruthPage *truth;

  TarnPatientItem *item; /* who is looked at */
  TarnMode mode;
  TarnRun *run;
  TarnPatientItem *run_item; /* whose attempt it is */
  TarnJournal *journal;
  GCancellable *truth_wanted; /* while it is being worked out */
  TarnAttemptLog *left;       /* an attempt that an earlier program left */
  guint taking_up_id;
};

G_DEFINE_FINAL_TYPE (TarnWindow, tarn_window, GTK_TYPE_APPLICATION_WINDOW)

/* ---- Pages ---- */

const char *
tarn_window_page (TarnWindow *self)
{
  return gtk_stack_get_visible_child_name (self->stack);
}

void
tarn_window_set_heading (TarnWindow *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->title), text);
  gtk_window_set_title (GTK_WINDOW (self), text);
}

void
tarn_window_show_page (TarnWindow *self, const char *name)
{
  bool at_home = g_str_equal (name, "library") || g_str_equal (name, "cautions");
  const char *title
      = at_home || self->item == NULL ? "Tarn" : tarn_patient_item_title (self->item);

  tarn_window_set_heading (self, title);
  gtk_widget_set_visible (self->back, !at_home);
  gtk_stack_set_visible_child_name (self->stack, name);
  gtk_widget_child_focus (gtk_stack_get_visible_child (self->stack), GTK_DIR_TAB_FORWARD);
}

void
tarn_window_notice (TarnWindow *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->notice_text), text != NULL ? text : "");
  gtk_widget_set_visible (self->notice_action, FALSE);
  gtk_widget_set_visible (self->notice, text != NULL);
}

static void
on_journal_problem (const char *text, gpointer data)
{
  tarn_window_notice (data, text);
}

static void
close_notice (TarnWindow *self)
{
  if (self->left != NULL)
    tarn_journal_forget ();
  g_clear_pointer (&self->left, tarn_attempt_log_free);
  tarn_window_notice (self, NULL);
}

/* ---- The attempt ---- */

static void
forgo_truth (TarnWindow *self)
{
  if (self->truth_wanted == NULL)
    return;
  g_cancellable_cancel (self->truth_wanted);
  g_clear_object (&self->truth_wanted);
  tarn_judge_page_set_busy (self->judge, FALSE);
}

static void
end_run (TarnWindow *self)
{
  forgo_truth (self);
  tarn_bedside_page_guide (self->bedside, FALSE);
  tarn_bedside_page_set_run (self->bedside, NULL);
  tarn_judge_page_set_run (self->judge, NULL);
  g_clear_handle_id (&self->taking_up_id, g_source_remove);
  g_clear_pointer (&self->journal, tarn_journal_close);
  if (self->run != NULL)
    tarn_run_stop (self->run);
  g_clear_object (&self->run);
  g_clear_object (&self->run_item);
  tarn_memory_settle ();
}

static void
take_run (TarnWindow *self, TarnRun *run)
{
  self->run = run;
  g_set_object (&self->run_item, self->item);
  tarn_bedside_page_set_run (self->bedside, run);
  tarn_judge_page_set_run (self->judge, run);
  tarn_window_show_page (self, "bedside");
  gtk_widget_grab_focus (GTK_WIDGET (self->bedside));
}

static void
set_item (TarnWindow *self, TarnPatientItem *item, TarnMode mode)
{
  g_set_object (&self->item, item);
  self->mode = mode;
}

/* Writes the attempt down from now on. */
static void
open_journal (TarnWindow *self, TarnRun *run, const char *sha256)
{
  g_autoptr (GError) error = NULL;
  self->journal = tarn_journal_open (run, tarn_patient_item_path (self->item), sha256,
                                     on_journal_problem, self, &error);
  if (self->journal == NULL)
    {
      g_autofree char *text = g_strdup_printf (
          _ ("This attempt cannot be kept in case of a crash. %s"), error->message);
      tarn_window_notice (self, text);
    }
}

/* A run of the patient of @self->item; says what is wrong and returns NULL when there can be
 * none.  @past: inputs to pass again, or NULL. */
static TarnRun *
run_of (TarnWindow *self, guint64 seed, GArray *past, char sha256[64 + 1])
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_load (tarn_patient_item_path (self->item), &error);
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnRun *run = NULL;

  end_run (self);
  setup.mode = self->mode;
  setup.seed = seed;
  if (file != NULL)
    {
      g_strlcpy (sha256, file->sha256, 64 + 1);
      run = tarn_run_new_again (&file->patient, &setup, past, &error);
    }
  if (run == NULL)
    {
      tarn_window_notice (self, error->message);
      tarn_window_show_page (self, "library");
    }
  return run;
}

/* Begins an attempt. */
static gboolean
begin (TarnWindow *self, guint64 seed)
{
  char sha256[64 + 1];
  TarnRun *run = run_of (self, seed, NULL, sha256);
  if (run == NULL)
    return FALSE;
  tarn_window_notice (self, NULL);
  open_journal (self, run, sha256);
  take_run (self, run);
  tarn_bedside_page_guide (
      self->bedside, self->mode == TARN_MODE_GUIDED
                         && g_str_equal (tarn_patient_item_id (self->item), FIRST_PATIENT));
  return TRUE;
}

static guint64
draw_seed (TarnWindow *self)
{
  GtkApplication *application = gtk_window_get_application (GTK_WINDOW (self));
  return tarn_application_draw_seed (TARN_APPLICATION (application));
}

/* ---- An attempt that was left ---- */

static gboolean
on_taken_up (gpointer data)
{
  TarnWindow *self = data;
  if (self->run != NULL && !tarn_run_is_rested (self->run))
    return G_SOURCE_CONTINUE;
  self->taking_up_id = 0;
  tarn_window_notice (self, NULL);
  if (self->run != NULL)
    take_run (self, self->run);
  return G_SOURCE_REMOVE;
}

void
tarn_window_take_up (TarnWindow *self)
{
  g_autoptr (TarnAttemptLog) left = g_steal_pointer (&self->left);
  char sha256[64 + 1];
  if (left == NULL)
    return;
  g_autoptr (TarnPatientItem) item = tarn_patient_list_at (self->patients, left->patient_path);
  set_item (self, item, left->mode);
  TarnRun *run = run_of (self, left->seed, left->inputs, sha256);
  if (run == NULL)
    return;
  self->run = run;
  if (!g_str_equal (sha256, left->sha256))
    {
      end_run (self);
      tarn_window_notice (self,
                          _ ("The patient’s file has changed since, so the attempt cannot "
                             "be taken up again."));
      return;
    }
  open_journal (self, run, sha256);
  tarn_window_notice (self, _ ("The attempt is being taken up again…"));
  self->taking_up_id = g_timeout_add (100, on_taken_up, self);
}

static void
offer_to_take_up (TarnWindow *self)
{
  self->left = tarn_journal_left ();
  if (self->left == NULL || self->left->inputs->len == 0)
    {
      g_clear_pointer (&self->left, tarn_attempt_log_free);
      return;
    }
  g_autoptr (TarnPatientItem) item = tarn_patient_item_load (self->left->patient_path);
  g_autofree char *text = g_strdup_printf (_ ("Tarn ended while you were with a patient: %s."),
                                           tarn_patient_item_title (item));
  tarn_window_notice (self, text);
  gtk_button_set_label (GTK_BUTTON (self->notice_action), _ ("Take it up again"));
  gtk_widget_set_visible (self->notice_action, TRUE);
}

static void
on_notice_action (TarnWindow *self)
{
  if (self->left != NULL)
    tarn_window_take_up (self);
  else
    begin (self, draw_seed (self));
}

TarnRun *
tarn_window_run (TarnWindow *self)
{
  return self->run;
}

TarnBedsidePage *
tarn_window_bedside (TarnWindow *self)
{
  return self->bedside;
}

TarnPatientList *
tarn_window_patients (TarnWindow *self)
{
  return self->patients;
}

TarnPatientItem *
tarn_window_item (TarnWindow *self)
{
  return self->item;
}

/* ---- From page to page ---- */

static void
on_patient_chosen (TarnLibraryPage *page, TarnPatientItem *item, int mode, TarnWindow *self)
{
  (void)page;
  set_item (self, item, (TarnMode)mode);
  tarn_window_notice (self, NULL);
  tarn_briefing_page_show (self->briefing, item, mode);
  tarn_window_show_page (self, "briefing");
}

static void
to_bedside (TarnWindow *self)
{
  tarn_window_show_page (self, "bedside");
  gtk_widget_grab_focus (GTK_WIDGET (self->bedside));
}

/* Whether an attempt with @item is under way. */
static bool
is_with (TarnWindow *self, TarnPatientItem *item, TarnMode mode)
{
  if (self->run == NULL || tarn_run_mode (self->run) != mode
      || g_strcmp0 (tarn_patient_item_path (self->run_item), tarn_patient_item_path (item))
             != 0)
    return false;
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (self->run);
  return !frame->bedside.finished;
}

static void
on_begin (TarnBriefingPage *page, TarnPatientItem *item, int mode, TarnWindow *self)
{
  (void)page;
  bool goes_on = is_with (self, item, (TarnMode)mode);
  set_item (self, item, (TarnMode)mode);
  if (!goes_on)
    {
      begin (self, draw_seed (self));
      return;
    }
  tarn_window_notice (self, _ ("You are back with this patient, where you left off."));
  gtk_button_set_label (GTK_BUTTON (self->notice_action), _ ("Begin anew"));
  gtk_widget_set_visible (self->notice_action, TRUE);
  to_bedside (self);
}

/* An attempt under way waits; one that is over is let go. */
static void
to_library (TarnWindow *self)
{
  tarn_window_notice (self, NULL);
  if (self->run_item != NULL && !is_with (self, self->run_item, tarn_run_mode (self->run)))
    end_run (self);
  tarn_window_show_page (self, "library");
}

static void
to_judge (TarnWindow *self)
{
  tarn_judge_page_refresh (self->judge);
  tarn_window_show_page (self, "judge");
}

static void
on_truth (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnWindow) self = data;
  g_autoptr (GError) error = NULL;
  const TarnTruth *truth = tarn_run_truth_finish (TARN_RUN (source), result, &error);

  if (self->truth_wanted == NULL
      || self->truth_wanted != g_task_get_cancellable (G_TASK (result)))
    return;
  g_clear_object (&self->truth_wanted);
  tarn_judge_page_set_busy (self->judge, FALSE);
  if (truth == NULL)
    {
      tarn_window_notice (self, error->message);
      return;
    }
  g_clear_pointer (&self->journal, tarn_journal_close);
  g_autoptr (TarnPatientItem) counted
      = tarn_patient_list_at (self->patients, tarn_patient_item_path (self->run_item));
  tarn_patient_item_note_attempt (counted, tarn_words_result (truth),
                                  tarn_words_score (&truth->score));
  tarn_truth_page_show (self->truth, self->run, truth);
  tarn_window_show_page (self, "truth");
}

static void
on_finished (TarnJudgePage *page, TarnWindow *self)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (self->run);
  (void)page;
  /* Again, after “Cancel”. */
  if (!frame->bedside.finished)
    tarn_run_do (self->run, TARN_INPUT_FINISH, 0, 0);
  tarn_judge_page_set_busy (self->judge, TRUE);
  self->truth_wanted = g_cancellable_new ();
  tarn_run_truth_async (self->run, self->truth_wanted, on_truth, g_object_ref (self));
}

static void
on_again (TarnWindow *self)
{
  set_item (self, self->run_item, tarn_run_mode (self->run));
  begin (self, draw_seed (self));
}

static void
on_next (TarnWindow *self)
{
  g_autoptr (TarnPatientItem) next
      = tarn_patient_list_after (self->patients, tarn_patient_item_path (self->run_item));
  end_run (self);
  if (next == NULL)
    tarn_window_show_page (self, "library");
  else
    on_patient_chosen (self->library, next, (int)self->mode, self);
}

static void
on_accepted (TarnCautionsPage *page, gboolean tour, TarnWindow *self)
{
  (void)page;
  TarnPatientItem *first = tour ? tarn_patient_list_find (self->patients, FIRST_PATIENT) : NULL;
  if (first != NULL)
    {
      set_item (self, first, TARN_MODE_GUIDED);
      begin (self, 0);
    }
  else if (self->item != NULL)
    on_patient_chosen (self->library, self->item, TARN_MODE_PRACTICE, self);
  else
    tarn_window_show_page (self, "library");
}

static void
go_back (GtkWidget *widget, const char *name, GVariant *target)
{
  TarnWindow *self = TARN_WINDOW (widget);
  const char *page = tarn_window_page (self);
  (void)name;
  (void)target;
  if (self->truth_wanted != NULL)
    forgo_truth (self);
  else if (tarn_window_editor_back (self))
    return;
  else if (g_str_equal (page, "judge"))
    {
      if (!tarn_judge_page_step_back (self->judge))
        to_bedside (self);
    }
  else if (g_str_equal (page, "bedside"))
    {
      if (tarn_bedside_page_step_back (self->bedside))
        return;
      tarn_briefing_page_show (self->briefing, self->item, (int)self->mode);
      tarn_window_notice (self, NULL);
      tarn_window_show_page (self, "briefing");
    }
  else if (!g_str_equal (page, "cautions"))
    to_library (self);
}

static TarnPatientItem *
item_of (TarnWindow *self, GFile *file)
{
  g_autofree char *path = g_file_get_path (file);
  return tarn_patient_list_at (self->patients, path != NULL ? path : "");
}

void
tarn_window_open_file (TarnWindow *self, GFile *file)
{
  g_autoptr (TarnPatientItem) item = item_of (self, file);
  if (tarn_patient_item_problem (item) != NULL)
    tarn_window_notice (self, tarn_patient_item_problem (item));
  else if (g_str_equal (tarn_window_page (self), "cautions"))
    g_set_object (&self->item, item); /* comes when they are accepted */
  else
    on_patient_chosen (self->library, item, TARN_MODE_PRACTICE, self);
}

gboolean
tarn_window_begin (TarnWindow *self, GFile *file, TarnMode mode, guint64 seed)
{
  g_autoptr (TarnPatientItem) item = item_of (self, file);
  set_item (self, item, mode);
  return begin (self, seed);
}

/* ---- The widget ---- */

static void
tarn_window_dispose (GObject *object)
{
  TarnWindow *self = TARN_WINDOW (object);
  g_clear_pointer (&self->journal, tarn_journal_suspend);
  g_clear_pointer (&self->left, tarn_attempt_log_free);
  if (self->stack != NULL)
    end_run (self);
  g_clear_object (&self->item);
  g_clear_object (&self->patients);
  gtk_widget_dispose_template (GTK_WIDGET (self), TARN_TYPE_WINDOW);
  self->stack = NULL;
  G_OBJECT_CLASS (tarn_window_parent_class)->dispose (object);
}

static void
tarn_window_class_init (TarnWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_window_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/window.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, title);
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, back);
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, notice);
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, notice_text);
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, stack);
  gtk_widget_class_bind_template_child (widget_class, TarnWindow, notice_action);
  gtk_widget_class_bind_template_callback (widget_class, close_notice);
  gtk_widget_class_bind_template_callback (widget_class, on_notice_action);
  gtk_widget_class_install_action (widget_class, "window.back", NULL, go_back);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.back", NULL);
  tarn_window_editor_install (widget_class);
}

void
tarn_window_add_page (TarnWindow *self, gpointer page, const char *name)
{
  gtk_stack_add_named (self->stack, GTK_WIDGET (page), name);
}

static void
connect_pages (TarnWindow *self, GtkWidget *cautions)
{
#define ON(page, signal, function)                                                             \
  g_signal_connect_object (page, signal, G_CALLBACK (function), self, 0)
#define TO(page, signal, function)                                                             \
  g_signal_connect_object (page, signal, G_CALLBACK (function), self, G_CONNECT_SWAPPED)
  ON (cautions, "accepted", on_accepted);
  ON (self->library, "patient-chosen", on_patient_chosen);
  ON (self->briefing, "begin", on_begin);
  TO (self->briefing, "back", to_library);
  TO (self->bedside, "judge", to_judge);
  TO (self->judge, "back", to_bedside);
  ON (self->judge, "finished", on_finished);
  TO (self->judge, "cancel", forgo_truth);
  TO (self->truth, "again", on_again);
  TO (self->truth, "next", on_next);
  TO (self->truth, "library", to_library);
#undef ON
#undef TO
}

static void
tarn_window_init (TarnWindow *self)
{
  GtkWidget *cautions = tarn_cautions_page_new (tarn_settings ());

  gtk_widget_init_template (GTK_WIDGET (self));
  tarn_style_adopt (GTK_WINDOW (self));
  self->patients = tarn_patient_list_new (NULL);
  self->library = TARN_LIBRARY_PAGE (tarn_library_page_new (self->patients, tarn_settings ()));
  self->briefing = TARN_BRIEFING_PAGE (tarn_briefing_page_new ());
  self->bedside = TARN_BEDSIDE_PAGE (tarn_bedside_page_new ());
  self->judge = TARN_JUDGE_PAGE (tarn_judge_page_new ());
  self->truth = TARN_TRUTH_PAGE (tarn_truth_page_new ());
  tarn_window_add_page (self, cautions, "cautions");
  tarn_window_add_page (self, self->library, "library");
  tarn_window_add_page (self, self->briefing, "briefing");
  tarn_window_add_page (self, self->bedside, "bedside");
  tarn_window_add_page (self, self->judge, "judge");
  tarn_window_add_page (self, self->truth, "truth");
  connect_pages (self, cautions);
  tarn_window_notice (self, tarn_settings_problem (tarn_settings ()));
  bool accepted = tarn_settings_cautions_accepted (tarn_settings ());
  tarn_window_show_page (self, accepted ? "library" : "cautions");
}

TarnWindow *
tarn_window_new (TarnApplication *application)
{
  TarnWindow *self = g_object_new (TARN_TYPE_WINDOW, "application", application, NULL);
  static const char *const kept[][2] = { { "window-width", "default-width" },
                                         { "window-height", "default-height" },
                                         { "window-maximized", "maximized" } };
  for (gsize k = 0; k < G_N_ELEMENTS (kept); k++)
    g_object_bind_property (tarn_settings (), kept[k][0], self, kept[k][1],
                            G_BINDING_BIDIRECTIONAL | G_BINDING_SYNC_CREATE);
  offer_to_take_up (self);
  return self;
}
