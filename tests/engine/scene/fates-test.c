/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fates-test.c: the bladder by fate, against rays followed one by one for each small cube of
 * urine, and against the losses that the verdict uses. */
#include "base/units.h"
#include "engine/scene/fates.h"

#include <glib.h>
#include <string.h>

typedef enum
{
  PLAIN,
  GASSY,
  POUCH,
  CYST
} Kind;

typedef struct
{
  const char *name;
  Kind kind;
  double volume_ml;
  TarnPose pose;
  double gel_g;    /* below 0: wet all over */
  unsigned acting; /* fates that must have at least 2 mL */
} Case;

#define BIT(fate) (1u << TARN_FATE_##fate)

static const Case cases[] = {
  { "all seen", PLAIN, 150, { .above_mm = 45, .tilt_rad = 0.09, .force_n = 5 }, -1, 0 },
  { "edge and bone",
    PLAIN,
    300,
    { .above_mm = 20, .tilt_rad = 0.26, .force_n = 5 },
    -1,
    BIT (EDGE) | BIT (BONE) },
  { "bone",
    PLAIN,
    150,
    { .above_mm = 10, .tilt_rad = -0.17, .turn_rad = 1.57, .force_n = 5 },
    20,
    BIT (BONE) },
  { "gas", GASSY, 260, { .above_mm = 110, .tilt_rad = 0.52, .force_n = 5 }, 20, BIT (GAS) },
  { "gas and dry",
    GASSY,
    300,
    { .above_mm = 105, .tilt_rad = 0.52, .force_n = 5 },
    2,
    BIT (GAS) | BIT (CONTACT) },
  { "dry",
    PLAIN,
    300,
    { .above_mm = 70, .left_mm = -20, .tilt_rad = 0.52, .force_n = 1 },
    2,
    BIT (CONTACT) },
  { "pouch", POUCH, 300, { .above_mm = 45, .tilt_rad = 0.09, .force_n = 5 }, -1, 0 },
};

typedef struct
{
  const Case *of;
  TarnBody *body;
  TarnFatesView view;
  TarnFatesScene *scene;
} Bed;

static TarnBody *
body_of (const Case *one)
{
  TarnPatient patient = tarn_patient_default ();
  double size = one->volume_ml > 0 ? cbrt (one->volume_ml / patient.bladder.volume_ml) : 1;
  patient.bladder.volume_ml = one->volume_ml;
  patient.bladder.length_mm *= size;
  patient.bladder.width_mm *= size;
  patient.bladder.height_mm *= size;
  if (one->kind == GASSY)
    patient.structure[patient.structures++] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                                               .centre_mm = { 8, 25, 92 },
                                                               .radii_mm = { 34, 9, 11 } };
  if (one->kind == POUCH)
    patient.structure[patient.structures++]
        = (TarnStructure){ .kind = TARN_STRUCTURE_DIVERTICULUM,
                           .centre_mm = { 75, 60, 60 },
                           .radii_mm = { 22, 20, 24 },
                           .counts = true };
  if (one->kind == CYST)
    patient.structure[patient.structures++] = (TarnStructure){ .kind = TARN_STRUCTURE_CYST,
                                                               .centre_mm = { 0, 60, 150 },
                                                               .radii_mm = { 24, 20, 28 } };
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static void
bed_init (Bed *bed, const Case *one)
{
  *bed = (Bed){ .of = one, .body = body_of (one), .scene = tarn_fates_scene_new () };
  g_assert_nonnull (bed->scene);
  memset (&bed->view, 0, sizeof bed->view);
  bed->view.body = bed->body;
  bed->view.skin = bed->view.bones = bed->view.fan = true;
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  if (one->gel_g >= 0)
    g_assert_cmpint (tarn_gel_dose (film, one->pose.above_mm, one->pose.left_mm, one->gel_g),
                     ==, TARN_OK);
  g_assert_cmpint (
      tarn_view_init (&bed->view.view, bed->body, &one->pose, one->gel_g >= 0 ? film : NULL, 0),
      ==, TARN_OK);
  g_assert_cmpint (tarn_fates_scene_update (bed->scene, &bed->view), ==, TARN_OK);
}

static void
bed_clear (Bed *bed)
{
  tarn_fates_scene_free (bed->scene);
  tarn_body_free (bed->body);
}

/* The slow way: every cube's own ray, in steps of 1 mm. */

