/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * aim-test.c: sections around a pose, against the border that the plane's own test holds to
 * VTK, against the geometry of balls, and against the coverage of the same pose. */
#include "base/units.h"
#include "engine/coach/aim.h"
#include "engine/verdict/border.h"

#include <glib.h>
#include <string.h>

typedef struct
{
  TarnBody *body;
  TarnSurvey *survey;
} Person;

static Person
person_of (const TarnPatient *patient)
{
  Person person = { NULL, NULL };
  g_assert_cmpint (tarn_body_new (patient, 0, &person.body, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_survey_new (person.body, &person.survey), ==, TARN_OK);
  return person;
}

static void
person_clear (Person *person)
{
  tarn_survey_free (person->survey);
  tarn_body_free (person->body);
}

static TarnPatient
ellipsoid (double volume_ml, double length, double width)
{
  TarnPatient patient = tarn_patient_default ();
  double size = 2 * cbrt (volume_ml * TARN_MM3_PER_ML * 3 / (4 * TARN_PI));
  patient.bladder.volume_ml = volume_ml;
  patient.bladder.length_mm = size * length;
  patient.bladder.width_mm = size * width;
  patient.bladder.height_mm = size / length / width;
  patient.bladder.pear = patient.bladder.irregular = 0;
  return patient;
}

static TarnAimProfile
profile_of (const Person *person, TarnPose pose, const TarnGelFilm *film)
{
  TarnAimProfile profile;
  memset (&profile, 0x55, sizeof profile);
  g_assert_cmpint (tarn_aim_profile (person->survey, &pose, film, 0, &profile), ==, TARN_OK);
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    {
      const TarnAimSample *both[] = { &profile.tilt[k], &profile.slide[k] };
      for (int j = 0; j < 2; j++)
        {
          g_assert_cmpfloat (both[j]->seen_mm2, >=, 0);
          g_assert_cmpfloat (both[j]->seen_mm2, <=, both[j]->whole_mm2 + 1e-9);
        }
    }
  g_assert_cmpfloat (profile.tilt[TARN_AIM_SAMPLES / 2].offset, ==, 0);
  g_assert_cmpfloat (profile.slide[0].offset, ==, -TARN_AIM_SLIDE_MM);
  return profile;
}

/* Every section's area is the border's, tilted and slid. */
static void
test_areas_are_the_border_s (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.bladder.pear = 0.7;
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_DIVERTICULUM,
                                          .centre_mm = { 75, 60, 60 },
                                          .radii_mm = { 22, 20, 24 },
                                          .counts = true };
  Person person = person_of (&patient);
  static const TarnPose poses[]
      = { { .above_mm = 45, .tilt_rad = 0.1, .force_n = 8 },
          { .above_mm = 40, .left_mm = 10, .lean_rad = 0.2, .turn_rad = 1.57, .force_n = 15 } };
  for (gsize c = 0; c < G_N_ELEMENTS (poses); c++)
    {
      TarnAimProfile profile = profile_of (&person, poses[c], NULL);
      for (int k = 0; k < TARN_AIM_SAMPLES; k += 4)
        for (int slide = 0; slide <= 1; slide++)
          {
            const TarnAimSample *sample = slide ? &profile.slide[k] : &profile.tilt[k];
            TarnPose pose = poses[c];
            pose.above_mm += slide ? sample->offset * cos (pose.turn_rad) : 0;
            pose.left_mm += slide ? sample->offset * sin (pose.turn_rad) : 0;
            TarnShot shot;
            g_assert_cmpint (tarn_contact_solve (person.body, &pose, NULL, &shot.contact), ==,
                             TARN_OK);
            tarn_deform_init (&shot.deform, person.body, &shot.contact);
            TarnBorder border;
            g_assert_cmpint (
                tarn_border_in_plane (person.body, &shot, slide ? 0 : sample->offset, &border),
                ==, TARN_OK);
            g_assert_cmpfloat_with_epsilon (sample->whole_mm2, border.area_mm2,
                                            0.015 * border.area_mm2 + 40);
          }
    }
  person_clear (&person);
}

