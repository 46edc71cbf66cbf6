/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Advice: what the moves do, what is said by the picture alone of outlines drawn by hand, and
 * what is said at the bedside. */
#include "engine/coach/advice.h"

#include "base/units.h"

#include <glib.h>
#include <math.h>

static const TarnMoveKind opposite[][2] = {
  { TARN_MOVE_SLIDE_HEAD, TARN_MOVE_SLIDE_FEET },
  { TARN_MOVE_SLIDE_LEFT, TARN_MOVE_SLIDE_RIGHT },
  { TARN_MOVE_TILT_FEET, TARN_MOVE_TILT_HEAD },
  { TARN_MOVE_LEAN_LEFT, TARN_MOVE_LEAN_RIGHT },
  { TARN_MOVE_PRESS, TARN_MOVE_EASE },
  { TARN_MOVE_TURN, TARN_MOVE_TURN },
};

static double
difference (const TarnPose *a, const TarnPose *b)
{
  return fabs (a->above_mm - b->above_mm) + fabs (a->left_mm - b->left_mm)
         + fabs (a->tilt_rad - b->tilt_rad) + fabs (a->lean_rad - b->lean_rad)
         + fabs (a->turn_rad - b->turn_rad) + fabs (a->force_n - b->force_n);
}

static void
test_opposite_moves_undo_each_other (void)
{
  TarnPose pose = { .above_mm = 40, .left_mm = 3, .tilt_rad = 0.1, .force_n = 8 };
  for (guint k = 0; k < G_N_ELEMENTS (opposite); k++)
    {
      TarnMove move = { opposite[k][0], 0.5 }, back = { opposite[k][1], 0.5 };
      TarnPose there = tarn_move_pose (&move, &pose), again = tarn_move_pose (&back, &there);
      g_assert_cmpfloat (difference (&pose, &there), >, 0.4);
      g_assert_cmpfloat (difference (&pose, &again), <, 1e-12);
    }
}

/* A hand presses between 1 and 40 N. */
static void
test_the_hand_has_limits (void)
{
  TarnPose pose = { .force_n = 8 };
  TarnMove press = { TARN_MOVE_PRESS, 100 }, ease = { TARN_MOVE_EASE, 100 };
  g_assert_cmpfloat (tarn_move_pose (&press, &pose).force_n, ==, 40);
  g_assert_cmpfloat (tarn_move_pose (&ease, &pose).force_n, ==, 1);
}

/* A sweep of which only outlines are known. */
#define PLANES 36
#define LOW_MM 0.0
typedef struct
{
  TarnSweepPlane plane[PLANES];
  TarnSweepSeen seen;
} Drawn;

/* A ball at fan angle @fan_deg, line angle @line_deg, @radius_mm big, 80 mm from the centre of
 * curvature, as a field of ±40° by ±35° cuts it.  The probe stands so low that even one at the
 * head's end lies where a bladder does. */
