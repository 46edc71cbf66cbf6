/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Advice is true when followed: from random poses that are not accurate yet, the move brings
 * the forecast nearer to the truth or shows more of the urine; and the cue that it names is in
 * the picture of a real sweep.
 *
 *     advice-property --poses N     the same for N poses of each body, with figures
 */
#include "people.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/coach/advice.h"
#include "engine/verdict/border.h"
#include "store/patient_file.h"

#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TRUE_SHARE   0.95 /* own design value */
#define SIDE_RAD     0.06 /* three lines of the probe's */
#define NEAR_DEEP_MM 5.0
#define EVERY        6 /* a sweep to look for the cue in */

static int poses_each = 12;

/* What was counted over all bodies. */
static int followed, better, cues, shown;
static double slowest_ms;

typedef struct
{
  TarnBody *body;
  TarnSurvey *survey;
  const char *name;
} Subject;

static Subject
subject_of (const TarnPatient *patient, const char *name)
{
  Subject subject = { .body = person_body (patient, 0), .name = name };
  g_assert_cmpint (tarn_survey_new (subject.body, &subject.survey), ==, TARN_OK);
  return subject;
}

static void
let_go (Subject *subject)
{
  tarn_survey_free (subject->survey);
  tarn_body_free (subject->body);
}

static double
between (guint64 seed, guint64 index, double low, double high)
{
  return low + (high - low) * tarn_uniform_at (seed, index);
}

/* Wider than where a taught novice begins. */
static TarnPose
random_pose (guint64 seed)
{
  return (TarnPose){ .above_mm = between (seed, 0, 5, 95),
                     .left_mm = between (seed, 1, -40, 40),
                     .tilt_rad = tarn_rad_from_deg (between (seed, 2, -15, 40)),
                     .lean_rad = tarn_rad_from_deg (between (seed, 3, -15, 15)),
                     .turn_rad = between (seed, 4, 0, 1) < 0.3 ? TARN_PI / 2 : 0,
                     .force_n = between (seed, 5, 1, 18) };
}

/* How far an answer is from what is wanted. */
static double
error_ml (const Subject *subject, const TarnCoverage *coverage)
{
  return fabs (coverage->forecast.volume_ml - tarn_body_true_volume_ml (subject->body));
}

/* Makes the move for good; false where a move has no pose. */
static void
follow (const Subject *subject, const TarnMove *move, TarnPose *pose, TarnGelFilm *film,
        double *depth_mm)
{
  TarnPose to = tarn_move_pose (move, pose);
  if (move->kind == TARN_MOVE_GEL && film != NULL)
    tarn_gel_dose (film, pose->above_mm, pose->left_mm, move->amount);
  if (move->kind == TARN_MOVE_DEEPER)
    *depth_mm += move->amount;
  if (film != NULL)
    g_assert_cmpint (tarn_gel_wipe (film, subject->body, pose, &to), ==, TARN_OK);
  *pose = to;
}

/* Of the border in the sweep, whether any is at the edge on that side. */
static gboolean
runs_into (const TarnSweep *sweep, TarnCue cue)
{
  const TarnImageGeometry *g = &sweep->geometry;
  double limit_mm = g->face_radius_mm + tarn_image_depth_limit_mm (g);
  for (int k = 0; k < sweep->planes; k++)
    for (int n = 0; sweep->plane[k].outline.found && n < TARN_OUTLINE_POINTS; n++)
      {
        const TarnOutlinePoint *p = &sweep->plane[k].outline.point[n];
        double line = atan2 ((double)p->u_mm, (double)p->v_mm);
        double radius = hypot ((double)p->u_mm, (double)p->v_mm);
        if (p->evidence != TARN_EVIDENCE_AT_EDGE)
          continue;
        if (cue == TARN_CUE_RUNS_INTO_MARK && line < g->first_angle_rad + SIDE_RAD)
          return TRUE;
        if (cue == TARN_CUE_RUNS_INTO_OTHER && line > -g->first_angle_rad - SIDE_RAD)
          return TRUE;
        if (cue == TARN_CUE_RUNS_DEEP && radius > limit_mm - NEAR_DEEP_MM)
          return TRUE;
      }
  return FALSE;
}

/* Whether the bladder is in a plane: outlined, or there in truth where something else was
 * outlined in its place. */