/* Of all planes through an axis, the one through a ball's middle cuts it largest: R² - d² is
 * most where d is 0.  The same for places along the skin, but for its bend. */
static void
test_the_largest_goes_through_the_middle (void)
{
  static const double length[] = { 1, 1.25, 1 }, width[] = { 1, 1, 1.2 };
  for (int c = 0; c < 3; c++)
    {
      TarnPatient patient = ellipsoid (200, length[c], width[c]);
      Person person = person_of (&patient);
      TarnPose pose = { .above_mm = 50, .tilt_rad = -0.05 };
      TarnAimProfile profile = profile_of (&person, pose, NULL);
      TarnContact contact;
      g_assert_cmpint (tarn_contact_solve (person.body, &pose, NULL, &contact), ==, TARN_OK);
      TarnPlaneFrame frame = tarn_plane_frame (&contact, profile.best_tilt_rad);
      TarnVec3 q = tarn_sub (tarn_body_lumen_centre_mm (person.body), frame.centre_mm);
      double off = tarn_dot (q, tarn_cross (frame.lateral, frame.axis));
      g_test_message ("best tilt %.1f deg, %.1f mm from the middle; share %.2f",
                      tarn_deg_from_rad (profile.best_tilt_rad), off, profile.tilt_share);
      g_assert_cmpfloat (fabs (off), <, c == 0 ? 1.5 : 8);
      g_assert_cmpfloat (profile.tilt_share, <, 0.98);
      g_assert_cmpfloat (profile.tilt_share, >, 0.05);

      pose.above_mm += profile.best_slide_mm;
      g_assert_cmpint (tarn_contact_solve (person.body, &pose, NULL, &contact), ==, TARN_OK);
      frame = tarn_plane_frame (&contact, 0);
      q = tarn_sub (tarn_body_lumen_centre_mm (person.body), frame.centre_mm);
      off = tarn_dot (q, tarn_cross (frame.lateral, frame.axis));
      g_test_message ("best slide %.1f mm, then %.1f mm from the middle", profile.best_slide_mm,
                      off);
      g_assert_cmpfloat (fabs (off), <, c == 0 ? 2 : 8);
      person_clear (&person);
    }
}

/* From a place moved by s the largest section lies at -s, along the way of each turn. */
static void
test_slides_follow_the_place (void)
{
  TarnPatient patient = ellipsoid (250, 1, 1);
  Person person = person_of (&patient);
  for (int turned = 0; turned <= 1; turned++)
    {
      TarnPose pose = { .above_mm = 50, .turn_rad = turned * TARN_PI / 2, .force_n = 2 };
      TarnAimProfile there = profile_of (&person, pose, NULL);
      for (int by = -25; by <= 25; by += 25)
        {
          TarnPose moved = pose;
          *(turned ? &moved.left_mm : &moved.above_mm) += by;
          TarnAimProfile profile = profile_of (&person, moved, NULL);
          g_test_message ("turn %d moved %d: best at %.1f", turned, by, profile.best_slide_mm);
          g_assert_cmpfloat_with_epsilon (profile.best_slide_mm, there.best_slide_mm - by, 1.5);
        }
      if (turned)
        g_assert_cmpfloat_with_epsilon (there.best_slide_mm, 0, 1); /* she is the same both
                                                                       sides */
      g_assert_cmpfloat (there.slide_share, <=, 1);
    }
  person_clear (&person);
}

static double
seen_share (const TarnAimProfile *profile)
{
  const TarnAimSample *middle = &profile->tilt[TARN_AIM_SAMPLES / 2];
  g_assert_cmpfloat (middle->whole_mm2, >, 500);
  return middle->seen_mm2 / middle->whole_mm2;
}

