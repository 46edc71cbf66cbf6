/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/editor_sheet.h"

#include "app/window_words.h"
#include "app/words.h"
#include "app/words_problem.h"
#include "base/units.h"
#include "engine/coach/window.h"
#include "engine/verdict/scan.h"
#include "report/patient_sheet.h"

#include <glib/gi18n.h>
#include <math.h>

#define POSES 2000 /* as the editor tells of */

typedef struct
{
  const TarnPatient *patient;
  gboolean handout;
  const char *locale;
  const TarnUnits *units;
  TarnBody *body;
  TarnAcousticWindow window;
  TarnScan scan;
  TarnPlanePicture plane;
  TarnWindowMap map;
  GPtrArray *strings; /* owned texts */
  TarnPatientSheet sheet;
} Page;

/* ---- Words ---- */

/* Takes @text over. */
static const char *
keep (Page *page, char *text)
{
  g_ptr_array_add (page->strings, text);
  return text;
}

/* Takes @value over. */
static void
add_fact (Page *page, const char *name, char *value)
{
  g_assert (page->sheet.facts < TARN_PATIENT_SHEET_FACTS_MAX);
  page->sheet.fact[page->sheet.facts++] = (TarnSheetWords){ name, keep (page, value) };
}

static void
add_text (Page *page, const char *heading, const char *key)
{
  const char *text = tarn_patient_prose (page->patient, key, page->locale);
  if (text != NULL)
    page->sheet.text[page->sheet.texts++] = (TarnSheetWords){ heading, text };
}

static void
add_person (Page *page)
{
  const TarnHabitus *habitus = &page->patient->habitus;
  const char *sex = habitus->sex == TARN_SEX_FEMALE ? _ ("Female") : _ ("Male");
  gboolean small = habitus->age_years < 2;
  double age = round (small ? habitus->age_years * 12 : habitus->age_years);
  unsigned long whole = (unsigned long)age;
  const char *format
      = small ? g_dngettext (GETTEXT_PACKAGE, "%s, %.0f month", "%s, %.0f months", whole)
              : g_dngettext (GETTEXT_PACKAGE, "%s, %.0f year", "%s, %.0f years", whole);
  g_autofree char *fat = tarn_words_length (habitus->fat_mm, page->units);
  /* Translators: %s is "Female" or "Male". */
  add_fact (page, _ ("Person"), g_strdup_printf (format, sex, age));
  add_fact (page, _ ("Fat under the skin"),
            habitus->pannus_mm > 0 ? g_strdup_printf (_ ("%s, and a pannus"), fat)
                                   : g_strdup (fat));
}

static void
add_bladder (Page *page)
{
  double truth_ml = tarn_body_true_volume_ml (page->body), length, width, height;
  double within_ml = tarn_pass_tolerance_ml (&page->patient->pass, truth_ml);
  tarn_body_lumen_diameters_mm (page->body, &length, &width, &height);
  g_autofree char *truth = tarn_words_volume (truth_ml, page->units);
  g_autofree char *within = tarn_words_volume (within_ml, page->units);
  g_autofree char *long_word = tarn_words_length (length, page->units);
  g_autofree char *wide_word = tarn_words_length (width, page->units);
  g_autofree char *high_word = tarn_words_length (height, page->units);
  /* Translators: a volume, and how far a reading may be from it. */
  add_fact (page, _ ("Bladder holds"), g_strdup_printf (_ ("%s, within %s"), truth, within));
  /* Translators: three lengths. */
  add_fact (page, _ ("Length, width, height"),
            g_strdup_printf (_ ("%s, %s, %s"), long_word, wide_word, high_word));
}

static void
add_window (Page *page)
{
  const TarnAcousticWindow *window = &page->window;
  g_autofree char *above = tarn_words_length (window->above_mm, page->units);
  g_autofree char *across = tarn_words_length (window->left_mm, page->units);
  add_fact (page, _ ("Difficulty"), g_strdup_printf (_ ("%.0f of 100"), window->difficulty));
  if (!window->open)
    {
      add_fact (page, _ ("Acoustic window"), g_strdup (_ ("none")));
      return;
    }
  /* Translators: size of the acoustic window along the body, across it, in tilt. */
  add_fact (page, _ ("Acoustic window"),
            g_strdup_printf (_ ("%s along, %s across, %.0f°"), above, across,
                             tarn_deg_from_rad (window->tilt_rad)));
  add_fact (page, _ ("Best pose"), tarn_words_pose (&window->best, page->units));
}

/* ---- What is worked out ---- */

static bool
is_cancelled (void *context)
{
  return g_cancellable_is_cancelled (context);
}

static gboolean
refuse (TarnStatus status, const TarnProblem *problem, GError **error)
{
  if (problem != NULL && problem->text[0] != '\0')
    {
      g_autofree char *said = tarn_words_problem (problem->text);
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s: %s", problem->key, said);
    }
  else
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_FAILED, tarn_status_text (status));
  return FALSE;
}

