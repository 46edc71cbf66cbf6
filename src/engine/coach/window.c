/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window.
 *
 * 1. A grid of places above the bone and beside the midline, and of tilts, with several
 *    presses that the patient bears, and where there is a fold, flat and lifted; transverse,
 *    upright, wet all over.  Each pose gets its forecast.
 * 2. Poses that are accurate are open.  The best is the one with the most room to the nearest
 *    closed one along any axis; of those it has room along all, sees the most, and lies near
 *    where a hand is taught to begin; then the press nearest to a plain one, and the fold left
 * alone.
 * 3. Where no pose holds all, and the most that can be seen runs out of the picture, "at
 *    least" is the answer, and the poses that say it are open too. */
#include "engine/coach/window.h"

#include "base/units.h"
#include "engine/coach/difficulty.h"

#include <stdlib.h>
#include <string.h>

/* All own design values: what a sensible hand would try. */
/* Places that difficulty is asked from: the same for every map but the coarsest, so that the
 * figure does not go with the map's fineness. */
#define PLACES       240
#define FEW_PLACES   60
#define COARSE_POSES 500

/* Where a hand is taught to begin, and what a step away from it weighs. */
#define TAUGHT_ABOVE_MM 45.0
#define TAUGHT_TILT_RAD 0.09
#define TAUGHT_WEIGHT   2.0
#define SEEN_WEIGHT     100.0 /* what all of the urine weighs: 2 % of it are a step away */

#define POSES_WANTED   2000
#define ABOVE_FIRST_MM 5.0
#define ABOVE_LAST_MM  125.0
#define LEFT_MM        45.0
#define TILT_FIRST_DEG -20.0
#define TILT_LAST_DEG  40.0
#define PLAIN_N        8.0
#define SAME_N         1.0

static const double force_n[] = { 3, PLAIN_N, 15 };
#define FORCES ((int)(sizeof force_n / sizeof force_n[0]))

typedef struct
{
  TarnAcousticWindow *window;
  const TarnWindowOptions *options;
  const TarnSurvey *survey[2]; /* flat, lifted */
  int cells;                   /* in a layer */
  uint8_t *kind;               /* TarnReadingKind of each pose */
  TarnStatus *status;          /* of each pose */
} Mapping;

static TarnWindowAxis
axis_of (double first, double last, int count)
{
  return (TarnWindowAxis){ count, first, (last - first) / (count - 1) };
}

static double
axis_at (const TarnWindowAxis *axis, int index)
{
  return axis->first + index * axis->step;
}

/* Axes with about as many poses as wanted, in the proportions 12 : 9 : 6. */
static void
set_axes (TarnAcousticWindow *window, int poses)
{
  double scale = cbrt ((double)poses / window->layers / (12 * 9 * 6));
  int above = (int)tarn_clamp (lround (12 * scale), 2, TARN_WINDOW_ABOVE_MAX);
  int left = (int)tarn_clamp (2 * lround (4.5 * scale - 0.5) + 1, 3, TARN_WINDOW_LEFT_MAX - 1);
  int tilt = (int)tarn_clamp (lround (6 * scale), 2, TARN_WINDOW_TILT_MAX);
  window->above = axis_of (ABOVE_FIRST_MM, ABOVE_LAST_MM, above);
  window->left = axis_of (-LEFT_MM, LEFT_MM, left);
  window->tilt
      = axis_of (tarn_rad_from_deg (TILT_FIRST_DEG), tarn_rad_from_deg (TILT_LAST_DEG), tilt);
}

/* The presses that this patient bears, flat first. */
static void
set_layers (TarnAcousticWindow *window, const TarnPatient *patient)
{
  int lifts = patient->habitus.pannus_mm > 0 ? 2 : 1;
  for (int lift = 0; lift < lifts; lift++)
    {
      double before_n = 0;
      for (int k = 0; k < FORCES; k++)
        {
          double n = fmin (force_n[k], patient->temper.comfort_n);
          if (n < before_n + SAME_N)
            continue;
          window->layer[window->layers++] = (TarnWindowLayer){ .force_n = n, .lift = lift };
          before_n = n;
        }
    }
}

static void
cell_of (const TarnAcousticWindow *window, int index, int cell[3])
{
  cell[2] = index % window->tilt.count;
  cell[1] = index / window->tilt.count % window->left.count;
  cell[0] = index / window->tilt.count / window->left.count;
}

static TarnPose
pose_at (const TarnAcousticWindow *window, int layer, const int cell[3])
{
  return (TarnPose){ .above_mm = axis_at (&window->above, cell[0]),
                     .left_mm = axis_at (&window->left, cell[1]),
                     .tilt_rad = axis_at (&window->tilt, cell[2]),
                     .force_n = window->layer[layer].force_n };
}

