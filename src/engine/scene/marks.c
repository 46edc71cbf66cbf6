/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * marks.c: scar, wound, dressing and catheter, where the situation has them. */
#include "engine/scene/layers.h"

#include "base/units.h"

/* A patch on the skin: a grid over places, each point lifted and painted by what it shows. */
typedef struct
{
  double above_mm, left_mm;   /* of its middle */
  double half_up, half_aside; /* half-sizes, mm */
  int rows, columns;
  double slant; /* left per above */
  double thick_mm;
  uint8_t skin[3];
} Patch;

typedef TarnPaint (*PatchPaint) (const Patch *patch, double u, double v, double *high_mm);

static void
add_patch (TarnStore *store, const TarnSkinChart *chart, const Patch *patch, PatchPaint look,
           TarnMaterial material)
{
  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < patch->rows; r++)
    for (int c = 0; c < patch->columns; c++)
      {
        double u = 2.0 * r / (patch->rows - 1) - 1, v = 2.0 * c / (patch->columns - 1) - 1;
        double high = 0, shade;
        TarnPaint paint = look (patch, u, v, &high);
        double above = patch->above_mm + u * patch->half_up;
        double left
            = patch->left_mm + v * patch->half_aside + patch->slant * u * u * patch->half_up;
        TarnVec3 p = tarn_chart_point (chart, above, left, &shade);
        paint.shade = (uint8_t)(255 * shade);
        p = tarn_add_scaled (p, tarn_chart_normal (chart, above, left), high);
        tarn_store_vertex (store, p, paint);
      }
  tarn_store_grid (store, first, patch->rows, patch->columns, false);
  tarn_store_end_part (store, material, first_index);
}

static TarnPaint
mixed (const uint8_t skin[3], const double other[3], double share, double opacity)
{
  TarnPaint paint = { .shade = 255, .shine = 60 };
  for (int k = 0; k < 3; k++)
    paint.colour[k] = (uint8_t)tarn_clamp (skin[k] + (other[k] - skin[k]) * share, 0, 255);
  paint.colour[3] = (uint8_t)(255 * tarn_clamp (opacity, 0, 1));
  return paint;
}

/* A healed line, a little raised, with the dots of its stitches.  Along u or along v. */
static TarnPaint
scar_along (const Patch *patch, double along, double across, double *high_mm)
{
  static const double pale[3] = { 236, 196, 184 };
  static const double red[3] = { 178, 98, 92 };
  double end = 1 - tarn_smoothstep (0.86, 1.0, fabs (along));
  double line = exp (-pow (across / 0.36, 2));
  double stitch = exp (-pow ((fabs (across) - 0.66) / 0.16, 2))
                  * tarn_smoothstep (0.55, 0.95, sin (along * 26));
  *high_mm = 0.25 + 0.9 * line * end;
  TarnPaint paint = mixed (patch->skin, pale, 0.85, end * fmax (line, 0.55 * stitch));
  if (stitch > line)
    paint = mixed (patch->skin, red, 0.7, end * 0.55 * stitch);
  else
    paint = mixed (patch->skin, line > 0.6 ? pale : red, 0.75, end * line);
  return paint;
}

static TarnPaint
scar_up (const Patch *patch, double u, double v, double *high_mm)
{
  return scar_along (patch, u, v + 0.10 * sin (u * 5), high_mm);
}

static TarnPaint
scar_aside (const Patch *patch, double u, double v, double *high_mm)
{
  return scar_along (patch, v, u, high_mm);
}

