/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * defaults.c: sizes that follow from age, sex and volume.
 *
 * Each quantity is a short table, linear between its rows and constant beyond them.  Adult
 * rows carry a source where one is published; the rows of childhood are own design values,
 * drawn so that every size grows and the adult row is reached at 18. */
#include "engine/patient/defaults.h"

#include <math.h>

#define ROWS(table) ((int)(sizeof (table) / sizeof (table)[0]))
#define ADULT_YEARS 18.0

typedef struct
{
  double at, value;
} Row;

static double
look_up (const Row *row, int rows, double at)
{
  if (at <= row[0].at)
    return row[0].value;
  for (int k = 1; k < rows; k++)
    if (at <= row[k].at)
      {
        double t = (at - row[k - 1].at) / (row[k].at - row[k - 1].at);
        return row[k - 1].value + t * (row[k].value - row[k - 1].value);
      }
  return row[rows - 1].value;
}

/* To a tenth: a default should read like something a person would write. */
static double
tenth (double value)
{
  return floor (value * 10 + 0.5) / 10;
}

/* 0 at birth, 1 from 18 years on. */
static double
grown (const TarnPatient *patient)
{
  return tarn_clamp (patient->habitus.age_years / ADULT_YEARS, 0, 1);
}

static double
grow (const TarnPatient *patient, double at_birth, double adult)
{
  return tenth (at_birth + grown (patient) * (adult - at_birth));
}

/* Habitus. */

double
tarn_default_torso_width_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  static const Row width[]
      = { { 0, 110 }, { 1, 150 }, { 4, 180 }, { 8, 210 }, { 13, 255 }, { ADULT_YEARS, 300 } };
  (void)structure;
  return tenth (look_up (width, ROWS (width), patient->habitus.age_years));
}

double
tarn_default_torso_depth_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  static const Row depth[]
      = { { 0, 90 }, { 1, 115 }, { 4, 130 }, { 8, 148 }, { 13, 175 }, { ADULT_YEARS, 200 } };
  (void)structure;
  return tenth (look_up (depth, ROWS (depth), patient->habitus.age_years));
}

double
tarn_default_skin_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 1, 2);
}

/* Adult: rectus 8–10 mm (from memory). */
double
tarn_default_muscle_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 3, 9);
}

/* Adult: 3–10 mm of fat between muscle and bladder (own). */
double
tarn_default_prevesical_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 2, 5);
}

/* Symphysis: women 36–38 high and 15 thick, men 42 and 19 mm, as published for adults. */

double
tarn_default_symphysis_height_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 14, patient->habitus.sex == TARN_SEX_MALE ? 42 : 37);
}

double
tarn_default_symphysis_thickness_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 7, patient->habitus.sex == TARN_SEX_MALE ? 19 : 15);
}

double
tarn_default_ramus_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 5, 12);
}

/* Bladder. */

/* The lumen's lengths by its volume: own design values after MRI descriptions of filling
 * (fastest up to 80 mL, most of all left to right).  Only their proportions matter; the body
 * scales them to hold the volume exactly. */
typedef struct
{
  double volume_ml, length_mm, width_mm, height_mm;
} Shape;

static Shape
shape_scaled (Shape shape, double volume_ml)
{
  double scale = cbrt (volume_ml / shape.volume_ml);
  return (Shape){ volume_ml, shape.length_mm * scale, shape.width_mm * scale,
                  shape.height_mm * scale };
}

static Shape
shape_for (double volume_ml)
{
  static const Shape shape[] = {
    { 50, 54, 59, 26 },   { 100, 64, 72, 36 },  { 200, 84, 82, 48 },   { 300, 100, 88, 57 },
    { 400, 112, 92, 65 }, { 500, 122, 96, 71 }, { 800, 146, 106, 86 },
  };

  /* Beyond the table the last known shape grows or shrinks as it is; an empty bladder keeps
   * the proportions of one millilitre. */
  const Shape *last = &shape[ROWS (shape) - 1];
  if (!(volume_ml > shape[0].volume_ml))
    return shape_scaled (shape[0], fmax (volume_ml, 1));
  if (volume_ml >= last->volume_ml)
    return shape_scaled (*last, volume_ml);

  const Shape *above = shape;
  while (above->volume_ml < volume_ml)
    above++;
  const Shape *below = above - 1;
  double t = (volume_ml - below->volume_ml) / (above->volume_ml - below->volume_ml);
  return (Shape){ volume_ml, below->length_mm + t * (above->length_mm - below->length_mm),
                  below->width_mm + t * (above->width_mm - below->width_mm),
                  below->height_mm + t * (above->height_mm - below->height_mm) };
}

double
tarn_default_length_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return tenth (shape_for (patient->bladder.volume_ml).length_mm);
}

double
tarn_default_width_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return tenth (shape_for (patient->bladder.volume_ml).width_mm);
}

double
tarn_default_height_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return tenth (shape_for (patient->bladder.volume_ml).height_mm);
}

/* The lowest point of the lumen: 15 mm below the symphysis' upper edge in adults; in the first
 * years the bladder lies in the abdomen. */
double
tarn_default_rise_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  static const Row rise[] = { { 0, 0 }, { 6, -10 }, { ADULT_YEARS, -15 } };
  (void)structure;
  return tenth (look_up (rise, ROWS (rise), patient->habitus.age_years));
}

/* Mean wall 2.76 mm nearly empty and 1.55 mm full, as published; here linear over the fill.
 * Full is the expected capacity, 30·(age + 2) mL (Koff 1983), at most 400 mL. */
double
tarn_default_wall_mm (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  double capacity_ml = fmin (30 * (patient->habitus.age_years + 2), 400);
  double fill = tarn_clamp (patient->bladder.volume_ml / capacity_ml, 0, 1);
  return floor ((2.76 + fill * (1.55 - 2.76)) * 100 + 0.5) / 100;
}

/* Temper. */

double
tarn_default_breathing_per_minute (const TarnPatient *patient, const TarnStructure *structure)
{
  static const Row rate[]
      = { { 0, 40 }, { 1, 30 }, { 5, 22 }, { 10, 18 }, { ADULT_YEARS, 14 } };
  (void)structure;
  return floor (look_up (rate, ROWS (rate), patient->habitus.age_years) + 0.5);
}

double
tarn_default_comfort_n (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)structure;
  return grow (patient, 5, 20);
}

/* Structures. */

double
tarn_default_counts (const TarnPatient *patient, const TarnStructure *structure)
{
  (void)patient;
  return structure->kind == TARN_STRUCTURE_DIVERTICULUM;
}