static Drawn *
draw_ball (double fan_deg, double line_deg, double radius_mm)
{
  Drawn *drawn = g_new0 (Drawn, 1);
  TarnPatient patient = tarn_patient_default ();
  drawn->seen = (TarnSweepSeen){ .pose = { .above_mm = LOW_MM, .force_n = 3 },
                                 .plane = drawn->plane,
                                 .planes = PLANES,
                                 .geometry = tarn_plane_geometry (&patient.probe, 0),
                                 .reading = { TARN_READING_LOWER_BOUND, 100 },
                                 .wet_fraction = 1,
                                 .comfort_n = INFINITY };
  double far_mm = 80, half_rad = -drawn->seen.geometry.first_angle_rad;
  double u0 = far_mm * sin (tarn_rad_from_deg (line_deg));
  double v0 = far_mm * cos (tarn_rad_from_deg (line_deg));
  for (int k = 0; k < PLANES; k++)
    {
      TarnSweepPlane *plane = &drawn->plane[k];
      TarnOutline *outline = &plane->outline;
      plane->fan_rad = tarn_rad_from_deg (70.0 * (k + 0.5) / PLANES - 35);
      double off_rad = plane->fan_rad - tarn_rad_from_deg (fan_deg);
      double middle_mm = v0 * cos (off_rad), beside_mm = v0 * sin (off_rad);
      double squared = radius_mm * radius_mm - beside_mm * beside_mm;
      if (squared <= 0)
        continue;
      outline->found = true;
      for (int n = 0; n < TARN_OUTLINE_POINTS; n++)
        {
          double way = 2 * TARN_PI * n / TARN_OUTLINE_POINTS;
          double u = u0 + sqrt (squared) * cos (way),
                 v = middle_mm + sqrt (squared) * sin (way);
          TarnOutlinePoint *p = &outline->point[n];
          p->evidence = TARN_EVIDENCE_SEEN;
          if (fabs (atan2 (u, v)) > half_rad)
            {
              /* On the side itself, as far away as it was. */
              double line = u < 0 ? -half_rad : half_rad, far = hypot (u, v);
              u = far * sin (line);
              v = far * cos (line);
              p->evidence = TARN_EVIDENCE_AT_EDGE;
            }
          p->u_mm = (float)u;
          p->v_mm = (float)v;
          outline->at_edge
              += (p->evidence == TARN_EVIDENCE_AT_EDGE) / (double)TARN_OUTLINE_POINTS;
        }
      tarn_outline_measure (outline->point, TARN_OUTLINE_POINTS, &outline->area_mm2,
                            &outline->moment_mm3);
      outline->seen = 1 - outline->at_edge;
    }
  return drawn;
}

static TarnAdvice
advice_of (Drawn *drawn)
{
  TarnAdvice advice = tarn_advise_by_image (&drawn->seen);
  g_free (drawn);
  return advice;
}

static void
expect (TarnAdvice advice, TarnMoveKind kind, TarnMoveKind or_kind, TarnCue cue)
{
  g_test_message ("move %d by %.2f, cue %d", advice.move.kind, advice.move.amount, advice.cue);
  g_assert_true (advice.move.kind == kind || advice.move.kind == or_kind);
  g_assert_cmpint (advice.cue, ==, cue);
}

static void
test_what_is_closed_is_let_be (void)
{
  expect (advice_of (draw_ball (0, 0, 30)), TARN_MOVE_STAY, TARN_MOVE_STAY, TARN_CUE_CLOSED);
}

/* Transverse, the mark to the patient's right; sagittal, to his head. */
static void
test_the_beam_follows_what_leaves_the_picture (void)
{
  expect (advice_of (draw_ball (0, -35, 30)), TARN_MOVE_LEAN_RIGHT, TARN_MOVE_SLIDE_RIGHT,
          TARN_CUE_RUNS_INTO_MARK);
  expect (advice_of (draw_ball (0, 35, 30)), TARN_MOVE_LEAN_LEFT, TARN_MOVE_SLIDE_LEFT,
          TARN_CUE_RUNS_INTO_OTHER);
  expect (advice_of (draw_ball (-30, 0, 30)), TARN_MOVE_TILT_FEET, TARN_MOVE_SLIDE_FEET,
          TARN_CUE_FIRST_PLANES);
  expect (advice_of (draw_ball (30, 0, 30)), TARN_MOVE_TILT_HEAD, TARN_MOVE_SLIDE_HEAD,
          TARN_CUE_LAST_PLANES);
  Drawn *sagittal = draw_ball (0, -35, 30);
  sagittal->seen.pose.turn_rad = TARN_PI / 2;
  expect (advice_of (sagittal), TARN_MOVE_TILT_HEAD, TARN_MOVE_SLIDE_HEAD,
          TARN_CUE_RUNS_INTO_MARK);
  sagittal = draw_ball (30, 0, 30);
  sagittal->seen.pose.turn_rad = TARN_PI / 2;
  expect (advice_of (sagittal), TARN_MOVE_LEAN_LEFT, TARN_MOVE_SLIDE_LEFT,
          TARN_CUE_LAST_PLANES);
}

