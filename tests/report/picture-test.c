/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a picture claims against where the sound really was: positions are worked out here from
 * the geometry, not by the drawing code. */
#include "report/outline_stroke.h"
#include "report/picture.h"
#include "report/sector.h"

#include "base/units.h"

#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LINES   65
#define SAMPLES 320

static const TarnImageGeometry geometry = {
  .lines = LINES,
  .samples = SAMPLES,
  .first_angle_rad = -0.64,
  .line_pitch_rad = 0.02,
  .sample_pitch_mm = 0.5,
  .face_radius_mm = 15,
};

typedef struct
{
  uint8_t grey[LINES * SAMPLES];
  TarnOutline outline;
  TarnPlanePicture plane;
} Scene;

static void
scene_init (Scene *scene, int grey)
{
  memset (scene, 0, sizeof *scene);
  memset (scene->grey, grey, sizeof scene->grey);
  scene->plane.image
      = (TarnImage){ .geometry = geometry, .grey = scene->grey, .stride = SAMPLES };
}

/* An ellipse about (0, 90), 50 by 2 · @narrow_mm, its long axis turned by @turn_deg, with one
 * evidence all around. */
static void
scene_add_ellipse (Scene *scene, TarnEvidence evidence, double narrow_mm, double turn_deg)
{
  double c = cos (tarn_rad_from_deg (turn_deg)), s = sin (tarn_rad_from_deg (turn_deg));
  scene->outline.found = true;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS;
      scene->outline.point[k] = (TarnOutlinePoint){
        .u_mm = (float)(25 * c * cos (angle) - narrow_mm * s * sin (angle)),
        .v_mm = (float)(90 + 25 * s * cos (angle) + narrow_mm * c * sin (angle)),
        .evidence = (uint8_t)evidence,
      };
    }
  scene->plane.outline = &scene->outline;
}

static cairo_surface_t *
paper_new (int width, int height, cairo_t **cr)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  *cr = cairo_create (surface);
  return surface;
}

static unsigned
pixel (cairo_surface_t *surface, int x, int y)
{
  cairo_surface_flush (surface);
  const unsigned char *data = cairo_image_surface_get_data (surface);
  uint32_t value;
  memcpy (&value, data + (size_t)y * (size_t)cairo_image_surface_get_stride (surface) + 4 * x,
          sizeof value);
  return value & 0xffffff;
}

static void
test_sample_lands_where_its_echo_came_from (void)
{
  Scene scene;
  scene_init (&scene, 10);
  const int line = 50, sample = 200;
  /* A block of 3 lines by 9 samples, so that its middle keeps its own value. */
  for (int k = line - 1; k <= line + 1; k++)
    memset (scene.grey + k * SAMPLES + sample - 4, 250, 9);

  cairo_t *cr;
  cairo_surface_t *paper = paper_new (640, 500, &cr);
  TarnSectorPlace place = tarn_sector_fit (&geometry, 0, 0, 640, 500);
  TarnSectorMap *map = tarn_sector_map_new (&geometry, &place);
  tarn_sector_paint (cr, map, &scene.plane.image, 0, 0);
  tarn_sector_map_free (map);

  double angle = geometry.first_angle_rad + line * geometry.line_pitch_rad;
  double radius = 15 + (sample + 0.5) * 0.5;
  int x = (int)floor (place.x0 + radius * sin (angle) * place.scale);
  int y = (int)floor (place.y0 + radius * cos (angle) * place.scale);
  g_assert_cmpuint (pixel (paper, x, y) & 255, ==, 250);
  /* The mirrored place stays dark: the picture is not flipped. */
  x = (int)floor (place.x0 - radius * sin (angle) * place.scale);
  g_assert_cmpuint (pixel (paper, x, y) & 255, ==, 10);
  cairo_destroy (cr);
  cairo_surface_destroy (paper);
}