static gboolean
is_in_plane (const Subject *subject, const TarnSweep *sweep, int plane)
{
  static TarnBorder border;
  if (sweep->plane[plane].outline.found)
    return TRUE;
  g_assert_cmpint (tarn_border_of_sweep (subject->body, sweep, plane, &border), ==, TARN_OK);
  return border.loops > 0;
}

static gboolean
is_in_picture (const Subject *subject, const TarnSweep *sweep, TarnCue cue)
{
  switch (cue)
    {
    case TARN_CUE_RUNS_INTO_MARK:
    case TARN_CUE_RUNS_INTO_OTHER:
    case TARN_CUE_RUNS_DEEP:
      return runs_into (sweep, cue);
    case TARN_CUE_FIRST_PLANES:
      return is_in_plane (subject, sweep, 0);
    case TARN_CUE_LAST_PLANES:
      return is_in_plane (subject, sweep, sweep->planes - 1);
    case TARN_CUE_BONE_SHADOW:
      return (sweep->acting & TARN_WITHOUT_BONE) != 0;
    case TARN_CUE_GAS:
      return (sweep->acting & TARN_WITHOUT_GAS) != 0;
    case TARN_CUE_DRY:
      return sweep->contact.wet_fraction < 1;
    case TARN_CUE_OTHER_DARK:
      return (sweep->acting & TARN_WITHOUT_OTHERS) != 0;
    case TARN_CUE_HURTS:
      return sweep->contact.guarding;
    case TARN_CUE_NOTHING_DARK:
      return sweep->reading.kind == TARN_READING_NOT_SEEN
             || sweep->reading.volume_ml < TARN_EMPTY_ML;
    default:
      return TRUE;
    }
}

static void
look_for (const Subject *subject, const TarnPose *pose, const TarnGelFilm *film, TarnCue cue)
{
  TarnGelFilm *pressed = film != NULL ? g_memdup2 (film, sizeof *film) : NULL;
  TarnSweep *sweep = g_new (TarnSweep, 1);
  TarnSweepSetup setup = tarn_sweep_setup (subject->body, pose);
  setup.motion = (TarnMotion){ 0 };
  setup.film = pressed;
  setup.planes = 18;
  setup.parallel = two_threads ();
  g_assert_cmpint (tarn_sweep_run (&setup, FALSE, sweep), ==, TARN_OK);
  cues++;
  if (is_in_picture (subject, sweep, cue))
    shown++;
  else
    g_test_message ("%s: above %.0f left %.0f tilt %.0f lean %.0f turn %.0f force %.1f: cue %d "
                    "does not show",
                    subject->name, pose->above_mm, pose->left_mm,
                    tarn_deg_from_rad (pose->tilt_rad), tarn_deg_from_rad (pose->lean_rad),
                    tarn_deg_from_rad (pose->turn_rad), pose->force_n, cue);
  tarn_sweep_clear (sweep);
  g_free (sweep);
  g_free (pressed);
}

static gboolean
is_move (TarnMoveKind kind)
{
  return kind != TARN_MOVE_STAY && kind < TARN_MOVE_STILL;
}

