/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * validate.c: whether a patient can be.
 *
 * First every field alone, by the list; then what only several fields together show.  The
 * limits of the second part are own design values unless a line says otherwise. */
#include "base/image.h"
#include "base/units.h"
#include "engine/patient/fields.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The ledger renders a wider field around the probe's, at the same pitches, and it has to fit
 * the largest picture and fan there are. */
#define WIDE_DEG      150.0
#define WIDE_DEPTH_MM 260.0
#define WIDE_PLANES   128.0

/* Between the fat and the symphysis' upper front edge. */
#define BONE_BEHIND_FAT_MM 4.0
/* The pelvis lies in the front part of the torso: this fraction of its depth reaches the
 * sacrum (110 of 200 mm in a slim adult). */
#define SACRUM_FRACTION 0.55

static void
name_field (char *key, size_t size, const TarnField *field, int structure)
{
  const char *group = tarn_field_group_name (field->group);
  if (field->group == TARN_GROUP_STRUCTURE)
    snprintf (key, size, "[%s %d] %s", group, structure + 1, field->key);
  else
    snprintf (key, size, "[%s] %s", group, field->key);
}

/* Each field alone. */

static TarnStatus
check_numbers (const TarnField *field, const void *owner, int structure, TarnProblem *problem)
{
  for (int k = 0; k < tarn_field_components (field); k++)
    {
      double value = tarn_field_get (field, owner, k);
      /* A default may stand outside the range, for something that no number says. */
      bool said = field->derive == NULL && field->note != NULL && value == field->fixed;
      if (said || tarn_field_holds (field, value))
        continue;
      char key[64];
      name_field (key, sizeof key, field, structure);
      return tarn_problem_set (problem, TARN_OUT_OF_RANGE, key,
                               "out of range (%.16g … %.16g%s%s)", field->low, field->high,
                               field->unit[0] != '\0' ? " " : "", field->unit);
    }
  return TARN_OK;
}

static bool
is_id (const char *id)
{
  size_t length = strspn (id, "abcdefghijklmnopqrstuvwxyz0123456789-");
  return length >= 1 && id[length] == '\0';
}

static TarnStatus
check_fields (const TarnPatient *patient, TarnProblem *problem)
{
  if (patient->structures < 0 || patient->structures > TARN_STRUCTURES_MAX)
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, "[Structure]", "at most %d structures",
                             TARN_STRUCTURES_MAX);

  TarnStatus status = TARN_OK;
  for (int k = 0; k < tarn_field_count () && status == TARN_OK; k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != TARN_GROUP_STRUCTURE)
        status = check_numbers (field, patient, 0, problem);
      else
        for (int s = 0; s < patient->structures && status == TARN_OK; s++)
          status = check_numbers (field, &patient->structure[s], s, problem);
    }
  if (status != TARN_OK)
    return status;

  if (memchr (patient->id, '\0', sizeof patient->id) == NULL || !is_id (patient->id))
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, "[Anatomy] id",
                             "small letters, digits and hyphens only (1 … 63 of them)");
  return TARN_OK;
}

static TarnStatus
check_prose (const TarnPatient *patient, TarnProblem *problem)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (!tarn_field_is_text (field))
        continue;
      char key[64];
      name_field (key, sizeof key, field, 0);
      bool translated = false, there = false;
      for (int p = 0; p < patient->proses; p++)
        {
          const TarnProse *prose = &patient->prose[p];
          if (strcmp (prose->key, field->key) != 0)
            continue;
          translated |= prose->locale[0] != '\0';
          there |= prose->locale[0] == '\0';
          size_t length = strlen (prose->value);
          if (length < field->low || length > field->high)
            return tarn_problem_set (problem, TARN_OUT_OF_RANGE, key,
                                     "%zu bytes long (range %.0f … %.0f bytes)", length,
                                     field->low, field->high);
        }
      if (translated && !there)
        return tarn_problem_set (problem, TARN_IMPOSSIBLE, key,
                                 "translated, but the untranslated text is missing");
    }
  return TARN_OK;
}

/* Fields together. */

static TarnStatus
check_torso (const TarnPatient *patient, TarnProblem *problem)
{
  const TarnHabitus *habitus = &patient->habitus;
  const TarnSymphysis *symphysis = &patient->symphysis;
  double fat_mm = habitus->fat_mm * (1 + patient->variation.fat_percent / 100);

  /* The symphysis' extent from front to back, and it must end before the sacrum. */
  double slope = tarn_rad_from_deg (symphysis->inclination_deg);
  double bone_mm = symphysis->height_mm * sin (slope) + symphysis->thickness_mm * cos (slope);
  double needed_mm
      = ceil ((habitus->skin_mm + fat_mm + BONE_BEHIND_FAT_MM + bone_mm) / SACRUM_FRACTION);
  if (habitus->torso_depth_mm < needed_mm)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Habitus] torso-depth-mm",
                             "too little for a symphysis behind %.16g mm of fat: "
                             "at least %.0f mm",
                             fat_mm, needed_mm);

  needed_mm = ceil (habitus->torso_depth_mm * 0.8);
  if (habitus->torso_width_mm < needed_mm)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Habitus] torso-width-mm",
                             "too little for a torso so deep: at least %.0f mm", needed_mm);
  return TARN_OK;
}

