/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * face.c: the gaps between the face and the skin, and what gel fills of them.
 *
 * 1. The skin about the face is taken for a half-space with a sphere pressed into it (Hertz
 *    1881).  With the sphere's lowest point d below the skin and s the sphere's own height
 *    over that point, the two touch where s <= d/2, and beyond that, with k = 2s/d, the gap is
 *        s - d + (d/π) ((2 - k) asin (1/√k) + √(k - 1)).
 *    Unpressed it is s; a tilted face has its lowest point off its middle, so one side opens.
 * 2. Only the near tissue wraps itself about the face; the deep layers give way broadly.  So
 *    d is limited smoothly to WRAP_MM.
 * 3. All gel near the face flows together and outwards to one height, whatever its place; it
 *    fills the gaps up to that height.  What is left makes a collar around the face, which the
 *    next touch finds again, so touching twice changes nothing. */
#include "engine/contact/face.h"

#include "base/units.h"
#include "engine/contact/film.h"

#include <math.h>

#define ELEMENTS TARN_FACE_ELEMENTS
#define FINE     4 /* samples across an element, to see how much of it belongs to the cap */

/* Own design values. */
#define WRAP_MM        10.0
#define GATHER_MM      20.0 /* gel this near to the face's middle takes part */
#define GATHER_MAX_MM3 9600.0
#define POOL_MM2       1000.0 /* the pool's area: face and collar */
#define LEVEL_BAND     0.1    /* the height is not sharp, or pictures would flicker */
#define CREASE_MM      16.0   /* depth of the air in a full crease */
#define REST_MAX_MM    3.0    /* film under a face without pressure */
#define REST_HALF_KPA  1.0    /* pressure that leaves half of it */
#define REST_SHARE     0.4    /* of the gel, at most, lies in that film */
#define COUPLES_MM     0.05
#define COLLAR_MAX_MM  15.0
static const double collar_mm[2] = { 12.5, 19.0 }, spill_mm[2] = { 21.0, 32.0 };

/* One element of the face: its direction from the centre, and how much skin it covers. */
typedef struct
{
  TarnVec3 normal;
  double area_mm2;
} Element;

typedef struct
{
  Element at[ELEMENTS][ELEMENTS];
} Face;

/* The share of an element that belongs to the cap.  @cosine: of the fine angles. */
static double
share_in_cap (const double cosine[ELEMENTS * FINE], int row, int column)
{
  int inside = 0;
  for (int k = 0; k < FINE; k++)
    for (int l = 0; l < FINE; l++)
      inside += cosine[row * FINE + k] * cosine[column * FINE + l] >= cos (TARN_FACE_HALF_RAD);
  return inside / (double)(FINE * FINE);
}

/* An element's direction; corners beyond the cap stand for the rim next to them. */
static TarnVec3
element_normal (const TarnContact *contact, double row_rad, double column_rad)
{
  double along = cos (row_rad) * cos (column_rad);
  TarnVec3 out = tarn_scale (contact->elevation, sin (row_rad) * cos (column_rad));
  out = tarn_add_scaled (out, contact->lateral, sin (column_rad));
  if (along < cos (TARN_FACE_HALF_RAD))
    {
      along = cos (TARN_FACE_HALF_RAD);
      out = tarn_scale (out, sin (TARN_FACE_HALF_RAD) / tarn_length (out));
    }
  return tarn_add_scaled (out, contact->axis, along);
}

static void
init_face (Face *face, const TarnContact *contact, double radius_mm)
{
  double cosine[ELEMENTS * FINE];
  for (int k = 0; k < ELEMENTS * FINE; k++)
    cosine[k] = cos (tarn_face_angle_rad ((k + 0.5) / FINE - 0.5));

  double step_rad = 2 * TARN_FACE_HALF_RAD / ELEMENTS;
  for (int row = 0; row < ELEMENTS; row++)
    for (int column = 0; column < ELEMENTS; column++)
      {
        double row_rad = tarn_face_angle_rad (row), column_rad = tarn_face_angle_rad (column);
        Element *element = &face->at[row][column];
        element->normal = element_normal (contact, row_rad, column_rad);
        double upright = fmax (tarn_dot (element->normal, contact->inward), 0);
        element->area_mm2 = radius_mm * radius_mm * cos (column_rad) * step_rad * step_rad
                            * upright * share_in_cap (cosine, row, column);
      }
}

