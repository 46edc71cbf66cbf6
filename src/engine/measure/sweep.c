/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One sweep.
 *
 * 1. The contact is solved once, at the nominal pose; shots.c says where each plane really is.
 * 2. All planes are shot side by side and kept.
 * 3. Starts are outlined side by side; then the two chains outwards, one worker each. */
#include "engine/measure/sweep.h"

#include "base/units.h"
#include "engine/measure/chain.h"
#include "engine/measure/crew.h"
#include "engine/measure/volume.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* "At least" is said where more is missing than the instrument errs by anyway, 2 to 3 %.
 * An end section above this share of the largest means that the bladder runs on: of an
 * ellipsoid cut there more than 2.6 % is missing (derived). */
#define OPEN_END_SHARE 0.35
/* A section of at least this share of the largest, with at least this share of its border at
 * the picture's edge, makes the reading a lower bound: of a disc so cut more than 2.1 % is
 * missing (derived). */
#define EDGE_SECTION_SHARE 0.35
#define EDGE_BORDER_SHARE  0.15

typedef struct
{
  const TarnSweepSetup *setup;
  TarnSweep *sweep;
  TarnCrew crew;
  size_t plane_bytes;
  unsigned acting[TARN_PLANES_MAX];
  int start[TARN_CHAIN_STARTS_MAX]; /* planes that may be the start */
  int first;                        /* the start */
} Run;

const char *
tarn_reading_kind_name (TarnReadingKind kind)
{
  static const char *const name[TARN_READING_KINDS] = { "measure", "lower-bound", "not-seen" };
  assert (kind < TARN_READING_KINDS);
  return name[kind];
}

static double
largest_section_mm2 (const TarnOutline *const *outline, int planes)
{
  double largest = 0;
  for (int k = 0; k < planes; k++)
    if (outline[k] != NULL && outline[k]->found)
      largest = fmax (largest, outline[k]->area_mm2);
  return largest;
}

static bool
runs_on (const TarnOutline *outline, double largest_mm2)
{
  return outline != NULL && outline->found && outline->area_mm2 > OPEN_END_SHARE * largest_mm2;
}

TarnReading
tarn_fan_reading (const TarnOutline *const *outline, int planes, double step_rad)
{
  assert (planes >= 1 && planes <= TARN_FAN_PLANES_MAX);
  double largest = largest_section_mm2 (outline, planes);
  bool open_first = runs_on (outline[0], largest);
  bool open_last = runs_on (outline[planes - 1], largest);

  double moment_mm3[TARN_FAN_PLANES_MAX];
  bool bound = open_first || open_last, found = false;
  for (int k = 0; k < planes; k++)
    {
      const TarnOutline *section = outline[k];
      moment_mm3[k] = -1;
      if (section == NULL || !section->found)
        continue;
      found = true;
      moment_mm3[k] = section->moment_mm3;
      if (section->at_edge >= EDGE_BORDER_SHARE
          && section->area_mm2 >= EDGE_SECTION_SHARE * largest)
        bound = true;
    }

  TarnReading reading = { .kind = TARN_READING_NOT_SEEN };
  if (found && tarn_chain_lone (outline, planes) < 0)
    {
      reading.kind = bound ? TARN_READING_LOWER_BOUND : TARN_READING_MEASURE;
      reading.volume_ml
          = tarn_moments_volume_mm3 (moment_mm3, planes, step_rad, open_first, open_last)
            / TARN_MM3_PER_ML;
    }
  return reading;
}

static TarnReading
reading_of (const TarnSweepPlane *plane, int planes, double step_rad)
{
  const TarnOutline *outline[TARN_PLANES_MAX];
  assert (planes >= 1 && planes <= TARN_PLANES_MAX);
  for (int k = 0; k < planes; k++)
    outline[k] = &plane[k].outline;
  return tarn_fan_reading (outline, planes, step_rad);
}