static bool
is_dry (const TarnView *view, const TarnProbe *probe, double fan_rad, double line_rad)
{
  double pitch_rad = tarn_face_angle_rad (1) - tarn_face_angle_rad (0), sum = 0;
  int reach = (int)(probe->aperture_mm / 2 / probe->face_radius_mm / pitch_rad), count = 0;
  int row = 0, column = 0;
  while (row < TARN_FACE_ELEMENTS - 1 && tarn_face_angle_rad (row + 0.5) < fan_rad)
    row++;
  while (column < TARN_FACE_ELEMENTS - 1 && tarn_face_angle_rad (column + 0.5) < line_rad)
    column++;
  for (int k = MAX (column - reach, 0); k <= MIN (column + reach, TARN_FACE_ELEMENTS - 1); k++)
    {
      sum += (double)view->contact.wet[row][k];
      count++;
    }
  return sum / count * (sum / count) < 0.5;
}

static unsigned
hidden_by (const TarnBody *body, const TarnView *view, TarnVec3 at_rest)
{
  enum
  {
    STEPS = 320
  };
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  const TarnContact *contact = &view->contact;
  TarnVec3 q = tarn_sub (tarn_deform_forward (&view->deform, at_rest), contact->centre_mm);
  double a = tarn_dot (q, contact->axis), e = tarn_dot (q, contact->elevation);
  double fan_rad = atan2 (e, a), range = tarn_length (q);
  double line_rad = asin (tarn_dot (q, contact->lateral) / range);
  unsigned hidden = 0;
  if (fabs (fan_rad) > tarn_rad_from_deg (probe->fan_deg) / 2
      || fabs (line_rad) > -view->geometry.first_angle_rad
      || range > probe->face_radius_mm + tarn_image_depth_limit_mm (&view->geometry))
    hidden |= BIT (EDGE);
  if (is_dry (view, probe, fan_rad, line_rad))
    hidden |= BIT (CONTACT);

  float x[STEPS], y[STEPS], z[STEPS];
  int steps = (int)CLAMP (range - probe->face_radius_mm, 0, STEPS - 8);
  for (int k = 0; k < (steps + 7) / 8 * 8; k++)
    {
      TarnVec3 p
          = tarn_add_scaled (contact->centre_mm, q, (probe->face_radius_mm + k + 0.5) / range);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&view->deform, steps, x, y, z);
  for (int k = 0; k < steps; k++)
    {
      TarnTissue tissue
          = tarn_body_tissue (body, tarn_vec3 ((double)x[k], (double)y[k], (double)z[k]));
      hidden |= tissue == TARN_TISSUE_BONE ? BIT (BONE) : 0;
      hidden |= tissue == TARN_TISSUE_GAS ? BIT (GAS) : 0;
    }
  return hidden;
}

static void
slow_volumes (const TarnBody *body, const TarnView *view, double ml[TARN_FATES])
{
  double pitch = g_getenv ("TARN_TEST_QUICK") != NULL ? 7 : 3.5, all = 0;
  TarnVec3 low, high;
  tarn_mesh_bounds (tarn_body_lumen_mesh (body), &low, &high);
  memset (ml, 0, TARN_FATES * sizeof *ml);
  for (double z = low.z + pitch / 2; z < high.z; z += pitch)
    for (double y = low.y + pitch / 2; y < high.y; y += pitch)
      for (double x = low.x + pitch / 2; x < high.x; x += pitch)
        {
          TarnVec3 p = { x, y, z };
          if (tarn_body_tissue (body, p) != TARN_TISSUE_URINE)
            continue;
          unsigned hidden = hidden_by (body, view, p);
          int causes = __builtin_popcount (hidden);
          all++;
          ml[TARN_FATE_CAPTURED] += causes == 0;
          for (int fate = TARN_FATE_EDGE; fate < TARN_FATES; fate++)
            if (hidden >> fate & 1)
              ml[fate] += 1.0 / causes;
        }
  for (int fate = 0; fate < TARN_FATES; fate++)
    ml[fate] *= tarn_body_true_volume_ml (body) / all;
}

