/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * volume-test.c: true volumes against the slow, obvious way: counting small cubes of urine. */
#include "base/units.h"
#include "engine/body/body.h"

#include <glib.h>

/* The side of a cube; one look in its middle. */
#define STEP_MM 0.8

static double
counted_ml (const TarnBody *body, TarnVec3 low, TarnVec3 high)
{
  gsize urine = 0;
  for (double z = low.z; z < high.z; z += STEP_MM)
    for (double y = low.y; y < high.y; y += STEP_MM)
      for (double x = low.x; x < high.x; x += STEP_MM)
        urine += tarn_body_tissue (body, tarn_vec3 (x, y, z)) == TARN_TISSUE_URINE;
  return (double)urine * STEP_MM * STEP_MM * STEP_MM / TARN_MM3_PER_ML;
}

static void
compare (const TarnPatient *patient)
{
  TarnBody *body;
  TarnProblem problem = { "", "" };
  TarnStatus status = tarn_body_new (patient, 0, &body, &problem);
  g_test_message ("%s %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  TarnVec3 low, high, margin = { 60, 20, 20 };
  tarn_mesh_bounds (tarn_body_lumen_mesh (body), &low, &high);
  double counted = counted_ml (body, tarn_sub (low, margin), tarn_add (high, margin));
  double said = tarn_body_true_volume_ml (body);
  g_test_message ("%.3f mL counted, %.3f said", counted, said);
  g_assert_cmpfloat_with_epsilon (counted, said, 0.0015 * said);
  tarn_body_free (body);
}

static void
test_shapes (void)
{
  static const double pear[] = { 0, 1, 0.4 }, irregular[] = { 0, 0.5, 1 };
  for (int k = 0; k < 3; k++)
    {
      TarnPatient patient = tarn_patient_default ();
      patient.seed = 40 + (guint64)k;
      patient.bladder.volume_ml = 150 + 100 * k;
      patient.bladder.pear = pear[k];
      patient.bladder.irregular = irregular[k];
      compare (&patient);
    }
}

static void
test_clot_and_diverticulum (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structures = 2;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_CLOT,
                                          .centre_mm = { 0, 48, 25 },
                                          .radii_mm = { 22, 14, 18 } };
  patient.structure[1] = (TarnStructure){ .kind = TARN_STRUCTURE_DIVERTICULUM,
                                          .centre_mm = { 75, 60, 60 },
                                          .radii_mm = { 22, 20, 24 },
                                          .turn_deg = { 20, 10, 30 },
                                          .counts = true };
  compare (&patient);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/volume-by-cubes/shapes", test_shapes);
  g_test_add_func ("/volume-by-cubes/clot-and-diverticulum", test_clot_and_diverticulum);
  return g_test_run ();
}
