/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The scene of the fates: what the surface shows, with the patient around it.
 *
 * Skin, bones and probe are those of the bedside's scene, seen as glass; of it only those parts
 * are kept.  The rays are followed again only for another body or view. */
#include "engine/scene/fates.h"

#include "engine/scene/fates_patch.h"

#include <stdlib.h>
#include <string.h>

#define SKIN_OPACITY  44 /* of 255 */
#define ROOM_MM       62.0
#define HALF_VIEW_RAD 0.30
/* From the bedside, a little from the head: the pubic bone then stands behind the bladder. */
#define AROUND_RAD 0.42
#define ABOVE_RAD  0.52

struct TarnFatesScene
{
  TarnScene *around;
  TarnPatch patch;
  TarnFateRays rays;
  const TarnBody *body; /* whose rays they are */
  double lift;
  TarnPatient patient; /* bytes to compare with; its texts are not owned */
  double ml[TARN_FATES_PARTS];
  TarnSceneMesh mesh;
  int *moved; /* where the vertices of the bedside's scene went; -1 nowhere */
};

TarnFatesScene *
tarn_fates_scene_new (void)
{
  TarnFatesScene *scene = calloc (1, sizeof *scene);
  if (scene == NULL)
    return NULL;
  scene->around = tarn_scene_new ();
  if (scene->around == NULL)
    {
      free (scene);
      return NULL;
    }
  return scene;
}

void
tarn_fates_scene_free (TarnFatesScene *scene)
{
  if (scene == NULL)
    return;
  tarn_scene_free (scene->around);
  tarn_patch_clear (&scene->patch);
  tarn_fate_rays_clear (&scene->rays);
  free (scene->moved);
  free (scene);
}

/* Another body may lie at the address of one that is gone, so its patient is looked at too. */
static bool
has_rays_of (const TarnFatesScene *scene, const TarnFatesView *view)
{
  return scene->body == view->body && scene->lift == tarn_body_lift (view->body)
         && memcmp (&scene->patient, tarn_body_patient (view->body), sizeof scene->patient) == 0
         && memcmp (&scene->rays.view, &view->view, sizeof view->view) == 0;
}

static TarnStatus
follow_rays (TarnFatesScene *scene, const TarnFatesView *view)
{
  if (has_rays_of (scene, view))
    return TARN_OK;
  TarnFateRays rays;
  TarnStatus status = tarn_fate_rays_init (&rays, view->body, &view->view);
  if (status != TARN_OK)
    return status;
  tarn_fate_rays_clear (&scene->rays);
  scene->rays = rays;
  memcpy (&scene->rays.view, &view->view, sizeof view->view); /* padding too */
  scene->body = view->body;
  scene->lift = tarn_body_lift (view->body);
  memcpy (&scene->patient, tarn_body_patient (view->body), sizeof scene->patient);
  tarn_fates_volumes (&scene->rays, view->body, scene->ml);
  return TARN_OK;
}

/* The parts of that material, as they are. */
static void
take_parts (TarnFatesScene *scene, const TarnSceneMesh *from, TarnMaterial material)
{
  TarnPatch *patch = &scene->patch;
  int first_index = patch->indices;
  for (int k = 0; k < from->vertices; k++)
    scene->moved[k] = -1;
  for (int p = 0; p < from->parts; p++)
    for (int k = from->part[p].first;
         from->part[p].material == material && k < from->part[p].first + from->part[p].count;
         k += 3)
      {
        int corner[3];
        for (int j = 0; j < 3; j++)
          {
            uint32_t at = from->index[k + j];
            if (scene->moved[at] < 0)
              {
                TarnSceneVertex vertex = from->vertex[at];
                if (material == TARN_MATERIAL_SKIN)
                  vertex.colour[3] = SKIN_OPACITY;
                scene->moved[at] = tarn_patch_copy_vertex (patch, &vertex);
              }
            corner[j] = scene->moved[at];
          }
        tarn_patch_triangle (patch, corner[0], corner[1], corner[2]);
      }
  tarn_patch_end_part (patch, material, first_index);
}

