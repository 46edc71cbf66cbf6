/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * vary.c: the same patient, a little different for every attempt.
 *
 * Each quantity draws from a stream of its own, so that giving one a range changes no other. */
#include "base/random.h"
#include "engine/patient/fields.h"

enum
{
  STREAM_VOLUME = 1,
  STREAM_LEFT,
  STREAM_FAT,
  STREAM_RISE,
};

typedef struct
{
  TarnPatient *patient;
  uint64_t seed;
} Draw;

/* Evenly within ±@half, about the field's present value, kept within its range. */
static void
draw (const Draw *from, TarnFieldGroup group, const char *key, uint64_t stream, double half)
{
  const TarnField *field = tarn_field_find (group, key);
  double shift = (2 * tarn_uniform_at (from->seed, stream) - 1) * half;
  double value = tarn_field_get (field, from->patient, 0) + shift;
  if (half > 0)
    tarn_field_set (field, from->patient, 0, tarn_clamp (value, field->low, field->high));
}

/* A field that stands at its default follows what it derives from; one that an author, or a
 * program, has set keeps its value. */
static void
pin_what_differs (TarnPatient *patient)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != TARN_GROUP_STRUCTURE && field->derive != NULL
          && !tarn_field_is_default (field, patient, NULL))
        tarn_field_state (field, patient, NULL, true);
    }
}

static void
follow (TarnPatient *patient)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != TARN_GROUP_STRUCTURE && field->derive != NULL
          && !tarn_field_is_stated (field, patient, NULL))
        tarn_field_set (field, patient, 0, tarn_field_default (field, patient, NULL, 0));
    }
}

void
tarn_patient_vary (TarnPatient *patient, uint64_t attempt_seed)
{
  if (attempt_seed == 0)
    return;

  TarnVariation variation = patient->variation;
  Draw from = { patient, tarn_hash64 (attempt_seed) ^ patient->seed };
  double volume_ml = patient->bladder.volume_ml * variation.volume_percent / 100;
  double fat_mm = patient->habitus.fat_mm * variation.fat_percent / 100;

  pin_what_differs (patient);
  draw (&from, TARN_GROUP_BLADDER, "volume-ml", STREAM_VOLUME, volume_ml);
  draw (&from, TARN_GROUP_BLADDER, "left-mm", STREAM_LEFT, variation.left_mm);
  draw (&from, TARN_GROUP_HABITUS, "fat-mm", STREAM_FAT, fat_mm);
  draw (&from, TARN_GROUP_BLADDER, "rise-mm", STREAM_RISE, variation.rise_mm);
  if (variation.rise_mm > 0)
    tarn_field_state (tarn_field_find (TARN_GROUP_BLADDER, "rise-mm"), patient, NULL, true);
  follow (patient);

  /* What is drawn varies no more. */
  patient->variation = (TarnVariation){ 0 };
}