/* What hides, hides here too: a bare skin, bone before it, gas before it, the field's side. */
static void
test_seen (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                          .centre_mm = { 8, 25, 92 },
                                          .radii_mm = { 34, 9, 11 } };
  Person person = person_of (&patient);
  g_autofree TarnGelFilm *bare = g_new0 (TarnGelFilm, 1);
  TarnPose pose = { .above_mm = 50, .tilt_rad = 0.1, .force_n = 5 };
  TarnAimProfile clear = profile_of (&person, pose, NULL);
  g_assert_cmpfloat (seen_share (&clear), >, 0.99);
  TarnAimProfile dry = profile_of (&person, pose, bare);
  g_assert_cmpfloat (seen_share (&dry), ==, 0);
  g_assert_cmpfloat (dry.tilt[TARN_AIM_SAMPLES / 2].whole_mm2, ==,
                     clear.tilt[TARN_AIM_SAMPLES / 2].whole_mm2);
  for (int side = 0; side < TARN_SIDES; side++)
    g_assert_cmpfloat (dry.margin[side], ==, clear.margin[side]);

  TarnPose low = { .above_mm = 10, .turn_rad = 1.57, .force_n = 5 };
  TarnAimProfile behind_bone = profile_of (&person, low, NULL);
  g_test_message ("from low down: %.2f seen", seen_share (&behind_bone));
  g_assert_cmpfloat (seen_share (&behind_bone), <, 0.8);
  TarnPose high = { .above_mm = 105, .tilt_rad = 0.45, .force_n = 5 };
  TarnAimProfile behind_gas = profile_of (&person, high, NULL);
  g_test_message ("from above the gas: %.2f seen of %.0f mm2", seen_share (&behind_gas),
                  behind_gas.tilt[TARN_AIM_SAMPLES / 2].whole_mm2);
  g_assert_cmpfloat (seen_share (&behind_gas), <, 0.6);
  TarnPose leaning = { .above_mm = 50, .left_mm = 35, .lean_rad = 0.5, .force_n = 5 };
  TarnAimProfile cut = profile_of (&person, leaning, NULL);
  g_test_message ("leaning away: %.2f seen", seen_share (&cut));
  g_assert_cmpfloat (seen_share (&cut), <, 0.9);
  g_assert_cmpfloat (seen_share (&cut), >, 0);
  person_clear (&person);
}

/* Margins are the coverage's, the same asked twice is the same, and poses that cannot be are
 * refused as the coverage refuses them. */
static void
test_margins_and_refusals (void)
{
  TarnPatient patient = tarn_patient_default ();
  Person person = person_of (&patient);
  TarnPose pose = { .above_mm = 45, .force_n = 5 };
  TarnAimProfile one = profile_of (&person, pose, NULL), two = profile_of (&person, pose, NULL);
  g_assert_cmpmem (&one, sizeof one, &two, sizeof two);
  TarnCoverage coverage;
  g_assert_cmpint (tarn_coverage_at (person.survey, &pose, NULL, 0, &coverage), ==, TARN_OK);
  g_assert_cmpmem (one.margin, sizeof one.margin, coverage.margin, sizeof coverage.margin);

  /* At the rim of the body the places beyond it are empty. */
  TarnPose rim = { .above_mm = 40, .left_mm = 115, .turn_rad = 1.57, .force_n = 2 };
  TarnAimProfile profile;
  TarnStatus status = tarn_aim_profile (person.survey, &rim, NULL, 0, &profile);
  if (status == TARN_OK)
    g_assert_cmpfloat (profile.slide[TARN_AIM_SAMPLES - 1].whole_mm2, >=, 0);
  pose.left_mm = 1000;
  g_assert_cmpint (tarn_aim_profile (person.survey, &pose, NULL, 0, &profile), !=, TARN_OK);
  pose.left_mm = 0;
  g_assert_cmpint (tarn_aim_profile (person.survey, &pose, NULL, 7, &profile), ==,
                   TARN_OUT_OF_RANGE);
  person_clear (&person);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/aim/areas", test_areas_are_the_border_s);
  g_test_add_func ("/aim/middle", test_the_largest_goes_through_the_middle);
  g_test_add_func ("/aim/slides", test_slides_follow_the_place);
  g_test_add_func ("/aim/seen", test_seen);
  g_test_add_func ("/aim/margins", test_margins_and_refusals);
  return g_test_run ();
}