static void
test_sector_fits_and_leaves_the_rest (void)
{
  Scene scene;
  scene_init (&scene, 200);
  cairo_t *cr;
  cairo_surface_t *paper = paper_new (400, 400, &cr);
  TarnSectorPlace place = tarn_sector_fit (&geometry, 50, 50, 300, 300);
  TarnSectorMap *map = tarn_sector_map_new (&geometry, &place);
  tarn_sector_paint (cr, map, &scene.plane.image, 0, 0);
  tarn_sector_map_free (map);

  int painted = 0;
  for (int y = 0; y < 400; y++)
    for (int x = 0; x < 400; x++)
      {
        double u = (x + 0.5 - place.x0) / place.scale, v = (y + 0.5 - place.y0) / place.scale;
        double r = hypot (u, v), a = atan2 (u, v), px = 1.5 / place.scale;
        int inside = r > 15 + px && r < 175 - px && fabs (a) * r < 0.64 * r - px;
        int outside = r < 15 - px || r > 175 + px || fabs (a) * r > 0.64 * r + px;
        if (inside)
          g_assert_cmphex (pixel (paper, x, y), ==, 0xc8c8c8);
        if (outside || x < 49 || y < 49 || x > 350 || y > 350)
          g_assert_cmphex (pixel (paper, x, y), ==, 0);
        painted += inside;
      }
  g_assert_cmpint (painted, >, 20000);
  cairo_destroy (cr);
  cairo_surface_destroy (paper);
}

/* Pixels that are nearer to the measured blue than to grey. */
static int
blue_ink (TarnEvidence evidence, gboolean found, double narrow_mm, double turn_deg)
{
  Scene scene;
  scene_init (&scene, 90);
  scene_add_ellipse (&scene, evidence, narrow_mm, turn_deg);
  scene.outline.found = found;
  cairo_t *cr;
  cairo_surface_t *paper = paper_new (400, 400, &cr);
  TarnSectorPlace place = tarn_sector_fit (&geometry, 0, 0, 400, 400);
  tarn_outline_stroke (cr, &scene.outline, &place, 2);
  int ink = 0;
  for (int y = 0; y < 400; y++)
    for (int x = 0; x < 400; x++)
      {
        unsigned c = pixel (paper, x, y);
        ink += (int)(c & 255) - (int)(c >> 16 & 255) > 70;
      }
  cairo_destroy (cr);
  cairo_surface_destroy (paper);
  return ink;
}

static void
test_evidence_shows (void)
{
  int seen = blue_ink (TARN_EVIDENCE_SEEN, TRUE, 25, 0);
  int bridged = blue_ink (TARN_EVIDENCE_BRIDGED, TRUE, 25, 0);
  int at_edge = blue_ink (TARN_EVIDENCE_AT_EDGE, TRUE, 25, 0);
  g_assert_cmpint (seen, >, 400);
  g_assert_cmpint (bridged, <, seen * 8 / 10);
  g_assert_cmpint (at_edge, >, seen * 11 / 10);
  g_assert_cmpint (blue_ink (TARN_EVIDENCE_SEEN, FALSE, 25, 0), ==, 0);
}

/* Hatching shows on a border of any direction: twice the border's own ink, or nearly. */
static void
test_hatching_shows_on_any_side (void)
{
  for (double turn_deg = 0; turn_deg < 180; turn_deg += 15)
    {
      int seen = blue_ink (TARN_EVIDENCE_SEEN, TRUE, 8, turn_deg);
      int at_edge = blue_ink (TARN_EVIDENCE_AT_EDGE, TRUE, 8, turn_deg);
      g_assert_cmpint (at_edge, >, seen * 14 / 10);
    }
}

static void
test_orientation_in_words (void)
{
  static const struct
  {
    double turn_deg;
    const char *text;
  } cases[] = {
    { 0, "Transverse, mark to the patient's right" },
    { 10, "Transverse, mark to the patient's right" },
    { 90, "Sagittal, mark to the head" },
    { 180, "Transverse, mark to the patient's left" },
    { -180, "Transverse, mark to the patient's left" },
    { -90, "Sagittal, mark to the feet" },
    { 45, "Oblique, mark to the right and head" },
    { -360, "Transverse, mark to the patient's right" },
  };
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    {
      char text[64];
      tarn_picture_orientation (tarn_rad_from_deg (cases[k].turn_deg), text, sizeof text);
      g_assert_cmpstr (text, ==, cases[k].text);
    }
}

/* By hand: at 0 the feet; with the mark turned to the head, what was towards the feet is
 * towards the patient's right. */
static void
test_lean_turns_with_the_probe (void)
{
  static const struct
  {
    double turn_deg;
    const char *text;
  } cases[] = { { 0, "the feet" },
                { 90, "the patient's right" },
                { 180, "the head" },
                { -90, "the patient's left" },
                { 45, "the feet and right" } };
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    {
      char text[64];
      tarn_picture_lean (tarn_rad_from_deg (cases[k].turn_deg), text, sizeof text);
      g_assert_cmpstr (text, ==, cases[k].text);
    }
}