double
tarn_fan_volume_ml (const TarnSweepPlane *plane, int planes, double step_rad)
{
  return reading_of (plane, planes, step_rad).volume_ml;
}

TarnSweepSetup
tarn_sweep_setup (const TarnBody *body, const TarnPose *pose)
{
  return (TarnSweepSetup){
    .body = body,
    .pose = *pose,
    .motion = tarn_motion_for (tarn_body_patient (body), 0, 0),
  };
}

static void
shoot_turn (void *context, int index, int worker)
{
  Run *run = context;
  TarnCrewMember *member = &run->crew.member[worker];
  TarnPlaneSetup plane
      = tarn_crew_plane (run->setup, &run->sweep->shots, index, false, &run->sweep->geometry);
  TarnStatus status = tarn_plane_gather (member->plane, &plane, 0);
  if (status == TARN_OK)
    {
      run->acting[index] = tarn_plane_acting (member->plane);
      status = tarn_plane_finish (member->plane, &plane, 0,
                                  run->sweep->grey + (size_t)index * run->plane_bytes);
    }
  tarn_crew_blame (member, status);
}

/* Outlines plane @index after the neighbour that @chain gives, NULL for none. */
static void
outline_plane (Run *run, int index, const TarnChain *chain, int worker)
{
  TarnSweep *sweep = run->sweep;
  TarnCrewMember *member = &run->crew.member[worker];
  TarnOutlineHints hints = tarn_crew_hints (run->setup);
  TarnImage image = { sweep->geometry, sweep->grey + (size_t)index * run->plane_bytes,
                      sweep->geometry.samples };
  if (chain != NULL)
    tarn_chain_hint (chain, index, sweep->step_rad, &hints);
  tarn_crew_blame (member, tarn_outline_find (member->outline, &image, &hints,
                                              &sweep->plane[index].outline));
}

static void
start_turn (void *context, int turn, int worker)
{
  Run *run = context;
  outline_plane (run, run->start[turn], NULL, worker);
}

static void
chain_turn (void *context, int turn, int worker)
{
  Run *run = context;
  TarnSweep *sweep = run->sweep;
  int way = turn == 0 ? 1 : -1;
  TarnChain chain = { .last = &sweep->plane[run->first].outline, .last_index = run->first };

  for (int index = run->first + way;
       index >= 0 && index < sweep->planes && tarn_chain_alive (&chain); index += way)
    {
      outline_plane (run, index, &chain, worker);
      TarnOutline *outline = &sweep->plane[index].outline;
      if (!tarn_chain_take (&chain, index, outline))
        *outline = (TarnOutline){ 0 };
    }
}

/* Outlines the planes that may be the start; the best of them, or -1. */
static int
choose_start (Run *run)
{
  TarnSweep *sweep = run->sweep;
  int best = -1;
  double merit = 0;
  for (int tier = 0; tier < TARN_CHAIN_TIERS; tier++)
    {
      int starts = tarn_chain_starts (sweep->planes, tier, run->start), before = best;
      tarn_parallel_for (run->setup->parallel, starts, start_turn, run);
      for (int k = 0; k < starts; k++)
        {
          double its = tarn_chain_merit (&sweep->plane[run->start[k]].outline);
          if (its > merit)
            {
              merit = its;
              best = run->start[k];
            }
        }
      for (int k = 0; k < starts; k++)
        if (run->start[k] != best)
          sweep->plane[run->start[k]].outline = (TarnOutline){ 0 };
      if (before >= 0 && before != best)
        sweep->plane[before].outline = (TarnOutline){ 0 };
      if (best >= 0 && tarn_chain_sure (&sweep->plane[best].outline))
        break;
    }
  return best;
}

