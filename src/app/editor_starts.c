/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * All sizes that follow from age and sex stay at their defaults; only what makes the build is
 * stated.  Fat of 8, 18 and 50 mm stands for slim, average and large (own design values). */
#include "app/editor_starts.h"

#include "engine/patient/fields.h"

#include <glib/gi18n.h>

typedef struct
{
  const char *name, *title;
  TarnSex sex;
  double age_years, fat_mm, pannus_mm, volume_ml;
} Start;

static const Start start_of[TARN_STARTS] = {
  [TARN_START_AVERAGE]
  = { "average", N_ ("A woman of average build"), TARN_SEX_FEMALE, 40, 18, 0, 300 },
  [TARN_START_SLIM] = { "slim", N_ ("A slim woman"), TARN_SEX_FEMALE, 28, 8, 0, 250 },
  [TARN_START_LARGE]
  = { "large", N_ ("A large woman with a fold"), TARN_SEX_FEMALE, 55, 50, 25, 350 },
  [TARN_START_MAN] = { "man", N_ ("A man of average build"), TARN_SEX_MALE, 60, 18, 0, 350 },
  [TARN_START_INFANT]
  = { "infant", N_ ("An infant of nine months"), TARN_SEX_FEMALE, 0.75, 6, 0, 30 },
  [TARN_START_TODDLER]
  = { "toddler", N_ ("A child of three years"), TARN_SEX_MALE, 3, 6, 0, 70 },
  [TARN_START_CHILD] = { "child", N_ ("A child of eight years"), TARN_SEX_MALE, 8, 8, 0, 150 },
  [TARN_START_TEENAGER]
  = { "teenager", N_ ("A girl of fourteen years"), TARN_SEX_FEMALE, 14, 12, 0, 250 },
  [TARN_START_AFTER_BIRTH]
  = { "after-birth", N_ ("A woman on the day after birth"), TARN_SEX_FEMALE, 31, 22, 0, 450 },
};

const char *
tarn_editor_start_name (TarnEditorStart start)
{
  g_return_val_if_fail (start < TARN_STARTS, "");
  return start_of[start].name;
}

const char *
tarn_editor_start_title (TarnEditorStart start)
{
  g_return_val_if_fail (start < TARN_STARTS, "");
  return _ (start_of[start].title);
}

static void
state (TarnPatient *patient, TarnFieldGroup group, const char *key, double value)
{
  const TarnField *field = tarn_field_find (group, key);
  tarn_field_set (field, patient, 0, value);
  tarn_field_state (field, patient, NULL, true);
}

/* The uterus after birth, 92 mm from front to back on the first day as published, stands
 * above and behind a bladder that it leaves wide and flat. */
static void
add_uterus (TarnPatient *patient)
{
  TarnStructure *uterus = &patient->structure[patient->structures++];
  uterus->kind = TARN_STRUCTURE_UTERUS;
  uterus->centre_mm = tarn_vec3 (0, 72, 165);
  uterus->radii_mm = tarn_vec3 (52, 46, 75);
  for (int k = 0; k < tarn_field_count (); k++)
    if (tarn_field_at (k)->group == TARN_GROUP_STRUCTURE && tarn_field_at (k)->required)
      tarn_field_state (tarn_field_at (k), patient, uterus, true);
  state (patient, TARN_GROUP_HABITUS, "torso-depth-mm", 240);
  state (patient, TARN_GROUP_HABITUS, "torso-width-mm", 330);
  state (patient, TARN_GROUP_BLADDER, "length-mm", 95);
  state (patient, TARN_GROUP_BLADDER, "width-mm", 125);
  state (patient, TARN_GROUP_BLADDER, "height-mm", 55);
}

TarnPatient
tarn_editor_start_patient (TarnEditorStart start)
{
  const Start *from = &start_of[start];
  TarnPatient patient = tarn_patient_default ();

  g_strlcpy (patient.id, "new-patient", sizeof patient.id);
  state (&patient, TARN_GROUP_HABITUS, "sex", from->sex);
  state (&patient, TARN_GROUP_HABITUS, "age-years", from->age_years);
  state (&patient, TARN_GROUP_HABITUS, "fat-mm", from->fat_mm);
  state (&patient, TARN_GROUP_BLADDER, "volume-ml", from->volume_ml);
  if (from->pannus_mm > 0)
    state (&patient, TARN_GROUP_HABITUS, "pannus-mm", from->pannus_mm);
  if (start == TARN_START_LARGE)
    {
      state (&patient, TARN_GROUP_HABITUS, "torso-width-mm", 420);
      state (&patient, TARN_GROUP_HABITUS, "torso-depth-mm", 300);
    }
  if (start == TARN_START_AFTER_BIRTH)
    add_uterus (&patient);
  tarn_patient_fill_defaults (&patient);
  if (tarn_patient_set_prose (&patient, "title", "", _ ("A new patient")) != TARN_OK)
    g_error ("no memory for a title");
  return patient;
}

TarnVec3
tarn_editor_start_radii_mm (TarnStructureKind kind)
{
  static const TarnVec3 radii_mm[TARN_STRUCTURE_KINDS] = {
    [TARN_STRUCTURE_CYST] = { 25, 25, 25 },
    [TARN_STRUCTURE_ASCITES] = { 45, 12, 30 },
    [TARN_STRUCTURE_UTERUS] = { 25, 20, 33 },
    [TARN_STRUCTURE_PROSTATE] = { 22, 15, 18 },
    [TARN_STRUCTURE_GRAVID_UTERUS] = { 80, 60, 100 },
    [TARN_STRUCTURE_DIVERTICULUM] = { 20, 20, 20 },
    [TARN_STRUCTURE_BALLOON] = { 13.4, 13.4, 13.4 }, /* 10 mL */
    [TARN_STRUCTURE_CLOT] = { 20, 12, 20 },
    [TARN_STRUCTURE_STONE] = { 8, 6, 8 },
    [TARN_STRUCTURE_HAEMATOMA] = { 30, 15, 30 },
    [TARN_STRUCTURE_BOWEL] = { 30, 15, 20 },
    [TARN_STRUCTURE_BOWEL_GAS] = { 15, 6, 10 },
    [TARN_STRUCTURE_SCAR] = { 40, 3, 3 },
  };
  g_return_val_if_fail (kind < TARN_STRUCTURE_KINDS, radii_mm[0]);
  return radii_mm[kind];
}