/* How deep the skin about the face is wrapped: see 2. */
static double
wrap_depth_mm (const TarnContact *contact, double radius_mm)
{
  double lowest
      = tarn_dot (tarn_sub (contact->centre_mm, contact->skin_mm), contact->inward) + radius_mm;
  return -WRAP_MM * expm1 (-fmax (lowest, 0) / WRAP_MM);
}

/* The gap by Hertz: see 1. */
static double
gap_mm (double height_mm, double depth_mm)
{
  if (2 * height_mm <= depth_mm)
    return 0;
  if (depth_mm <= 0)
    return height_mm;
  double k = 2 * height_mm / depth_mm;
  return height_mm - depth_mm
         + depth_mm / TARN_PI * ((2 - k) * asin (1 / sqrt (k)) + sqrt (k - 1));
}

double
tarn_face_gap_ml (double radius_mm)
{
  TarnContact contact = { .inward = { 0, 1, 0 },
                          .centre_mm = { 0, -radius_mm, 0 },
                          .axis = { 0, 1, 0 },
                          .lateral = { 1, 0, 0 },
                          .elevation = { 0, 0, 1 } };
  Face face;
  init_face (&face, &contact, radius_mm);

  double sum_mm3 = 0, depth = wrap_depth_mm (&contact, radius_mm);
  for (int row = 0; row < ELEMENTS; row++)
    for (int column = 0; column < ELEMENTS; column++)
      {
        const Element *element = &face.at[row][column];
        double height = radius_mm * (1 - tarn_dot (element->normal, contact.inward));
        sum_mm3 += gap_mm (height, depth) * element->area_mm2;
      }
  return sum_mm3 / TARN_MM3_PER_ML;
}

/* The crease's depth at a place, linear between its samples and beyond them as at the ends. */
static double
crease_mm (const TarnFaceSkin *skin, double towards_head_mm)
{
  double place = (towards_head_mm / TARN_CREASE_REACH_MM + 1) / 2 * (TARN_CREASE_SAMPLES - 1);
  place = tarn_clamp (place, 0, TARN_CREASE_SAMPLES - 1);
  int low = place < TARN_CREASE_SAMPLES - 2 ? (int)place : TARN_CREASE_SAMPLES - 2;
  double share = place - low;
  return CREASE_MM * ((1 - share) * skin->crease[low] + share * skin->crease[low + 1]);
}

/* The gel that takes part in a touch. */
typedef struct
{
  double volume_mm3;
  double level_mm; /* gaps up to here are filled */
  double rest_mm;  /* the film between face and skin where they touch */
} Pool;

static Pool
gather_pool (TarnGelFilm *film, const TarnPose *pose, double radius_mm, double pressure_kpa)
{
  tarn_film_reach (film, pose->above_mm, pose->left_mm);
  Pool pool = { 0 };
  pool.volume_mm3 = film->on_probe_g / TARN_GEL_G_PER_MM3
                    + tarn_film_take (film, pose->above_mm, pose->left_mm, GATHER_MM, 0);
  film->on_probe_g = 0;
  pool.level_mm = fmin (pool.volume_mm3, GATHER_MAX_MM3) / POOL_MM2;

  double rim_mm = radius_mm * sin (TARN_FACE_HALF_RAD);
  double spread_mm = REST_SHARE * pool.volume_mm3 / (TARN_PI * rim_mm * rim_mm);
  pool.rest_mm = fmin (REST_MAX_MM / (1 + pressure_kpa / REST_HALF_KPA), spread_mm);
  return pool;
}