/* Rule 5 of chain.h. */
static void
drop_lone (TarnSweep *sweep)
{
  const TarnOutline *outline[TARN_PLANES_MAX];
  for (int k = 0; k < sweep->planes; k++)
    outline[k] = &sweep->plane[k].outline;
  int lone = tarn_chain_lone (outline, sweep->planes);
  if (lone >= 0)
    sweep->plane[lone].outline = (TarnOutline){ 0 };
}

static bool
setup_valid (const TarnSweepSetup *setup)
{
  const TarnMotion *motion = &setup->motion;
  return setup->planes >= 0 && setup->planes <= TARN_PLANES_MAX
         && (setup->depth_mm == 0 || (setup->depth_mm >= 20 && setup->depth_mm <= 300))
         && fabs (setup->gain_db) <= 40 && motion->tremor_mm >= 0 && motion->tremor_mm <= 50
         && motion->breathing_mm >= 0 && isfinite (motion->breathing_mm)
         && isfinite (motion->breathing_per_minute) && motion->duration_s >= 0
         && isfinite (motion->duration_s) && motion->restless >= 0 && motion->restless <= 1
         && motion->path_samples >= 0 && (motion->path_samples == 0 || motion->path != NULL);
}

/* Contact, shots and room for the pictures. */
static TarnStatus
prepare (Run *run)
{
  const TarnSweepSetup *setup = run->setup;
  TarnSweep *sweep = run->sweep;
  const TarnProbe *probe = &tarn_body_patient (setup->body)->probe;

  TarnStatus status
      = tarn_contact_solve (setup->body, &setup->pose, setup->film, &sweep->contact);
  if (status != TARN_OK)
    return status;
  sweep->planes = setup->planes > 0 ? setup->planes : probe->planes;
  sweep->geometry = tarn_plane_geometry (probe, setup->depth_mm);
  status = tarn_shots_init (&sweep->shots, setup->body, &setup->pose, &sweep->contact,
                            &setup->motion, setup->film, sweep->planes,
                            tarn_shots_beyond (probe, sweep->planes), setup->parallel);
  if (status != TARN_OK)
    return status;
  sweep->step_rad = sweep->shots.step_rad;
  for (int k = 0; k < sweep->planes; k++)
    sweep->plane[k].fan_rad = tarn_shots_fan_rad (&sweep->shots, k);

  run->plane_bytes = (size_t)sweep->geometry.lines * (size_t)sweep->geometry.samples;
  sweep->grey = malloc ((size_t)sweep->planes * run->plane_bytes);
  return sweep->grey == NULL ? TARN_NO_MEMORY
                             : tarn_crew_init (&run->crew, setup->parallel, setup->plain, 0);
}

TarnStatus
tarn_sweep_run (const TarnSweepSetup *setup, bool keep_planes, TarnSweep *sweep)
{
  memset (sweep, 0, sizeof *sweep);
  if (!setup_valid (setup))
    return TARN_OUT_OF_RANGE;

  Run run = { .setup = setup, .sweep = sweep };
  TarnStatus status = prepare (&run);
  if (status == TARN_OK)
    {
      tarn_parallel_for (setup->parallel, sweep->planes, shoot_turn, &run);
      for (int k = 0; k < sweep->planes; k++)
        sweep->acting |= run.acting[k];
      run.first = choose_start (&run);
      if (run.first >= 0)
        tarn_parallel_for (setup->parallel, 2, chain_turn, &run);
      status = tarn_crew_status (&run.crew);
      drop_lone (sweep);
      sweep->reading = reading_of (sweep->plane, sweep->planes, sweep->step_rad);
    }
  tarn_crew_clear (&run.crew);
  if (!keep_planes)
    {
      free (sweep->grey);
      sweep->grey = NULL;
    }
  if (status != TARN_OK)
    tarn_sweep_clear (sweep);
  return status;
}

void
tarn_sweep_clear (TarnSweep *sweep)
{
  tarn_shots_clear (&sweep->shots);
  free (sweep->grey);
  memset (sweep, 0, sizeof *sweep);
}