static void
map_turn (void *context, int turn, int worker)
{
  Mapping *mapping = context;
  const TarnWindowOptions *options = mapping->options;
  (void)worker;
  int layer = turn / mapping->cells, cell[3];
  TarnWindowLayer *its = &mapping->window->layer[layer];
  cell_of (mapping->window, turn % mapping->cells, cell);
  TarnPose pose = pose_at (mapping->window, layer, cell);
  TarnCoverage coverage
      = { .verdict = TARN_VERDICT_NOT_ACCURATE, .forecast.kind = TARN_READING_NOT_SEEN };
  TarnStatus status = TARN_IMPOSSIBLE;
  if (options->cancelled == NULL || !options->cancelled (options->context))
    status = tarn_coverage_at (mapping->survey[its->lift > 0], &pose, NULL, 0, &coverage);
  mapping->status[turn] = status == TARN_OFF_BODY ? TARN_OK : status;
  mapping->kind[turn] = (uint8_t)coverage.forecast.kind;
  its->verdict[cell[0]][cell[1]][cell[2]] = (uint8_t)coverage.verdict;
  its->coverage[cell[0]][cell[1]][cell[2]]
      = coverage.urine_ml > 0 ? (float)(coverage.seen_ml / coverage.urine_ml) : 0;
}

static bool
is_open (const Mapping *mapping, int layer, const int cell[3])
{
  const TarnAcousticWindow *window = mapping->window;
  if (cell[0] < 0 || cell[0] >= window->above.count || cell[1] < 0
      || cell[1] >= window->left.count || cell[2] < 0 || cell[2] >= window->tilt.count)
    return false;
  uint8_t verdict = window->layer[layer].verdict[cell[0]][cell[1]][cell[2]];
  if (verdict == TARN_VERDICT_ACCURATE || !window->lower_bound)
    return verdict == TARN_VERDICT_ACCURATE;
  int index = (cell[0] * window->left.count + cell[1]) * window->tilt.count + cell[2];
  return mapping->kind[layer * mapping->cells + index] == TARN_READING_LOWER_BOUND
         && verdict != TARN_VERDICT_WRONG_FLUID;
}

/* Open cells from @cell on along an axis, itself not counted. */
static int
run_along (const Mapping *mapping, int layer, const int cell[3], int axis, int way)
{
  int at[3] = { cell[0], cell[1], cell[2] }, run = 0;
  at[axis] += way;
  while (is_open (mapping, layer, at))
    {
      at[axis] += way;
      run++;
    }
  return run;
}

/* Steps of the map from where a hand is taught to begin. */
static double
away_from_taught (const TarnAcousticWindow *window, const int cell[3])
{
  TarnPose pose = pose_at (window, 0, cell);
  return fabs (pose.above_mm - TAUGHT_ABOVE_MM) / window->above.step
         + fabs (pose.left_mm) / window->left.step
         + fabs (pose.tilt_rad - TAUGHT_TILT_RAD) / window->tilt.step;
}

/* How good an open pose is; greater is better. */
static double
merit (const Mapping *mapping, int layer, const int cell[3])
{
  const TarnWindowLayer *its = &mapping->window->layer[layer];
  int least = 1000, sum = 0;
  for (int axis = 0; axis < 3; axis++)
    {
      int before = run_along (mapping, layer, cell, axis, -1);
      int after = run_along (mapping, layer, cell, axis, 1);
      int lesser = before < after ? before : after;
      least = lesser < least ? lesser : least;
      sum += lesser;
    }
  /* Of "at least" the one that says the most. */
  double seen = its->coverage[cell[0]][cell[1]][cell[2]];
  if (mapping->window->lower_bound)
    return seen;
  return 1000 * least + sum - TAUGHT_WEIGHT * away_from_taught (mapping->window, cell)
         - fabs (its->force_n - PLAIN_N) / 100 - its->lift / 2 + SEEN_WEIGHT * seen;
}

static void
choose_best (const Mapping *mapping)
{
  TarnAcousticWindow *window = mapping->window;
  double best = -INFINITY;
  for (int layer = 0; layer < window->layers; layer++)
    for (int k = 0; k < mapping->cells; k++)
      {
        int cell[3];
        cell_of (window, k, cell);
        if (!is_open (mapping, layer, cell))
          continue;
        double its = merit (mapping, layer, cell);
        if (its <= best)
          continue;
        best = its;
        window->best_layer = layer;
        memcpy (window->best_cell, cell, sizeof cell);
      }
}

static double
size_along (const Mapping *mapping, int axis, const TarnWindowAxis *its)
{
  const TarnAcousticWindow *window = mapping->window;
  int run = 1 + run_along (mapping, window->best_layer, window->best_cell, axis, 1)
            + run_along (mapping, window->best_layer, window->best_cell, axis, -1);
  return run * its->step;
}

/* The pose that sees the most, where none is open. */
static void
take_most_seen (const Mapping *mapping)
{
  TarnAcousticWindow *window = mapping->window;
  float most = -1;
  for (int layer = 0; layer < window->layers; layer++)
    for (int k = 0; k < mapping->cells; k++)
      {
        int cell[3];
        cell_of (window, k, cell);
        float seen = window->layer[layer].coverage[cell[0]][cell[1]][cell[2]];
        if (seen <= most)
          continue;
        most = seen;
        window->best_layer = layer;
        memcpy (window->best_cell, cell, sizeof cell);
      }
}

