/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli sheet: a patient on one page, for who teaches with it; or without what gives the
 * answer away, for who learns. */
#include "base/parallel.h"
#include "base/units.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/subject.h"
#include "cli/threads.h"
#include "cli/window_report.h"
#include "engine/verdict/scan.h"
#include "report/patient_sheet.h"

#include <glib.h>
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#define POSES 700

typedef struct
{
  const char *pdf, *png, *locale;
  bool handout;
  int threads;
} Settings;

static const TarnOption options[] = {
  { .name = "pdf",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, pdf),
    .help = "Page to write",
    .fallback = "" },
  { .name = "png",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, png),
    .help = "The same as a picture",
    .fallback = "" },
  { .name = "handout",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, handout),
    .help = "For learners: leaves out truth, trap, cuts and acoustic window",
    .fallback = "" },
  { .name = "locale",
    .metavar = "NAME",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, locale),
    .help = "Language of the patient's own texts, as es",
    .fallback = "as written" },
  TARN_OPTION_THREADS,
};

static const Settings defaults = { .locale = "" };

const TarnSyntax tarn_sheet_syntax = {
  .name = "sheet",
  .synopsis = "FILE [--pdf F] [--png F] [OPTION]...",
  .summary = "put the patient on one page for the class",
  .about
  = "Writes one page on the patient: story, two cuts through the body, the plane from the\n"
    "best pose, the acoustic window and how hard it is, objective and trap.  With --handout\n"
    "what gives the answer away is left out.",
  .own = options,
  .own_options = G_N_ELEMENTS (options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* What a page is made of. */
typedef struct
{
  const Settings *settings;
  TarnSubject subject;
  const TarnBody *body;
  TarnAcousticWindow window;
  TarnWindowWords words;
  TarnScan scan;
  TarnPlanePicture plane;
  GPtrArray *strings; /* owned texts */
  TarnPatientSheet sheet;
} Page;

G_GNUC_PRINTF (3, 4)
static void
add_fact (Page *page, const char *name, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  char *value = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_ptr_array_add (page->strings, value);
  g_assert (page->sheet.facts < TARN_PATIENT_SHEET_FACTS_MAX);
  page->sheet.fact[page->sheet.facts++] = (TarnSheetWords){ name, value };
}

static void
add_text (Page *page, const char *heading, const char *key)
{
  const TarnPatient *patient = &page->subject.file->patient;
  const char *text = tarn_patient_prose (patient, key, page->settings->locale);
  if (text != NULL)
    page->sheet.text[page->sheet.texts++] = (TarnSheetWords){ heading, text };
}

static void
add_room (Page *page, const char *heading)
{
  page->sheet.text[page->sheet.texts++] = (TarnSheetWords){ heading, NULL };
}

static void
add_age (Page *page)
{
  const TarnHabitus *habitus = &page->subject.file->patient.habitus;
  double months = habitus->age_years * 12;
  const char *sex = habitus->sex == TARN_SEX_FEMALE ? "female" : "male";
  if (habitus->age_years < 2)
    add_fact (page, "Person", "%s, %.0f months", sex, months);
  else
    add_fact (page, "Person", "%s, %.0f years", sex, habitus->age_years);
  add_fact (page, "Fat under the skin", "%.0f mm%s", habitus->fat_mm,
            habitus->pannus_mm > 0 ? ", and a pannus" : "");
}

/* "80 mm above, 30 mm left, 20° to the feet, 3 N": half a line. */
static void
add_best_pose (Page *page)
{
  const TarnPose *best = &page->window.best;
  double tilt_deg = tarn_deg_from_rad (best->tilt_rad);
  g_autofree char *aside = fabs (best->left_mm) < 0.5
                               ? g_strdup ("on the midline")
                               : g_strdup_printf ("%.0f mm %s", fabs (best->left_mm),
                                                  best->left_mm > 0 ? "left" : "right");
  add_fact (page, "Best pose", "%.0f mm above, %s, %.0f° to the %s, %.0f N", best->above_mm,
            aside, fabs (tilt_deg), tilt_deg < 0 ? "head" : "feet", best->force_n);
}

static void
add_answers (Page *page)
{
  const TarnPatient *patient = &page->subject.file->patient;
  const TarnAcousticWindow *window = &page->window;
  double truth_ml = tarn_body_true_volume_ml (page->body), length, width, height;
  tarn_body_lumen_diameters_mm (page->body, &length, &width, &height);
  add_fact (page, "Bladder holds", "%.0f mL, up to %.0f mL accepted", truth_ml,
            tarn_pass_tolerance_ml (&patient->pass, truth_ml));
  add_fact (page, "Length, width, height", "%.0f, %.0f, %.0f mm", length, width, height);
  add_fact (page, "Difficulty", "%.0f of 100", window->difficulty);
  if (window->open)
    {
      add_fact (page, "Acoustic window", "%.0f mm up, %.0f mm across, %.0f°", window->above_mm,
                window->left_mm, tarn_deg_from_rad (window->tilt_rad));
      add_best_pose (page);
    }
  else
    add_fact (page, "Acoustic window", "none");
  add_text (page, "Objective", "objective");
  add_text (page, "What there is to learn", "debrief");
}

/* The middle plane from the best pose; for learners from where the start is. */
static TarnExit
shoot (Page *page, const TarnParallel *parallel)
{
  const TarnSituation *situation = &page->subject.file->patient.situation;
  TarnScanOptions scan = tarn_scan_options_default ();
  scan.ledger = false;
  scan.keep_planes = true;
  scan.parallel = parallel;
  if (!page->settings->handout && page->window.open)
    scan.pose = page->window.best;
  else
    {
      scan.pose.above_mm = situation->start_above_mm;
      scan.pose.left_mm = situation->start_left_mm;
    }
  TarnStatus status = tarn_scan_run (page->body, &scan, &page->scan);
  if (status != TARN_OK)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", page->subject.file->name,
                          tarn_status_text (status));
  const TarnSweep *sweep = &page->scan.sweep;
  int middle = sweep->planes / 2;
  size_t bytes = (size_t)sweep->geometry.lines * (size_t)sweep->geometry.samples;
  page->plane = (TarnPlanePicture){
    .image = { .geometry = sweep->geometry,
               .grey = sweep->grey + (size_t)middle * bytes,
               .stride = sweep->geometry.samples },
    .outline = page->settings->handout ? NULL : &sweep->plane[middle].outline,
    .turn_rad = scan.pose.turn_rad,
  };
  return TARN_EXIT_DONE;
}

static void
compose (Page *page)
{
  const TarnPatient *patient = &page->subject.file->patient;
  const char *locale = page->settings->locale;
  bool handout = page->settings->handout;
  page->sheet = (TarnPatientSheet){
    .title = tarn_patient_prose (patient, "title", locale),
    .scenario = tarn_patient_prose (patient, "scenario", locale),
    .body = handout ? NULL : page->body,
    .from_side = "Cut through the bladder from the side: head at the left",
    .across = "Cut across: the patient's right at the left",
    .plane = &page->plane,
    .plane_caption = handout ? "The middle plane where the learner starts"
                             : "The middle plane from the best pose, with its outline",
    .window = handout ? NULL : &page->words.map,
    .footer = "Training only, synthetic anatomy; not for clinical use. Local policy and a "
              "licensed practitioner decide.",
  };
  add_age (page);
  add_text (page, "Briefing", "briefing");
  if (handout)
    {
      add_room (page, "What I read, and what I make of it");
      add_room (page, "What I would do differently");
    }
  else
    add_answers (page);
  add_text (page, "Local policy", "local-policy");
}

static TarnExit
save (const Page *page)
{
  uint8_t *bytes = NULL;
  size_t size = 0;
  TarnExit outcome = TARN_EXIT_DONE;
  if (page->settings->pdf != NULL)
    {
      outcome = tarn_patient_sheet_pdf (&page->sheet, &bytes, &size) == TARN_OK
                    ? tarn_output_file (page->settings->pdf, bytes, size)
                    : tarn_complain (TARN_EXIT_BAD_INPUT, "sheet: out of memory");
      free (bytes);
    }
  bytes = NULL;
  if (outcome == TARN_EXIT_DONE && page->settings->png != NULL)
    {
      outcome = tarn_patient_sheet_png (&page->sheet, &bytes, &size) == TARN_OK
                    ? tarn_output_file (page->settings->png, bytes, size)
                    : tarn_complain (TARN_EXIT_BAD_INPUT, "sheet: out of memory");
      free (bytes);
    }
  return outcome;
}

static TarnExit
make (Page *page)
{
  TarnExit outcome = TARN_EXIT_DONE;
  int threads = page->settings->threads;
  TarnThreadPool *pool = tarn_threads_open (threads);
  TarnWindowReport report = { &page->subject, &page->window };
  if (pool == NULL)
    return TARN_EXIT_BAD_INPUT;
  if (!page->settings->handout)
    outcome = tarn_window_of (&page->subject, POSES, threads, 0, &page->window);
  if (outcome == TARN_EXIT_DONE)
    outcome = tarn_subject_body (&page->subject, page->window.best_lift, &page->body);
  if (outcome == TARN_EXIT_DONE)
    outcome = shoot (page, tarn_thread_pool_parallel (pool));
  if (outcome == TARN_EXIT_DONE)
    {
      tarn_window_words_init (&page->words, &report);
      page->words.map.footer = NULL; /* the page has its own */
      compose (page);
      outcome = save (page);
      tarn_window_words_clear (&page->words);
      tarn_scan_clear (&page->scan);
    }
  tarn_thread_pool_free (pool);
  return outcome;
}

TarnExit
tarn_command_sheet (int argc, char **argv)
{
  Settings settings = defaults;
  const char *file;
  int files;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_sheet_syntax, argc, argv, &settings, &file, &files, &outcome))
    return outcome;
  if (settings.pdf == NULL && settings.png == NULL)
    return tarn_complain (TARN_EXIT_USAGE,
                          "sheet: --pdf or --png says where to write; one is needed");
  g_autofree Page *page = g_new0 (Page, 1);
  page->settings = &settings;
  outcome = tarn_subject_open (&page->subject, file);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  page->strings = g_ptr_array_new_with_free_func (g_free);
  outcome = make (page);
  g_ptr_array_unref (page->strings);
  tarn_subject_close (&page->subject);
  return outcome;
}
