/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli calipers: a transverse and a sagittal plane, three diameters, a coefficient.  Ideal
 * calipers are those an unerring hand would set on the outlines; given ones come as options. */
#include "engine/measure/calipers.h"

#include "base/units.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/millilitres.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/request.h"
#include "cli/subject.h"

#include <glib.h>
#include <math.h>
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
    "three diameters, with the errors of calipers, formula and decision apart.  Ideal "
    "calipers\n"
    "are set on the outlines by an unerring hand; given ones come as options.",
  .shared = tarn_request_option,
  .shared_options = TARN_REQUEST_FROZEN_OPTIONS,
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* Diameters that the picture cuts short. */
typedef struct
{
  bool length, width, height;
} Cut;

/* What one set of calipers says. */
typedef struct
{
  bool there;
  TarnDiameters diameters;
  Cut cut;
  TarnCaliperReport report;
} Set;

typedef struct
{
  bool transverse_seen, sagittal_seen;
  Set ideal, given;
  TarnDiameters truth;
  double truth_ml;
  TarnImageGeometry geometry;
} Outcome;

/* As in the JSON. */
static const char *
decision_name (TarnDecision decision)
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

static const char *
decision_words (const TarnCaliperReport *report, double threshold_ml)
{
  switch (tarn_decision (report->volume_ml, report->truth_ml, threshold_ml))
    {
    case TARN_DECISION_RIGHT:
      return report->truth_ml >= threshold_ml
                 ? "right: by this number one acts, and by the truth one should"
                 : "right: by this number one does not act, nor should one by the truth";
    case TARN_DECISION_MISSED:
      return "missed: by the truth one should act, by this number one does not";
    case TARN_DECISION_NEEDLESS:
      return "needless: by this number one acts, by the truth one need not";
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

/* An edge that is so near to a caliper's end cuts it short (own design value). */
#define NEAR_END_MM 3.0

/* Whether the outline runs along the picture's edge at either end of the caliper. */
static bool
is_cut (const TarnOutline *outline, const TarnCaliper *caliper)
{
  double length_mm = tarn_caliper_mm (caliper);
  if (length_mm <= 0)
    return false;
  double along_u = (caliper->u1_mm - caliper->u0_mm) / length_mm;
  double along_v = (caliper->v1_mm - caliper->v0_mm) / length_mm;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *p = &outline->point[k];
      double at_mm
          = (p->u_mm - caliper->u0_mm) * along_u + (p->v_mm - caliper->v0_mm) * along_v;
      if (p->evidence == TARN_EVIDENCE_AT_EDGE
          && (at_mm < NEAR_END_MM || at_mm > length_mm - NEAR_END_MM))
        return true;
    }
  return false;
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
      outcome->transverse_seen = transverse.outline.found;
      outcome->sagittal_seen = sagittal.outline.found;
      outcome->truth_ml = tarn_body_true_volume_ml (body);
      tarn_body_lumen_diameters_mm (body, &outcome->truth.length_mm, &outcome->truth.width_mm,
                                    &outcome->truth.height_mm);
    }
  /* Without urine there is nothing to compare with. */
  if (status == TARN_OK && outcome->truth_ml > 0)
    {
      if (outcome->transverse_seen && outcome->sagittal_seen)
        {
          TarnCalipers ideal = tarn_calipers_ideal (&transverse.outline, &sagittal.outline);
          TarnDiameters diameters = tarn_calipers_diameters (&ideal);
          judge_set (&outcome->ideal, &diameters, settings->coefficient, outcome);
          outcome->ideal.cut = (Cut){ .length = is_cut (&sagittal.outline, &ideal.length),
                                      .width = is_cut (&transverse.outline, &ideal.width),
                                      .height = is_cut (&transverse.outline, &ideal.height) };
        }
      if (settings->given.length_mm > 0)
        judge_set (&outcome->given, &settings->given, settings->coefficient, outcome);
    }
  tarn_frozen_plane_clear (&transverse);
  tarn_frozen_plane_clear (&sagittal);
  return status;
}