/* An open wound, small and clean: dull red with a paler bed and a flushed rim. */
static TarnPaint
wound (const Patch *patch, double u, double v, double *high_mm)
{
  static const double bed[3] = { 142, 52, 50 }, rim[3] = { 205, 122, 110 };
  double turn = atan2 (v, u);
  double r = hypot (u, v) * (1 + 0.10 * sin (3 * turn + 0.6) + 0.06 * sin (7 * turn));
  double open = 1 - tarn_smoothstep (0.40, 0.52, r);
  double flush = 1 - tarn_smoothstep (0.5, 0.95, r);
  *high_mm = 0.25 - 0.2 * open + 0.5 * exp (-pow ((r - 0.55) / 0.1, 2));
  TarnPaint paint = mixed (patch->skin, rim, 0.8, 0.75 * flush);
  if (open > 0.02)
    {
      paint = mixed ((const uint8_t[3]){ 205, 122, 110 }, bed, open, fmax (open, 0.75));
      paint.shine = (uint8_t)(60 + 90 * open);
    }
  return paint;
}

/* A pad under a film with rounded corners. */
static TarnPaint
dressing (const Patch *patch, double u, double v, double *high_mm)
{
  double pad
      = 1 - tarn_smoothstep (0.52, 0.66, pow (pow (fabs (u), 5) + pow (fabs (v), 5), 0.2));
  double out = pow (pow (fabs (u), 5) + pow (fabs (v), 5), 0.2);
  *high_mm = out > 0.97 ? 0.15 : 0.9 + patch->thick_mm * pad;
  TarnPaint paint = { { 238, 236, 231, 255 }, 255, 14, 0 };
  if (pad < 0.5)
    paint = (TarnPaint){ { 229, 219, 208, 255 }, 255, 26, 0 };
  return paint;
}

/* The grid's corners are cut so that the dressing's are round. */
static void
round_corners (const TarnSkinChart *chart, TarnStore *store, int first, const Patch *patch)
{
  for (int r = 0; r < patch->rows; r++)
    for (int c = 0; c < patch->columns; c++)
      {
        double u = 2.0 * r / (patch->rows - 1) - 1, v = 2.0 * c / (patch->columns - 1) - 1;
        double square = fmax (fabs (u), fabs (v));
        double round = pow (pow (fabs (u), 7) + pow (fabs (v), 7), 1.0 / 7);
        if (square <= 0)
          continue;
        double keep = square / round;
        double above = patch->above_mm + u * keep * patch->half_up;
        double left = patch->left_mm + v * keep * patch->half_aside, high;
        (void)dressing (patch, u, v, &high);
        TarnVec3 p = tarn_chart_point (chart, above, left, NULL);
        p = tarn_add_scaled (p, tarn_chart_normal (chart, above, left), high);
        int at = first + r * patch->columns + c;
        store->x_mm[at] = (float)p.x;
        store->y_mm[at] = (float)p.y;
        store->z_mm[at] = (float)p.z;
      }
}

static const TarnStructure *
scar_of (const TarnPatient *patient)
{
  for (int k = 0; k < patient->structures; k++)
    if (patient->structure[k].kind == TARN_STRUCTURE_SCAR)
      return &patient->structure[k];
  return NULL;
}

static void
add_scar (TarnStore *store, const TarnSkinChart *chart, const TarnPatient *patient, Patch patch)
{
  const TarnStructure *scar = scar_of (patient);
  double s = chart->figure.scale;
  if (scar != NULL && scar->radii_mm.z > scar->radii_mm.x)
    {
      patch.above_mm = scar->centre_mm.z;
      patch.left_mm = scar->centre_mm.x;
      patch.half_up = 1.15 * scar->radii_mm.z;
      patch.half_aside = 7.5;
      patch.rows = 26;
      patch.columns = 7;
      add_patch (store, chart, &patch, scar_up, TARN_MATERIAL_MARKS);
      return;
    }
  patch.above_mm = scar != NULL ? scar->centre_mm.z : 38 * s;
  patch.left_mm = scar != NULL ? scar->centre_mm.x : 0;
  patch.half_up = 7.5;
  patch.half_aside = scar != NULL ? 1.15 * scar->radii_mm.x : 62 * s;
  patch.rows = 7;
  patch.columns = 26;
  add_patch (store, chart, &patch, scar_aside, TARN_MATERIAL_MARKS);
}

