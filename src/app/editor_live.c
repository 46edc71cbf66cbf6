/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The body costs most, and is made again only for another patient, draw or lift.  The plane is
 * shown before the sections are painted. */
#include "app/editor_live.h"

#include "engine/acoustic/plane.h"
#include "report/palette.h"
#include "report/picture.h"

#include <math.h>
#include <string.h>

/* What the thread keeps from wish to wish. */
typedef struct
{
  TarnPlaneWork *work;
  TarnEditorShot *made; /* of the body that is there */
  TarnSectorMap *map;   /* of the last plane, for one as large with the same field */
  TarnSectorPlace place;
  TarnImageGeometry geometry;
} Bench;

TarnEditorBody *
tarn_editor_body_ref (TarnEditorBody *body)
{
  g_atomic_ref_count_inc (&body->references);
  return body;
}

void
tarn_editor_body_unref (TarnEditorBody *body)
{
  if (!g_atomic_ref_count_dec (&body->references))
    return;
  tarn_body_free (body->body);
  g_free (body);
}

TarnEditorShot *
tarn_editor_shot_ref (TarnEditorShot *shot)
{
  g_atomic_ref_count_inc (&shot->references);
  return shot;
}

void
tarn_editor_shot_unref (TarnEditorShot *shot)
{
  if (!g_atomic_ref_count_dec (&shot->references))
    return;
  g_clear_pointer (&shot->body, tarn_editor_body_unref);
  g_clear_pointer (&shot->plane, cairo_surface_destroy);
  for (int k = 0; k < TARN_SECTIONS; k++)
    g_clear_pointer (&shot->section[k], cairo_surface_destroy);
  g_free (shot);
}

/* A new one with all that @shot has. */
static TarnEditorShot *
shot_again (const TarnEditorShot *shot)
{
  TarnEditorShot *again = g_memdup2 (shot, sizeof *shot);
  g_atomic_ref_count_init (&again->references);
  if (again->body != NULL)
    tarn_editor_body_ref (again->body);
  if (again->plane != NULL)
    cairo_surface_reference (again->plane);
  for (int k = 0; k < TARN_SECTIONS; k++)
    if (again->section[k] != NULL)
      cairo_surface_reference (again->section[k]);
  return again;
}

/* ---- On the thread ---- */

static void
make_body (TarnEditorShot *shot)
{
  gint64 start_us = g_get_monotonic_time ();
  TarnPatient patient = shot->wish.patient;
  TarnBody *body = NULL;
  TarnStatus status = tarn_patient_validate (&patient, &shot->problem);
  tarn_patient_vary (&patient, shot->wish.seed);
  if (status == TARN_OK)
    status = tarn_body_new (&patient, shot->wish.lift, &body, &shot->problem);
  shot->body_us = g_get_monotonic_time () - start_us;
  if (status != TARN_OK)
    return;
  shot->body = g_new0 (TarnEditorBody, 1);
  g_atomic_ref_count_init (&shot->body->references);
  shot->body->body = body;
  shot->lumen_ml = patient.bladder.volume_ml;
  shot->true_ml = tarn_body_true_volume_ml (body);
  shot->displaced_ml = tarn_body_displaced_ml (body);
  shot->lumen_centre_mm = tarn_body_lumen_centre_mm (body);
  tarn_body_lumen_diameters_mm (body, &shot->length_mm, &shot->width_mm, &shot->height_mm);
}

/* The caption stands beside it, in the page; what is left goes to the picture. */
static void
keep_map (Bench *bench, const TarnEditorWish *wish, const TarnImageGeometry *geometry)
{
  double size = wish->plane_text_size, margin = 10 * size, top = 24 * size;
  TarnSectorPlace place
      = tarn_sector_fit (geometry, 2 * margin, top, fmax (wish->plane_width - 90 * size, 1),
                         fmax (wish->plane_height - top - margin, 1));
  if (bench->map != NULL && memcmp (&place, &bench->place, sizeof place) == 0
      && memcmp (geometry, &bench->geometry, sizeof *geometry) == 0)
    return;
  tarn_sector_map_free (bench->map);
  bench->map = tarn_sector_map_new (geometry, &place);
  bench->place = place;
  bench->geometry = *geometry;
}

static cairo_surface_t *
paint_plane (Bench *bench, const TarnEditorWish *wish, const TarnImageGeometry *geometry,
             const uint8_t *grey)
{
  cairo_surface_t *paper
      = cairo_image_surface_create (CAIRO_FORMAT_RGB24, wish->plane_width, wish->plane_height);
  cairo_t *cr = cairo_create (paper);
  TarnSurroundings around = { .turn_rad = wish->pose.turn_rad,
                              .text_size = 0.85 * wish->plane_text_size,
                              .caption = "" };
  TarnImage image = { *geometry, grey, geometry->samples };

  keep_map (bench, wish, geometry);
  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  tarn_picture_draw_surroundings (cr, wish->plane_width, wish->plane_height, geometry,
                                  &bench->place, &around);
  cairo_destroy (cr);
  cairo_surface_flush (paper);
  if (bench->map != NULL && cairo_surface_status (paper) == CAIRO_STATUS_SUCCESS)
    tarn_sector_write (paper, bench->map, &image);
  return paper;
}

