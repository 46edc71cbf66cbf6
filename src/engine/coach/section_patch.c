/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dark patches, as an outline starts from them (outline/seed.c).
 *
 * 1. A place whose surroundings of a few millimetres are dark is of a core; cores that hang
 *    together are one patch.  So a narrow neck, or a hole in a thin wall, parts two patches.
 * 2. The dark places about the cores belong to the nearest.
 * 3. Of a patch only what can be seen from its middle comes into an outline. */
#include "engine/coach/section_patch.h"

#include "base/units.h"

#include <string.h>

/* As in outline/seed.c; there the picture is blurred besides, and necks look narrower. */
#define AROUND_MM    2.5
#define AROUND_LIGHT 0.25 /* share of tissue in them, at most */

/* How far round the corner a place may lie, own design value: a ray's step and a half. */
#define CORNER_MM 3.0
#define TRIMMED   0.01 /* of the area: less is left as it is */
#define LINES_OUT 3    /* as many lines and steps lie so near */
#define STEPS_OUT 2

#define POINTS TARN_OUTLINE_POINTS

typedef struct
{
  int16_t place[TARN_RAY_BINS_MAX * TARN_RAY_STEPS_MAX][2];
  int count;
} Queue;

static void
push (TarnPlaneView *view, Queue *queue, int l, int k, int name)
{
  view->patch[l][k] = (int16_t)name;
  queue->place[queue->count][0] = (int16_t)l;
  queue->place[queue->count++][1] = (int16_t)k;
}

/* Length of [a, b] within @reach of 0. */
static double
within (double a, double b, double reach)
{
  return fmax (0, fmin (b, reach) - fmax (a, -reach));
}

/* How many places before line l and step k look like tissue, at [l][k]. */
typedef struct
{
  uint16_t tissue[TARN_RAY_BINS_MAX + 1][TARN_RAY_STEPS_MAX + 1];
} Sums;

static void
sum_tissue (const TarnPlaneView *view, Sums *sums)
{
  memset (sums->tissue[0], 0, sizeof sums->tissue[0]);
  for (int l = 0; l < view->lines; l++)
    {
      uint16_t in_line = 0;
      sums->tissue[l + 1][0] = 0;
      for (int k = 0; k < view->steps; k++)
        {
          in_line += view->looks[l][k] == TARN_LOOKS_TISSUE;
          sums->tissue[l + 1][k + 1] = (uint16_t)(sums->tissue[l][k + 1] + in_line);
        }
    }
}

/* Whether no tissue is anywhere about. */
static bool
is_deep_in (const TarnPlaneView *view, const Sums *sums, int l, int k)
{
  int l0 = l > LINES_OUT ? l - LINES_OUT : 0, k0 = k > STEPS_OUT ? k - STEPS_OUT : 0;
  int l1 = l + LINES_OUT < view->lines ? l + LINES_OUT + 1 : view->lines;
  int k1 = k + STEPS_OUT < view->steps ? k + STEPS_OUT + 1 : view->steps;
  return sums->tissue[l1][k1] + sums->tissue[l0][k0]
         == sums->tissue[l1][k0] + sums->tissue[l0][k1];
}

/* Whether a dark place's surroundings are dark.  What is not known looks dark. */
static bool
is_core (const TarnPlaneView *view, const Sums *sums, int l, int k)
{
  if (is_deep_in (view, sums, l, k))
    return true;
  double range_mm = (view->end_mm[l][k] + view->end_mm[l][k + 1]) / 2;
  double pitch_mm = range_mm * view->rays->line_pitch_rad, light = 0, all = 0;
  for (int a = -LINES_OUT; a <= LINES_OUT; a++)
    {
      double across = within ((a - 0.5) * pitch_mm, (a + 0.5) * pitch_mm, AROUND_MM);
      if (across <= 0 || l + a < 0 || l + a >= view->lines)
        continue;
      for (int b = -STEPS_OUT; b <= STEPS_OUT; b++)
        {
          if (k + b < 0 || k + b >= view->steps)
            continue;
          double along
              = within ((b - 0.5) * TARN_RAY_STEP_MM, (b + 0.5) * TARN_RAY_STEP_MM, AROUND_MM);
          all += across * along;
          if (view->looks[l + a][k + b] == TARN_LOOKS_TISSUE)
            light += across * along;
        }
    }
  return light <= AROUND_LIGHT * all;
}

