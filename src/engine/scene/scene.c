/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scene.c: the pieces put together.
 *
 * 1. What depends on the body alone (chart, drapes, marks, bed, inside) is made once and kept
 *    at rest.  An update makes skin, gel, probe and light anew and copies the rest.
 * 2. What belongs to the body comes first in the store; all of it follows the flow of pressed
 *    tissue, then breath and unrest.  The bed does not.
 * 3. Shadows that move (probe, finger) are computed for each vertex near enough.
 * 4. Triangles at most: skin 4214, drapes 2944, bed 504, marks 336, tube 280, gel 2048, probe
 *    and ridge 912, fingertip 140, light 128, in all 11,506; as glass there are bones, 320 +
 *    64 for each of seven, and the bladder, 1280, and the gel has 392, in all 11,898.  A drape
 *    over the belly has 576 more, but then there are no marks and no gel. */
#include "engine/scene/scene.h"

#include "engine/scene/layers.h"
#include "engine/scene/light.h"

#include <stdlib.h>
#include <string.h>

#define HOVER_MM      26.0 /* a probe off the skin is held so far away */
#define PRESS_FAR_MM  170.0
#define SHADOW_FAR_MM 260.0
#define SUNK_MM       14.0 /* skin below a drape that follows a fold only roughly */
#define RISE_MM       2.6
#define GLASS         38 /* opacity of skin as glass, of 255: 15 % */
#define GLASS_DRAPE   44

struct TarnScene
{
  TarnSkinChart chart;
  TarnStore store; /* as shown */
  TarnStore worn;  /* at rest, on the body: drapes, marks */
  TarnStore inner; /* bones and bladder */
  TarnStore bed;
  float place[TARN_SKIN_ROWS * TARN_SKIN_COLUMNS][2];
  float near_mm[3][TARN_STORE_VERTICES]; /* points that the flow moves */
  int near[TARN_STORE_VERTICES];

  /* What the kept pieces were made of. */
  const TarnBody *body;
  double lift;
  TarnPatient patient; /* bytes to compare with; its texts are not owned */
  bool uncovered, has_inside, glass;
  TarnCamera preset[TARN_CAMERA_PRESETS];

  bool has_probe;
  TarnVec3 probe_skin_mm, probe_outward;
  double probe_above_mm, probe_left_mm;
};

TarnScene *
tarn_scene_new (void)
{
  TarnScene *scene = calloc (1, sizeof *scene);
  if (scene == NULL)
    return NULL;
  if (!tarn_store_init (&scene->store) || !tarn_store_init (&scene->worn)
      || !tarn_store_init (&scene->inner) || !tarn_store_init (&scene->bed))
    {
      tarn_scene_free (scene);
      return NULL;
    }
  return scene;
}

void
tarn_scene_free (TarnScene *scene)
{
  if (scene == NULL)
    return;
  tarn_store_clear (&scene->store);
  tarn_store_clear (&scene->worn);
  tarn_store_clear (&scene->inner);
  tarn_store_clear (&scene->bed);
  free (scene);
}

static void
empty (TarnStore *store)
{
  store->vertices = store->indices = store->parts = 0;
}

/* Another body may lie at the address of one that is gone, so its patient is looked at too. */
static bool
is_same_body (const TarnScene *scene, const TarnBody *body)
{
  return scene->body == body && scene->lift == tarn_body_lift (body)
         && memcmp (&scene->patient, tarn_body_patient (body), sizeof scene->patient) == 0;
}

static TarnStatus
keep (TarnScene *scene, const TarnSceneView *view)
{
  const TarnPatient *patient = tarn_body_patient (view->body);
  bool same = is_same_body (scene, view->body);
  if (!same)
    {
      tarn_chart_init (&scene->chart, view->body);
      empty (&scene->bed);
      tarn_bed_add (&scene->bed, &scene->chart);
      tarn_tube_add (&scene->bed, &scene->chart, patient);
      for (int k = 0; k < TARN_CAMERA_PRESETS; k++)
        scene->preset[k] = tarn_camera_preset ((TarnCameraPreset)k, view->body);
    }
  if (!same || scene->uncovered != view->uncovered)
    {
      empty (&scene->worn);
      if (view->uncovered)
        tarn_marks_add (&scene->worn, &scene->chart, patient);
      tarn_drapes_add (&scene->worn, &scene->chart, view->uncovered);
    }
  if (view->show_inside && (!same || !scene->has_inside))
    {
      empty (&scene->inner);
      scene->body = NULL;
      TarnStatus status = tarn_inside_add (&scene->inner, view->body);
      if (status != TARN_OK)
        return status;
    }
  scene->has_inside = view->show_inside || (same && scene->has_inside);
  scene->uncovered = view->uncovered;
  scene->body = view->body;
  scene->lift = tarn_body_lift (view->body);
  memcpy (&scene->patient, patient, sizeof scene->patient);
  return TARN_OK;
}

