/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body.c: building a body, and what it says of itself. */
#include "engine/body/body.h"

#include "base/units.h"
#include "engine/body/cells.h"
#include "engine/body/facets.h"
#include "engine/body/placement.h"
#include "engine/body/region.h"
#include "engine/body/volume.h"
#include "engine/body/yield.h"
#include "engine/patient/fields.h"

#include <stdio.h>
#include <stdlib.h>

/* Levels of the spheres that lumen and structures are looked at by. */
#define LUMEN_LEVEL 5
#define SOLID_LEVEL 4

/* Checks. */

static TarnStatus
check_field (const TarnField *field, const void *owner, int structure, TarnProblem *problem)
{
  for (int k = 0; k < tarn_field_components (field); k++)
    {
      if (tarn_field_holds (field, tarn_field_get (field, owner, k)))
        continue;
      char key[64];
      const char *group = tarn_field_group_name (field->group);
      if (field->group == TARN_GROUP_STRUCTURE)
        snprintf (key, sizeof key, "[%s %d] %s", group, structure + 1, field->key);
      else
        snprintf (key, sizeof key, "[%s] %s", group, field->key);
      return tarn_problem_set (problem, TARN_OUT_OF_RANGE, key, "out of range (%.16g … %.16g)",
                               field->low, field->high);
    }
  return TARN_OK;
}

/* Only what makes a body; the rest of a patient is none of its business. */
static TarnStatus
check_numbers (const TarnPatient *patient, TarnProblem *problem)
{
  if (patient->structures < 0 || patient->structures > TARN_STRUCTURES_MAX)
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, "[Structure]", "at most %d structures",
                             TARN_STRUCTURES_MAX);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      TarnStatus status = TARN_OK;
      if (field->group == TARN_GROUP_STRUCTURE)
        for (int s = 0; s < patient->structures && status == TARN_OK; s++)
          status = check_field (field, &patient->structure[s], s, problem);
      else if (field->group == TARN_GROUP_HABITUS || field->group == TARN_GROUP_SYMPHYSIS
               || field->group == TARN_GROUP_BLADDER)
        status = check_field (field, patient, 0, problem);
      if (status != TARN_OK)
        return status;
    }
  return TARN_OK;
}

/* Building. */

static void
measure_lumen (TarnBody *body)
{
  const TarnMesh *mesh = &body->lumen_mesh;
  body->lumen_centre_mm = body->lumen.centre_mm;
  body->lumen_size_mm = tarn_vec3 (0, 0, 0);
  if (mesh->triangles == 0)
    return;
  TarnVec3 low, high;
  tarn_mesh_bounds (mesh, &low, &high);
  body->lumen_size_mm = tarn_sub (high, low);
  body->lumen_centre_mm = tarn_mesh_centroid_mm (mesh);
}

static void
move_mesh (TarnMesh *mesh, TarnVec3 by_mm)
{
  for (int k = 0; k < mesh->vertices; k++)
    mesh->vertex_mm[k] = tarn_add (mesh->vertex_mm[k], by_mm);
}

/* As if it were alone. */
static TarnStatus
place_bladder (TarnBody *body, const TarnMesh *sphere, TarnProblem *problem)
{
  tarn_lumen_init (&body->lumen, &body->patient);
  TarnStatus status
      = tarn_placement_scale (&body->patient, sphere, &body->lumen, &body->lumen_mesh);
  if (status != TARN_OK)
    return status;
  status = tarn_placement_place (&body->patient, sphere, &body->lumen, &body->torso,
                                 &body->bones, problem);
  if (status != TARN_OK)
    return status;
  if (!tarn_mesh_init_copy (&body->wall_mesh, sphere))
    return TARN_NO_MEMORY;

  tarn_lumen_bound (&body->lumen);
  body->lumen.heart_mm = body->lumen.centre_mm;
  move_mesh (&body->lumen_mesh, body->lumen.centre_mm);
  for (int k = 0; k < sphere->vertices; k++)
    body->wall_mesh.vertex_mm[k]
        = tarn_lumen_wall_point_mm (&body->lumen, sphere->vertex_mm[k]);
  return TARN_OK;
}

/* @sphere: of the lumen; @look: of the structures. */
static TarnStatus
place_structures (TarnBody *body, const TarnMesh *sphere, const TarnMesh *look,
                  TarnProblem *problem)
{
  const TarnPatient *patient = &body->patient;
  body->solids = patient->structures;
  for (int k = 0; k < body->solids; k++)
    tarn_solid_init (&body->solid[k], &patient->structure[k], patient->bladder.wall_mm);
  TarnStatus status = tarn_yield_bladder (body, sphere, look, problem);
  if (status != TARN_OK)
    return status;

  tarn_yield_bowel (body, look);
  for (int k = 0; k < body->solids; k++)
    if (body->solid[k].kind == TARN_STRUCTURE_DIVERTICULUM && !body->lumen.empty)
      tarn_solid_join (&body->solid[k], &body->lumen);
  return tarn_volume_check (body, look, problem);
}