/* Tilting by what is advised brings the ball near the middle: it is at fan_deg, as drawn. */
static void
test_it_tilts_by_what_is_wanting (void)
{
  for (double fan_deg = 26; fan_deg <= 34; fan_deg += 4)
    {
      Drawn *drawn = draw_ball (fan_deg, 0, 32);
      drawn->seen.pose.tilt_rad = tarn_rad_from_deg (30);
      TarnAdvice advice = advice_of (drawn);
      g_assert_cmpint (advice.move.kind, ==, TARN_MOVE_TILT_HEAD);
      g_assert_cmpfloat_with_epsilon (tarn_deg_from_rad (advice.move.amount), fan_deg, 6);
    }
}

static void
test_what_no_field_holds_is_at_least (void)
{
  g_assert_cmpint (advice_of (draw_ball (0, 0, 70)).move.kind, ==, TARN_MOVE_AT_LEAST);
  Drawn *pressed = draw_ball (0, 0, 70);
  pressed->seen.pose.force_n = 12;
  g_assert_cmpint (advice_of (pressed).move.kind, ==, TARN_MOVE_EASE);
}

static void
test_what_the_hand_feels_comes_first (void)
{
  Drawn *drawn = draw_ball (0, -35, 30);
  drawn->seen.wet_fraction = 0.4;
  expect (advice_of (drawn), TARN_MOVE_GEL, TARN_MOVE_GEL, TARN_CUE_DRY);
  drawn = draw_ball (0, -35, 30);
  drawn->seen.has_pannus = true;
  expect (advice_of (drawn), TARN_MOVE_LIFT, TARN_MOVE_LIFT, TARN_CUE_FAR);
  drawn = draw_ball (0, -35, 30);
  drawn->seen.pose.force_n = 16;
  drawn->seen.comfort_n = 14;
  TarnAdvice advice = advice_of (drawn);
  expect (advice, TARN_MOVE_EASE, TARN_MOVE_EASE, TARN_CUE_HURTS);
  g_assert_cmpfloat (16 - advice.move.amount, <, 14);
  drawn = draw_ball (0, 0, 30);
  drawn->seen.wander_mm = 9;
  expect (advice_of (drawn), TARN_MOVE_STILL, TARN_MOVE_STILL, TARN_CUE_WANDERS);
}

/* Nothing found far from the landmark: back towards it. */
static void
test_nothing_found_leads_back_to_the_landmark (void)
{
  Drawn *drawn = g_new0 (Drawn, 1);
  drawn->seen = (TarnSweepSeen){ .pose = { .above_mm = 45, .left_mm = 60, .force_n = 5 },
                                 .plane = drawn->plane,
                                 .planes = PLANES,
                                 .reading = { TARN_READING_NOT_SEEN, 0 },
                                 .wet_fraction = 1,
                                 .comfort_n = INFINITY };
  expect (advice_of (drawn), TARN_MOVE_SLIDE_RIGHT, TARN_MOVE_SLIDE_RIGHT,
          TARN_CUE_NOTHING_DARK);
}

/* What begins high above the bone, or lies beside the midline, may be anything: first one looks
 * where a bladder must be (common practice, no source). */
static void
test_what_lies_as_no_bladder_does_is_doubted (void)
{
  Drawn *drawn = draw_ball (0, 0, 30);
  drawn->seen.pose.above_mm = 95;
  expect (advice_of (drawn), TARN_MOVE_SLIDE_FEET, TARN_MOVE_SLIDE_FEET, TARN_CUE_OTHER_DARK);
  drawn = draw_ball (0, 0, 30);
  drawn->seen.pose.above_mm = 65;
  expect (advice_of (drawn), TARN_MOVE_TILT_FEET, TARN_MOVE_TILT_FEET, TARN_CUE_OTHER_DARK);
  for (int side = -1; side <= 1; side += 2)
    {
      drawn = draw_ball (0, 0, 25);
      drawn->seen.pose.left_mm = side * 50;
      TarnMoveKind back = side > 0 ? TARN_MOVE_SLIDE_RIGHT : TARN_MOVE_SLIDE_LEFT;
      expect (advice_of (drawn), back, back, TARN_CUE_OTHER_DARK);
    }
}