/* Takes the places about those in the queue from @from on: for a patch that is being filled
 * only those of cores, marked so. */
static void
spread (TarnPlaneView *view, Queue *queue, int from, int mark)
{
  static const int step[4][2] = { { -1, 0 }, { 1, 0 }, { 0, -1 }, { 0, 1 } };
  for (int n = from; n < queue->count; n++)
    {
      int l = queue->place[n][0], k = queue->place[n][1], name = view->patch[l][k];
      for (int way = 0; way < 4; way++)
        {
          int c = l + step[way][0], d = k + step[way][1];
          if (c >= 0 && c < view->lines && d >= 0 && d < view->steps
              && view->patch[c][d] == mark && view->looks[c][d] == TARN_LOOKS_DARK)
            push (view, queue, c, d, name);
        }
    }
}

static void
add_place (const TarnPlaneView *view, int l, int k, TarnPatch *patch)
{
  double near = view->end_mm[l][k], far = view->end_mm[l][k + 1];
  if (k > 0 && view->looks[l][k - 1] == TARN_LOOKS_TISSUE)
    near += TARN_HAZE_MM;
  double range = (near + far) / 2, u = range * view->line_sin[2 * l + 1],
         v = range * view->line_cos[2 * l + 1];
  double area = range * (far - near) * view->rays->line_pitch_rad;
  patch->area_mm2 += area;
  patch->u_mm += area * u;
  patch->v_mm += area * v;
  patch->moment_mm3 += area * v;
  patch->holds.all += area * v;
  *(view->met[l][k] == TARN_MET_URINE ? &patch->holds.urine : &patch->holds.other) += area * v;
}

static void
finish (TarnPatch *patch)
{
  patch->u_mm /= patch->area_mm2;
  patch->v_mm /= patch->area_mm2;
}

/* Names all dark places: 0 none, 1 … for the patches.  Returns how many there are. */
static int
name_places (TarnPlaneView *view)
{
  enum
  {
    CORE = -1
  };
  Queue queue;
  Sums sums;
  int names = 0;
  queue.count = 0;
  sum_tissue (view, &sums);
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps; k++)
      view->patch[l][k]
          = view->looks[l][k] == TARN_LOOKS_DARK && is_core (view, &sums, l, k) ? CORE : 0;
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps && names < TARN_PATCHES_MAX; k++)
      if (view->patch[l][k] == CORE)
        {
          int from = queue.count;
          push (view, &queue, l, k, ++names);
          spread (view, &queue, from, CORE);
        }
  spread (view, &queue, 0, 0);
  return names;
}

int
tarn_patches_find (TarnPlaneView *view, double u_mm, double v_mm, double least_mm2,
                   TarnPatch patch[TARN_PATCHES_MAX])
{
  TarnPatch all[TARN_PATCHES_MAX + 1];
  int names = name_places (view), count = 0;
  double nearest_mm2[TARN_PATCHES_MAX + 1];
  for (int name = 1; name <= names; name++)
    {
      all[name] = (TarnPatch){ .name = name };
      nearest_mm2[name] = INFINITY;
    }
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps; k++)
      {
        int name = view->patch[l][k];
        if (name < 1)
          continue;
        add_place (view, l, k, &all[name]);
        double range = (view->end_mm[l][k] + view->end_mm[l][k + 1]) / 2;
        double u = range * view->line_sin[2 * l + 1] - u_mm,
               v = range * view->line_cos[2 * l + 1] - v_mm;
        double away2 = u * u + v * v;
        if (away2 < nearest_mm2[name])
          nearest_mm2[name] = away2;
      }
  for (int name = 1; name <= names; name++)
    {
      if (all[name].area_mm2 < least_mm2)
        continue;
      finish (&all[name]);
      all[name].distance_mm = sqrt (nearest_mm2[name]);
      int at = count++;
      for (; at > 0 && patch[at - 1].distance_mm > all[name].distance_mm; at--)
        patch[at] = patch[at - 1];
      patch[at] = all[name];
    }
  return count;
}

