/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Planes and triangles of an attempt, made only when they differ from those before. */
#include "app/run_painter.h"

#include "app/plane_words.h"
#include "engine/scene/scene.h"
#include "report/palette.h"
#include "report/picture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SCENE_EVERY   2    /* frames: the 3-D view needs half as many as the plane */
#define VISIBLE_MM    0.35 /* of motion in the 3-D view */
#define RESTING       8.0  /* times as much, while no plane moves either */
#define VISIBLE_RAD   0.006
#define VISIBLE_GEL_G 0.02

/* What the plane on paper depends on, beside the attempt's own state. */
typedef struct
{
  bool frozen, on_skin;
  uint64_t noise_seed;
  double depth_mm, gain_db;
} PlaneKey;

/* What the 3-D view shows. */
typedef struct
{
  TarnPose pose;
  TarnVec3 body_mm;
  double lift, gel_g, fan_rad;
  bool on_skin;
  double finger_above_mm, finger_left_mm;
  unsigned wanted;
} SceneKey;

struct TarnRunPainter
{
  TarnPlaneWork *work;
  TarnSectorMap *map;
  cairo_surface_t *ground;
  char *caption;
  TarnImageGeometry ground_geometry;
  TarnRunPaper ground_paper, painted;
  TarnScene *scene;

  bool has_plane, has_scene;
  PlaneKey plane;
  SceneKey seen;
  int frame; /* counts */
  uint64_t number;
  TarnPose pose; /* of the plane */
  TarnImageGeometry geometry;
  GBytes *grey;
  cairo_surface_t *sector;
  TarnScenePicture *picture;
};

TarnRunPainter *
tarn_run_painter_new (bool plain)
{
  TarnRunPainter *painter = g_new0 (TarnRunPainter, 1);
  painter->work = tarn_plane_work_new (plain);
  painter->scene = tarn_scene_new ();
  if (painter->work == NULL || painter->scene == NULL)
    g_clear_pointer (&painter, tarn_run_painter_free);
  return painter;
}

void
tarn_run_painter_free (TarnRunPainter *painter)
{
  if (painter == NULL)
    return;
  tarn_plane_work_free (painter->work);
  tarn_sector_map_free (painter->map);
  g_clear_pointer (&painter->ground, cairo_surface_destroy);
  g_free (painter->caption);
  tarn_scene_free (painter->scene);
  g_clear_pointer (&painter->grey, g_bytes_unref);
  g_clear_pointer (&painter->sector, cairo_surface_destroy);
  g_clear_pointer (&painter->picture, tarn_scene_picture_unref);
  g_free (painter);
}

/* ---- The plane ---- */

static bool
plane_key_equal (const PlaneKey *a, const PlaneKey *b)
{
  bool same = a->frozen == b->frozen && a->on_skin == b->on_skin && a->depth_mm == b->depth_mm
              && a->gain_db == b->gain_db;
  if (a->frozen)
    return same && a->noise_seed == b->noise_seed;
  /* In the air there is nothing to see, however time passes. */
  return same && !a->on_skin;
}

/* Returns whether there is a new plane. */
static bool
shoot (TarnRunPainter *painter, const TarnAttempt *attempt, const TarnBedside *now)
{
  TarnPlaneSetup setup = tarn_attempt_plane (attempt);
  PlaneKey key = { .frozen = now->frozen,
                   .on_skin = now->on_skin,
                   .noise_seed = setup.noise_seed,
                   .depth_mm = now->depth_mm,
                   .gain_db = now->gain_db };
  if (painter->has_plane && plane_key_equal (&key, &painter->plane))
    return false;

  gsize size = (gsize)setup.geometry.lines * (gsize)setup.geometry.samples;
  uint8_t *grey = g_malloc (size);
  if (tarn_plane_simulate (painter->work, &setup, 0, grey, NULL) != TARN_OK)
    memset (grey, 0, size);
  g_clear_pointer (&painter->grey, g_bytes_unref);
  painter->grey = g_bytes_new_take (grey, size);
  painter->geometry = setup.geometry;
  painter->pose = tarn_attempt_plane_pose (attempt);
  painter->plane = key;
  painter->has_plane = true;
  painter->number++;
  return true;
}