/* Ink in the depth scale's column of a plane that reaches @depth_mm. */
static int
scale_ink (double depth_mm)
{
  Scene scene;
  scene_init (&scene, 0);
  scene.plane.image.geometry.sample_pitch_mm = depth_mm / SAMPLES;
  cairo_t *cr;
  cairo_surface_t *paper = paper_new (TARN_PLANE_PICTURE_WIDTH, TARN_PLANE_PICTURE_HEIGHT, &cr);
  unsigned ground;
  int ink = 0;
  tarn_picture_draw_plane (cr, TARN_PLANE_PICTURE_WIDTH, TARN_PLANE_PICTURE_HEIGHT,
                           &scene.plane);
  ground = pixel (paper, TARN_PLANE_PICTURE_WIDTH - 1, 1);
  for (int y = 0; y < TARN_PLANE_PICTURE_HEIGHT - 60; y++)
    for (int x = TARN_PLANE_PICTURE_WIDTH - 55; x < TARN_PLANE_PICTURE_WIDTH - 24; x++)
      ink += pixel (paper, x, y) != ground;
  cairo_destroy (cr);
  cairo_surface_destroy (paper);
  return ink;
}

/* What stands around a live sector keeps clear of it, whatever the size of the text. */
static void
test_surroundings_keep_clear_of_the_sector (void)
{
  for (double size = 1; size <= 2; size += 0.5)
    {
      const TarnSurroundings around = { .text_size = size, .turn_rad = 0 };
      cairo_t *cr;
      cairo_surface_t *paper = paper_new (700, 560, &cr);
      TarnSectorPlace place = tarn_picture_plane_place (&geometry, 700, 560, &around);
      tarn_picture_draw_surroundings (cr, 700, 560, &geometry, &place, &around);
      int inside = 0, outside = 0;
      for (int y = 0; y < 560; y++)
        for (int x = 0; x < 700; x++)
          {
            double u = (x + 0.5 - place.x0) / place.scale,
                   v = (y + 0.5 - place.y0) / place.scale;
            double r = hypot (u, v), a = fabs (atan2 (u, v));
            int ink = pixel (paper, x, y) != 0;
            inside += ink && r > 15 && r < 175 && a < 0.64;
            outside += ink && (r > 175 || a > 0.64);
          }
      g_assert_cmpint (inside, ==, 0);
      g_assert_cmpint (outside, >, 400);
      cairo_destroy (cr);
      cairo_surface_destroy (paper);
    }
}

/* An empty caption is none: only scale and mark are left. */
static void
test_surroundings_without_a_caption (void)
{
  const TarnSurroundings around = { .caption = "" };
  cairo_t *cr;
  cairo_surface_t *paper = paper_new (700, 560, &cr);
  TarnSectorPlace place = tarn_picture_plane_place (&geometry, 700, 560, &around);
  tarn_picture_draw_surroundings (cr, 700, 560, &geometry, &place, &around);
  int ink = 0;
  for (int y = 530; y < 560; y++)
    for (int x = 0; x < 620; x++)
      ink += pixel (paper, x, y) != 0;
  g_assert_cmpint (ink, ==, 0);
  cairo_destroy (cr);
  cairo_surface_destroy (paper);
}

/* Ten numbers up to 9 cm, four up to 16 cm. */
static void
test_shallow_scale_has_a_number_each_centimetre (void)
{
  g_assert_cmpint (scale_ink (160), >, 50);
  g_assert_cmpint (scale_ink (90), >, 3 * scale_ink (160) / 2);
}

/* A legend's line looks as the outline's own: dashes have less ink, hatching more. */
static void
test_legend_shows_the_kinds_of_line (void)
{
  int ink[3] = { 0 };
  for (int kind = TARN_EVIDENCE_SEEN; kind <= TARN_EVIDENCE_AT_EDGE; kind++)
    {
      cairo_t *cr;
      cairo_surface_t *paper = paper_new (80, 20, &cr);
      tarn_evidence_stroke (cr, (TarnEvidence)kind, 10, 10, 60, 2);
      for (int y = 0; y < 20; y++)
        for (int x = 0; x < 80; x++)
          ink[kind] += (pixel (paper, x, y) & 255) > 100;
      cairo_destroy (cr);
      cairo_surface_destroy (paper);
    }
  g_assert_cmpint (ink[TARN_EVIDENCE_SEEN], >=, 120);
  g_assert_cmpint (ink[TARN_EVIDENCE_BRIDGED], <, ink[TARN_EVIDENCE_SEEN] * 8 / 10);
  g_assert_cmpint (ink[TARN_EVIDENCE_AT_EDGE], >, ink[TARN_EVIDENCE_SEEN] * 11 / 10);
}

