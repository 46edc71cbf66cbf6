/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench-plane.c: one full plane on one core, a sweep and a ledger on two.
 *
 * The plane is that of a plain adult at the default pose, 192 × 640 to 180 mm, every effect,
 * tissue look-up and deformation included. */
#include "bench.h"
#include "engine/acoustic/scatter_kernel.h"
#include "engine/verdict/scan.h"

#include <stdio.h>
#include <stdlib.h>

#define RUNS 60

static TarnPlaneSetup
plane_of (const TarnBody *body, TarnContact *contact, TarnDeform *deform)
{
  TarnPose pose = { .above_mm = 40, .tilt_rad = 0.0873, .force_n = 5 };
  if (tarn_contact_solve (body, &pose, NULL, contact) != TARN_OK)
    exit (1);
  tarn_deform_init (deform, body, contact);
  return (TarnPlaneSetup){
    .body = body,
    .contact = contact,
    .deform = deform,
    .frame = tarn_plane_frame (contact, 0),
    .geometry = tarn_plane_geometry (&tarn_body_patient (body)->probe, 0),
    .range_db = 60,
  };
}

static void
measure_plane (const TarnPlaneSetup *setup, bool plain, const char *bar)
{
  TarnPlaneWork *work = tarn_plane_work_new (plain);
  uint8_t *grey = malloc ((size_t)setup->geometry.lines * (size_t)setup->geometry.samples);
  double whole[RUNS], gather[RUNS], finish[RUNS];
  if (work == NULL || grey == NULL)
    exit (1);
  for (int k = 0; k < RUNS; k++)
    {
      double start = bench_now_ms ();
      if (tarn_plane_gather (work, setup, 0) != TARN_OK)
        exit (1);
      gather[k] = bench_now_ms () - start;
      if (tarn_plane_finish (work, setup, 0, grey) != TARN_OK)
        exit (1);
      whole[k] = bench_now_ms () - start;
      finish[k] = whole[k] - gather[k];
    }
  g_autofree char *first = g_strdup_printf ("plane, %s", plain ? "plain" : "AVX2");
  g_autofree char *second = g_strdup_printf ("plane, %s, first half", plain ? "plain" : "AVX2");
  g_autofree char *third = g_strdup_printf ("plane, %s, second half", plain ? "plain" : "AVX2");
  bench_row (first, "ms", whole, RUNS, bar);
  bench_row (second, "ms", gather, RUNS, "");
  bench_row (third, "ms", finish, RUNS, "");
  free (grey);
  tarn_plane_work_free (work);
}

/* How many scatterers there are to a resolution cell (−6 dB widths), by depth. */
static void
tell_density (const TarnPlaneSetup *setup)
{
  TarnPlaneWork *work = tarn_plane_work_new (false);
  if (work == NULL || tarn_plane_gather (work, setup, 0) != TARN_OK)
    exit (1);
  const TarnBeam *beam = &work->beam;
  for (int depth_mm = 10; depth_mm <= 170; depth_mm += 20)
    {
      const TarnDepthRow *row = &work->depth[depth_mm];
      double per_mm3 = (row->strata + (double)(row->fade * row->fade)) * TARN_SHEET
                       / (TARN_CELL_MM * TARN_CELL_MM * TARN_CELL_MM);
      double cell = per_mm3 * tarn_beam_lateral_mm (beam, depth_mm)
                    * tarn_beam_elevation_mm (beam, depth_mm) * tarn_beam_axial_mm (beam);
      g_autofree char *what
          = g_strdup_printf ("scatterers in a resolution cell at %d mm", depth_mm);
      bench_row (what, "1", &cell, 1, ">= 5");
    }
  tarn_plane_work_free (work);
}

static double
clock_ms (void *clock)
{
  (void)clock;
  return bench_now_ms ();
}

static void
measure_sweep (const TarnBody *body)
{
  TarnThreadPool *pool = tarn_thread_pool_new (2);
  TarnScanOptions options = tarn_scan_options_default ();
  options.parallel = tarn_thread_pool_parallel (pool);
  options.now_ms = clock_ms;
  double sweep[10], ledger[10];
  TarnScan *scan = g_new (TarnScan, 1);
  for (int k = 0; k < 10; k++)
    {
      if (tarn_scan_run (body, &options, scan) != TARN_OK)
        exit (1);
      sweep[k] = scan->sweep_ms;
      ledger[k] = scan->ledger_ms;
      tarn_scan_clear (scan);
    }
  bench_row ("sweep of 36 planes, two threads", "ms", sweep, 10, "<= 150");
  bench_row ("ledger, two threads", "ms", ledger, 10, "<= 1000");
  g_free (scan);
  tarn_thread_pool_free (pool);
}

int
main (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body;
  TarnContact contact;
  TarnDeform deform;
  if (tarn_body_new (&patient, 0, &body, NULL) != TARN_OK)
    return 1;
  TarnPlaneSetup setup = plane_of (body, &contact, &deform);
  bench_header ();
  measure_plane (&setup, false, "<= 4");
  measure_plane (&setup, true, "<= 10");
  tell_density (&setup);
  measure_sweep (body);
  tarn_body_free (body);
  return 0;
}