/* Though wherever one looks the same were seen again. */
static void
test_doubt_ends (void)
{
  for (int above_mm = 10; above_mm <= 140; above_mm += 10)
    for (int left_mm = -60; left_mm <= 60; left_mm += 30)
      {
        Drawn *drawn = draw_ball (10, 0, 20);
        drawn->seen.pose.above_mm = above_mm;
        drawn->seen.pose.left_mm = left_mm;
        int moves = 0;
        for (; moves < 5; moves++)
          {
            TarnAdvice advice = tarn_advise_by_image (&drawn->seen);
            if (advice.cue != TARN_CUE_OTHER_DARK)
              break;
            drawn->seen.pose = tarn_move_pose (&advice.move, &drawn->seen.pose);
          }
        g_assert_cmpint (moves, <, 5);
        g_free (drawn);
      }
}

/* Each time less far, and in the end no further. */
static void
test_no_way_leads_back_to_what_was_doubted (void)
{
  Drawn *drawn = draw_ball (30, 0, 30);
  TarnPose doubted[6];
  drawn->seen.pose.tilt_rad = tarn_rad_from_deg (30);
  drawn->seen.doubted = doubted;
  double before_rad = INFINITY;
  while (drawn->seen.doubts < (int)G_N_ELEMENTS (doubted))
    {
      TarnAdvice advice = tarn_advise_by_image (&drawn->seen);
      if (advice.move.kind == TARN_MOVE_AT_LEAST)
        break;
      g_assert_cmpint (advice.move.kind, ==, TARN_MOVE_TILT_HEAD);
      g_assert_cmpfloat (advice.move.amount, <, before_rad);
      before_rad = advice.move.amount;
      doubted[drawn->seen.doubts++] = tarn_move_pose (&advice.move, &drawn->seen.pose);
    }
  g_assert_cmpint (drawn->seen.doubts, >=, 1);
  g_assert_cmpint (advice_of (drawn).move.kind, ==, TARN_MOVE_AT_LEAST);
}

/* At the bedside. */
static TarnAdvice
advise (const TarnSurvey *survey, TarnPose pose, const TarnParallel *parallel)
{
  TarnStance stance = { .pose = pose };
  TarnAdvice advice;
  g_assert_cmpint (tarn_advise (survey, &stance, parallel, &advice, NULL), ==, TARN_OK);
  return advice;
}

typedef struct
{
  TarnBody *body;
  TarnSurvey *survey;
} Bedside;