/* The middle plane from the best pose; for learners from where the start is. */
static gboolean
shoot (Page *page, const TarnParallel *parallel, GError **error)
{
  TarnScanOptions options = tarn_scan_options_default ();
  options.ledger = false;
  options.keep_planes = true;
  options.parallel = parallel;
  if (page->handout)
    {
      options.pose.above_mm = page->patient->situation.start_above_mm;
      options.pose.left_mm = page->patient->situation.start_left_mm;
    }
  else if (page->window.open)
    options.pose = page->window.best;
  TarnStatus status = tarn_scan_run (page->body, &options, &page->scan);
  if (status != TARN_OK)
    return refuse (status, NULL, error);
  const TarnSweep *sweep = &page->scan.sweep;
  int middle = sweep->planes / 2;
  size_t bytes = (size_t)sweep->geometry.lines * (size_t)sweep->geometry.samples;
  page->plane = (TarnPlanePicture){
    .image = { .geometry = sweep->geometry,
               .grey = sweep->grey + (size_t)middle * bytes,
               .stride = sweep->geometry.samples },
    .outline = page->handout ? NULL : &sweep->plane[middle].outline,
    .turn_rad = options.pose.turn_rad,
  };
  return TRUE;
}

static gboolean
work_out (Page *page, GCancellable *cancellable, GError **error)
{
  TarnProblem problem = { 0 };
  TarnThreadPool *pool
      = tarn_thread_pool_new ((int)CLAMP (g_get_num_processors (), 1, TARN_THREADS_MAX));
  const TarnParallel *parallel = pool != NULL ? tarn_thread_pool_parallel (pool) : NULL;
  TarnWindowOptions options = { .poses_wanted = POSES,
                                .parallel = parallel,
                                .cancelled = is_cancelled,
                                .context = cancellable };
  gboolean done = FALSE;
  TarnStatus status = page->handout
                          ? TARN_OK
                          : tarn_window_map (page->patient, &options, &page->window, &problem);
  if (status == TARN_OK)
    status = tarn_body_new (page->patient, page->window.best_lift, &page->body, &problem);
  if (!g_cancellable_set_error_if_cancelled (cancellable, error))
    done = status == TARN_OK ? shoot (page, parallel, error) : refuse (status, &problem, error);
  tarn_thread_pool_free (pool);
  return done;
}

static void
add_answer (Page *page)
{
  tarn_window_words (&page->map, &page->window, page->patient,
                     keep (page, tarn_window_words_by_place (&page->window)),
                     keep (page, tarn_window_words_by_tilt (&page->window)));
  page->sheet.body = page->body;
  page->sheet.from_side = _ ("Cut through the bladder from the side: head at the left");
  page->sheet.across = _ ("Cut across: the patient’s right at the left");
  page->sheet.plane_caption = _ ("The middle plane from the best pose, with its outline");
  page->sheet.window = &page->map;
  add_bladder (page);
  add_window (page);
  add_text (page, _ ("Objective"), "objective");
  add_text (page, _ ("What there is to learn"), "debrief");
}

static void
add_room (Page *page, const char *heading)
{
  page->sheet.text[page->sheet.texts++] = (TarnSheetWords){ heading, NULL };
}

static void
compose (Page *page)
{
  const char *title = tarn_patient_prose (page->patient, "title", page->locale);
  page->sheet = (TarnPatientSheet){
    .title = title != NULL ? title : page->patient->id,
    .scenario = tarn_patient_prose (page->patient, "scenario", page->locale),
    .plane = &page->plane,
    .plane_caption = _ ("The middle plane where the learner starts"),
    .footer = _ ("Training only, synthetic anatomy; not for clinical use. Local policy and a "
                 "licensed practitioner decide."),
  };
  add_person (page);
  add_text (page, _ ("Briefing"), "briefing");
  if (page->handout)
    {
      add_room (page, _ ("What I read, and what I make of it"));
      add_room (page, _ ("What I would do differently"));
    }
  else
    add_answer (page);
  add_text (page, _ ("Local policy"), "local-policy");
}

GBytes *
tarn_editor_sheet (const TarnPatient *patient, TarnEditorSheetKind kind, const char *locale,
                   const TarnUnits *units, gboolean as_picture, GCancellable *cancellable,
                   GError **error)
{
  g_autofree Page *page = g_new0 (Page, 1);
  uint8_t *bytes = NULL;
  size_t size = 0;
  page->patient = patient;
  page->handout = kind == TARN_SHEET_HANDOUT;
  page->locale = locale;
  page->units = units;
  page->strings = g_ptr_array_new_with_free_func (g_free);
  if (work_out (page, cancellable, error))
    {
      compose (page);
      TarnStatus status = as_picture ? tarn_patient_sheet_png (&page->sheet, &bytes, &size)
                                     : tarn_patient_sheet_pdf (&page->sheet, &bytes, &size);
      if (status != TARN_OK)
        refuse (status, NULL, error);
    }
  tarn_scan_clear (&page->scan);
  tarn_body_free (page->body);
  g_ptr_array_unref (page->strings);
  return bytes != NULL ? g_bytes_new_with_free_func (bytes, size, free, bytes) : NULL;
}