/* The flow reaches far, but what it does beyond PRESS_FAR_MM is not seen. */
static void
press (TarnScene *scene, const TarnDeform *deform)
{
  TarnStore *store = &scene->store;
  if (deform == NULL || !(deform->indentation_mm > 0))
    return;
  TarnVec3 c = tarn_add_scaled (deform->start_mm, deform->direction, deform->indentation_mm);
  int count = 0;
  for (int k = 0; k < store->vertices; k++)
    {
      double x = (double)store->x_mm[k] - c.x, y = (double)store->y_mm[k] - c.y;
      double z = (double)store->z_mm[k] - c.z;
      if (x * x + y * y + z * z > PRESS_FAR_MM * PRESS_FAR_MM)
        continue;
      scene->near[count] = k;
      scene->near_mm[0][count] = store->x_mm[k];
      scene->near_mm[1][count] = store->y_mm[k];
      scene->near_mm[2][count++] = store->z_mm[k];
    }
  tarn_deform_forward_many (deform, count, scene->near_mm[0], scene->near_mm[1],
                            scene->near_mm[2]);
  for (int i = 0; i < count; i++)
    {
      /* Fades out before the limit, so that no step shows there. */
      int k = scene->near[i];
      double x = (double)store->x_mm[k] - c.x, y = (double)store->y_mm[k] - c.y;
      double z = (double)store->z_mm[k] - c.z;
      float share = (float)(1
                            - tarn_smoothstep (0.6 * PRESS_FAR_MM, PRESS_FAR_MM,
                                               sqrt (x * x + y * y + z * z)));
      store->x_mm[k] += share * (scene->near_mm[0][i] - store->x_mm[k]);
      store->y_mm[k] += share * (scene->near_mm[1][i] - store->y_mm[k]);
      store->z_mm[k] += share * (scene->near_mm[2][i] - store->z_mm[k]);
    }
}

/* Breath lifts the belly between navel and ribs, unrest shifts all; where the probe presses,
 * the hand goes along. */
static void
breathe (TarnScene *scene, const TarnSceneView *view)
{
  TarnStore *store = &scene->store;
  const TarnFigure *figure = &scene->chart.figure;
  double middle = 0.5 * (figure->navel_mm + figure->chest_mm) + 15, wide = 95 * figure->scale;
  double half = scene->chart.torso.oval[0].half_width_mm;
  double rise = RISE_MM * tarn_clamp (view->breath, -1, 1);
  TarnVec3 probe = view->contact != NULL ? view->contact->skin_mm : tarn_vec3 (0, 0, -1e4);
  for (int k = 0; k < store->vertices; k++)
    {
      double x = (double)store->x_mm[k], z = (double)store->z_mm[k];
      double up = (z - middle) / wide, aside = x / half;
      double share = 1 / (1 + up * up * up * up) * tarn_clamp (1 - aside * aside, 0, 1);
      double dx = x - probe.x, dz = z - probe.z, far = (dx * dx + dz * dz) / (70.0 * 70.0);
      share *= far / (1 + far);
      store->x_mm[k] += (float)view->body_mm.x;
      store->y_mm[k] += (float)(view->body_mm.y - rise * share);
      store->z_mm[k] += (float)view->body_mm.z;
    }
}

/* Where a point of the body at rest is shown. */
static TarnVec3
shown_mm (const TarnSceneView *view, TarnVec3 p)
{
  if (view->deform != NULL && view->contact != NULL && view->on_skin)
    p = tarn_deform_forward (view->deform, p);
  return tarn_add (p, view->body_mm);
}

static void
cast (TarnStore *store, int vertices, const TarnShadow *shadow)
{
  TarnVec3 middle = tarn_scale (tarn_add (shadow->a_mm, shadow->b_mm), 0.5);
  for (int k = 0; k < vertices; k++)
    {
      TarnVec3 p = { (double)store->x_mm[k], (double)store->y_mm[k], (double)store->z_mm[k] };
      TarnVec3 d = tarn_sub (p, middle);
      if (tarn_dot (d, d) > SHADOW_FAR_MM * SHADOW_FAR_MM)
        continue;
      TarnSceneVertex *vertex = &store->vertex[k];
      double light = tarn_light_past (shadow, p) * tarn_light_around (shadow, p);
      vertex->shade = (uint8_t)(vertex->shade * light);
    }
}

/* Skin and drapes as glass. */
static void
glaze (TarnStore *store)
{
  for (int k = 0; k < store->parts; k++)
    {
      const TarnScenePart *part = &store->part[k];
      if (part->material != TARN_MATERIAL_SKIN && part->material != TARN_MATERIAL_DRAPE)
        continue;
      uint8_t opacity = part->material == TARN_MATERIAL_SKIN ? GLASS : GLASS_DRAPE;
      for (int i = part->first; i < part->first + part->count; i++)
        store->vertex[store->index[i]].colour[3] = opacity;
    }
}