static void
come (Bedside *bedside, gconstpointer data)
{
  TarnPatient patient = tarn_patient_default ();
  (void)data;
  patient.temper.comfort_n = 14;
  g_assert_cmpint (tarn_body_new (&patient, 0, &bedside->body, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_survey_new (bedside->body, &bedside->survey), ==, TARN_OK);
}

static void
leave (Bedside *bedside, gconstpointer data)
{
  (void)data;
  tarn_survey_free (bedside->survey);
  tarn_body_free (bedside->body);
}

static void
test_pain_comes_before_millilitres (Bedside *bedside, gconstpointer data)
{
  TarnPose pose = { .above_mm = 15, .tilt_rad = 0.6, .force_n = 20 };
  TarnAdvice advice = advise (bedside->survey, pose, NULL);
  (void)data;
  expect (advice, TARN_MOVE_EASE, TARN_MOVE_EASE, TARN_CUE_HURTS);
  g_assert_cmpfloat (20 - advice.move.amount, <, 14);
}

/* From a pose that sees half, advice leads to an accurate one, and then says so. */
static void
test_advice_ends (Bedside *bedside, gconstpointer data)
{
  TarnPose pose = { .above_mm = 15, .left_mm = -25, .tilt_rad = 0.55, .force_n = 10 };
  TarnAdvice advice = { 0 };
  int moves = 0;
  (void)data;
  for (; moves < 8; moves++)
    {
      TarnStance stance = { .pose = pose };
      TarnPose after;
      g_assert_cmpint (tarn_advise (bedside->survey, &stance, NULL, &advice, &after), ==,
                       TARN_OK);
      if (advice.move.kind == TARN_MOVE_STAY)
        break;
      TarnPose moved = tarn_move_pose (&advice.move, &pose);
      g_assert_cmpfloat (difference (&moved, &after), <, 1e-12);
      pose = after;
    }
  g_assert_cmpint (moves, >=, 1);
  g_assert_cmpint (advice.move.kind, ==, TARN_MOVE_STAY);
  g_assert_true (advice.accurate_after);
}

static void
test_threads_change_nothing (Bedside *bedside, gconstpointer data)
{
  TarnThreadPool *pool = tarn_thread_pool_new (3);
  TarnPose pose = { .above_mm = 20, .left_mm = 20, .tilt_rad = 0.4, .force_n = 6 };
  TarnAdvice alone = advise (bedside->survey, pose, NULL);
  TarnAdvice many = advise (bedside->survey, pose, tarn_thread_pool_parallel (pool));
  (void)data;
  g_assert_cmpint (alone.move.kind, ==, many.move.kind);
  g_assert_cmpfloat (alone.move.amount, ==, many.move.amount);
  g_assert_cmpfloat (alone.gain_ml, ==, many.gain_ml);
  g_assert_cmpfloat (alone.expected_ml, ==, many.expected_ml);
  tarn_thread_pool_free (pool);
}

static void
test_off_the_body_there_is_none (Bedside *bedside, gconstpointer data)
{
  TarnStance stance = { .pose = { .above_mm = 900, .force_n = 5 } };
  TarnAdvice advice = { .gain_ml = 7 };
  (void)data;
  g_assert_cmpint (tarn_advise (bedside->survey, &stance, NULL, &advice, NULL), ==,
                   TARN_OFF_BODY);
  g_assert_cmpfloat (advice.gain_ml, ==, 7);
}

#define AT_BEDSIDE(path, test) g_test_add (path, Bedside, NULL, come, test, leave)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/moves/opposite-ones-undo-each-other", test_opposite_moves_undo_each_other);
  g_test_add_func ("/moves/the-hand-has-limits", test_the_hand_has_limits);
  g_test_add_func ("/by-image/what-is-closed-is-let-be", test_what_is_closed_is_let_be);
  g_test_add_func ("/by-image/the-beam-follows-what-leaves-the-picture",
                   test_the_beam_follows_what_leaves_the_picture);
  g_test_add_func ("/by-image/it-tilts-by-what-is-wanting", test_it_tilts_by_what_is_wanting);
  g_test_add_func ("/by-image/what-no-field-holds-is-at-least",
                   test_what_no_field_holds_is_at_least);
  g_test_add_func ("/by-image/what-the-hand-feels-comes-first",
                   test_what_the_hand_feels_comes_first);
  g_test_add_func ("/by-image/nothing-found-leads-back-to-the-landmark",
                   test_nothing_found_leads_back_to_the_landmark);
  g_test_add_func ("/by-image/what-lies-as-no-bladder-does-is-doubted",
                   test_what_lies_as_no_bladder_does_is_doubted);
  g_test_add_func ("/by-image/doubt-ends", test_doubt_ends);
  g_test_add_func ("/by-image/no-way-leads-back-to-what-was-doubted",
                   test_no_way_leads_back_to_what_was_doubted);
  AT_BEDSIDE ("/advise/pain-comes-before-millilitres", test_pain_comes_before_millilitres);
  AT_BEDSIDE ("/advise/advice-ends", test_advice_ends);
  AT_BEDSIDE ("/advise/threads-change-nothing", test_threads_change_nothing);
  AT_BEDSIDE ("/advise/off-the-body-there-is-none", test_off_the_body_there_is_none);
  return g_test_run ();
}
