/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli calipers: a transverse and a sagittal plane, three diameters, a coefficient.  Ideal
 * calipers are those an unerring hand would set on the outlines; given ones come as options. */
#include "engine/measure/calipers.h"

#include "base/units.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/request.h"
#include "cli/scan_words.h"
#include "cli/subject.h"

#include <glib.h>
#include <stdlib.h>

typedef struct
{
  TarnRequest request; /* first: the options' offsets count from it */
  double coefficient, threshold_ml;
  TarnDiameters given; /* 0: not given */
  bool json;
} Settings;

#define NUMBER(option, unit, member, from, to, text, otherwise)                                \
  {                                                                                            \
    .name = option, .metavar = unit, .kind = TARN_OPTION_NUMBER,                               \
    .offset = offsetof (Settings, member), .low = from, .high = to, .help = text,              \
    .fallback = otherwise                                                                      \
  }

static const TarnOption own_options[] = {
  NUMBER ("coefficient", "K", coefficient, 0.1, 2, "Volume over the diameters' product",
          "0.5236, an ellipsoid's"),
  NUMBER ("length", "MM", given.length_mm, 1, 500, "Given calipers: head to foot", "not given"),
  NUMBER ("width", "MM", given.width_mm, 1, 500, "Given calipers: left to right", "not given"),
  NUMBER ("height", "MM", given.height_mm, 1, 500, "Given calipers: front to back",
          "not given"),
  NUMBER ("threshold", "ML", threshold_ml, 1, 2000, "Volume from which local policy acts",
          NULL),
  { .name = "json",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, json),
    .help = "Prints one JSON object instead of a letter",
    .fallback = "" },
};

static const Settings defaults = {
  .request = TARN_REQUEST_DEFAULT,
  .coefficient = TARN_COEFFICIENT_ELLIPSOID,
  .threshold_ml = 300,
};