static TarnStatus
check_bladder (const TarnPatient *patient, TarnProblem *problem)
{
  const TarnBladder *bladder = &patient->bladder;
  double least = fmin (bladder->length_mm, fmin (bladder->width_mm, bladder->height_mm));
  double most = fmax (bladder->length_mm, fmax (bladder->width_mm, bladder->height_mm));
  if (most > 10 * least)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Bladder] length-mm",
                             "length, width and height differ by more than tenfold");
  return TARN_OK;
}

static double
ellipsoid_ml (TarnVec3 radii_mm)
{
  return 4 * TARN_PI / 3 * radii_mm.x * radii_mm.y * radii_mm.z / TARN_MM3_PER_ML;
}

static TarnStatus
check_structures (const TarnPatient *patient, TarnProblem *problem)
{
  double inside_ml = 0;
  double lumen_ml = patient->bladder.volume_ml * (1 - patient->variation.volume_percent / 100);
  for (int s = 0; s < patient->structures; s++)
    {
      const TarnStructure *structure = &patient->structure[s];
      const char *name = tarn_structure_kind_name (structure->kind);
      char key[64];
      snprintf (key, sizeof key, "[Structure %d] kind", s + 1);

      bool of_women = structure->kind == TARN_STRUCTURE_UTERUS
                      || structure->kind == TARN_STRUCTURE_GRAVID_UTERUS;
      bool of_men = structure->kind == TARN_STRUCTURE_PROSTATE;
      if ((of_women && patient->habitus.sex == TARN_SEX_MALE)
          || (of_men && patient->habitus.sex == TARN_SEX_FEMALE))
        return tarn_problem_set (problem, TARN_IMPOSSIBLE, key, "no %s in a %s patient", name,
                                 of_men ? "female" : "male");

      if (structure->counts && structure->kind != TARN_STRUCTURE_DIVERTICULUM)
        {
          snprintf (key, sizeof key, "[Structure %d] counts", s + 1);
          return tarn_problem_set (
              problem, TARN_IMPOSSIBLE, key,
              "only a diverticulum holds the bladder's urine, a %s does not", name);
        }

      if (!tarn_structure_is_inside (structure->kind))
        continue;
      inside_ml += ellipsoid_ml (structure->radii_mm);
      if (inside_ml > 0.9 * lumen_ml)
        {
          snprintf (key, sizeof key, "[Structure %d] radii-mm", s + 1);
          return tarn_problem_set (problem, TARN_IMPOSSIBLE, key,
                                   "with this %s %.1f mL lie inside a lumen of %.1f mL: "
                                   "at most nine tenths",
                                   name, inside_ml, lumen_ml);
        }
    }
  return TARN_OK;
}

static TarnStatus
check_probe (const TarnPatient *patient, TarnProblem *problem)
{
  const TarnProbe *probe = &patient->probe;
  double lines = floor (fmin (1, probe->sector_deg / WIDE_DEG) * TARN_LINES_MAX);
  double samples = floor (fmin (1, probe->depth_mm / WIDE_DEPTH_MM) * TARN_SAMPLES_MAX);
  double planes = floor (fmin (1, probe->fan_deg / WIDE_DEG) * WIDE_PLANES);
  const struct
  {
    const char *key, *of;
    int value;
    double most;
  } part[] = {
    { "[Probe] lines", "sector", probe->lines, lines },
    { "[Probe] samples", "depth", probe->samples, samples },
    { "[Probe] planes", "fan", probe->planes, planes },
  };
  for (int k = 0; k < 3; k++)
    if (part[k].value > part[k].most)
      return tarn_problem_set (problem, TARN_IMPOSSIBLE, part[k].key,
                               "too many for so small a %s: at most %.0f", part[k].of,
                               part[k].most);
  return TARN_OK;
}

static TarnStatus
check_situation (const TarnPatient *patient, TarnProblem *problem)
{
  const TarnSituation *situation = &patient->situation;
  if (!situation->consents && !situation->stop)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Situation] consent",
                             "a patient who does not consent needs a stop");
  if ((patient->pass.must_not_miss & TARN_MISS_SCANNED_AGAINST_STOP) && !situation->stop)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Pass] must-not-miss",
                             "scanned-against-stop can only happen where there is a stop");
  if ((patient->pass.must_not_miss & TARN_MISS_BLOCKED_CATHETER_MISSED)
      && situation->catheter != TARN_CATHETER_BLOCKED)
    return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Pass] must-not-miss",
                             "blocked-catheter-missed can only happen with catheter=blocked");
  return TARN_OK;
}

/* In the order in which they are asked. */
static TarnStatus (*const checks[]) (const TarnPatient *, TarnProblem *) = {
  check_fields,     check_prose, check_torso,     check_bladder,
  check_structures, check_probe, check_situation,
};
#define CHECKS ((int)(sizeof checks / sizeof checks[0]))

TarnStatus
tarn_patient_validate (const TarnPatient *patient, TarnProblem *problem)
{
  TarnStatus status = TARN_OK;
  for (int k = 0; k < CHECKS && status == TARN_OK; k++)
    status = checks[k](patient, problem);
  return status;
}

int
tarn_patient_problems (const TarnPatient *patient, TarnProblem *problem, int most)
{
  int found = 0;
  for (int k = 0; k < CHECKS && found < most; k++)
    if (checks[k](patient, &problem[found]) != TARN_OK)
      found++;
  return found;
}
