/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sweep within an attempt: recorded tick by tick, then shot from where the probe really was.
 *
 * 1. The nominal pose is the hand's when the sweep begins; each tick is kept as a drift from
 *    it.  The body's motion is kept whole, so that the planes are those that were seen live.
 * 2. The gel is that of the beginning, as it was then.
 * 3. What stays on the screen afterwards is the plane passed half-way. */
#include "engine/attempt/state.h"

#include "base/random.h"
#include "base/units.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NOISE_SALT 0x6c697665
#define SWEEP_SALT 0x7377656570

static uint64_t
noise_seed (const TarnAttempt *attempt)
{
  return tarn_hash_at (attempt->setup.seed ^ NOISE_SALT, attempt->bedside.tick);
}

void
tarn_plane_hold (const TarnAttempt *attempt, TarnHeldPlane *held)
{
  const TarnBedside *bedside = &attempt->bedside;
  *held = (TarnHeldPlane){
    .body = tarn_bodies_now (attempt),
    .contact = bedside->contact,
    .deform = bedside->deform,
    .geometry = tarn_plane_geometry (&attempt->patient.probe, bedside->depth_mm),
    .gain_db = bedside->gain_db,
    .pose = bedside->pose,
    .noise_seed = noise_seed (attempt),
  };
}

TarnPlaneSetup
tarn_attempt_plane (const TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  const TarnHeldPlane *held = &attempt->held;
  if (bedside->frozen)
    return (TarnPlaneSetup){
      .body = held->body,
      .deform = &held->deform,
      .contact = &held->contact,
      .frame = tarn_plane_frame (&held->contact, 0),
      .geometry = held->geometry,
      .gain_db = held->gain_db,
      .range_db = 60,
      .noise_seed = held->noise_seed,
    };
  return (TarnPlaneSetup){
    .body = tarn_bodies_now (attempt),
    .deform = &bedside->deform,
    .contact = &bedside->contact,
    .frame = tarn_plane_frame (&bedside->contact, bedside->fan_rad),
    .geometry = tarn_plane_geometry (&attempt->patient.probe, bedside->depth_mm),
    .gain_db = bedside->gain_db,
    .range_db = 60,
    .noise_seed = noise_seed (attempt),
  };
}

TarnPose
tarn_attempt_plane_pose (const TarnAttempt *attempt)
{
  return attempt->bedside.frozen ? attempt->held.pose : attempt->bedside.pose;
}

static void
record (TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  TarnSweeping *sweeping = attempt->sweeping;
  const TarnPose *pose = &bedside->pose, *nominal = &sweeping->nominal;
  sweeping->drift[sweeping->ticks] = (TarnDrift){
    .above_mm = pose->above_mm - nominal->above_mm,
    .left_mm = pose->left_mm - nominal->left_mm,
    .tilt_rad = pose->tilt_rad - nominal->tilt_rad,
    .lean_rad = pose->lean_rad - nominal->lean_rad,
    .body_mm = bedside->body_mm,
    .turn_rad = pose->turn_rad - nominal->turn_rad,
    .force_n = pose->force_n - nominal->force_n,
  };
  sweeping->force_most_n = fmax (sweeping->force_most_n, pose->force_n);
}

static void
show_progress (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  double fan_rad = tarn_rad_from_deg (attempt->patient.probe.fan_deg);
  bedside->sweep_share = (double)attempt->sweeping->ticks / TARN_SWEEP_TICKS;
  bedside->fan_rad = (bedside->sweep_share - 0.5) * fan_rad;
}

TarnStatus
tarn_sweeping_begin (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnSweeping *sweeping = attempt->sweeping;
  if (bedside->sweeping || !bedside->on_skin || bedside->readings >= TARN_ATTEMPT_READINGS_MAX)
    return TARN_IMPOSSIBLE;
  sweeping->nominal = bedside->pose;
  sweeping->lift_step = attempt->lift_step;
  sweeping->depth_mm = bedside->depth_mm;
  sweeping->gain_db = bedside->gain_db;
  sweeping->force_most_n = 0;
  sweeping->ticks = 0;
  sweeping->film = attempt->film;
  bedside->sweeping = true;
  bedside->frozen = false;
  record (attempt);
  show_progress (attempt);
  return TARN_OK;
}

void
tarn_sweeping_abandon (TarnAttempt *attempt)
{
  attempt->bedside.sweeping = false;
  attempt->bedside.sweep_share = 0;
  attempt->bedside.fan_rad = 0;
}

