/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scenes.h: the people of whom scenes are made in tests. */
#pragma once

#include "base/units.h"
#include "engine/acoustic/plane.h"
#include "engine/scene/scene.h"

#include <glib.h>

typedef struct
{
  const char *who;
  double age_years, width_mm, depth_mm, fat_mm, pannus_mm, volume_ml, lift;
  TarnSkinState skin;
  TarnCatheter catheter;
} Person;

static const Person people[] = {
  { "plain", 40, 300, 200, 18, 0, 300, 0, TARN_SKIN_INTACT, TARN_CATHETER_NONE },
  { "slim", 22, 262, 176, 8, 0, 60, 0, TARN_SKIN_SCAR, TARN_CATHETER_NONE },
  { "large", 58, 440, 310, 50, 50, 379, 0, TARN_SKIN_DRESSING, TARN_CATHETER_BLOCKED },
  { "large, fold lifted", 58, 440, 310, 50, 50, 379, 1, TARN_SKIN_INTACT, TARN_CATHETER_NONE },
  { "child", 6, 190, 140, 8, 0, 120, 0, TARN_SKIN_WOUND, TARN_CATHETER_DRAINING },
};

typedef struct
{
  TarnBody *body;
  TarnScene *scene;
  TarnGelFilm film;
  TarnContact contact;
  TarnDeform deform;
  TarnSceneView view;
} Rig;

static inline Rig *
rig_new (const Person *person)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.age_years = person->age_years;
  patient.habitus.torso_width_mm = person->width_mm;
  patient.habitus.torso_depth_mm = person->depth_mm;
  patient.habitus.fat_mm = person->fat_mm;
  patient.habitus.pannus_mm = person->pannus_mm;
  patient.habitus.pannus_reach_mm = 150;
  double shrink = cbrt (person->volume_ml / patient.bladder.volume_ml);
  patient.bladder.volume_ml = person->volume_ml;
  patient.bladder.length_mm *= shrink;
  patient.bladder.width_mm *= shrink;
  patient.bladder.height_mm *= shrink;
  patient.situation.skin = person->skin;
  patient.situation.catheter = person->catheter;

  Rig *rig = g_new0 (Rig, 1);
  g_assert_cmpint (tarn_body_new (&patient, person->lift, &rig->body, NULL), ==, TARN_OK);
  rig->scene = tarn_scene_new ();
  g_assert_nonnull (rig->scene);
  rig->view.body = rig->body;
  rig->view.geometry = tarn_plane_geometry (&patient.probe, 0);
  rig->view.uncovered = true;
  return rig;
}

static inline void
rig_free (Rig *rig)
{
  tarn_scene_free (rig->scene);
  tarn_body_free (rig->body);
  g_free (rig);
}

/* @pose: NULL takes the probe away. */
static inline void
rig_press (Rig *rig, const TarnPose *pose)
{
  rig->view.contact = NULL;
  rig->view.deform = NULL;
  if (pose == NULL)
    return;
  TarnGelFilm *film = rig->view.film != NULL ? &rig->film : NULL;
  g_assert_cmpint (tarn_contact_solve (rig->body, pose, film, &rig->contact), ==, TARN_OK);
  tarn_deform_init (&rig->deform, rig->body, &rig->contact);
  rig->view.contact = &rig->contact;
  rig->view.deform = &rig->deform;
  rig->view.on_skin = pose->force_n > 0;
}

static inline void
rig_gel (Rig *rig, double above_mm, double left_mm, double gel_g)
{
  g_assert_cmpint (tarn_gel_dose (&rig->film, above_mm, left_mm, gel_g), ==, TARN_OK);
  rig->view.film = &rig->film;
}

static inline TarnSceneMesh
rig_mesh (Rig *rig)
{
  g_assert_cmpint (tarn_scene_update (rig->scene, &rig->view), ==, TARN_OK);
  return tarn_scene_mesh (rig->scene);
}

static inline TarnVec3
place_of (const TarnSceneVertex *vertex)
{
  return tarn_vec3 ((double)vertex->position_mm[0], (double)vertex->position_mm[1],
                    (double)vertex->position_mm[2]);
}

/* Volume that triangles of a material enclose, by the divergence theorem; they must be closed.
 */
static inline double
enclosed_ml (const TarnSceneMesh *mesh, TarnMaterial material)
{
  double sum = 0;
  for (int k = 0; k < mesh->parts; k++)
    for (int i = 0; mesh->part[k].material == material && i < mesh->part[k].count; i += 3)
      {
        const uint32_t *index = &mesh->index[mesh->part[k].first + i];
        TarnVec3 a = place_of (&mesh->vertex[index[0]]), b = place_of (&mesh->vertex[index[1]]);
        sum += tarn_dot (a, tarn_cross (b, place_of (&mesh->vertex[index[2]]))) / 6;
      }
  return sum * 1e-3;
}

static inline int
triangles_of (const TarnSceneMesh *mesh, TarnMaterial material)
{
  int count = 0;
  for (int k = 0; k < mesh->parts; k++)
    if (mesh->part[k].material == material)
      count += mesh->part[k].count / 3;
  return count;
}
