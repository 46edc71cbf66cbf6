/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Losses by straight rays.
 *
 * 1. The lumen is cut into voxels at rest; each is moved to where the probe presses it and
 *    seen from the face's centre of curvature: its fan angle, line angle, range.
 * 2. Voxels are gathered in bins of direction.  One ray for each bin that holds any is
 *    followed from the face to its furthest voxel; where it first meets bone, and gas, all
 *    behind is hidden.
 * 3. A bin under an aperture that couples less than half is hidden by its contact. */
#include "engine/verdict/geometric.h"

#include "base/units.h"

#include <stdlib.h>
#include <string.h>

#define VOXELS_ALONG 28 /* over the urine's longest side */
#define BINS         64 /* over half a turn, both ways */
#define RAY_STEP_MM  2.0
#define RAY_STEPS    192
#define BLOCK        64 /* points moved at a time; a multiple of 8 */

typedef struct
{
  float fan_rad, line_rad, range_mm;
} Voxel;

typedef struct
{
  float furthest_mm; /* 0: no voxel */
  float bone_mm, gas_mm;
  bool dry;
} Bin;

typedef struct
{
  const TarnBody *body;
  const TarnView *view;
  int voxels;
  Voxel *voxel;
  Bin *bin; /* BINS x BINS */
} Survey;

TarnStatus
tarn_view_init (TarnView *view, const TarnBody *body, const TarnPose *pose, TarnGelFilm *film,
                double depth_mm)
{
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  TarnStatus status = tarn_contact_solve (body, pose, film, &view->contact);
  if (status != TARN_OK)
    return status;
  tarn_deform_init (&view->deform, body, &view->contact);
  view->geometry = tarn_plane_geometry (probe, depth_mm);
  view->half_fan_rad = tarn_rad_from_deg (probe->fan_deg) / 2;
  return TARN_OK;
}

TarnView
tarn_view_of_sweep (const TarnSweep *sweep)
{
  return (TarnView){ .contact = sweep->shots.still.contact,
                     .deform = sweep->shots.still.deform,
                     .geometry = sweep->geometry,
                     .half_fan_rad = sweep->planes * sweep->step_rad / 2 };
}

/* The patient frame's point on the ray at these angles. */
static TarnVec3
ray_point (const TarnContact *contact, double fan_rad, double line_rad, double range_mm)
{
  double u = range_mm * sin (line_rad), v = range_mm * cos (line_rad);
  TarnVec3 p = tarn_add_scaled (contact->centre_mm, contact->lateral, u);
  p = tarn_add_scaled (p, contact->axis, v * cos (fan_rad));
  return tarn_add_scaled (p, contact->elevation, v * sin (fan_rad));
}

static Voxel
voxel_seen (const TarnContact *contact, TarnVec3 p_mm)
{
  TarnVec3 q = tarn_sub (p_mm, contact->centre_mm);
  double a = tarn_dot (q, contact->axis), e = tarn_dot (q, contact->elevation);
  double u = tarn_dot (q, contact->lateral);
  return (Voxel){ .fan_rad = (float)atan2 (e, a),
                  .line_rad = (float)atan2 (u, hypot (a, e)),
                  .range_mm = (float)tarn_length (q) };
}

static int
bin_of (double angle_rad)
{
  return (int)tarn_clamp ((angle_rad / TARN_PI + 0.5) * BINS, 0, BINS - 1);
}

static double
bin_angle_rad (int bin)
{
  return ((bin + 0.5) / BINS - 0.5) * TARN_PI;
}

/* Row of voxels: those that are the bladder's urine, moved and seen. */
static void
survey_row (Survey *survey, TarnVec3 from_mm, double pitch_mm, int count)
{
  float x[BLOCK], y[BLOCK], z[BLOCK];
  int kept = 0;
  for (int k = 0; k < count && k < BLOCK; k++)
    {
      TarnVec3 p = { from_mm.x + k * pitch_mm, from_mm.y, from_mm.z };
      if (tarn_body_tissue (survey->body, p) != TARN_TISSUE_URINE)
        continue;
      x[kept] = (float)p.x;
      y[kept] = (float)p.y;
      z[kept++] = (float)p.z;
    }
  for (int k = kept; k < (kept + 7) / 8 * 8; k++)
    x[k] = y[k] = z[k] = 0;
  tarn_deform_forward_many (&survey->view->deform, kept, x, y, z);
  for (int k = 0; k < kept; k++)
    {
      Voxel voxel = voxel_seen (&survey->view->contact, tarn_vec3 (x[k], y[k], z[k]));
      Bin *bin = &survey->bin[bin_of (voxel.fan_rad) * BINS + bin_of (voxel.line_rad)];
      bin->furthest_mm = fmaxf (bin->furthest_mm, voxel.range_mm);
      survey->voxel[survey->voxels++] = voxel;
    }
}

