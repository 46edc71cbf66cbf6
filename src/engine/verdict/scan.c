/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a pose to a verdict: gel, sweep, contents, ledger, verdict, in this order. */
#include "engine/verdict/scan.h"

#include "base/units.h"

#include <stdlib.h>
#include <string.h>

TarnScanOptions
tarn_scan_options_default (void)
{
  return (TarnScanOptions){
    .pose = { .above_mm = 40, .tilt_rad = tarn_rad_from_deg (5), .force_n = 5 },
    .gel_g = 20,
    .ledger = true,
  };
}

static double
now_ms (const TarnScanOptions *options)
{
  return options->now_ms != NULL ? options->now_ms (options->clock) : 0;
}

static TarnStatus
pressed_volume (const TarnBody *body, const TarnDeform *deform, double *volume_ml)
{
  TarnMesh mesh;
  if (!tarn_mesh_init_copy (&mesh, tarn_body_lumen_mesh (body)))
    return TARN_NO_MEMORY;
  for (int k = 0; k < mesh.vertices; k++)
    mesh.vertex_mm[k] = tarn_deform_forward (deform, mesh.vertex_mm[k]);
  *volume_ml = tarn_mesh_volume_mm3 (&mesh) / TARN_MM3_PER_ML;
  tarn_mesh_clear (&mesh);
  return TARN_OK;
}

/* Gel and sweep. */
static TarnStatus
sweep (const TarnScanOptions *options, TarnScan *scan)
{
  TarnGelFilm *bare = options->film == NULL ? calloc (1, sizeof *bare) : NULL;
  TarnGelFilm *film = options->film != NULL ? options->film : bare;
  if (film == NULL)
    return TARN_NO_MEMORY;
  TarnStatus status = TARN_OK;
  if (options->gel_g != 0)
    status
        = tarn_gel_dose (film, options->pose.above_mm, options->pose.left_mm, options->gel_g);
  if (status == TARN_OK)
    {
      scan->setup.film = film;
      status = tarn_sweep_run (&scan->setup, options->keep_planes, &scan->sweep);
    }
  scan->setup.film = NULL;
  free (bare);
  return status;
}

static void
judge (TarnScan *scan)
{
  const TarnPatient *patient = tarn_body_patient (scan->setup.body);
  scan->truth_ml = tarn_body_true_volume_ml (scan->setup.body);
  scan->error_ml = scan->sweep.reading.volume_ml - scan->truth_ml;
  scan->tolerance_ml = tarn_pass_tolerance_ml (&patient->pass, scan->truth_ml);
  scan->over_comfort = scan->setup.pose.force_n > patient->temper.comfort_n;

  TarnVerdictFacts facts = { .reading = scan->sweep.reading,
                             .truth_ml = scan->truth_ml,
                             .tolerance_ml = scan->tolerance_ml,
                             .contents = scan->contents,
                             .ledger = scan->has_ledger ? &scan->ledger : NULL };
  scan->verdict = tarn_verdict (&facts, &scan->by_luck);
}

TarnStatus
tarn_scan_add_ledger (TarnScan *scan)
{
  if (scan->has_ledger)
    return TARN_OK;
  TarnStatus status = tarn_ledger_run (&scan->setup, &scan->sweep, &scan->ledger, NULL);
  if (status != TARN_OK)
    return status;
  scan->has_ledger = true;
  judge (scan);
  return TARN_OK;
}

TarnStatus
tarn_scan_run (const TarnBody *body, const TarnScanOptions *options, TarnScan *scan)
{
  memset (scan, 0, sizeof *scan);
  scan->setup = tarn_sweep_setup (body, &options->pose);
  scan->setup.motion
      = options->motion != NULL
            ? *options->motion
            : tarn_motion_for (tarn_body_patient (body), options->tremor_mm, options->seed);
  scan->setup.depth_mm = options->depth_mm;
  scan->setup.gain_db = options->gain_db;
  scan->setup.planes = options->planes;
  scan->setup.plain = options->plain;
  scan->setup.parallel = options->parallel;

  double start_ms = now_ms (options);
  TarnStatus status = sweep (options, scan);
  double swept_ms = now_ms (options);
  if (status == TARN_OK)
    status = tarn_contents_of (body, &scan->sweep, &scan->contents);
  if (status == TARN_OK)
    status = pressed_volume (body, &scan->sweep.shots.still.deform, &scan->pressed_volume_ml);
  double judged_ms = now_ms (options);
  if (status == TARN_OK)
    judge (scan);
  if (status == TARN_OK && options->ledger)
    status = tarn_scan_add_ledger (scan);
  if (status != TARN_OK)
    {
      tarn_scan_clear (scan);
      return status;
    }
  scan->sweep_ms = swept_ms - start_ms;
  scan->plane_ms = scan->sweep_ms / scan->sweep.planes;
  scan->ledger_ms = options->ledger ? now_ms (options) - judged_ms : 0;
  return TARN_OK;
}

void
tarn_scan_clear (TarnScan *scan)
{
  tarn_sweep_clear (&scan->sweep);
  memset (scan, 0, sizeof *scan);
}