/* In the order of drawing: skin and drapes, which may be glass, after what is inside. */
static void
sort_parts (TarnStore *store)
{
  static const uint8_t order[TARN_MATERIALS] = {
    [TARN_MATERIAL_LINEN] = 0,   [TARN_MATERIAL_TUBE] = 1,   [TARN_MATERIAL_BONE] = 2,
    [TARN_MATERIAL_BLADDER] = 3, [TARN_MATERIAL_SKIN] = 4,   [TARN_MATERIAL_DRESSING] = 5,
    [TARN_MATERIAL_MARKS] = 6,   [TARN_MATERIAL_DRAPE] = 7,  [TARN_MATERIAL_SECTOR] = 8,
    [TARN_MATERIAL_PROBE] = 9,   [TARN_MATERIAL_RIDGE] = 10, [TARN_MATERIAL_FINGER] = 11,
    [TARN_MATERIAL_GEL] = 12,
  };
  for (int k = 1; k < store->parts; k++)
    {
      TarnScenePart part = store->part[k];
      int j = k;
      for (; j > 0 && order[store->part[j - 1].material] > order[part.material]; j--)
        store->part[j] = store->part[j - 1];
      store->part[j] = part;
    }
}

static void
add_hand (TarnScene *scene, const TarnSceneView *view)
{
  TarnStore *store = &scene->store;
  if (view->contact != NULL)
    {
      TarnVec3 shift = view->body_mm;
      if (!view->on_skin)
        shift = tarn_add_scaled (shift, view->contact->axis, -HOVER_MM);
      TarnVec3 face = tarn_add (view->contact->face_mm, shift);
      TarnShadow probe
          = { tarn_add_scaled (face, view->contact->axis, -14),
              tarn_add_scaled (face, view->contact->axis, -(TARN_PROBE_LENGTH_MM - 16)), 15 };
      cast (store, store->vertices, &probe);
      if (view->show_sector && view->on_skin)
        tarn_sector_add (store, view->contact, &view->geometry, view->fan_rad, shift);
      tarn_probe_add (store, view->contact, shift);
    }
  if (view->finger)
    {
      double above = view->finger_above_mm, left = view->finger_left_mm;
      TarnVec3 out = tarn_chart_normal (&scene->chart, above, left);
      TarnVec3 p = shown_mm (view, tarn_chart_point (&scene->chart, above, left, NULL));
      tarn_finger_add (store, p, out);
    }
}

TarnStatus
tarn_scene_update (TarnScene *scene, const TarnSceneView *view)
{
  TarnStatus status = keep (scene, view);
  if (status != TARN_OK)
    return status;

  TarnStore *store = &scene->store;
  empty (store);
  double above = 0, left = 0;
  if (view->contact != NULL)
    tarn_chart_place (&scene->chart, view->contact->skin_mm, &above, &left);
  else if (view->film != NULL && view->film->laid)
    {
      above = view->film->above_mm;
      left = view->film->left_mm;
    }
  bool fine = view->contact != NULL || (view->film != NULL && view->film->laid);
  tarn_skin_add (store, &scene->chart, fine, above, left, view->uncovered ? 0 : SUNK_MM,
                 scene->place);
  tarn_store_append (store, &scene->worn);
  if (view->show_inside)
    tarn_store_append (store, &scene->inner);
  if (view->film != NULL && view->uncovered)
    tarn_gel_add (store, &scene->chart, view->film,
                  view->show_inside ? TARN_GEL_ACROSS_GLASS : TARN_GEL_ACROSS);

  scene->has_probe = view->contact != NULL;
  if (view->contact != NULL)
    {
      scene->probe_above_mm = above;
      scene->probe_left_mm = left;
      scene->probe_skin_mm = tarn_add (view->contact->skin_mm, view->body_mm);
      scene->probe_outward = tarn_scale (view->contact->inward, -1);
    }

  if (view->contact != NULL && view->on_skin)
    press (scene, view->deform);
  breathe (scene, view);
  tarn_store_append (store, &scene->bed);
  add_hand (scene, view);

  scene->glass = view->show_inside;
  if (view->show_inside)
    glaze (store);
  sort_parts (store);
  tarn_store_finish (store);
  return TARN_OK;
}

TarnSceneMesh
tarn_scene_mesh (const TarnScene *scene)
{
  const TarnStore *store = &scene->store;
  TarnSceneMesh mesh
      = { .vertices = store->vertices,
          .indices = store->indices,
          .parts = store->parts,
          .vertex = store->vertex,
          .index = store->index,
          .skin_place = scene->place,
          .skin_vertices = store->vertices > 0 ? TARN_SKIN_ROWS * TARN_SKIN_COLUMNS : 0,
          .glass = scene->glass,
          .has_probe = scene->has_probe,
          .probe_skin_mm = scene->probe_skin_mm,
          .probe_outward = scene->probe_outward,
          .probe_above_mm = scene->probe_above_mm,
          .probe_left_mm = scene->probe_left_mm };
  memcpy (mesh.part, store->part, sizeof mesh.part);
  memcpy (mesh.preset, scene->preset, sizeof mesh.preset);
  return mesh;
}

bool
tarn_scene_pick (const TarnScene *scene, TarnVec3 from_mm, TarnVec3 direction, double *above_mm,
                 double *left_mm)
{
  TarnSceneMesh mesh = tarn_scene_mesh (scene);
  return tarn_scene_pick_mesh (&mesh, TARN_MATERIAL_SKIN, from_mm, direction, above_mm,
                               left_mm);
}