double
tarn_face_coupling (const TarnContact *contact, const TarnProbe *probe, double fan_rad,
                    double line_rad)
{
  double pitch_rad = tarn_face_angle_rad (1) - tarn_face_angle_rad (0), sum = 0;
  int reach = (int)(probe->aperture_mm / 2 / probe->face_radius_mm / pitch_rad), count = 0;
  int row = (int)tarn_clamp ((fan_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS, 0,
                             TARN_FACE_ELEMENTS - 1);
  int column = (int)tarn_clamp ((line_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS, 0,
                                TARN_FACE_ELEMENTS - 1);
  for (int k = column - reach; k <= column + reach; k++)
    if (k >= 0 && k < TARN_FACE_ELEMENTS)
      {
        sum += contact->wet[row][k];
        count++;
      }
  return sum / count * (sum / count);
}

/* Follows the ray of one bin. */
static void
survey_ray (Survey *survey, int fan_bin, int line_bin)
{
  const TarnProbe *probe = &tarn_body_patient (survey->body)->probe;
  Bin *bin = &survey->bin[fan_bin * BINS + line_bin];
  double fan_rad = bin_angle_rad (fan_bin), line_rad = bin_angle_rad (line_bin);
  float x[RAY_STEPS], y[RAY_STEPS], z[RAY_STEPS];
  int steps = (int)tarn_clamp ((bin->furthest_mm - probe->face_radius_mm) / RAY_STEP_MM, 0,
                               RAY_STEPS);

  bin->bone_mm = bin->gas_mm = INFINITY;
  bin->dry = tarn_face_coupling (&survey->view->contact, probe, fan_rad, line_rad)
             < TARN_COUPLED_MIN;
  for (int k = 0; k < (steps + 7) / 8 * 8; k++)
    {
      double range_mm = probe->face_radius_mm + (k + 0.5) * RAY_STEP_MM;
      TarnVec3 p = ray_point (&survey->view->contact, fan_rad, line_rad, range_mm);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&survey->view->deform, steps, x, y, z);
  for (int k = 0; k < steps; k++)
    {
      float range_mm = (float)(probe->face_radius_mm + (k + 0.5) * RAY_STEP_MM);
      TarnTissue tissue = tarn_body_tissue (survey->body, tarn_vec3 (x[k], y[k], z[k]));
      if (tissue == TARN_TISSUE_BONE)
        bin->bone_mm = fminf (bin->bone_mm, range_mm);
      if (tissue == TARN_TISSUE_GAS)
        bin->gas_mm = fminf (bin->gas_mm, range_mm);
    }
}

static bool
outside_field (const TarnView *view, const Voxel *voxel)
{
  const TarnImageGeometry *g = &view->geometry;
  double last_rad = tarn_image_angle_rad (g, g->lines - 1);
  return fabsf (voxel->fan_rad) > view->half_fan_rad || voxel->line_rad < g->first_angle_rad
         || voxel->line_rad > last_rad
         || voxel->range_mm > g->face_radius_mm + tarn_image_depth_limit_mm (g);
}

static void
share_out (const Survey *survey, double voxel_ml, TarnGeometricLoss *loss)
{
  *loss = (TarnGeometricLoss){ 0 };
  for (int k = 0; k < survey->voxels; k++)
    {
      const Voxel *voxel = &survey->voxel[k];
      const Bin *bin = &survey->bin[bin_of (voxel->fan_rad) * BINS + bin_of (voxel->line_rad)];
      bool hidden[TARN_CAUSES] = { [TARN_CAUSE_EDGE] = outside_field (survey->view, voxel),
                                   [TARN_CAUSE_BONE] = bin->bone_mm < voxel->range_mm,
                                   [TARN_CAUSE_GAS] = bin->gas_mm < voxel->range_mm,
                                   [TARN_CAUSE_CONTACT] = bin->dry };
      int causes = 0;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        causes += hidden[cause];
      loss->urine_ml += voxel_ml;
      loss->half_sector_rad = fmax (loss->half_sector_rad, fabs ((double)voxel->line_rad));
      loss->depth_mm
          = fmax (loss->depth_mm, voxel->range_mm - survey->view->geometry.face_radius_mm);
      if (causes == 0)
        loss->seen_ml += voxel_ml;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        if (hidden[cause])
          loss->hidden_ml[cause] += voxel_ml / causes;
    }
}

TarnStatus
tarn_geometric_loss (const TarnBody *body, const TarnView *view, TarnGeometricLoss *loss)
{
  TarnVec3 low, high;
  tarn_body_urine_box (body, &low, &high);
  TarnVec3 size = tarn_sub (high, low);
  double pitch_mm = fmax (size.x, fmax (size.y, size.z)) / VOXELS_ALONG;
  int nx = (int)ceil (size.x / pitch_mm), ny = (int)ceil (size.y / pitch_mm);
  int nz = (int)ceil (size.z / pitch_mm);

  Survey survey = { .body = body, .view = view };
  survey.voxel = calloc ((size_t)nx * (size_t)ny * (size_t)nz + 1, sizeof *survey.voxel);
  survey.bin = calloc (BINS * BINS, sizeof *survey.bin);
  TarnStatus status = survey.voxel == NULL || survey.bin == NULL ? TARN_NO_MEMORY : TARN_OK;
  if (status == TARN_OK)
    {
      for (int k = 0; k < nz; k++)
        for (int j = 0; j < ny; j++)
          survey_row (&survey,
                      tarn_add (low, tarn_vec3 (0.5 * pitch_mm, (j + 0.5) * pitch_mm,
                                                (k + 0.5) * pitch_mm)),
                      pitch_mm, nx);
      for (int bin = 0; bin < BINS * BINS; bin++)
        if (survey.bin[bin].furthest_mm > 0)
          survey_ray (&survey, bin / BINS, bin % BINS);
      share_out (&survey, pitch_mm * pitch_mm * pitch_mm / TARN_MM3_PER_ML, loss);
    }
  free (survey.voxel);
  free (survey.bin);
  return status;
}