/* How wet an element with this gap is, 0..1: the gel reaches it and is no mere smear. */
static double
wetness (const Pool *pool, double gap)
{
  double low = pool->level_mm * (1 - LEVEL_BAND), high = pool->level_mm * (1 + LEVEL_BAND);
  if (!(pool->level_mm > 0))
    return 0;
  double filled = 1 - tarn_smoothstep (low, high, gap);
  return filled * tarn_smoothstep (0.8 * COUPLES_MM, 1.2 * COUPLES_MM, gap + pool->rest_mm);
}

/* Puts back what no gap took: the collar, and what spills over it. */
static void
squeeze_out (TarnGelFilm *film, const TarnPose *pose, double volume_mm3)
{
  double most
      = COLLAR_MAX_MM * TARN_PI * (collar_mm[1] * collar_mm[1] - collar_mm[0] * collar_mm[0]);
  double collar = fmin (volume_mm3, most);
  tarn_film_put_ring (film, pose->above_mm, pose->left_mm, collar_mm, collar);
  if (volume_mm3 > collar)
    tarn_film_put_ring (film, pose->above_mm, pose->left_mm, spill_mm, volume_mm3 - collar);
}

static void
wet_all (TarnContact *contact)
{
  for (int row = 0; row < ELEMENTS; row++)
    for (int column = 0; column < ELEMENTS; column++)
      contact->wet[row][column] = 1;
  contact->wet_fraction = 1;
  contact->path_gel_mm = 0;
}

/* The mean over the cap's elements in the rows that the sweep passes. */
static double
mean_wetness (const TarnContact *contact, const Face *face, double fan_rad)
{
  double sum = 0;
  int counted = 0;
  for (int row = 0; row < ELEMENTS; row++)
    for (int column = 0; column < ELEMENTS; column++)
      {
        bool in_cap = tarn_dot (face->at[row][column].normal, contact->axis)
                      > cos (TARN_FACE_HALF_RAD) + 1e-9;
        if (!in_cap || fabs (tarn_face_angle_rad (row)) > fan_rad / 2)
          continue;
        sum += (double)contact->wet[row][column];
        counted++;
      }
  return counted > 0 ? sum / counted : 0;
}

void
tarn_face_wet (TarnContact *contact, const TarnPose *pose, const TarnFaceSkin *skin,
               double face_radius_mm, double fan_rad, TarnGelFilm *film)
{
  if (film == NULL)
    {
      wet_all (contact);
      return;
    }
  Face face;
  init_face (&face, contact, face_radius_mm);
  Pool pool = gather_pool (film, pose, face_radius_mm, contact->pressure_kpa);
  double depth = wrap_depth_mm (contact, face_radius_mm), left_mm3 = pool.volume_mm3;

  for (int row = 0; row < ELEMENTS; row++)
    for (int column = 0; column < ELEMENTS; column++)
      {
        const Element *element = &face.at[row][column];
        TarnVec3 from_skin
            = tarn_sub (tarn_add_scaled (contact->centre_mm, element->normal, face_radius_mm),
                        contact->skin_mm);
        double head = tarn_dot (from_skin, skin->head), left = tarn_dot (from_skin, skin->left);
        double height = face_radius_mm * (1 - tarn_dot (element->normal, contact->inward));
        double gap = gap_mm (height, depth) + crease_mm (skin, head);
        double wet = wetness (&pool, gap);
        double filled_mm3 = element->area_mm2 * (wet * gap + pool.rest_mm);
        contact->wet[row][column] = (float)wet;
        if (filled_mm3 > 0)
          tarn_film_put (film, pose->above_mm + head, pose->left_mm + left, filled_mm3);
        left_mm3 -= filled_mm3;
      }
  squeeze_out (film, pose, left_mm3);

  double middle = face_radius_mm * (1 - tarn_dot (contact->axis, contact->inward));
  double gap = gap_mm (middle, depth);
  contact->path_gel_mm = pool.rest_mm + wetness (&pool, gap) * gap;
  contact->wet_fraction = mean_wetness (contact, &face, fan_rad);
}