void
tarn_marks_add (TarnStore *store, const TarnSkinChart *chart, const TarnPatient *patient)
{
  double s = chart->figure.scale;
  Patch patch = { .above_mm = 62 * s, .left_mm = 0 };
  TarnPaint skin
      = tarn_skin_paint (chart->complexion, tarn_chart_point (chart, patch.above_mm, 0, NULL));
  for (int k = 0; k < 3; k++)
    patch.skin[k] = skin.colour[k];

  switch (patient->situation.skin)
    {
    case TARN_SKIN_SCAR:
      add_scar (store, chart, patient, patch);
      break;
    case TARN_SKIN_WOUND:
      patch.half_up = 16;
      patch.half_aside = 34;
      patch.rows = patch.columns = 13;
      add_patch (store, chart, &patch, wound, TARN_MATERIAL_MARKS);
      break;
    case TARN_SKIN_DRESSING:
      {
        patch.half_up = 34 * fmax (s, 0.6);
        patch.half_aside = 56 * fmax (s, 0.6);
        patch.rows = 13;
        patch.columns = 15;
        patch.thick_mm = 2.6;
        int first = store->vertices;
        add_patch (store, chart, &patch, dressing, TARN_MATERIAL_DRESSING);
        round_corners (chart, store, first, &patch);
        break;
      }
    case TARN_SKIN_INTACT:
      break;
    }
}

/* The tube comes from under the drape at the patient's right, lies on the sheet and goes over
 * the bed's edge. */
#define TUBE_POINTS 21
#define TUBE_AROUND 7

static TarnVec3
tube_mm (const TarnSkinChart *chart, double t)
{
  const TarnFigure *figure = &chart->figure;
  double s = figure->scale, body = chart->torso.oval[0].half_width_mm;
  double half = fmax (360, body + 170), bed = figure->bed_y_mm - 3.6;
  double start = -(body - 8), run = half - body + 8 + 24;
  TarnVec3 p = { start - run * fmin (t / 0.8, 1), bed, -74 * s - 50 * t + 24 * sin (5.2 * t) };
  if (t > 0.74)
    {
      double over = (t - 0.74) / 0.26;
      p.y += 120 * over * over + 14 * over;
    }
  return p;
}

void
tarn_tube_add (TarnStore *store, const TarnSkinChart *chart, const TarnPatient *patient)
{
  if (patient->situation.catheter == TARN_CATHETER_NONE)
    return;
  int first = store->vertices, first_index = store->indices;
  for (int k = 0; k < TUBE_POINTS; k++)
    {
      double t = (double)k / (TUBE_POINTS - 1);
      TarnVec3 p = tube_mm (chart, t);
      TarnVec3 along
          = tarn_normalize (tarn_sub (tube_mm (chart, t + 0.01), tube_mm (chart, t - 0.01)));
      TarnVec3 u = tarn_normalize (tarn_cross (along, tarn_vec3 (0, 0, 1)));
      TarnVec3 v = tarn_cross (along, u);
      /* A cuff where the tube of the bag is pushed on. */
      double radius = t > 0.30 && t < 0.36 ? 5.2 : 3.4;
      double dusk = tarn_smoothstep (0.82, 1.0, t);
      TarnPaint paint = { { 214, 196, 178, 255 }, 235, 190, (uint8_t)(255 * dusk) };
      if (patient->situation.catheter == TARN_CATHETER_BLOCKED)
        paint = (TarnPaint){ { 196, 184, 182, 255 }, 235, 190, (uint8_t)(255 * dusk) };
      for (int j = 0; j < TUBE_AROUND; j++)
        {
          double turn = 2 * TARN_PI * j / TUBE_AROUND;
          TarnVec3 q = tarn_add_scaled (p, u, radius * cos (turn));
          tarn_store_vertex (store, tarn_add_scaled (q, v, radius * sin (turn)), paint);
        }
    }
  tarn_store_grid (store, first, TUBE_POINTS, TUBE_AROUND, true);
  tarn_store_end_part (store, TARN_MATERIAL_TUBE, first_index);
}
