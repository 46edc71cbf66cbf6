/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A hash of the whole attempt, member by member: padding and pointers take no part. */
#include "engine/attempt/state.h"

#include "base/random.h"

#include <string.h>

typedef uint64_t Digest;

static void
add_word (Digest *digest, uint64_t word)
{
  *digest = tarn_hash64 (*digest ^ word) + word;
}

static void
add_number (Digest *digest, double number)
{
  uint64_t word;
  memcpy (&word, &number, sizeof word);
  add_word (digest, word);
}

static void
add_vector (Digest *digest, TarnVec3 v)
{
  add_number (digest, v.x);
  add_number (digest, v.y);
  add_number (digest, v.z);
}

/* Bytes without padding among them. */
static void
add_bytes (Digest *digest, const void *from, size_t bytes)
{
  const uint8_t *byte = from;
  for (size_t k = 0; k < bytes; k += sizeof (uint64_t))
    {
      uint64_t word = 0;
      size_t rest = bytes - k;
      memcpy (&word, byte + k, rest < sizeof word ? rest : sizeof word);
      add_word (digest, word);
    }
  add_word (digest, bytes);
}

static void
add_pose (Digest *digest, const TarnPose *pose)
{
  add_number (digest, pose->above_mm);
  add_number (digest, pose->left_mm);
  add_number (digest, pose->tilt_rad);
  add_number (digest, pose->lean_rad);
  add_number (digest, pose->turn_rad);
  add_number (digest, pose->force_n);
}

static void
add_contact (Digest *digest, const TarnContact *contact)
{
  add_vector (digest, contact->skin_mm);
  add_vector (digest, contact->inward);
  add_vector (digest, contact->face_mm);
  add_vector (digest, contact->centre_mm);
  add_vector (digest, contact->axis);
  add_vector (digest, contact->lateral);
  add_vector (digest, contact->elevation);
  add_number (digest, contact->indentation_mm);
  add_number (digest, contact->pressure_kpa);
  add_number (digest, contact->path_gel_mm);
  add_word (digest, contact->guarding);
  add_bytes (digest, contact->wet, sizeof contact->wet);
  add_number (digest, contact->wet_fraction);
}

/* Where a few points go: the flow itself has no members without padding. */
static void
add_deform (Digest *digest, const TarnDeform *deform, const TarnContact *contact)
{
  for (int k = 0; k < 4; k++)
    add_vector (digest,
                tarn_deform_forward (
                    deform, tarn_add_scaled (contact->skin_mm, contact->axis, 10 + 25 * k)));
}

static void
add_film (Digest *digest, const TarnGelFilm *film)
{
  add_number (digest, film->above_mm);
  add_number (digest, film->left_mm);
  add_word (digest, film->laid);
  add_bytes (digest, film->thickness_mm, sizeof film->thickness_mm);
  add_number (digest, film->on_probe_g);
  add_number (digest, film->lost_g);
}

static void
add_caliper (Digest *digest, const TarnCaliper *caliper)
{
  add_number (digest, caliper->u0_mm);
  add_number (digest, caliper->v0_mm);
  add_number (digest, caliper->u1_mm);
  add_number (digest, caliper->v1_mm);
}

static void
add_ground (Digest *digest, const TarnCaliperGround *ground)
{
  add_number (digest, ground->urine);
  add_number (digest, ground->other);
  add_number (digest, ground->force_n);
  add_number (digest, ground->wet_fraction);
}

static void
add_judgement (Digest *digest, const TarnJudgement *judgement)
{
  add_word (digest, judgement->kind);
  add_word (digest, judgement->cause);
}

static void
add_care (Digest *digest, const TarnBedside *bedside)
{
  add_word (digest, bedside->deeds);
  for (int k = 0; k < TARN_DEEDS; k++)
    {
      add_word (digest, bedside->deed_tick[k]);
      add_word (digest, bedside->answer[k]);
    }
  add_word (digest, bedside->care_done);
  add_word (digest, bedside->voice);
  add_word (digest, bedside->voice_tick);
  add_number (digest, bedside->finger_n_mm);
  add_number (digest, bedside->finger_above_mm);
  add_number (digest, bedside->finger_left_mm);
}

static void
add_bedside (Digest *digest, const TarnBedside *bedside)
{
  add_word (digest, bedside->tick);
  add_pose (digest, &bedside->hand);
  add_pose (digest, &bedside->pose);
  add_word (digest, bedside->on_skin);
  add_contact (digest, &bedside->contact);
  add_deform (digest, &bedside->deform, &bedside->contact);
  add_vector (digest, bedside->body_mm);
  const double numbers[]
      = { bedside->breath,      bedside->lift,       bedside->lift_wanted,
          bedside->depth_mm,    bedside->gain_db,    bedside->half_sector_rad,
          bedside->sweep_share, bedside->fan_rad,    bedside->unsteady_mm,
          bedside->gel_g,       bedside->gel_laid_g, bedside->comfort_n,
          bedside->recorded_ml };
  for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++)
    add_number (digest, numbers[k]);
  add_word (digest, bedside->frozen);
  add_word (digest, bedside->sweeping);
  add_word (digest, (uint64_t)bedside->sweeps);
  add_word (digest, bedside->guarding);
  add_care (digest, bedside);
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      add_word (digest, bedside->caliper_set[k]);
      add_caliper (digest, &bedside->caliper[k]);
      add_number (digest, bedside->caliper_turn_rad[k]);
    }
  add_word (digest, (uint64_t)bedside->readings);
  add_word (digest, bedside->record);
  add_word (digest, (uint64_t)bedside->recorded);
  add_word (digest, bedside->finished);
}