static TarnStatus
place_all (TarnBody *body, const TarnMesh *sphere, TarnProblem *problem)
{
  TarnStatus status = place_bladder (body, sphere, problem);
  body->true_volume_ml = body->patient.bladder.volume_ml;
  if (status != TARN_OK || body->patient.structures == 0)
    return status;

  TarnMesh look;
  if (!tarn_mesh_init_sphere (&look, SOLID_LEVEL))
    return TARN_NO_MEMORY;
  status = place_structures (body, sphere, &look, problem);
  if (status == TARN_OK)
    {
      body->displaced_ml = tarn_volume_displaced_ml (body, &look);
      body->true_volume_ml = body->patient.bladder.volume_ml - body->displaced_ml
                             + tarn_volume_counted_ml (body, &look);
    }
  tarn_mesh_clear (&look);
  return status;
}

static TarnStatus
build (TarnBody *body, TarnProblem *problem)
{
  tarn_torso_init (&body->torso, &body->patient, body->lift);
  tarn_skeleton_init (&body->bones, &body->patient);

  TarnMesh sphere;
  if (!tarn_mesh_init_sphere (&sphere, LUMEN_LEVEL))
    return TARN_NO_MEMORY;
  TarnStatus status = place_all (body, &sphere, problem);
  tarn_mesh_clear (&sphere);
  if (status != TARN_OK)
    return status;
  measure_lumen (body);

  tarn_region_list (body);
  status = tarn_cells_build (body);
  return status == TARN_OK ? tarn_facets_build (body) : status;
}

TarnStatus
tarn_body_new (const TarnPatient *patient, double lift, TarnBody **body, TarnProblem *problem)
{
  *body = NULL;
  TarnStatus status = check_numbers (patient, problem);
  if (status != TARN_OK)
    return status;
  if (!(lift >= 0 && lift <= 1))
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, "lift", "out of range (0 … 1)");

  TarnBody *made = calloc (1, sizeof *made);
  if (made == NULL)
    return tarn_problem_set (problem, TARN_NO_MEMORY, "", "out of memory");
  made->patient = *patient;
  made->patient.prose = NULL;
  made->patient.proses = 0;
  made->lift = lift;
  status = build (made, problem);
  if (status == TARN_NO_MEMORY)
    tarn_problem_set (problem, status, "", "out of memory");
  if (status != TARN_OK)
    {
      tarn_body_free (made);
      return status;
    }
  *body = made;
  return TARN_OK;
}

void
tarn_body_free (TarnBody *body)
{
  if (body == NULL)
    return;
  tarn_mesh_clear (&body->lumen_mesh);
  tarn_mesh_clear (&body->wall_mesh);
  free (body->cell);
  free (body->facet);
  free (body);
}

/* What it says of itself. */

const TarnPatient *
tarn_body_patient (const TarnBody *body)
{
  return &body->patient;
}

double
tarn_body_lift (const TarnBody *body)
{
  return body->lift;
}

const TarnBones *
tarn_body_bones (const TarnBody *body)
{
  return &body->bones;
}

const TarnMesh *
tarn_body_lumen_mesh (const TarnBody *body)
{
  return &body->lumen_mesh;
}

double
tarn_body_lumen_distance_mm (const TarnBody *body, TarnVec3 p_mm)
{
  double distance = tarn_lumen_distance_mm (&body->lumen, p_mm, NULL);
  /* An empty bladder has a shape, but nothing is within it. */
  return body->lumen.empty ? fmax (distance, 0) + TARN_EMPTY_REACH_MM : distance;
}

double
tarn_body_urine_distance_mm (const TarnBody *body, TarnVec3 p_mm)
{
  double distance = tarn_body_lumen_distance_mm (body, p_mm);
  for (int k = 0; k < body->solids; k++)
    if (body->solid[k].kind == TARN_STRUCTURE_DIVERTICULUM && body->solid[k].counts)
      distance = fmin (distance, tarn_solid_inner_distance_mm (&body->solid[k], p_mm, NULL));
  return distance;
}

void
tarn_body_urine_box (const TarnBody *body, TarnVec3 *low_mm, TarnVec3 *high_mm)
{
  tarn_mesh_bounds (tarn_body_lumen_mesh (body), low_mm, high_mm);
  for (int k = 0; k < body->patient.structures; k++)
    {
      const TarnStructure *structure = &body->patient.structure[k];
      if (structure->kind != TARN_STRUCTURE_DIVERTICULUM || !structure->counts)
        continue;
      TarnVec3 r = structure->radii_mm, c = structure->centre_mm;
      double reach = fmax (r.x, fmax (r.y, r.z));
      *low_mm = tarn_vec3 (fmin (low_mm->x, c.x - reach), fmin (low_mm->y, c.y - reach),
                           fmin (low_mm->z, c.z - reach));
      *high_mm = tarn_vec3 (fmax (high_mm->x, c.x + reach), fmax (high_mm->y, c.y + reach),
                            fmax (high_mm->z, c.z + reach));
    }
}

double
tarn_body_true_volume_ml (const TarnBody *body)
{
  return body->true_volume_ml;
}

double
tarn_body_displaced_ml (const TarnBody *body)
{
  return body->displaced_ml;
}

void
tarn_body_lumen_diameters_mm (const TarnBody *body, double *length, double *width,
                              double *height)
{
  *length = body->lumen_size_mm.z;
  *width = body->lumen_size_mm.x;
  *height = body->lumen_size_mm.y;
}

TarnVec3
tarn_body_lumen_centre_mm (const TarnBody *body)
{
  return body->lumen_centre_mm;
}