/* The step of a line at a range; -1 outside. */
static int
step_at (const TarnPlaneView *view, int l, double range_mm)
{
  const float *end = view->end_mm[l];
  int k = (int)((range_mm - end[0]) / TARN_RAY_STEP_MM);
  k = k < 0 ? 0 : k >= view->steps ? view->steps - 1 : k;
  while (k > 0 && range_mm < end[k])
    k--;
  while (k < view->steps - 1 && range_mm >= end[k + 1])
    k++;
  return range_mm >= end[k] && range_mm < end[k + 1] ? k : -1;
}

/* The line that a place lies in, -1 or view->lines beside all.  @line: one near it. */
static int
line_at (const TarnPlaneView *view, int line, double u_mm, double v_mm)
{
  while (line < view->lines
         && u_mm * view->line_cos[2 * line + 2] >= v_mm * view->line_sin[2 * line + 2])
    line++;
  while (line >= 0 && u_mm * view->line_cos[2 * line] < v_mm * view->line_sin[2 * line])
    line--;
  return line;
}

/* @line: one near it; set to its own. */
static bool
is_in (const TarnPlaneView *view, int name, double u_mm, double v_mm, int *line)
{
  int l = line_at (view, *line, u_mm, v_mm);
  if (l < 0 || l >= view->lines)
    return false;
  *line = l;
  int k = step_at (view, l, sqrt (u_mm * u_mm + v_mm * v_mm));
  return k >= 0 && view->patch[l][k] == name;
}

/* How far one sees from the middle of a patch, which lies in @line. */
static void
look_round (const TarnPlaneView *view, const TarnPatch *patch, int line,
            double sight_mm[POINTS])
{
  for (int point = 0; point < POINTS; point++)
    {
      double c = view->turn_cos[point], s = view->turn_sin[point], r = 0;
      int at = line;
      while (
          is_in (view, patch->name, patch->u_mm + (r + 1) * c, patch->v_mm + (r + 1) * s, &at))
        r += TARN_RAY_STEP_MM;
      sight_mm[point] = r;
    }
}

/* Whether one sees so far, or round a corner. */
static bool
is_in_sight (const double sight_mm[POINTS], double least_mm, double u, double v)
{
  double away2 = u * u + v * v;
  if (away2 <= (least_mm + CORNER_MM) * (least_mm + CORNER_MM))
    return true;
  double turn = atan2 (v, u) / (2 * TARN_PI) * POINTS;
  int low = (int)floor (turn);
  double one = sight_mm[(low + POINTS) % POINTS], other = sight_mm[(low + 1 + POINTS) % POINTS];
  double sight = (one > other ? one : other) + CORNER_MM;
  return away2 <= sight * sight;
}

void
tarn_patch_trim (TarnPlaneView *view, TarnPatch *patch)
{
  int line = view->lines / 2;
  if (!is_in (view, patch->name, patch->u_mm, patch->v_mm, &line))
    return;
  double sight_mm[POINTS], least_mm = INFINITY;
  look_round (view, patch, line, sight_mm);
  for (int point = 0; point < POINTS; point++)
    if (sight_mm[point] < least_mm)
      least_mm = sight_mm[point];
  TarnPatch kept = { .name = patch->name, .distance_mm = patch->distance_mm };
  bool in[TARN_RAY_BINS_MAX][TARN_RAY_STEPS_MAX];
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps; k++)
      {
        if (view->patch[l][k] != patch->name)
          continue;
        double range = (view->end_mm[l][k] + view->end_mm[l][k + 1]) / 2;
        double u = range * view->line_sin[2 * l + 1] - patch->u_mm,
               v = range * view->line_cos[2 * l + 1] - patch->v_mm;
        in[l][k] = is_in_sight (sight_mm, least_mm, u, v);
        if (in[l][k])
          add_place (view, l, k, &kept);
      }
  if (kept.area_mm2 >= (1 - TRIMMED) * patch->area_mm2 || kept.area_mm2 <= 0)
    return;
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps; k++)
      if (view->patch[l][k] == patch->name && !in[l][k])
        view->patch[l][k] = 0;
  finish (&kept);
  *patch = kept;
}
