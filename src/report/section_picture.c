/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every second pixel asks the body what is there, and those between only where their neighbours
 * do not agree: borders are sharp at a quarter of the price.  Borders are darkened and foreign
 * fluid is hatched, so that no two things are told apart by their colour alone. */
#include "report/section_picture.h"

#include "base/units.h"

#include <stdint.h>
#include <stdlib.h>

#define HATCH_PX 6

void
tarn_section_axes (TarnSectionKind kind, TarnVec3 *right, TarnVec3 *down)
{
  *right = kind == TARN_SECTION_SAGITTAL ? tarn_vec3 (0, 0, -1) : tarn_vec3 (1, 0, 0);
  *down = kind == TARN_SECTION_CORONAL ? tarn_vec3 (0, 0, -1) : tarn_vec3 (0, 1, 0);
}

TarnVec3
tarn_section_point (const TarnSection *section, double x, double y)
{
  TarnVec3 right, down;
  tarn_section_axes (section->kind, &right, &down);
  TarnVec3 point = tarn_add_scaled (section->middle_mm, right,
                                    (x - section->width / 2.0) / section->px_per_mm);
  return tarn_add_scaled (point, down, (y - section->height / 2.0) / section->px_per_mm);
}

void
tarn_section_place (const TarnSection *section, TarnVec3 point_mm, double *x, double *y)
{
  TarnVec3 right, down, from = tarn_sub (point_mm, section->middle_mm);
  tarn_section_axes (section->kind, &right, &down);
  *x = section->width / 2.0 + tarn_dot (from, right) * section->px_per_mm;
  *y = section->height / 2.0 + tarn_dot (from, down) * section->px_per_mm;
}

/* @v in the ellipsoid's own axes, each in units of its half axis: turned back about z, then y,
 * then x. */
static TarnVec3
in_units (const TarnStructure *structure, TarnVec3 v)
{
  TarnVec3 turn = structure->turn_deg, radii = structure->radii_mm;
  v = tarn_rotate (v, tarn_vec3 (0, 0, 1), -tarn_rad_from_deg (turn.z));
  v = tarn_rotate (v, tarn_vec3 (0, 1, 0), -tarn_rad_from_deg (turn.y));
  v = tarn_rotate (v, tarn_vec3 (1, 0, 0), -tarn_rad_from_deg (turn.x));
  return tarn_vec3 (v.x / radii.x, v.y / radii.y, v.z / radii.z);
}

/* In its own units the ellipsoid is the unit sphere: |d + s a + t b|² = 1 is a conic in s and
 * t, with the matrix of the dot products of a and b. */
bool
tarn_section_ellipse (const TarnSection *section, const TarnStructure *structure,
                      TarnSectionEllipse *ellipse)
{
  TarnVec3 right, down;
  tarn_section_axes (section->kind, &right, &down);
  TarnVec3 a = in_units (structure, right), b = in_units (structure, down);
  TarnVec3 d = in_units (structure, tarn_sub (section->middle_mm, structure->centre_mm));
  double aa = tarn_dot (a, a), ab = tarn_dot (a, b), bb = tarn_dot (b, b);
  double da = tarn_dot (d, a), db = tarn_dot (d, b), det = aa * bb - ab * ab;
  double s = (ab * db - bb * da) / det, t = (ab * da - aa * db) / det;
  double left = 1 - tarn_dot (d, d) - (da * s + db * t);
  if (!(left > 0))
    return false;

  /* The conic's axes are the eigenvectors of its matrix. */
  double middle = (aa + bb) / 2, half = hypot ((aa - bb) / 2, ab);
  double angle = 0.5 * atan2 (2 * ab, aa - bb);
  double minor = sqrt (left / (middle + half)) * section->px_per_mm;
  double major = sqrt (left / (middle - half)) * section->px_per_mm;
  *ellipse = (TarnSectionEllipse){
    .x = section->width / 2.0 + s * section->px_per_mm,
    .y = section->height / 2.0 + t * section->px_per_mm,
    .major_x = -major * sin (angle),
    .major_y = major * cos (angle),
    .minor_x = minor * cos (angle),
    .minor_y = minor * sin (angle),
  };
  return true;
}