const TarnSyntax tarn_calipers_syntax = {
  .name = "calipers",
  .synopsis = "FILE [OPTION]...",
  .summary = "measure two planes with calipers",
  .about
  = "Freezes the widest transverse and the longest sagittal plane, and tells the volume by\n"
    "three diameters, with the errors of calipers, formula and decision apart.",
  .shared = tarn_request_option,
  .shared_options = TARN_REQUEST_OPTIONS,
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* What one set of calipers says. */
typedef struct
{
  bool there;
  TarnDiameters diameters;
  TarnCaliperReport report;
} Set;

typedef struct
{
  Set ideal, given;
  TarnDiameters truth;
  double truth_ml;
  TarnImageGeometry geometry;
} Outcome;

static const char *
decision_words (TarnDecision decision)
{
  switch (decision)
    {
    case TARN_DECISION_RIGHT:
      return "right";
    case TARN_DECISION_MISSED:
      return "missed";
    case TARN_DECISION_NEEDLESS:
      return "needless";
    }
  return "";
}

/* Freezes one plane with fresh gel.  @turn_deg: 0 transverse, 90 sagittal. */
static TarnStatus
freeze (const TarnBody *body, const TarnRequest *request, double turn_deg,
        TarnFrozenPlane *frozen)
{
  TarnPose pose = tarn_request_pose (request);
  pose.turn_rad = tarn_rad_from_deg (turn_deg);
  TarnSweepSetup setup = tarn_sweep_setup (body, &pose);
  setup.depth_mm = request->depth_mm;
  setup.gain_db = request->gain_db;
  setup.motion.seed = request->seed;
  setup.film = g_new0 (TarnGelFilm, 1);
  TarnStatus status = TARN_OK;
  if (request->gel_g > 0)
    status = tarn_gel_dose (setup.film, pose.above_mm, pose.left_mm, request->gel_g);
  if (status == TARN_OK)
    status = tarn_calipers_freeze (&setup, frozen);
  g_free (setup.film);
  return status;
}

static void
judge_set (Set *set, const TarnDiameters *diameters, double coefficient, const Outcome *outcome)
{
  set->there = true;
  set->diameters = *diameters;
  set->report
      = tarn_caliper_report (diameters, coefficient, &outcome->truth, outcome->truth_ml);
}

static TarnStatus
measure (const TarnBody *body, const Settings *settings, Outcome *outcome)
{
  TarnFrozenPlane transverse = { 0 }, sagittal = { 0 };
  TarnStatus status = freeze (body, &settings->request, 0, &transverse);
  if (status == TARN_OK)
    status = freeze (body, &settings->request, 90, &sagittal);
  if (status == TARN_OK)
    {
      outcome->geometry = transverse.geometry;
      outcome->truth_ml = tarn_body_true_volume_ml (body);
      tarn_body_lumen_diameters_mm (body, &outcome->truth.length_mm, &outcome->truth.width_mm,
                                    &outcome->truth.height_mm);
    }
  /* Without urine there is nothing to compare with. */
  if (status == TARN_OK && outcome->truth_ml > 0)
    {
      if (transverse.outline.found && sagittal.outline.found)
        {
          TarnCalipers ideal = tarn_calipers_ideal (&transverse.outline, &sagittal.outline);
          TarnDiameters diameters = tarn_calipers_diameters (&ideal);
          judge_set (&outcome->ideal, &diameters, settings->coefficient, outcome);
        }
      if (settings->given.length_mm > 0)
        judge_set (&outcome->given, &settings->given, settings->coefficient, outcome);
    }
  tarn_frozen_plane_clear (&transverse);
  tarn_frozen_plane_clear (&sagittal);
  return status;
}

static void
append_set (GString *text, const char *name, const Set *set, double threshold_ml)
{
  const TarnCaliperReport *report = &set->report;
  g_string_append_printf (
      text,
      "\n%s calipers: length %.0f, width %.0f, height %.0f mm\n"
      "  Read: %.0f mL with the coefficient %.3f; truth: %.0f mL\n"
      "  Error of the calipers: %+.0f mL; of the formula: %+.0f mL "
      "(this bladder's own coefficient is %.3f)\n"
      "  Decision at %.0f mL: %s\n",
      name, set->diameters.length_mm, set->diameters.width_mm, set->diameters.height_mm,
      report->volume_ml, report->coefficient, report->truth_ml, report->caliper_error_ml,
      report->formula_error_ml, report->true_coefficient, threshold_ml,
      decision_words (tarn_decision (report->volume_ml, report->truth_ml, threshold_ml)));
}

static void
write_letter (GString *text, const TarnSubject *subject, const Settings *settings,
              const Outcome *outcome)
{
  const TarnPatient *patient = &subject->file->patient;
  const char *title = tarn_patient_prose (patient, "title", "");
  g_string_append_printf (text, "%s: %s\n", patient->id, title != NULL ? title : "");
  if (outcome->ideal.there)
    append_set (text, "Ideal", &outcome->ideal, settings->threshold_ml);
  else
    g_string_append (text, "\nIdeal calipers: the bladder is not seen in both planes.\n");
  if (outcome->given.there)
    append_set (text, "Given", &outcome->given, settings->threshold_ml);
  g_string_append (text, "\nTraining only, synthetic anatomy; not for clinical use.\n");
}

static void
write_diameters (GString *json, const TarnDiameters *diameters)
{
  tarn_json_number (json, "length_mm", diameters->length_mm, 3);
  tarn_json_number (json, "width_mm", diameters->width_mm, 3);
  tarn_json_number (json, "height_mm", diameters->height_mm, 3);
}

static void
write_set (GString *json, const char *key, const Set *set, double threshold_ml)
{
  if (!set->there)
    {
      tarn_json_null (json, key);
      return;
    }
  const TarnCaliperReport *report = &set->report;
  tarn_json_open (json, key, '{');
  write_diameters (json, &set->diameters);
  tarn_json_number (json, "volume_ml", report->volume_ml, 4);
  tarn_json_number (json, "caliper_error_ml", report->caliper_error_ml, 4);
  tarn_json_number (json, "formula_error_ml", report->formula_error_ml, 4);
  tarn_json_text (
      json, "decision",
      decision_words (tarn_decision (report->volume_ml, report->truth_ml, threshold_ml)));
  tarn_json_close (json, '}');
}

static void
write_json (GString *json, const TarnSubject *subject, const Settings *settings,
            const Outcome *outcome)
{
  double product_ml = tarn_diameters_volume_ml (&outcome->truth, 1);
  g_string_append_c (json, '{');
  tarn_json_text (json, "schema", "tarn.calipers/1");
  tarn_json_open (json, "patient", '{');
  tarn_json_text (json, "id", subject->file->patient.id);
  tarn_json_text (json, "sha256", subject->file->sha256);
  tarn_json_close (json, '}');
  tarn_request_write_json (json, &settings->request, &outcome->geometry);
  tarn_json_number (json, "coefficient", settings->coefficient, 6);
  tarn_json_number (json, "threshold_ml", settings->threshold_ml, 3);
  tarn_json_open (json, "truth", '{');
  tarn_json_number (json, "volume_ml", outcome->truth_ml, 4);
  write_diameters (json, &outcome->truth);
  tarn_json_number (json, "coefficient", product_ml > 0 ? outcome->truth_ml / product_ml : 0,
                    6);
  tarn_json_close (json, '}');
  write_set (json, "ideal", &outcome->ideal, settings->threshold_ml);
  write_set (json, "given", &outcome->given, settings->threshold_ml);
  g_string_append (json, "}\n");
}

static TarnExit
run_calipers (const Settings *settings, const char *path)
{
  TarnSubject subject;
  const TarnBody *body;
  TarnExit exit_code = tarn_subject_open (&subject, path);
  if (exit_code == TARN_EXIT_DONE)
    exit_code = tarn_subject_body (&subject, settings->request.lift_percent / 100, &body);
  if (exit_code == TARN_EXIT_DONE)
    {
      Outcome outcome = { 0 };
      TarnStatus status = measure (body, settings, &outcome);
      GString *text = g_string_new (NULL);
      if (status != TARN_OK)
        exit_code = tarn_complain (TARN_EXIT_BAD_INPUT, "%s: above %g mm, left %g mm: %s", path,
                                   settings->request.above_mm, settings->request.left_mm,
                                   tarn_status_text (status));
      else
        {
          (settings->json ? write_json : write_letter) (text, &subject, settings, &outcome);
          exit_code = tarn_output_text (text->str);
        }
      g_string_free (text, TRUE);
    }
  tarn_subject_close (&subject);
  return exit_code;
}

TarnExit
tarn_command_calipers (int argc, char **argv)
{
  Settings settings = defaults;
  const char *path;
  int paths;
  TarnExit exit_code;
  if (!tarn_options_read (&tarn_calipers_syntax, argc, argv, &settings, &path, &paths,
                          &exit_code))
    return exit_code;
  int given = (settings.given.length_mm > 0) + (settings.given.width_mm > 0)
              + (settings.given.height_mm > 0);
  if (given != 0 && given != 3)
    return tarn_complain (TARN_EXIT_USAGE,
                          "calipers: --length, --width and --height belong together");
  return run_calipers (&settings, path);
}