static void
test_volumes (void)
{
  for (gsize c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      Bed bed;
      bed_init (&bed, &cases[c]);
      double ml[TARN_FATES_PARTS], slow[TARN_FATES], sum = 0;
      double urine_ml = tarn_body_true_volume_ml (bed.body);
      tarn_fates_scene_volumes (bed.scene, ml);
      slow_volumes (bed.body, &bed.view.view, slow);
      TarnGeometricLoss loss;
      g_assert_cmpint (tarn_geometric_loss (bed.body, &bed.view.view, &loss), ==, TARN_OK);
      const double by_rays[TARN_FATES]
          = { loss.seen_ml, loss.hidden_ml[TARN_CAUSE_EDGE], loss.hidden_ml[TARN_CAUSE_BONE],
              loss.hidden_ml[TARN_CAUSE_GAS], loss.hidden_ml[TARN_CAUSE_CONTACT] };
      for (int fate = 0; fate < TARN_FATES; fate++)
        {
          g_test_message ("%s, fate %d: %.1f mL; ray by ray %.1f, as the verdict has it %.1f",
                          cases[c].name, fate, ml[fate], slow[fate], by_rays[fate]);
          sum += ml[fate];
          if (cases[c].acting >> fate & 1)
            g_assert_cmpfloat (ml[fate], >, 2);
          if (cases[c].kind == POUCH)
            continue; /* neither of the others looks at all of the pouch */
          double coarse = g_getenv ("TARN_TEST_QUICK") != NULL ? 0.03 : 0.02;
          g_assert_cmpfloat_with_epsilon (ml[fate], slow[fate], coarse * urine_ml);
          /* The verdict looks at the middles of bins 2.8° wide. */
          g_assert_cmpfloat_with_epsilon (ml[fate], by_rays[fate], 0.045 * urine_ml);
          if (by_rays[fate] == 0 && slow[fate] == 0)
            g_assert_cmpfloat (ml[fate], ==, 0);
        }
      g_assert_cmpfloat_with_epsilon (sum, urine_ml, 1e-6);
      bed_clear (&bed);
    }
}

/* Indices within bounds, parts one after another over all of them, unit normals, and no more
 * than can be turned at ease. */
