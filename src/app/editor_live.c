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

struct TarnEditorLive
{
  GThread *thread;
  GSourceFunc done;
  gpointer data;

  GMutex lock;
  GCond wake;
  gboolean stopping, wished;
  TarnEditorWish wish;
  TarnEditorShot *newest;
  guint idle_id; /* of the news on its way to the main thread */
};

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
tell (gpointer data)
{
  TarnEditorLive *live = data;
  g_mutex_lock (&live->lock);
  live->idle_id = 0;
  g_mutex_unlock (&live->lock);
  live->done (live->data);
  return G_SOURCE_REMOVE;
}

/* Takes the reference over. */
static void
publish (TarnEditorLive *live, TarnEditorShot *shot)
{
  g_mutex_lock (&live->lock);
  TarnEditorShot *before = live->newest;
  live->newest = shot;
  if (live->idle_id == 0 && !live->stopping)
    live->idle_id = g_idle_add_full (G_PRIORITY_DEFAULT, tell, live, NULL);
  g_mutex_unlock (&live->lock);
  g_clear_pointer (&before, tarn_editor_shot_unref);
}

static gboolean
same_body (const TarnEditorWish *a, const TarnEditorWish *b)
{
  return a->state == b->state && a->seed == b->seed && a->lift == b->lift;
}

static void
work_on (TarnEditorLive *live, Bench *bench, const TarnEditorWish *wish)
{
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
      publish (live, shot);
      return;
    }
  make_plane (bench, shot);
  TarnEditorShot *whole = shot_again (shot);
  publish (live, shot);
  make_sections (whole);
  publish (live, whole);
}

static gpointer
run (gpointer data)
{
  TarnEditorLive *live = data;
  Bench bench = { .work = tarn_plane_work_new (false) };
  if (bench.work == NULL)
    g_error ("no memory for a plane");
  for (;;)
    {
      g_mutex_lock (&live->lock);
      while (!live->wished && !live->stopping)
        g_cond_wait (&live->wake, &live->lock);
      gboolean stopping = live->stopping;
      TarnEditorWish wish = live->wish;
      live->wished = FALSE;
      g_mutex_unlock (&live->lock);
      if (stopping)
        break;
      work_on (live, &bench, &wish);
    }
  g_clear_pointer (&bench.made, tarn_editor_shot_unref);
  tarn_plane_work_free (bench.work);
  tarn_sector_map_free (bench.map);
  return NULL;
}

/* ---- For the main thread ---- */

TarnEditorLive *
tarn_editor_live_new (GSourceFunc done, gpointer data)
{
  TarnEditorLive *live = g_new0 (TarnEditorLive, 1);
  live->done = done;
  live->data = data;
  g_mutex_init (&live->lock);
  g_cond_init (&live->wake);
  live->thread = g_thread_new ("draft", run, live);
  return live;
}

void
tarn_editor_live_free (TarnEditorLive *live)
{
  if (live == NULL)
    return;
  g_mutex_lock (&live->lock);
  live->stopping = TRUE;
  g_cond_signal (&live->wake);
  g_mutex_unlock (&live->lock);
  g_thread_join (live->thread);
  g_clear_handle_id (&live->idle_id, g_source_remove);
  g_clear_pointer (&live->newest, tarn_editor_shot_unref);
  g_mutex_clear (&live->lock);
  g_cond_clear (&live->wake);
  g_free (live);
}

void
tarn_editor_live_wish (TarnEditorLive *live, const TarnEditorWish *wish)
{
  g_mutex_lock (&live->lock);
  live->wish = *wish;
  live->wish.wished_us = g_get_monotonic_time ();
  live->wish.patient.proses = 0;
  live->wish.patient.prose = NULL;
  live->wished = TRUE;
  g_cond_signal (&live->wake);
  g_mutex_unlock (&live->lock);
}

TarnEditorShot *
tarn_editor_live_shot (TarnEditorLive *live)
{
  g_mutex_lock (&live->lock);
  TarnEditorShot *shot = live->newest != NULL ? tarn_editor_shot_ref (live->newest) : NULL;
  g_mutex_unlock (&live->lock);
  return shot;
}