static bool
paper_equal (const TarnRunPaper *a, const TarnRunPaper *b)
{
  return a->width == b->width && a->height == b->height && a->text_size == b->text_size
         && a->millimetres == b->millimetres;
}

/* Ground, scale, mark and caption, and the map of the sector in them; drawn anew only when one
 * of them has changed. */
static void
keep_ground (TarnRunPainter *painter, const TarnRunPaper *paper)
{
  g_autofree char *caption = tarn_plane_caption (&painter->pose, &painter->geometry);
  if (painter->ground != NULL && paper_equal (&painter->ground_paper, paper)
      && g_strcmp0 (painter->caption, caption) == 0
      && memcmp (&painter->ground_geometry, &painter->geometry, sizeof painter->geometry) == 0)
    return;

  TarnSurroundings around = { .turn_rad = painter->pose.turn_rad,
                              .text_size = paper->text_size,
                              .caption = caption,
                              .millimetres = paper->millimetres };
  TarnSectorPlace place
      = tarn_picture_plane_place (&painter->geometry, paper->width, paper->height, &around);
  tarn_sector_map_free (painter->map);
  painter->map = tarn_sector_map_new (&painter->geometry, &place);
  g_clear_pointer (&painter->ground, cairo_surface_destroy);
  painter->ground
      = cairo_image_surface_create (CAIRO_FORMAT_RGB24, paper->width, paper->height);
  cairo_t *cr = cairo_create (painter->ground);
  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  tarn_picture_draw_surroundings (cr, paper->width, paper->height, &painter->geometry, &place,
                                  &around);
  cairo_destroy (cr);
  cairo_surface_flush (painter->ground);
  painter->ground_geometry = painter->geometry;
  painter->ground_paper = *paper;
  g_free (painter->caption);
  painter->caption = g_steal_pointer (&caption);
}

static void
paint (TarnRunPainter *painter, const TarnRunPaper *paper)
{
  g_clear_pointer (&painter->sector, cairo_surface_destroy);
  painter->painted = *paper;
  if (paper->width <= 0 || paper->height <= 0)
    return;
  keep_ground (painter, paper);
  cairo_surface_t *sector
      = cairo_image_surface_create (CAIRO_FORMAT_RGB24, paper->width, paper->height);
  if (painter->map == NULL || cairo_surface_status (sector) != CAIRO_STATUS_SUCCESS
      || cairo_surface_status (painter->ground) != CAIRO_STATUS_SUCCESS)
    {
      cairo_surface_destroy (sector);
      return;
    }
  TarnImage image = { painter->geometry, g_bytes_get_data (painter->grey, NULL),
                      painter->geometry.samples };
  memcpy (cairo_image_surface_get_data (sector), cairo_image_surface_get_data (painter->ground),
          (size_t)cairo_image_surface_get_stride (sector) * (size_t)paper->height);
  tarn_sector_write (sector, painter->map, &image);
  painter->sector = sector;
}

/* ---- The 3-D view ---- */

static bool
pose_near (const TarnPose *a, const TarnPose *b, double times)
{
  double mm = times * VISIBLE_MM, rad = times * VISIBLE_RAD;
  return fabs (a->above_mm - b->above_mm) < mm && fabs (a->left_mm - b->left_mm) < mm
         && fabs (a->tilt_rad - b->tilt_rad) < rad && fabs (a->lean_rad - b->lean_rad) < rad
         && fabs (a->turn_rad - b->turn_rad) < rad && fabs (a->force_n - b->force_n) < mm;
}

static bool
scene_key_near (const SceneKey *a, const SceneKey *b, double times)
{
  return a->wanted == b->wanted && a->on_skin == b->on_skin && a->lift == b->lift
         && fabs (a->gel_g - b->gel_g) < times * VISIBLE_GEL_G
         && fabs (a->fan_rad - b->fan_rad) < VISIBLE_RAD
         && tarn_length (tarn_sub (a->body_mm, b->body_mm)) < times * VISIBLE_MM
         && pose_near (&a->pose, &b->pose, times) && a->finger_above_mm == b->finger_above_mm
         && a->finger_left_mm == b->finger_left_mm;
}