static void
check_mesh (const TarnSceneMesh *mesh)
{
  int at = 0;
  g_assert_cmpint (mesh->indices % 3, ==, 0);
  g_assert_cmpint (mesh->indices / 3, <=, 25000);
  for (int k = 0; k < mesh->parts; k++)
    {
      g_assert_cmpint (mesh->part[k].first, ==, at);
      g_assert_cmpint (mesh->part[k].count, >, 0);
      at += mesh->part[k].count;
    }
  g_assert_cmpint (at, ==, mesh->indices);
  for (int k = 0; k < mesh->indices; k++)
    g_assert_cmpuint (mesh->index[k], <, (guint)mesh->vertices);
  for (int k = 0; k < mesh->vertices; k++)
    {
      const float *n = mesh->vertex[k].normal;
      double length2 = (double)(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
      g_assert_cmpfloat_with_epsilon (length2, 1, 1e-3);
      for (int j = 0; j < 3; j++)
        g_assert_true (isfinite (mesh->vertex[k].position_mm[j]));
    }
}

static const TarnScenePart *
bladder_part (const TarnSceneMesh *mesh)
{
  for (int k = 0; k < mesh->parts; k++)
    if (mesh->part[k].material == TARN_MATERIAL_BLADDER)
      return &mesh->part[k];
  return NULL;
}

static TarnVec3
position (const TarnSceneMesh *mesh, int index)
{
  const float *p = mesh->vertex[mesh->index[index]].position_mm;
  return tarn_vec3 ((double)p[0], (double)p[1], (double)p[2]);
}

static bool
is_colour (const TarnSceneMesh *mesh, int index, guint rgb)
{
  const uint8_t *c = mesh->vertex[mesh->index[index]].colour;
  return c[0] == (rgb >> 16 & 255) && c[1] == (rgb >> 8 & 255) && c[2] == (rgb & 255);
}

/* A closed surface has no net area: Σ n dA = 0.  Plates and the lines between fates are none
 * of it, and are told by their colours; where there are none the sum is the surface's. */
static void
test_surface_is_closed (void)
{
  static const Case striped
      = { "striped", PLAIN,
          300,       { .above_mm = 50, .left_mm = 60, .lean_rad = -0.6, .force_n = 5 },
          -1,        BIT (EDGE) };
  const Case *of[] = { &cases[0], &striped };
  for (int c = 0; c < 2; c++)
    {
      Bed bed;
      bed_init (&bed, of[c]);
      TarnSceneMesh mesh = tarn_fates_scene_mesh (bed.scene);
      const TarnScenePart *part = bladder_part (&mesh);
      g_assert_nonnull (part);
      TarnVec3 net = { 0, 0, 0 };
      double area = 0, volume = 0;
      for (int k = part->first; k < part->first + part->count; k += 3)
        {
          if (is_colour (&mesh, k, 0x181618))
            continue;
          TarnVec3 a = position (&mesh, k), b = position (&mesh, k + 1),
                   d = position (&mesh, k + 2);
          TarnVec3 n = tarn_cross (tarn_sub (b, a), tarn_sub (d, a));
          net = tarn_add (net, n);
          area += tarn_length (n);
          volume += tarn_dot (a, tarn_cross (b, d)) / 6 / TARN_MM3_PER_ML;
        }
      g_test_message ("%s: %.2f mL within, net area %.5f of all", of[c]->name, volume,
                      tarn_length (net) / area);
      g_assert_cmpfloat (tarn_length (net) / area, <, 0.001);
      g_assert_cmpfloat_with_epsilon (volume, of[c]->volume_ml, 0.01 * of[c]->volume_ml);
      bed_clear (&bed);
    }
}

/* What is painted as captured is captured, by area, and so are the others; a share near
 * the borders may differ. */
static void
test_colours_follow_fates (void)
{
  static const guint base[TARN_FATES] = { 0x56b4e9, 0xd55e00, 0xcc79a7, 0xcc79a7, 0x0072b2 };
  for (gsize c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      Bed bed;
      bed_init (&bed, &cases[c]);
      TarnSceneMesh mesh = tarn_fates_scene_mesh (bed.scene);
      check_mesh (&mesh);
      const TarnScenePart *part = bladder_part (&mesh);
      double looked = 0, right = 0;
      bool there[TARN_FATES] = { false };
      for (int k = part->first; k < part->first + part->count; k += 3)
        for (int fate = 0; fate < TARN_FATES; fate++)
          {
            if (!is_colour (&mesh, k, base[fate]))
              continue;
            there[fate] = true;
            if (k % 30 != 0 || cases[c].kind == POUCH)
              continue;
            TarnVec3 p
                = tarn_scale (tarn_add (tarn_add (position (&mesh, k), position (&mesh, k + 1)),
                                        position (&mesh, k + 2)),
                              1.0 / 3);
            const float *n = mesh.vertex[mesh.index[k]].normal;
            p = tarn_add_scaled (p, tarn_vec3 ((double)n[0], (double)n[1], (double)n[2]), -1);
            unsigned hidden = hidden_by (bed.body, &bed.view.view,
                                         tarn_deform_inverse (&bed.view.view.deform, p));
            bool shadow = fate == TARN_FATE_BONE || fate == TARN_FATE_GAS;
            double area = tarn_length (
                tarn_cross (tarn_sub (position (&mesh, k + 1), position (&mesh, k)),
                            tarn_sub (position (&mesh, k + 2), position (&mesh, k))));
            bool agrees = fate == TARN_FATE_CAPTURED ? hidden == 0
                          : shadow                   ? (hidden & (BIT (BONE) | BIT (GAS))) != 0
                                                     : (hidden >> fate & 1);
            looked += area;
            right += agrees ? area : 0;
            if (shadow)
              fate++;
          }
      g_test_message ("%s: %.3f as followed one by one", cases[c].name, right / looked);
      g_assert_cmpfloat (right, >=, 0.975 * looked);
      for (int fate = 0; fate < TARN_FATES; fate++)
        if (cases[c].acting >> fate & 1)
          g_assert_true (there[fate]);
      bed_clear (&bed);
    }
}

/* A fate that is left out takes its colour with it, and nothing else changes but that one can
 * look in; the same asked twice is the same. */
static void
test_left_out_and_again (void)
{
  Bed bed;
  bed_init (&bed, &cases[1]);
  TarnSceneMesh mesh = tarn_fates_scene_mesh (bed.scene);
  gsize bytes = (gsize)mesh.vertices * sizeof *mesh.vertex;
  g_autofree TarnSceneVertex *before = g_memdup2 (mesh.vertex, bytes);
  int vertices = mesh.vertices;

  bed.view.hidden = BIT (CAPTURED);
  bed.view.skin = bed.view.bones = bed.view.fan = false;
  g_assert_cmpint (tarn_fates_scene_update (bed.scene, &bed.view), ==, TARN_OK);
  mesh = tarn_fates_scene_mesh (bed.scene);
  check_mesh (&mesh);
  for (int k = 0; k < mesh.parts; k++)
    g_assert_true (mesh.part[k].material == TARN_MATERIAL_BLADDER
                   || mesh.part[k].material == TARN_MATERIAL_PROBE
                   || mesh.part[k].material == TARN_MATERIAL_RIDGE);
  for (int k = 0; k < mesh.indices; k++)
    g_assert_false (is_colour (&mesh, k, 0x56b4e9));

  bed.view.hidden = 0;
  bed.view.skin = bed.view.bones = bed.view.fan = true;
  g_assert_cmpint (tarn_fates_scene_update (bed.scene, &bed.view), ==, TARN_OK);
  mesh = tarn_fates_scene_mesh (bed.scene);
  g_assert_cmpint (mesh.vertices, ==, vertices);
  g_assert_cmpmem (mesh.vertex, bytes, before, bytes);
  bed_clear (&bed);

  bed_init (&bed, &cases[1]);
  mesh = tarn_fates_scene_mesh (bed.scene);
  g_assert_cmpint (mesh.vertices, ==, vertices);
  g_assert_cmpmem (mesh.vertex, bytes, before, bytes);
  bed_clear (&bed);
}

/* No lumen: nothing of it, and no urine to share out. */
static void
test_empty (void)
{
  static const Case none = { "none", PLAIN, 0, { .above_mm = 40, .force_n = 5 }, -1, 0 };
  Bed bed;
  bed_init (&bed, &none);
  TarnSceneMesh mesh = tarn_fates_scene_mesh (bed.scene);
  check_mesh (&mesh);
  double ml[TARN_FATES_PARTS];
  tarn_fates_scene_volumes (bed.scene, ml);
  for (int part = 0; part < TARN_FATES_PARTS; part++)
    g_assert_cmpfloat (ml[part], ==, 0);
  bed_clear (&bed);
}

static int
fluid_indices (const TarnSceneMesh *mesh)
{
  int count = 0;
  for (int k = 0; k < mesh->parts; k++)
    if (mesh->part[k].material == TARN_MATERIAL_FLUID)
      count += mesh->part[k].count;
  return count;
}

/* A cyst of half axes 24, 20 and 28 mm holds 4/3 π a b c (handbook), whether it is shown or
 * not, and is none of the bladder's urine. */
static void
test_other_fluid (void)
{
  static const Case with_cyst
      = { "cyst", CYST, 150, { .above_mm = 45, .tilt_rad = 0.09, .force_n = 5 }, -1, 0 };
  Bed bed;
  bed_init (&bed, &with_cyst);
  TarnSceneMesh mesh = tarn_fates_scene_mesh (bed.scene);
  double ml[TARN_FATES_PARTS], urine_ml = 0;
  check_mesh (&mesh);
  tarn_fates_scene_volumes (bed.scene, ml);
  double expected_ml = 4.0 / 3 * G_PI * 24 * 20 * 28 / 1000;
  g_assert_cmpfloat_with_epsilon (ml[TARN_FATES_OTHER_FLUID], expected_ml, 0.01 * expected_ml);
  for (int fate = 0; fate < TARN_FATES; fate++)
    urine_ml += ml[fate];
  g_assert_cmpfloat_with_epsilon (urine_ml, tarn_body_true_volume_ml (bed.body), 1e-6);
  g_assert_cmpint (fluid_indices (&mesh), >, 0);
  bed.view.hidden = 1u << TARN_FATES_OTHER_FLUID;
  g_assert_cmpint (tarn_fates_scene_update (bed.scene, &bed.view), ==, TARN_OK);
  mesh = tarn_fates_scene_mesh (bed.scene);
  g_assert_cmpint (fluid_indices (&mesh), ==, 0);
  tarn_fates_scene_volumes (bed.scene, ml);
  g_assert_cmpfloat_with_epsilon (ml[TARN_FATES_OTHER_FLUID], expected_ml, 0.01 * expected_ml);
  bed_clear (&bed);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fates/volumes", test_volumes);
  g_test_add_func ("/fates/closed", test_surface_is_closed);
  g_test_add_func ("/fates/colours", test_colours_follow_fates);
  g_test_add_func ("/fates/left-out", test_left_out_and_again);
  g_test_add_func ("/fates/empty", test_empty);
  g_test_add_func ("/fates/other-fluid", test_other_fluid);
  return g_test_run ();
}
