/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An attempt: its life, its log and its ticks.  What a tick does, and where, stands in
 * state.h. */
#include "engine/attempt/attempt.h"

#include "base/units.h"
#include "engine/attempt/state.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define LOG_ROOM 256 /* inputs at first; doubled when full */

TarnAttemptSetup
tarn_attempt_setup_default (void)
{
  return (TarnAttemptSetup){ .mode = TARN_MODE_PRACTICE,
                             .retention_ml = TARN_RETENTION_DEFAULT_ML };
}

static void
begin (TarnAttempt *attempt)
{
  const TarnProbe *probe = &attempt->patient.probe;
  attempt->judged = -1;
  attempt->bedside.recorded = -1;
  attempt->bedside.depth_mm = probe->depth_mm;
  attempt->bedside.half_sector_rad = tarn_rad_from_deg (probe->sector_deg) / 2;
  attempt->bedside.comfort_n = attempt->patient.temper.comfort_n;
  tarn_unrest_begin (attempt);
  tarn_hand_begin (attempt);
}

/* An attempt with nothing in it but its setup and a copy of @patient; freed by the caller
 * whatever the outcome, unless it is NULL. */
static TarnStatus
allocate (const TarnPatient *patient, const TarnAttemptSetup *setup, TarnAttempt **attempt)
{
  TarnAttempt *made = calloc (1, sizeof *made);
  *attempt = made;
  if (made == NULL)
    return TARN_NO_MEMORY;
  made->setup = *setup;
  made->sweeping = calloc (1, sizeof *made->sweeping);
  made->input = malloc (LOG_ROOM * sizeof *made->input);
  made->room = LOG_ROOM;
  TarnStatus status = tarn_patient_copy (patient, &made->patient);
  if (status == TARN_OK && (made->sweeping == NULL || made->input == NULL))
    status = TARN_NO_MEMORY;
  return status;
}

TarnStatus
tarn_attempt_new (const TarnPatient *patient, const TarnAttemptSetup *setup,
                  TarnAttempt **attempt, TarnProblem *problem)
{
  assert (setup->mode < TARN_MODES);
  TarnAttempt *made;
  TarnStatus status = allocate (patient, setup, &made);
  if (status != TARN_OK)
    tarn_problem_set (problem, status, "", "out of memory");
  else
    {
      tarn_patient_vary (&made->patient, setup->seed);
      status = tarn_bodies_want (made, 0, problem);
    }
  if (status != TARN_OK)
    {
      tarn_attempt_free (made);
      return status;
    }
  begin (made);
  *attempt = made;
  return TARN_OK;
}

TarnStatus
tarn_attempt_again (const TarnAttempt *lender, const TarnParallel *parallel,
                    TarnAttempt **attempt)
{
  TarnAttempt *made;
  TarnAttemptSetup setup = lender->setup;
  setup.parallel = parallel;
  /* The patient has been drawn already. */
  TarnStatus status = allocate (&lender->patient, &setup, &made);
  if (status != TARN_OK)
    {
      tarn_attempt_free (made);
      return status;
    }
  made->lender = lender;
  memcpy (made->bodies, lender->bodies, sizeof made->bodies);
  memcpy (made->reading, lender->reading, sizeof made->reading);
  made->kept = lender->bedside.readings;
  begin (made);
  *attempt = made;
  return TARN_OK;
}

/* Those that are not lent. */
static void
free_readings (TarnAttempt *attempt)
{
  const TarnAttempt *lender = attempt->lender;
  int readings
      = attempt->bedside.readings > attempt->kept ? attempt->bedside.readings : attempt->kept;
  for (int k = 0; k < readings; k++)
    {
      TarnMadeReading *reading = &attempt->reading[k];
      if (lender != NULL && reading->scan == lender->reading[k].scan)
        continue;
      if (reading->scan != NULL)
        tarn_scan_clear (reading->scan);
      free (reading->scan);
      free (reading->path);
    }
}

void
tarn_attempt_free (TarnAttempt *attempt)
{
  if (attempt == NULL)
    return;
  free_readings (attempt);
  for (int k = 0; k <= TARN_LIFT_STEPS; k++)
    if (attempt->lender == NULL || attempt->bodies[k] != attempt->lender->bodies[k])
      tarn_body_free (attempt->bodies[k]);
  tarn_patient_clear (&attempt->patient);
  free (attempt->sweeping);
  free (attempt->input);
  free (attempt);
}

const TarnPatient *
tarn_attempt_patient (const TarnAttempt *attempt)
{
  return &attempt->patient;
}