typedef struct
{
  const uint8_t *data;
  size_t left;
} Reader;

static cairo_status_t
read_bytes (void *closure, unsigned char *data, unsigned count)
{
  Reader *reader = closure;
  if (count > reader->left)
    return CAIRO_STATUS_READ_ERROR;
  memcpy (data, reader->data, count);
  reader->data += count;
  reader->left -= count;
  return CAIRO_STATUS_SUCCESS;
}

static void
assert_png_size (const uint8_t *png, size_t size, int width, int height)
{
  Reader reader = { png, size };
  cairo_surface_t *surface = cairo_image_surface_create_from_png_stream (read_bytes, &reader);
  g_assert_cmpint (cairo_surface_status (surface), ==, CAIRO_STATUS_SUCCESS);
  g_assert_cmpint (cairo_image_surface_get_width (surface), ==, width);
  g_assert_cmpint (cairo_image_surface_get_height (surface), ==, height);
  cairo_surface_destroy (surface);
}

static void
test_plane_png (void)
{
  Scene scene;
  uint8_t *png = NULL, *again = NULL;
  size_t size = 0, size_again = 0;
  scene_init (&scene, 120);
  scene_add_ellipse (&scene, TARN_EVIDENCE_BRIDGED, 25, 0);
  g_assert_cmpint (tarn_picture_plane_png (&scene.plane, &png, &size), ==, TARN_OK);
  assert_png_size (png, size, TARN_PLANE_PICTURE_WIDTH, TARN_PLANE_PICTURE_HEIGHT);

  /* The same plane makes the same file. */
  g_assert_cmpint (tarn_picture_plane_png (&scene.plane, &again, &size_again), ==, TARN_OK);
  g_assert_cmpmem (png, size, again, size_again);
  free (png);
  free (again);
}

static void
test_sheet_png (void)
{
  enum
  {
    PLANES = 7
  };
  Scene scene;
  TarnPlanePicture plane[PLANES];
  double angle_deg[PLANES];
  scene_init (&scene, 120);
  for (int k = 0; k < PLANES; k++)
    {
      plane[k] = scene.plane;
      angle_deg[k] = 10 * (k - 3);
    }
  TarnSheetPicture sheet = { .planes = PLANES, .plane = plane, .angle_deg = angle_deg };
  uint8_t *png = NULL;
  size_t size = 0;
  int width, height;
  tarn_picture_sheet_size (PLANES, &width, &height);
  g_assert_cmpint (tarn_picture_sheet_png (&sheet, &png, &size), ==, TARN_OK);
  assert_png_size (png, size, width, height);
  free (png);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/picture/sample-lands-where-its-echo-came-from",
                   test_sample_lands_where_its_echo_came_from);
  g_test_add_func ("/picture/sector-fits-and-leaves-the-rest",
                   test_sector_fits_and_leaves_the_rest);
  g_test_add_func ("/picture/evidence-shows", test_evidence_shows);
  g_test_add_func ("/picture/hatching-shows-on-any-side", test_hatching_shows_on_any_side);
  g_test_add_func ("/picture/orientation-in-words", test_orientation_in_words);
  g_test_add_func ("/picture/lean-turns-with-the-probe", test_lean_turns_with_the_probe);
  g_test_add_func ("/picture/surroundings-keep-clear-of-the-sector",
                   test_surroundings_keep_clear_of_the_sector);
  g_test_add_func ("/picture/surroundings-without-a-caption",
                   test_surroundings_without_a_caption);
  g_test_add_func ("/picture/shallow-scale-has-a-number-each-centimetre",
                   test_shallow_scale_has_a_number_each_centimetre);
  g_test_add_func ("/picture/legend-shows-the-kinds-of-line",
                   test_legend_shows_the_kinds_of_line);
  g_test_add_func ("/picture/plane-png", test_plane_png);
  g_test_add_func ("/picture/sheet-png", test_sheet_png);
  return g_test_run ();
}