/* Shares, and whether "at least" is the answer. */
static void
take_stock (const Mapping *mapping)
{
  TarnAcousticWindow *window = mapping->window;
  bool held = false;
  window->poses = mapping->cells * window->layers;
  for (int k = 0; k < window->poses; k++)
    {
      int cell[3];
      cell_of (window, k % mapping->cells, cell);
      uint8_t verdict = window->layer[k / mapping->cells].verdict[cell[0]][cell[1]][cell[2]];
      window->share[verdict] += 1.0 / window->poses;
      held |= verdict == TARN_VERDICT_ACCURATE && mapping->kind[k] != TARN_READING_LOWER_BOUND;
    }
  take_most_seen (mapping);
  const int *cell = window->best_cell;
  int most = (cell[0] * window->left.count + cell[1]) * window->tilt.count + cell[2];
  window->lower_bound = !held
                        && mapping->kind[window->best_layer * mapping->cells + most]
                               == TARN_READING_LOWER_BOUND;
  for (int k = 0; k < window->poses; k++)
    {
      int at[3];
      cell_of (window, k % mapping->cells, at);
      bool open = is_open (mapping, k / mapping->cells, at);
      window->layer[k / mapping->cells].open[at[0]][at[1]][at[2]] = open;
      window->accurate += open;
    }
}

static void
sum_up (const Mapping *mapping)
{
  TarnAcousticWindow *window = mapping->window;
  take_stock (mapping);
  window->open = window->accurate > 0;
  if (window->open)
    {
      choose_best (mapping);
      window->above_mm = size_along (mapping, 0, &window->above);
      window->left_mm = size_along (mapping, 1, &window->left);
      window->tilt_rad = size_along (mapping, 2, &window->tilt);
    }
  const int *cell = window->best_cell;
  const TarnWindowLayer *layer = &window->layer[window->best_layer];
  window->best = pose_at (window, window->best_layer, cell);
  window->best_lift = layer->lift;
  window->best_coverage = layer->coverage[cell[0]][cell[1]][cell[2]];
}

static TarnStatus
ask_difficulty (const Mapping *mapping)
{
  const TarnWindowOptions *options = mapping->options;
  TarnAcousticWindow *window = mapping->window;
  TarnDifficultySetup setup = { .survey = { mapping->survey[0], mapping->survey[1] },
                                .has_pannus = mapping->survey[1] != mapping->survey[0],
                                .at_least = window->lower_bound,
                                .poses = window->poses < COARSE_POSES ? FEW_PLACES : PLACES,
                                .seed = options->seed,
                                .parallel = options->parallel,
                                .cancelled = options->cancelled,
                                .context = options->context };
  window->difficulty = 100;
  return window->open ? tarn_difficulty (&setup, &window->difficulty) : TARN_OK;
}

static TarnStatus
map (Mapping *mapping)
{
  TarnAcousticWindow *window = mapping->window;
  mapping->cells = window->above.count * window->left.count * window->tilt.count;
  int poses = mapping->cells * window->layers;
  mapping->kind = calloc ((size_t)poses, sizeof *mapping->kind);
  mapping->status = calloc ((size_t)poses, sizeof *mapping->status);
  TarnStatus status
      = mapping->kind != NULL && mapping->status != NULL ? TARN_OK : TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      tarn_parallel_for (mapping->options->parallel, poses, map_turn, mapping);
      for (int k = 0; k < poses && status == TARN_OK; k++)
        status = mapping->status[k];
    }
  if (status == TARN_OK)
    {
      sum_up (mapping);
      status = ask_difficulty (mapping);
    }
  free (mapping->kind);
  free (mapping->status);
  return status;
}

TarnStatus
tarn_window_map (const TarnPatient *patient, const TarnWindowOptions *options,
                 TarnAcousticWindow *window, TarnProblem *problem)
{
  static const TarnWindowOptions plain = { 0 };
  Mapping mapping = { .window = window, .options = options != NULL ? options : &plain };
  memset (window, 0, sizeof *window);
  set_layers (window, patient);
  int wanted = mapping.options->poses_wanted;
  set_axes (window, wanted > 0 ? wanted : POSES_WANTED);

  TarnBody *body[2] = { NULL, NULL };
  TarnSurvey *survey[2] = { NULL, NULL };
  int bodies = patient->habitus.pannus_mm > 0 ? 2 : 1;
  TarnStatus status = TARN_OK;
  for (int k = 0; k < bodies && status == TARN_OK; k++)
    {
      status = tarn_body_new (patient, k, &body[k], problem);
      if (status == TARN_OK)
        status = tarn_survey_new (body[k], &survey[k]);
    }
  mapping.survey[0] = survey[0];
  mapping.survey[1] = bodies > 1 ? survey[1] : survey[0];
  if (status == TARN_OK)
    status = map (&mapping);
  for (int k = 0; k < 2; k++)
    {
      tarn_survey_free (survey[k]);
      tarn_body_free (body[k]);
    }
  return status;
}