static void
make_plane (Bench *bench, TarnEditorShot *shot)
{
  gint64 start_us = g_get_monotonic_time ();
  const TarnBody *body = shot->body->body;
  TarnContact contact;
  TarnDeform deform;

  shot->plane_status = tarn_contact_solve (body, &shot->wish.pose, NULL, &contact);
  if (shot->plane_status != TARN_OK || shot->wish.plane_width <= 0
      || shot->wish.plane_height <= 0)
    return;
  tarn_deform_init (&deform, body, &contact);
  TarnPlaneSetup setup = { .body = body,
                           .deform = &deform,
                           .contact = &contact,
                           .frame = tarn_plane_frame (&contact, 0),
                           .geometry = tarn_plane_geometry (&shot->wish.patient.probe, 0),
                           .range_db = 60,
                           .noise_seed = shot->wish.patient.seed };
  g_autofree uint8_t *grey
      = g_malloc ((gsize)setup.geometry.lines * (gsize)setup.geometry.samples);
  shot->plane_status = tarn_plane_simulate (bench->work, &setup, 0, grey, NULL);
  if (shot->plane_status == TARN_OK)
    shot->plane = paint_plane (bench, &shot->wish, &setup.geometry, grey);
  shot->indentation_mm = contact.indentation_mm;
  shot->wet_fraction = contact.wet_fraction;
  shot->over_comfort = contact.guarding;
  shot->plane_us = g_get_monotonic_time () - start_us;
}

TarnSection
tarn_editor_cut (const TarnEditorWish *wish, TarnSectionKind kind, int width, int height,
                 double px_per_mm)
{
  TarnSection section = { .kind = kind,
                          .middle_mm = wish->frame_mm,
                          .width = width,
                          .height = height,
                          .px_per_mm = px_per_mm };
  if (kind == TARN_SECTION_SAGITTAL)
    section.middle_mm.x = wish->cut_mm.x;
  else if (kind == TARN_SECTION_TRANSVERSE)
    section.middle_mm.z = wish->cut_mm.z;
  else
    section.middle_mm.y = wish->cut_mm.y;
  return section;
}

static void
make_sections (TarnEditorShot *shot)
{
  gint64 start_us = g_get_monotonic_time ();
  for (int k = 0; k < TARN_SECTIONS; k++)
    {
      int width = shot->wish.section_width[k], height = shot->wish.section_height[k];
      if (width <= 0 || height <= 0)
        continue;
      shot->cut[k] = tarn_editor_cut (&shot->wish, (TarnSectionKind)k, width, height,
                                      shot->wish.px_per_mm);
      shot->section[k] = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
      tarn_section_paint (shot->section[k], &shot->cut[k], shot->body->body);
    }
  shot->sections_us = g_get_monotonic_time () - start_us;
}

static gboolean
same_body (const TarnEditorWish *a, const TarnEditorWish *b)
{
  return a->state == b->state && a->seed == b->seed && a->lift == b->lift;
}

static void
work_on (TarnNewest *newest, gpointer data, gconstpointer wished)
{
  Bench *bench = data;
  const TarnEditorWish *wish = wished;
  if (bench->made == NULL || !same_body (&bench->made->wish, wish))
    {
      TarnEditorShot *shot = g_new0 (TarnEditorShot, 1);
      g_atomic_ref_count_init (&shot->references);
      shot->wish = *wish;
      make_body (shot);
      g_clear_pointer (&bench->made, tarn_editor_shot_unref);
      bench->made = shot;
    }

  TarnEditorShot *shot = shot_again (bench->made);
  shot->wish = *wish;
  if (shot->body == NULL)
    {
      tarn_newest_tell (newest, shot);
      return;
    }
  make_plane (bench, shot);
  TarnEditorShot *whole = shot_again (shot);
  tarn_newest_tell (newest, shot);
  make_sections (whole);
  tarn_newest_tell (newest, whole);
}

static gpointer
bench_new (void)
{
  Bench *bench = g_new0 (Bench, 1);
  bench->work = tarn_plane_work_new (false);
  if (bench->work == NULL)
    g_error ("no memory for a plane");
  return bench;
}

static void
bench_free (gpointer data)
{
  Bench *bench = data;
  g_clear_pointer (&bench->made, tarn_editor_shot_unref);
  tarn_plane_work_free (bench->work);
  tarn_sector_map_free (bench->map);
  g_free (bench);
}

static gpointer
shot_ref (gpointer shot)
{
  return tarn_editor_shot_ref (shot);
}

static void
shot_unref (gpointer shot)
{
  tarn_editor_shot_unref (shot);
}

static const TarnNewestWork drafting = { .name = "draft",
                                         .bench_new = bench_new,
                                         .bench_free = bench_free,
                                         .work = work_on,
                                         .wish_free = g_free,
                                         .result_ref = shot_ref,
                                         .result_unref = shot_unref };

/* ---- For the main thread ---- */

TarnEditorLive *
tarn_editor_live_new (GSourceFunc done, gpointer data)
{
  return tarn_newest_new (&drafting, done, data);
}

void
tarn_editor_live_free (TarnEditorLive *live)
{
  tarn_newest_free (live);
}

void
tarn_editor_live_wish (TarnEditorLive *live, const TarnEditorWish *wish)
{
  TarnEditorWish *own = g_memdup2 (wish, sizeof *wish);
  own->wished_us = g_get_monotonic_time ();
  own->patient.proses = 0;
  own->patient.prose = NULL;
  tarn_newest_wish (live, own, 0);
}

TarnEditorShot *
tarn_editor_live_shot (TarnEditorLive *live)
{
  return tarn_newest_result (live);
}