const TarnAttemptSetup *
tarn_attempt_setup (const TarnAttempt *attempt)
{
  return &attempt->setup;
}

const TarnBedside *
tarn_attempt_bedside (const TarnAttempt *attempt)
{
  return &attempt->bedside;
}

const TarnBody *
tarn_attempt_body (const TarnAttempt *attempt)
{
  return tarn_bodies_now (attempt);
}

const TarnGelFilm *
tarn_attempt_film (const TarnAttempt *attempt)
{
  return &attempt->film;
}

int
tarn_attempt_readings (const TarnAttempt *attempt)
{
  return attempt->bedside.readings;
}

const TarnAttemptReading *
tarn_attempt_reading (const TarnAttempt *attempt, int index)
{
  assert (index >= 0 && index < attempt->bedside.readings);
  return &attempt->reading[index].made;
}

TarnStatus
tarn_attempt_ledger (TarnAttempt *attempt, int index)
{
  assert (index >= 0 && index < attempt->bedside.readings);
  TarnScan *scan = attempt->reading[index].scan;
  return scan != NULL ? tarn_scan_add_ledger (scan) : TARN_OK;
}

/* Room for one more input in the log. */
static bool
make_room (TarnAttempt *attempt)
{
  if (attempt->inputs < attempt->room)
    return true;
  size_t room = 2 * (size_t)attempt->room;
  TarnInput *input = realloc (attempt->input, room * sizeof *input);
  if (input == NULL)
    return false;
  attempt->input = input;
  attempt->room = (int)room;
  return true;
}

/* As it is logged: what its kind does not use is zero. */
static TarnInput
tidied (const TarnInput *input, uint32_t tick)
{
  TarnInputKind kind = (TarnInputKind)input->kind;
  bool coded = kind == TARN_INPUT_FREEZE || kind == TARN_INPUT_DEED
               || kind == TARN_INPUT_CALIPER || kind == TARN_INPUT_JUDGE
               || kind == TARN_INPUT_RECORD;
  bool of_reading = kind == TARN_INPUT_JUDGE || kind == TARN_INPUT_RECORD;
  TarnInput tidy = { .tick = tick, .kind = input->kind };
  tidy.code = coded ? input->code : 0;
  tidy.cause = kind == TARN_INPUT_JUDGE ? input->cause : 0;
  tidy.reading = of_reading ? input->reading : 0;
  for (int k = 0; k < tarn_input_values (kind); k++)
    tidy.value[k] = input->value[k];
  if (kind == TARN_INPUT_RECORD && input->reading >= 0)
    tidy.value[0] = 0;
  return tidy;
}

TarnStatus
tarn_attempt_input (TarnAttempt *attempt, const TarnInput *input)
{
  if (!make_room (attempt))
    return TARN_NO_MEMORY;
  TarnStatus status = tarn_take (attempt, input);
  if (status == TARN_OK)
    attempt->input[attempt->inputs++] = tidied (input, attempt->bedside.tick);
  return status;
}

TarnStatus
tarn_attempt_tick (TarnAttempt *attempt)
{
  if (attempt->bedside.finished || attempt->bedside.tick >= TARN_ATTEMPT_TICKS_MAX)
    return TARN_OK;
  attempt->bedside.tick++;
  TarnStatus built = tarn_bodies_tick (attempt);
  tarn_unrest_tick (attempt);
  tarn_hand_tick (attempt);
  TarnStatus read = tarn_sweeping_tick (attempt);
  tarn_looked_tick (attempt);
  tarn_voice_tick (attempt);
  return built != TARN_OK ? built : read;
}

int
tarn_attempt_inputs (const TarnAttempt *attempt)
{
  return attempt->inputs;
}

const TarnInput *
tarn_attempt_logged (const TarnAttempt *attempt, int index)
{
  assert (index >= 0 && index < attempt->inputs);
  return &attempt->input[index];
}

TarnStatus
tarn_attempt_replay (TarnAttempt *attempt, const TarnInput *input)
{
  if (input->tick < attempt->bedside.tick || input->tick > TARN_ATTEMPT_TICKS_MAX)
    return TARN_OUT_OF_RANGE;
  if (attempt->bedside.finished)
    return TARN_IMPOSSIBLE;
  while (attempt->bedside.tick < input->tick)
    {
      TarnStatus status = tarn_attempt_tick (attempt);
      if (status != TARN_OK)
        return status;
    }
  return tarn_attempt_input (attempt, input);
}