/* Whether the scene as it was made last will do. */
static bool
may_stay (const TarnRunPainter *painter, const TarnBedside *now, const SceneKey *key)
{
  double times = now->frozen || !now->on_skin ? RESTING : 1;
  if ((key->wanted & TARN_RUN_EXACT) != 0)
    return memcmp (key, &painter->seen, sizeof *key) == 0;
  return scene_key_near (key, &painter->seen, times) || painter->frame % SCENE_EVERY != 0;
}

static void
set_scene (TarnRunPainter *painter, const TarnAttempt *attempt, const TarnBedside *now,
           const TarnRunView *view)
{
  SceneKey key = { .pose = now->pose,
                   .body_mm = now->body_mm,
                   .lift = now->lift,
                   .gel_g = now->gel_laid_g > 0 ? now->gel_g : 0,
                   .fan_rad = now->fan_rad,
                   .on_skin = now->on_skin,
                   .finger_above_mm = now->finger_above_mm,
                   .finger_left_mm = now->finger_left_mm,
                   .wanted = view->scene };
  if ((view->scene & TARN_RUN_SCENE) == 0)
    return;
  if (painter->has_scene && may_stay (painter, now, &key))
    return;

  TarnSceneView scene = { .body = tarn_attempt_body (attempt),
                          .contact = &now->contact,
                          .deform = &now->deform,
                          .on_skin = now->on_skin,
                          .film = tarn_attempt_film (attempt),
                          .geometry = painter->geometry,
                          .fan_rad = now->fan_rad,
                          .body_mm = now->body_mm,
                          .breath = now->breath,
                          .uncovered = (view->scene & TARN_RUN_UNCOVERED) != 0,
                          .show_sector = (view->scene & TARN_RUN_SECTOR) != 0,
                          .show_inside = (view->scene & TARN_RUN_INSIDE) != 0,
                          .finger = (view->scene & TARN_RUN_FINGER) != 0,
                          .finger_above_mm = now->finger_above_mm,
                          .finger_left_mm = now->finger_left_mm };
  if (tarn_scene_update (painter->scene, &scene) != TARN_OK)
    return;
  TarnSceneMesh mesh = tarn_scene_mesh (painter->scene);
  g_clear_pointer (&painter->picture, tarn_scene_picture_unref);
  painter->picture = tarn_scene_picture_new (&mesh);
  painter->seen = key;
  painter->has_scene = true;
}

TarnRunFrame *
tarn_run_painter_frame (TarnRunPainter *painter, const TarnAttempt *attempt,
                        const TarnRunView *view)
{
  const TarnBedside *now = tarn_attempt_bedside (attempt);
  bool fresh = shoot (painter, attempt, now);
  if (fresh || !paper_equal (&painter->painted, &view->paper))
    paint (painter, &view->paper);
  set_scene (painter, attempt, now, view);
  painter->frame++;

  TarnRunFrame *frame = g_new0 (TarnRunFrame, 1);
  g_atomic_ref_count_init (&frame->references);
  frame->bedside = *now;
  frame->plane_number = painter->number;
  frame->geometry = painter->geometry;
  frame->plane_pose = painter->pose;
  frame->grey = g_bytes_ref (painter->grey);
  frame->sector = painter->sector != NULL ? cairo_surface_reference (painter->sector) : NULL;
  frame->scene = painter->picture != NULL ? tarn_scene_picture_ref (painter->picture) : NULL;
  return frame;
}

TarnRunFrame *
tarn_run_frame_ref (TarnRunFrame *frame)
{
  g_atomic_ref_count_inc (&frame->references);
  return frame;
}

void
tarn_run_frame_unref (TarnRunFrame *frame)
{
  if (!g_atomic_ref_count_dec (&frame->references))
    return;
  g_bytes_unref (frame->grey);
  g_clear_pointer (&frame->sector, cairo_surface_destroy);
  g_clear_pointer (&frame->scene, tarn_scene_picture_unref);
  g_free (frame);
}