static void
advise_once (const Subject *subject, guint64 seed, gboolean look)
{
  TarnPose pose = random_pose (seed);
  TarnGelFilm *film = NULL;
  double depth_mm = tarn_body_patient (subject->body)->probe.depth_mm;
  if (tarn_uniform_at (seed, 6) < 0.5)
    {
      film = g_new0 (TarnGelFilm, 1);
      tarn_gel_dose (film, pose.above_mm, pose.left_mm, between (seed, 7, 1, 25));
    }
  TarnCoverage before, after;
  TarnStance stance = { .pose = pose, .film = film };
  TarnAdvice advice;
  g_assert_cmpint (tarn_coverage_at (subject->survey, &pose, film, 0, &before), ==, TARN_OK);
  gint64 begin_us = g_get_monotonic_time ();
  g_assert_cmpint (tarn_advise (subject->survey, &stance, two_threads (), &advice, NULL), ==,
                   TARN_OK);
  slowest_ms = fmax (slowest_ms, (double)(g_get_monotonic_time () - begin_us) / 1000);
  /* Whatever is advised, it is not to hurt. */
  double comfort_n = tarn_body_patient (subject->body)->temper.comfort_n;
  if (advice.move.kind == TARN_MOVE_PRESS)
    g_assert_cmpfloat (pose.force_n + advice.move.amount, <=, comfort_n + 1e-9);
  if (before.over_comfort)
    g_assert_cmpint (advice.move.kind, ==, TARN_MOVE_EASE);
  if (before.verdict != TARN_VERDICT_ACCURATE && is_move (advice.move.kind)
      && !before.over_comfort)
    {
      TarnPose to = pose;
      if (look)
        look_for (subject, &pose, film, advice.cue);
      follow (subject, &advice.move, &to, film, &depth_mm);
      g_assert_cmpint (tarn_coverage_at (subject->survey, &to, film, depth_mm, &after), ==,
                       TARN_OK);
      followed++;
      if (error_ml (subject, &after) < error_ml (subject, &before)
          || after.seen_ml > before.seen_ml)
        better++;
      else
        g_test_message ("%s: above %.0f left %.0f tilt %.0f lean %.0f force %.1f: move %d by "
                        "%.2f: %.1f instead of %.1f mL",
                        subject->name, pose.above_mm, pose.left_mm,
                        tarn_deg_from_rad (pose.tilt_rad), tarn_deg_from_rad (pose.lean_rad),
                        pose.force_n, advice.move.kind, advice.move.amount,
                        after.forecast.volume_ml, before.forecast.volume_ml);
    }
  g_free (film);
}

static void
advise_about (const TarnPatient *patient, const char *name)
{
  Subject subject = subject_of (patient, name);
  guint64 seed = g_str_hash (name);
  for (int k = 0; k < poses_each; k++)
    advise_once (&subject, tarn_hash_at (seed, (guint64)k), k % EVERY == 0);
  let_go (&subject);
}

static void
advise_about_file (const char *name)
{
  char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  GError *error = NULL;
  TarnPatientFile *file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  advise_about (&file->patient, name);
  tarn_patient_file_free (file);
  g_free (path);
}

static void
ask_everywhere (void)
{
  static const char *const files[] = { "01-plain-adult.anatomy",
                                       "03-slim-young-adult.anatomy",
                                       "04-large-abdomen.anatomy",
                                       "05-off-the-midline.anatomy",
                                       "06-low-behind-the-bone.anatomy",
                                       "08-fluid-in-the-belly.anatomy",
                                       "12-tube-that-does-not-drain.anatomy",
                                       "22-scar-and-gas.anatomy" };
  TarnPatient plain = person_plain (150), slim = person_slim (300), large = person_large (250);
  plain.habitus.fat_mm = 30;
  advise_about (&plain, "plain");
  advise_about (&slim, "slim");
  advise_about (&large, "large");
  for (guint k = 0; k < G_N_ELEMENTS (files); k++)
    advise_about_file (files[k]);
}

static void
test_advice_is_true_when_followed (void)
{
  g_test_message ("better %d of %d moves; cue shown %d of %d", better, followed, shown, cues);
  g_assert_cmpint (followed, >=, 10);
  g_assert_cmpfloat (better, >=, TRUE_SHARE * followed);
}

static void
test_the_cue_is_in_the_picture (void)
{
  /* Of few one may be missed. */
  g_assert_cmpint (cues, >=, 2);
  g_assert_cmpfloat (shown + 1, >=, TRUE_SHARE * cues);
}

int
main (int argc, char **argv)
{
  if (argc == 3 && strcmp (argv[1], "--poses") == 0)
    {
      poses_each = (int)g_ascii_strtoll (argv[2], NULL, 10);
      ask_everywhere ();
      g_print ("better %d of %d moves, cue shown %d of %d, slowest advice %.0f ms\n", better,
               followed, shown, cues, slowest_ms);
      return 0;
    }
  g_test_init (&argc, &argv, NULL);
  if (g_getenv ("TARN_TEST_QUICK") != NULL)
    poses_each = 3;
  ask_everywhere ();
  g_test_add_func ("/advice/is-true-when-followed", test_advice_is_true_when_followed);
  g_test_add_func ("/advice/the-cue-is-in-the-picture", test_the_cue_is_in_the_picture);
  return g_test_run ();
}