static void
append_signed (GString *text, double ml)
{
  int decimals = tarn_ml_decimals (fabs (ml));
  tarn_append_signed_ml (text, tarn_ml_steps (ml, decimals), decimals, 0);
}

static void
append_diameters (GString *text, const TarnDiameters *diameters, const Cut *cut)
{
  static const char least[] = "at least ";
  g_string_append_printf (text, "length %s%.0f, width %s%.0f, height %s%.0f mm",
                          cut->length ? least : "", diameters->length_mm,
                          cut->width ? least : "", diameters->width_mm,
                          cut->height ? least : "", diameters->height_mm);
}

static bool
any_cut (const Cut *cut)
{
  return cut->length || cut->width || cut->height;
}

static void
append_set (GString *text, const char *name, const Set *set, double threshold_ml)
{
  const TarnCaliperReport *report = &set->report;
  g_string_append_printf (text, "\n%s calipers: ", name);
  append_diameters (text, &set->diameters, &set->cut);
  g_string_append (text, any_cut (&set->cut) ? "\n  Read: at least " : "\n  Read: ");
  tarn_append_ml (text, report->volume_ml);
  g_string_append_printf (
      text, ", with the coefficient %.4f\n  Error of the calipers: ", report->coefficient);
  append_signed (text, report->caliper_error_ml);
  g_string_append (text, "; of the formula: ");
  append_signed (text, report->formula_error_ml);
  g_string_append_printf (text, "\n  Decision at %.0f mL: %s\n", threshold_ml,
                          decision_words (report, threshold_ml));
}

static void
append_truth (GString *text, const Outcome *outcome)
{
  double product_ml = tarn_diameters_volume_ml (&outcome->truth, 1);
  g_string_append (text, "Truth: ");
  tarn_append_ml (text, outcome->truth_ml);
  if (outcome->truth_ml <= 0 || product_ml <= 0)
    {
      g_string_append (text, ", so there is nothing to set calipers on.\n");
      return;
    }
  g_string_append (text, "; ");
  append_diameters (text, &outcome->truth, &(Cut){ false });
  g_string_append_printf (text, "; this bladder's own coefficient is %.4f\n",
                          outcome->truth_ml / product_ml);
}

static void
append_ideal (GString *text, const Outcome *outcome, double threshold_ml)
{
  if (outcome->ideal.there)
    append_set (text, "Ideal", &outcome->ideal, threshold_ml);
  else if (outcome->truth_ml > 0)
    g_string_append_printf (text, "\nIdeal calipers: the bladder is not seen in %s.\n",
                            outcome->transverse_seen ? "the sagittal plane"
                            : outcome->sagittal_seen ? "the transverse plane"
                                                     : "either plane, transverse or sagittal");
}

static void
write_letter (GString *text, const TarnSubject *subject, const Settings *settings,
              const Outcome *outcome)
{
  const TarnPatient *patient = &subject->file->patient;
  const char *title = tarn_patient_prose (patient, "title", "");
  g_string_append_printf (text, "%s: %s\n\n", patient->id, title != NULL ? title : "");
  append_truth (text, outcome);
  append_ideal (text, outcome, settings->threshold_ml);
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
      decision_name (tarn_decision (report->volume_ml, report->truth_ml, threshold_ml)));
  tarn_json_open (json, "at_least", '{');
  tarn_json_bool (json, "length", set->cut.length);
  tarn_json_bool (json, "width", set->cut.width);
  tarn_json_bool (json, "height", set->cut.height);
  tarn_json_close (json, '}');
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
  tarn_json_open (json, "seen", '{');
  tarn_json_bool (json, "transverse", outcome->transverse_seen);
  tarn_json_bool (json, "sagittal", outcome->sagittal_seen);
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
    tarn_subject_note_lift (&subject, settings->request.lift_percent);
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