/* The bladder in the picture's middle, the probe's foot within it. */
static void
set_cameras (TarnFatesScene *scene, const TarnFatesView *view)
{
  TarnVec3 low, high;
  tarn_mesh_bounds (tarn_body_lumen_mesh (view->body), &low, &high);
  TarnVec3 middle = tarn_scale (tarn_add (low, high), 0.5);
  middle = tarn_deform_forward (&view->view.deform, middle);
  double size = tarn_distance (low, high) / 2;
  for (int k = 0; k < TARN_CAMERA_PRESETS; k++)
    {
      TarnCamera *camera = &scene->mesh.preset[k];
      double bedside_mm = camera->distance_mm;
      camera->target_mm
          = tarn_add_scaled (middle, tarn_sub (view->view.contact.face_mm, middle), 0.22);
      camera->half_view_rad = HALF_VIEW_RAD;
      camera->distance_mm
          = tarn_clamp ((size + ROOM_MM) / tan (HALF_VIEW_RAD), camera->nearest_mm,
                        fmin (bedside_mm * 1.2, camera->farthest_mm));
    }
  scene->mesh.preset[TARN_CAMERA_BEDSIDE].around_rad = AROUND_RAD;
  scene->mesh.preset[TARN_CAMERA_BEDSIDE].above_rad = ABOVE_RAD;
}

TarnStatus
tarn_fates_scene_update (TarnFatesScene *scene, const TarnFatesView *view)
{
  TarnStatus status = follow_rays (scene, view);
  if (status != TARN_OK)
    return status;
  const TarnSceneView around_view = { .body = view->body,
                                      .contact = &view->view.contact,
                                      .deform = &view->view.deform,
                                      .on_skin = true,
                                      .geometry = view->view.geometry,
                                      .uncovered = true,
                                      .show_inside = true };
  status = tarn_scene_update (scene->around, &around_view);
  if (status != TARN_OK)
    return status;
  TarnSceneMesh around = tarn_scene_mesh (scene->around);
  int *moved = realloc (scene->moved, (size_t)(around.vertices + 1) * sizeof *moved);
  if (moved == NULL)
    return TARN_NO_MEMORY;
  scene->moved = moved;

  TarnPatch *patch = &scene->patch;
  tarn_patch_empty (patch);
  scene->mesh = (TarnSceneMesh){ 0 };
  if (view->bones)
    take_parts (scene, &around, TARN_MATERIAL_BONE);
  status = tarn_fates_surface_add (patch, view->body, &scene->rays, view->hidden);
  if (status == TARN_OK)
    status = tarn_fates_fluid_add (patch, view->body, &view->view.deform,
                                   (view->hidden & 1u << TARN_FATES_OTHER_FLUID) == 0,
                                   &scene->ml[TARN_FATES_OTHER_FLUID]);
  if (view->fan)
    tarn_fates_fan_add (patch, &view->view);
  if (view->skin)
    take_parts (scene, &around, TARN_MATERIAL_SKIN);
  take_parts (scene, &around, TARN_MATERIAL_PROBE);
  take_parts (scene, &around, TARN_MATERIAL_RIDGE);
  if (status != TARN_OK || patch->failed)
    {
      tarn_patch_empty (patch);
      return TARN_NO_MEMORY;
    }

  scene->mesh = (TarnSceneMesh){ .vertices = patch->vertices,
                                 .indices = patch->indices,
                                 .parts = patch->parts,
                                 .vertex = patch->vertex,
                                 .index = patch->index,
                                 .glass = true,
                                 .has_probe = around.has_probe,
                                 .probe_skin_mm = around.probe_skin_mm,
                                 .probe_outward = around.probe_outward,
                                 .probe_above_mm = around.probe_above_mm,
                                 .probe_left_mm = around.probe_left_mm };
  memcpy (scene->mesh.part, patch->part, sizeof patch->part);
  memcpy (scene->mesh.preset, around.preset, sizeof around.preset);
  set_cameras (scene, view);
  return TARN_OK;
}

TarnSceneMesh
tarn_fates_scene_mesh (const TarnFatesScene *scene)
{
  return scene->mesh;
}

void
tarn_fates_scene_volumes (const TarnFatesScene *scene, double ml[TARN_FATES_PARTS])
{
  memcpy (ml, scene->ml, sizeof scene->ml);
}
