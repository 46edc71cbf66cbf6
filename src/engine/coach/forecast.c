/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The forecast of a reading: a section for each plane of rays, joined and summed by the rules
 * of a sweep (chain.h, sweep.h); and what its verdict would be. */
#include "engine/coach/forecast.h"

#include "base/units.h"
#include "engine/coach/section.h"
#include "engine/measure/chain.h"

#include <math.h>
#include <stdlib.h>

/* As in verdict.c. */
#define URINE_SHARE_MIN 0.5
#define OTHER_SHARE_MAX 0.25

typedef struct
{
  const TarnRays *rays;
  int planes;
  TarnPlaneView view;
  TarnOutline section[TARN_RAY_BINS_MAX];
  TarnSectionHolds holds[TARN_RAY_BINS_MAX];
} Forecast;

static void
look (Forecast *forecast, int plane, const TarnOutline *neighbour)
{
  tarn_plane_view_look (&forecast->view, plane);
  tarn_section_find (&forecast->view, neighbour, &forecast->section[plane],
                     &forecast->holds[plane]);
}

/* The planes that may be the start are looked at without a neighbour; the best of them. */
static int
choose_start (Forecast *forecast)
{
  int index[TARN_CHAIN_STARTS_MAX], best = -1;
  double merit = 0;
  for (int tier = 0; tier < TARN_CHAIN_TIERS; tier++)
    {
      int starts = tarn_chain_starts (forecast->planes, tier, index), before = best;
      for (int k = 0; k < starts; k++)
        {
          look (forecast, index[k], NULL);
          double its = tarn_chain_merit (&forecast->section[index[k]]);
          if (its > merit)
            {
              merit = its;
              best = index[k];
            }
        }
      for (int k = 0; k < starts; k++)
        if (index[k] != best)
          forecast->section[index[k]] = (TarnOutline){ 0 };
      if (before >= 0 && before != best)
        forecast->section[before] = (TarnOutline){ 0 };
      if (best >= 0 && tarn_chain_sure (&forecast->section[best]))
        break;
    }
  return best;
}

static void
follow_chain (Forecast *forecast, int start, int way)
{
  TarnChain chain = { .last = &forecast->section[start], .last_index = start };
  for (int k = start + way; k >= 0 && k < forecast->planes && tarn_chain_alive (&chain);
       k += way)
    {
      look (forecast, k, chain.last);
      if (!tarn_chain_take (&chain, k, &forecast->section[k]))
        forecast->section[k] = (TarnOutline){ 0 };
    }
}

/* How closed the sections look. */
static void
sum_borders (const Forecast *forecast, TarnCoverage *coverage)
{
  double area = 0;
  coverage->at_edge = coverage->bridged = 0;
  for (int k = 0; k < forecast->planes; k++)
    {
      const TarnOutline *section = &forecast->section[k];
      area += section->area_mm2;
      coverage->at_edge += section->area_mm2 * section->at_edge;
      coverage->bridged += section->area_mm2 * section->bridged;
    }
  if (area > 0)
    {
      coverage->at_edge /= area;
      coverage->bridged /= area;
    }
}

static TarnVerdict
verdict_for (const TarnCoverage *coverage)
{
  static const TarnVerdict verdict[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = TARN_VERDICT_CLIPPED,
    [TARN_CAUSE_BONE] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_GAS] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_CONTACT] = TARN_VERDICT_POOR_CONTACT,
    [TARN_CAUSE_MOTION] = TARN_VERDICT_MOVED,
    [TARN_CAUSE_OTHER_FLUID] = TARN_VERDICT_WRONG_FLUID,
    [TARN_CAUSE_REST] = TARN_VERDICT_UNEXPLAINED,
  };
  int most = TARN_CAUSE_REST;
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    if (coverage->hidden_ml[cause] > coverage->hidden_ml[most])
      most = cause;
  return verdict[most];
}

static void
judge (const Forecast *forecast, const TarnBody *body, TarnCoverage *coverage)
{
  double truth_ml = tarn_body_true_volume_ml (body), urine = 0, other = 0, all = 0;
  for (int k = 0; k < forecast->planes; k++)
    if (forecast->section[k].found)
      {
        urine += forecast->holds[k].urine;
        other += forecast->holds[k].other;
        all += forecast->holds[k].all;
      }
  bool seen = coverage->forecast.kind != TARN_READING_NOT_SEEN;
  double error_ml = coverage->forecast.volume_ml - truth_ml;
  coverage->urine_share = seen && all > 0 ? urine / all : 1;
  if (seen && (urine < URINE_SHARE_MIN * all || other > OTHER_SHARE_MAX * all))
    coverage->verdict = TARN_VERDICT_WRONG_FLUID;
  else if ((!seen && truth_ml < TARN_EMPTY_ML)
           || fabs (error_ml)
                  <= tarn_pass_tolerance_ml (&tarn_body_patient (body)->pass, truth_ml))
    coverage->verdict = TARN_VERDICT_ACCURATE;
  else
    coverage->verdict = verdict_for (coverage);
}

TarnStatus
tarn_forecast (const TarnRays *rays, const TarnBody *body, TarnCoverage *coverage)
{
  Forecast *forecast = malloc (sizeof *forecast);
  if (forecast == NULL)
    return TARN_NO_MEMORY;
  forecast->rays = rays;
  forecast->planes = rays->fan_bins;
  tarn_plane_view_init (&forecast->view, rays);
  const TarnOutline *section[TARN_RAY_BINS_MAX];
  for (int k = 0; k < forecast->planes; k++)
    {
      forecast->section[k] = (TarnOutline){ 0 };
      section[k] = &forecast->section[k];
    }
  int start = choose_start (forecast);
  if (start >= 0)
    {
      follow_chain (forecast, start, 1);
      follow_chain (forecast, start, -1);
    }
  coverage->forecast = tarn_fan_reading (section, forecast->planes, rays->fan_pitch_rad);
  sum_borders (forecast, coverage);
  judge (forecast, body, coverage);
  free (forecast);
  return TARN_OK;
}
