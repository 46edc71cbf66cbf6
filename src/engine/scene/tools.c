/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tools.c: probe, fingertip, the plane's light. */
#include "engine/scene/layers.h"

#include "base/units.h"
#include "engine/acoustic/plane.h"

#define AROUND 22

/* The handle's outline behind the face: along the axis, half-widths across and along the
 * sweep; our own shape. */
typedef struct
{
  double back_mm, wide_mm, thick_mm;
} HandleRing;
static const HandleRing handle[]
    = { { 8, 14.0, 12.8 },    { 12, 16.2, 14.2 },  { 18, 17.6, 15.0 },  { 27, 18.0, 15.2 },
        { 38, 17.2, 14.4 },   { 52, 15.6, 13.4 },  { 68, 14.8, 13.0 },  { 84, 15.2, 13.6 },
        { 100, 16.4, 14.8 },  { 113, 17.0, 15.2 }, { 122, 16.4, 14.4 }, { 128.5, 14.2, 12.2 },
        { 132.5, 10.2, 8.6 }, { 133.7, 5.2, 4.4 } };
#define HANDLE_RINGS (int)(sizeof handle / sizeof *handle)

static const TarnPaint handle_paint = { { 112, 114, 119, 255 }, 255, 120, 0 };
static const TarnPaint face_paint = { { 70, 73, 80, 255 }, 255, 150, 0 };
static const TarnPaint ridge_paint = { { 226, 223, 216, 255 }, 255, 90, 0 };

/* The probe's own frame. */
typedef struct
{
  TarnVec3 face_mm, back, lateral, elevation;
} Frame;

static TarnVec3
at (const Frame *frame, double back, double wide, double thick)
{
  TarnVec3 p = tarn_add_scaled (frame->face_mm, frame->back, back);
  p = tarn_add_scaled (p, frame->lateral, wide);
  return tarn_add_scaled (p, frame->elevation, thick);
}

/* A rounded oval, squarer than an ellipse. */
static void
oval (double turn, double *wide, double *thick)
{
  double c = cos (turn), s = sin (turn);
  double r = pow (pow (fabs (c), 2.4) + pow (fabs (s), 2.4), -1 / 2.4);
  *wide = r * c;
  *thick = r * s;
}

/* Rings run from the face backwards.  Frame: lateral × elevation = back seen along the handle,
 * so that angles from lateral to elevation turn to the right seen from outside. */
static void
add_ring (TarnStore *store, const Frame *frame, HandleRing ring, double round, TarnPaint paint)
{
  for (int k = 0; k < AROUND; k++)
    {
      double turn = 2 * TARN_PI * k / AROUND, wide, thick;
      oval (turn, &wide, &thick);
      wide += (cos (turn) - wide) * round;
      thick += (sin (turn) - thick) * round;
      tarn_store_vertex (
          store, at (frame, ring.back_mm, ring.wide_mm * wide, ring.thick_mm * thick), paint);
    }
}

/* The handle's half-widths between its rings. */
static HandleRing
between (double back)
{
  int k = 0;
  while (k < HANDLE_RINGS - 2 && handle[k + 1].back_mm < back)
    k++;
  const HandleRing *a = &handle[k], *b = &handle[k + 1];
  double share = (back - a->back_mm) / (b->back_mm - a->back_mm);
  return (HandleRing){ back, a->wide_mm + (b->wide_mm - a->wide_mm) * share,
                       a->thick_mm + (b->thick_mm - a->thick_mm) * share };
}

/* A ridge of light colour on the index mark's side, to feel and to see. */
static void
add_ridge (TarnStore *store, const Frame *frame)
{
  enum
  {
    ROWS = 11,
    ACROSS = 7
  };
  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < ROWS; r++)
    for (int c = 0; c < ACROSS; c++)
      {
        double u = (double)r / (ROWS - 1), v = 2.0 * c / (ACROSS - 1) - 1;
        HandleRing ring = between (13 + 36 * u);
        double ends = sqrt (fmax (0, 1 - pow (2 * u - 1, 4)));
        double turn = TARN_PI + 0.27 * v * (0.55 + 0.45 * ends), wide, thick;
        oval (turn, &wide, &thick);
        double high = 4.4 * ends * (1 - v * v) - 0.9;
        double scale = 1 + high / ring.wide_mm;
        tarn_store_vertex (
            store, at (frame, ring.back_mm, ring.wide_mm * wide * scale, ring.thick_mm * thick),
            ridge_paint);
      }
  tarn_store_grid (store, first, ROWS, ACROSS, false);
  tarn_store_end_part (store, TARN_MATERIAL_RIDGE, first_index);
}

