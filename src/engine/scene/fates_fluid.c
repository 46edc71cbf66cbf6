/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fluid beside the bladder that a sweep can take for urine: of a cyst, ascites, blood, the
 * water around a child.  Seen through, so that it hides nothing; waves lie over it. */
#include "engine/scene/fates_patch.h"

#include "base/units.h"
#include "engine/body/solid.h"

#define LEVEL   4 /* of the sphere: 2,562 vertices */
#define SHINE   40
#define WAVE_MM 15.0 /* from crest to crest, front to back */
#define SWAY_MM 2.2  /* how far a crest runs up and down */
#define LONG_MM 26.0 /* … over such a length along the body */

static const uint8_t trough[4] = { 0xc4, 0xc4, 0xc4, 150 };
static const uint8_t crest[4] = { 0x3a, 0x3a, 0x3a, 205 };

static bool
is_other_fluid (const TarnSolid *solid)
{
  return !solid->counts
         && (solid->inner_tissue == TARN_TISSUE_FLUID
             || solid->inner_tissue == TARN_TISSUE_HAEMATOMA);
}

static TarnPatchPaint
paint_at (TarnVec3 p)
{
  double deep = p.y + SWAY_MM * sin (2 * TARN_PI * p.z / LONG_MM);
  double share = tarn_clamp (1.6 * cos (2 * TARN_PI * deep / WAVE_MM) - 0.3, 0, 1);
  TarnPatchPaint paint = { .shine = SHINE };
  for (int k = 0; k < 4; k++)
    paint.colour[k] = (uint8_t)lround (trough[k] + (crest[k] - trough[k]) * share);
  return paint;
}

static void
add_fluid (TarnPatch *patch, const TarnDeform *deform, const TarnSolid *solid,
           const TarnMesh *sphere)
{
  int first = patch->vertices;
  for (int k = 0; k < sphere->vertices; k++)
    {
      TarnVec3 at = tarn_solid_point_mm (solid, &solid->inner, sphere->vertex_mm[k]), normal;
      tarn_solid_inner_distance_mm (solid, at, &normal);
      /* Of the body at rest: the press turns it little. */
      tarn_patch_vertex (patch, tarn_deform_forward (deform, at), normal, paint_at (at));
    }
  for (int k = 0; k < sphere->triangles && !patch->failed; k++)
    tarn_patch_triangle (patch, first + sphere->corner[k][0], first + sphere->corner[k][1],
                         first + sphere->corner[k][2]);
}

TarnStatus
tarn_fates_fluid_add (TarnPatch *patch, const TarnBody *body, const TarnDeform *deform,
                      bool shown, double *ml)
{
  const TarnPatient *patient = tarn_body_patient (body);
  int first_index = patch->indices;
  TarnMesh sphere;
  *ml = 0;
  if (!tarn_mesh_init_sphere (&sphere, LEVEL))
    return TARN_NO_MEMORY;
  for (int k = 0; k < patient->structures; k++)
    {
      TarnSolid solid;
      tarn_solid_init (&solid, &patient->structure[k], patient->bladder.wall_mm);
      if (!is_other_fluid (&solid))
        continue;
      *ml += tarn_ellipsoid_volume_mm3 (&solid.inner) / 1000;
      if (shown)
        add_fluid (patch, deform, &solid, &sphere);
    }
  tarn_mesh_clear (&sphere);
  tarn_patch_end_part (patch, TARN_MATERIAL_FLUID, first_index);
  return TARN_OK;
}