static void
add_held (Digest *digest, const TarnHeldPlane *held)
{
  add_contact (digest, &held->contact);
  add_deform (digest, &held->deform, &held->contact);
  add_number (digest, held->geometry.sample_pitch_mm);
  add_number (digest, held->gain_db);
  add_pose (digest, &held->pose);
  add_word (digest, held->noise_seed);
}

static void
add_drift (Digest *digest, const TarnDrift *drift, int samples)
{
  for (int k = 0; k < samples; k++)
    {
      add_number (digest, drift[k].above_mm);
      add_number (digest, drift[k].left_mm);
      add_number (digest, drift[k].tilt_rad);
      add_number (digest, drift[k].lean_rad);
      add_vector (digest, drift[k].body_mm);
      add_number (digest, drift[k].turn_rad);
      add_number (digest, drift[k].force_n);
    }
}

static void
add_sweeping (Digest *digest, const TarnSweeping *sweeping)
{
  add_pose (digest, &sweeping->nominal);
  add_word (digest, (uint64_t)sweeping->lift_step);
  add_word (digest, (uint64_t)sweeping->ticks);
  add_film (digest, &sweeping->film);
  add_drift (digest, sweeping->drift, sweeping->ticks + 1);
}

static void
add_scan (Digest *digest, const TarnScan *scan)
{
  const TarnSweep *sweep = &scan->sweep;
  size_t pixels = (size_t)sweep->geometry.lines * (size_t)sweep->geometry.samples;
  add_contact (digest, &sweep->contact);
  add_number (digest, scan->contents.urine);
  add_number (digest, scan->contents.other);
  add_word (digest, (uint64_t)sweep->planes);
  for (int k = 0; k < sweep->planes; k++)
    {
      add_word (digest, sweep->plane[k].outline.found);
      add_number (digest, sweep->plane[k].outline.area_mm2);
      add_number (digest, sweep->plane[k].outline.moment_mm3);
    }
  add_bytes (digest, sweep->grey, (size_t)sweep->planes * pixels);
}

static void
add_reading (Digest *digest, const TarnMadeReading *reading)
{
  const TarnAttemptReading *made = &reading->made;
  add_word (digest, made->source);
  add_word (digest, made->tick);
  add_pose (digest, &made->pose);
  add_word (digest, made->reading.kind);
  add_number (digest, made->reading.volume_ml);
  add_judgement (digest, &made->judgement);
  add_number (digest, made->wander_mm);
  add_number (digest, made->section_share);
  add_number (digest, made->force_most_n);
  add_word (digest, (uint64_t)reading->lift_step);
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      add_caliper (digest, &made->caliper[k]);
      add_ground (digest, &reading->ground[k]);
    }
  add_number (digest, made->coefficient);
  if (reading->scan != NULL)
    add_scan (digest, reading->scan);
  if (reading->path != NULL)
    add_drift (digest, reading->path, TARN_SWEEP_SAMPLES);
}

static void
add_log (Digest *digest, const TarnAttempt *attempt)
{
  add_word (digest, (uint64_t)attempt->inputs);
  for (int k = 0; k < attempt->inputs; k++)
    {
      const TarnInput *input = &attempt->input[k];
      add_word (digest, input->tick);
      add_word (digest, input->kind | (uint64_t)input->code << 8 | (uint64_t)input->cause << 16
                            | (uint64_t)(uint8_t)input->reading << 24);
      for (int l = 0; l < TARN_INPUT_VALUES; l++)
        add_number (digest, input->value[l]);
    }
}

/* What the bedside does not show and the next tick needs. */
static void
add_inner_state (Digest *digest, const TarnAttempt *attempt)
{
  add_word (digest, (uint64_t)attempt->lift_step);
  add_pose (digest, &attempt->hand.pose);
  add_pose (digest, &attempt->hand.speed);
  add_pose (digest, &attempt->hand.wiped);
  add_number (digest, attempt->unrest.phase_rad);
  add_number (digest, attempt->unrest.calm);
  add_word (digest, attempt->voices.wants);
  add_word (digest, attempt->voices.said);
  add_word (digest, (uint64_t)attempt->looked.transverse_ticks);
  add_word (digest, (uint64_t)attempt->looked.sagittal_ticks);
  add_word (digest, (uint64_t)attempt->looked.skin_ticks);
  add_number (digest, attempt->force_most_n);
  add_word (digest, (uint64_t)attempt->judged);
  add_judgement (digest, &attempt->situation_judgement);
}

uint64_t
tarn_attempt_digest (const TarnAttempt *attempt)
{
  Digest digest = 0x7461726e;
  add_word (&digest, attempt->setup.mode);
  add_word (&digest, attempt->setup.seed);
  add_number (&digest, attempt->setup.retention_ml);
  add_bytes (&digest, attempt->patient.id, strlen (attempt->patient.id));
  add_bedside (&digest, &attempt->bedside);
  add_film (&digest, &attempt->film);
  add_inner_state (&digest, attempt);
  if (attempt->bedside.frozen)
    add_held (&digest, &attempt->held);
  if (attempt->bedside.sweeping)
    add_sweeping (&digest, attempt->sweeping);
  for (int k = 0; k < attempt->bedside.readings; k++)
    add_reading (&digest, &attempt->reading[k]);
  add_log (&digest, attempt);
  return digest;
}