void
tarn_probe_add (TarnStore *store, const TarnContact *contact, TarnVec3 shift_mm)
{
  Frame frame = { tarn_add (contact->face_mm, shift_mm), tarn_scale (contact->axis, -1),
                  contact->lateral, tarn_scale (contact->elevation, 1) };
  double radius = tarn_distance (contact->face_mm, contact->centre_mm);
  int first = store->vertices, first_index = store->indices;

  /* The face, a cap, then the handle. */
  int rings = 0;
  for (int k = 1; k <= 4; k++, rings++)
    {
      double angle = TARN_FACE_HALF_RAD * k / 4;
      HandleRing ring
          = { radius * (1 - cos (angle)), radius * sin (angle), radius * sin (angle) };
      add_ring (store, &frame, ring, 1, face_paint);
    }
  double grow = fmax (radius / 15, 0.6);
  for (int k = 0; k < HANDLE_RINGS; k++, rings++)
    {
      HandleRing ring = handle[k];
      ring.back_mm = fmax (ring.back_mm, radius * 0.42 + 1.2 * (k + 1));
      if (k < 3)
        {
          ring.wide_mm *= grow;
          ring.thick_mm *= grow;
        }
      add_ring (store, &frame, ring, fmax (0, 0.8 - 0.3 * k),
                k < 1 ? face_paint : handle_paint);
    }
  tarn_store_grid (store, first, rings, AROUND, true);
  int tip = tarn_store_vertex (store, at (&frame, 0, 0, 0), face_paint);
  int end = tarn_store_vertex (store, at (&frame, TARN_PROBE_LENGTH_MM, 0, 0), handle_paint);
  tarn_store_cap (store, first, AROUND, tip, false);
  tarn_store_cap (store, first + (rings - 1) * AROUND, AROUND, end, true);
  tarn_store_end_part (store, TARN_MATERIAL_PROBE, first_index);
  add_ridge (store, &frame);
}

void
tarn_finger_add (TarnStore *store, TarnVec3 p_mm, TarnVec3 outward)
{
  TarnVec3 aside = fabs (outward.x) < 0.7 ? tarn_vec3 (1, 0, 0) : tarn_vec3 (0, 0, 1);
  TarnVec3 u = tarn_normalize (tarn_cross (outward, aside)), v = tarn_cross (outward, u);
  static const double radius[] = { 9.5, 8.4, 7.2, 6.0 }, high[] = { 0.3, 1.2, 1.5, 1.2 };
  static const uint8_t opacity[] = { 0, 215, 235, 120 };
  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < 4; r++)
    for (int k = 0; k < 20; k++)
      {
        double turn = 2 * TARN_PI * k / 20;
        TarnVec3 p = tarn_add_scaled (p_mm, outward, high[r]);
        p = tarn_add_scaled (p, u, radius[r] * cos (turn));
        p = tarn_add_scaled (p, v, radius[r] * sin (turn));
        tarn_store_vertex (store, p, (TarnPaint){ { 250, 246, 240, opacity[r] }, 255, 60, 0 });
      }
  tarn_store_grid (store, first, 4, 20, true);
  int middle = tarn_store_vertex (store, tarn_add_scaled (p_mm, outward, 1.0),
                                  (TarnPaint){ { 250, 246, 240, 95 }, 255, 60, 0 });
  tarn_store_cap (store, first + 3 * 20, 20, middle, true);
  tarn_store_end_part (store, TARN_MATERIAL_FINGER, first_index);
}

void
tarn_sector_add (TarnStore *store, const TarnContact *contact,
                 const TarnImageGeometry *geometry, double fan_rad, TarnVec3 shift_mm)
{
  enum
  {
    ROWS = 5,
    ACROSS = 17
  };
  TarnPlaneFrame plane = tarn_plane_frame (contact, fan_rad);
  TarnVec3 centre = tarn_add (plane.centre_mm, shift_mm);
  double depth = tarn_image_depth_limit_mm (geometry);
  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < ROWS; r++)
    for (int c = 0; c < ACROSS; c++)
      {
        /* Deepest first: rows and columns as those of a grid seen from the elevation side. */
        double down = 1 - (double)r / (ROWS - 1);
        double line = (geometry->lines - 1) * (double)c / (ACROSS - 1);
        double angle = tarn_image_angle_rad (geometry, line);
        double radius = geometry->face_radius_mm + depth * down * down;
        TarnVec3 p = tarn_add_scaled (centre, plane.axis, radius * cos (angle));
        p = tarn_add_scaled (p, plane.lateral, radius * sin (angle));
        double edge = c == 0 || c == ACROSS - 1 ? 1.35 : 1;
        uint8_t opacity = (uint8_t)(edge * (105 * (1 - down) + 26));
        tarn_store_vertex (store, p, (TarnPaint){ { 86, 180, 233, opacity }, 255, 0, 0 });
      }
  tarn_store_grid (store, first, ROWS, ACROSS, false);
  tarn_store_end_part (store, TARN_MATERIAL_SECTOR, first_index);
}