/* Muted; the bladder's urine in the colour of truth, foreign fluid in its own. */
static uint32_t
colour_of (TarnTissue tissue)
{
  static const uint32_t colour[TARN_TISSUES] = {
    [TARN_TISSUE_AIR] = 0x141618,       [TARN_TISSUE_SKIN] = 0xb38d78,
    [TARN_TISSUE_FAT] = 0x8f8473,       [TARN_TISSUE_MUSCLE] = 0x6f3d3a,
    [TARN_TISSUE_SOFT] = 0x4a3c3b,      [TARN_TISSUE_WALL] = 0xd09a92,
    [TARN_TISSUE_URINE] = 0xe69f00,     [TARN_TISSUE_BONE] = 0xe9e2d2,
    [TARN_TISSUE_GAS] = 0x25303a,       [TARN_TISSUE_BOWEL] = 0x8a6a60,
    [TARN_TISSUE_ORGAN] = 0x9b6a73,     [TARN_TISSUE_FLUID] = 0xbbbbbb,
    [TARN_TISSUE_HAEMATOMA] = 0x6b2a30, [TARN_TISSUE_CLOT] = 0x57222a,
    [TARN_TISSUE_BALLOON] = 0x56b4e9,   [TARN_TISSUE_STONE] = 0xf4f1e8,
    [TARN_TISSUE_SCAR] = 0xc9b5a6,
  };
  return colour[tissue];
}

static bool
is_hatched (TarnTissue tissue, int x, int y)
{
  if (tissue == TARN_TISSUE_FLUID || tissue == TARN_TISSUE_BALLOON)
    return (x + y) % HATCH_PX == 0;
  if (tissue == TARN_TISSUE_HAEMATOMA || tissue == TARN_TISSUE_CLOT)
    return x % HATCH_PX == 0 && y % HATCH_PX == 0;
  if (tissue == TARN_TISSUE_GAS)
    return (x - y + 100000) % HATCH_PX == 0;
  return false;
}

static uint32_t
dimmed (uint32_t colour, int percent)
{
  uint32_t r = (colour >> 16 & 255) * percent / 100, g = (colour >> 8 & 255) * percent / 100;
  return r << 16 | g << 8 | (colour & 255) * percent / 100;
}

static uint32_t
pixel_of (TarnTissue tissue, TarnTissue beside, TarnTissue above, int x, int y)
{
  uint32_t colour = colour_of (tissue);
  if (tissue != beside || tissue != above)
    return dimmed (colour, 55);
  if (!is_hatched (tissue, x, y))
    return colour;
  /* What is dark already is hatched lightly. */
  return tissue == TARN_TISSUE_GAS || tissue == TARN_TISSUE_HAEMATOMA
                 || tissue == TARN_TISSUE_CLOT
             ? 0xa3a19c
             : dimmed (colour, 60);
}

static uint8_t
ask (const TarnSection *section, const TarnBody *body, int x, int y)
{
  return (uint8_t)tarn_body_tissue (body, tarn_section_point (section, x + 0.5, y + 0.5));
}

/* What is there, row after row. */
static void
find_tissues (const TarnSection *section, const TarnBody *body, uint8_t *tissue)
{
  int width = section->width, height = section->height;
  for (int y = 0; y < height; y += 2)
    {
      uint8_t *row = tissue + (size_t)y * (size_t)width;
      for (int x = 0; x < width; x += 2)
        row[x] = ask (section, body, x, y);
      for (int x = 1; x < width; x += 2)
        row[x] = x + 1 == width || row[x - 1] == row[x + 1] ? row[x - 1]
                                                            : ask (section, body, x, y);
    }
  for (int y = 1; y < height; y += 2)
    {
      uint8_t *row = tissue + (size_t)y * (size_t)width;
      const uint8_t *over = row - width, *under = y + 1 == height ? over : row + width;
      for (int x = 0; x < width; x++)
        row[x] = over[x] == under[x] ? over[x] : ask (section, body, x, y);
    }
}

void
tarn_section_paint (cairo_surface_t *paper, const TarnSection *section, const TarnBody *body)
{
  size_t width = (size_t)section->width, height = (size_t)section->height;
  uint8_t *tissue = malloc (width * height + 1);
  if (tissue == NULL || cairo_surface_status (paper) != CAIRO_STATUS_SUCCESS)
    {
      free (tissue);
      return;
    }
  find_tissues (section, body, tissue);
  cairo_surface_flush (paper);
  unsigned char *data = cairo_image_surface_get_data (paper);
  size_t stride = (size_t)cairo_image_surface_get_stride (paper);
  for (size_t y = 0; y < height; y++)
    {
      uint32_t *row = (uint32_t *)(data + y * stride);
      const uint8_t *here = tissue + y * width, *above = y > 0 ? here - width : here;
      for (size_t x = 0; x < width; x++)
        row[x] = pixel_of ((TarnTissue)here[x], (TarnTissue)here[x > 0 ? x - 1 : 0],
                           (TarnTissue)above[x], (int)x, (int)y);
    }
  free (tissue);
  cairo_surface_mark_dirty (paper);
}