/* RMS of the face off its nominal place by the hand's own motion. */
static double
wander_mm (const TarnDrift *drift)
{
  double sum = 0;
  for (int k = 0; k < TARN_SWEEP_SAMPLES; k++)
    sum += drift[k].above_mm * drift[k].above_mm + drift[k].left_mm * drift[k].left_mm;
  return sqrt (sum / TARN_SWEEP_SAMPLES);
}

/* The middle plane's section over the largest; 0 when nothing was found. */
static double
section_share (const TarnSweep *sweep)
{
  double largest = 0, middle = 0;
  for (int k = 0; k < sweep->planes; k++)
    {
      const TarnOutline *outline = &sweep->plane[k].outline;
      double area_mm2 = outline->found ? outline->area_mm2 : 0;
      largest = fmax (largest, area_mm2);
      if (k == sweep->planes / 2 || k == (sweep->planes - 1) / 2)
        middle = fmax (middle, area_mm2);
    }
  return largest > 0 ? middle / largest : 0;
}

static TarnStatus
scan (TarnAttempt *attempt, TarnMadeReading *reading)
{
  TarnSweeping *sweeping = attempt->sweeping;
  uint64_t seed = tarn_hash_at (attempt->setup.seed ^ SWEEP_SALT, attempt->bedside.tick);
  memcpy (reading->path, sweeping->drift, sizeof sweeping->drift);
  TarnMotion motion = tarn_motion_for (&attempt->patient, 0, seed);
  motion.path = reading->path;
  motion.path_samples = TARN_SWEEP_SAMPLES;

  TarnScanOptions options = tarn_scan_options_default ();
  options.pose = sweeping->nominal;
  options.gel_g = 0;
  options.film = &sweeping->film;
  options.motion = &motion;
  options.depth_mm = sweeping->depth_mm;
  options.gain_db = sweeping->gain_db;
  options.ledger = false;
  options.keep_planes = true;
  options.plain = attempt->setup.plain;
  options.parallel = attempt->setup.parallel;
  return tarn_scan_run (attempt->bodies[sweeping->lift_step], &options, reading->scan);
}

/* Takes the reading as it was made when this tick was played before. */
static bool
take_kept (TarnAttempt *attempt)
{
  int index = attempt->bedside.readings;
  if (index >= attempt->kept)
    return false;
  assert (attempt->reading[index].made.tick == attempt->bedside.tick);
  attempt->reading[index].made.judgement = (TarnJudgement){ TARN_JUDGEMENT_NONE, 0 };
  attempt->bedside.readings++;
  return true;
}

/* Makes the reading of the sweep that is over. */
static TarnStatus
make_reading (TarnAttempt *attempt)
{
  const TarnSweeping *sweeping = attempt->sweeping;
  if (take_kept (attempt))
    return TARN_OK;
  TarnMadeReading made = { .lift_step = sweeping->lift_step };
  made.scan = malloc (sizeof *made.scan);
  made.path = malloc (sizeof sweeping->drift);
  TarnStatus status = TARN_NO_MEMORY;
  if (made.scan != NULL && made.path != NULL)
    status = scan (attempt, &made);
  if (status != TARN_OK)
    {
      free (made.scan);
      free (made.path);
      return status;
    }
  made.made = (TarnAttemptReading){
    .source = TARN_SOURCE_SWEEP,
    .tick = attempt->bedside.tick,
    .pose = sweeping->nominal,
    .reading = made.scan->sweep.reading,
    .scan = made.scan,
    .wander_mm = wander_mm (sweeping->drift),
    .section_share = section_share (&made.scan->sweep),
    .force_most_n = sweeping->force_most_n,
  };
  attempt->reading[attempt->bedside.readings++] = made;
  return TARN_OK;
}

TarnStatus
tarn_sweeping_tick (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnSweeping *sweeping = attempt->sweeping;
  if (!bedside->sweeping)
    return TARN_OK;
  sweeping->ticks++;
  record (attempt);
  show_progress (attempt);
  if (sweeping->ticks == TARN_SWEEP_TICKS / 2)
    tarn_plane_hold (attempt, &sweeping->middle);
  if (sweeping->ticks < TARN_SWEEP_TICKS)
    return TARN_OK;

  TarnStatus status = make_reading (attempt);
  tarn_sweeping_abandon (attempt);
  attempt->held = sweeping->middle;
  bedside->frozen = true;
  bedside->sweeps += status == TARN_OK;
  return status;
}
