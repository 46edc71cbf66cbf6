/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * border-test.c: the true border in a plane, against a sphere's closed form, VTK's cutter, the
 * pressed volume, points looked up one by one, and the outline of a clean picture. */
#include "base/units.h"
#include "engine/verdict/border.h"
#include "store/stl.h"

#include <glib/gstdio.h>
#include <string.h>

static TarnBody *
body_of (const TarnPatient *patient)
{
  TarnBody *body = NULL;
  TarnProblem problem = { "", "" };
  TarnStatus status = tarn_body_new (patient, 0, &body, &problem);
  g_test_message ("%s %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  return body;
}

static TarnShot
shot_of (const TarnBody *body, TarnPose pose)
{
  TarnShot shot;
  g_assert_cmpint (tarn_contact_solve (body, &pose, NULL, &shot.contact), ==, TARN_OK);
  tarn_deform_init (&shot.deform, body, &shot.contact);
  return shot;
}

/* Every loop has points, lies within the count and is near its plane's urine. */
static TarnBorder
border_of (const TarnBody *body, const TarnShot *shot, double fan_rad)
{
  TarnBorder border;
  memset (&border, 0x55, sizeof border);
  g_assert_cmpint (tarn_border_in_plane (body, shot, fan_rad, &border), ==, TARN_OK);
  g_assert_cmpint (border.loops, >=, 0);
  g_assert_cmpint (border.loops, <=, TARN_BORDER_LOOPS_MAX);
  g_assert_cmpint (border.first[0], ==, 0);
  for (int k = 0; k < border.loops; k++)
    g_assert_cmpint (border.first[k + 1] - border.first[k], >=, 3);
  g_assert_cmpint (border.first[border.loops], <=, TARN_BORDER_POINTS_MAX);
  return border;
}

/* Area and moment of all loops, by the polygon formula. */
static void
measure (const TarnBorder *border, double *area_mm2, double *moment_mm3)
{
  *area_mm2 = *moment_mm3 = 0;
  for (int loop = 0; loop < border->loops; loop++)
    {
      TarnOutlinePoint point[TARN_BORDER_POINTS_MAX];
      int count = 0;
      for (int k = border->first[loop]; k < border->first[loop + 1]; k++)
        point[count++] = (TarnOutlinePoint){ border->u_mm[k], border->v_mm[k], 0 };
      double area, moment;
      tarn_outline_measure (point, count, &area, &moment);
      *area_mm2 += area;
      *moment_mm3 += moment;
    }
}

static TarnPatient
ball (double volume_ml)
{
  TarnPatient patient = tarn_patient_default ();
  double size = 2 * cbrt (volume_ml * TARN_MM3_PER_ML * 3 / (4 * TARN_PI));
  patient.bladder.volume_ml = volume_ml;
  patient.bladder.length_mm = patient.bladder.width_mm = patient.bladder.height_mm = size;
  patient.bladder.pear = patient.bladder.irregular = 0;
  return patient;
}

/* A plane at a distance d from a sphere's middle cuts a circle of π (R² - d²). */
static void
test_sphere (void)
{
  static const double volumes_ml[] = { 15, 120, 250 };
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = ball (volumes_ml[v]);
      TarnBody *body = body_of (&patient);
      double radius = patient.bladder.length_mm / 2;
      TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 40, .turn_rad = 0.4 });
      g_assert_cmpfloat (shot.contact.indentation_mm, ==, 0);
      int met = 0;
      for (int k = -20; k <= 20; k++)
        {
          double fan_rad = 0.05 * k;
          TarnPlaneFrame frame = tarn_plane_frame (&shot.contact, fan_rad);
          TarnVec3 q = tarn_sub (tarn_body_lumen_centre_mm (body), frame.centre_mm);
          double d = tarn_dot (q, tarn_cross (frame.axis, frame.lateral));
          double area = TARN_PI * fmax (0, radius * radius - d * d);
          TarnBorder border = border_of (body, &shot, fan_rad);
          g_assert_cmpfloat_with_epsilon (border.area_mm2, area,
                                          0.004 * area + 5); /* a polygon, inscribed */
          g_assert_cmpint (border.loops, ==, area > 40 ? 1 : area > 0 ? border.loops : 0);
          for (int i = 0; i < border.first[border.loops]; i++)
            {
              double u = (double)border.u_mm[i] - tarn_dot (q, frame.lateral);
              double w = (double)border.v_mm[i] - tarn_dot (q, frame.axis);
              g_assert_cmpfloat_with_epsilon (sqrt (u * u + w * w + d * d), radius, 0.25);
            }
          met += border.loops > 0;
        }
      g_assert_cmpint (met, >=, 6);
      tarn_body_free (body);
    }
}

/* The lumen's own mesh, pressed. */
static TarnMesh
pressed_mesh (const TarnBody *body, const TarnShot *shot)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_copy (&mesh, tarn_body_lumen_mesh (body)), ==, 1);
  for (int k = 0; k < mesh.vertices; k++)
    mesh.vertex_mm[k] = tarn_deform_forward (&shot->deform, mesh.vertex_mm[k]);
  return mesh;
}

static char *
run_vtk (const char *stl, const char *planes)
{
  g_autofree char *script = g_test_build_filename (G_TEST_DIST, "oracle", "section.py", NULL);
  g_autofree char *input = g_strconcat (stl, ".planes", NULL);
  g_assert_true (g_file_set_contents (input, planes, -1, NULL));
  g_autofree char *command
      = g_strdup_printf ("exec /usr/bin/python3 \"$0\" \"$1\" < \"$1.planes\"");
  const char *argv[] = { "/bin/sh", "-c", command, script, stl, NULL };
  g_autoptr (GError) error = NULL;
  char *output = NULL;
  g_autofree char *problems = NULL;
  int status = 0;
  g_spawn_sync (NULL, (char **)argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, &output, &problems,
                &status, &error);
  g_assert_no_error (error);
  if (status != 0)
    g_test_message ("%s", problems);
  g_assert_cmpint (status, ==, 0);
  g_remove (input);
  return output;
}

/* A pear with lumps, pressed hard and askew. */
static void
test_vtk_cutter (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.bladder.pear = 0.8;
  patient.bladder.irregular = 0.8;
  TarnBody *body = body_of (&patient);
  TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 45,
                                             .left_mm = 15,
                                             .tilt_rad = 0.3,
                                             .lean_rad = -0.2,
                                             .turn_rad = 0.7,
                                             .force_n = 25 });
  g_assert_cmpfloat (shot.contact.indentation_mm, >, 10);

  g_autofree char *folder = g_dir_make_tmp ("tarn-border-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "pressed.stl", NULL);
  TarnMesh mesh = pressed_mesh (body, &shot);
  TarnStlBody stl = { "pressed", &mesh };
  g_autoptr (GError) error = NULL;
  tarn_stl_save (path, TARN_STL_BINARY, &stl, 1, &error);
  g_assert_no_error (error);

  g_autoptr (GString) planes = g_string_new (NULL);
  double ours[17];
  for (int k = 0; k < 17; k++)
    {
      double fan_rad = 0.07 * (k - 8);
      TarnPlaneFrame f = tarn_plane_frame (&shot.contact, fan_rad);
      TarnVec3 n = tarn_cross (f.axis, f.lateral);
      g_string_append_printf (planes, "%.9f %.9f %.9f %.9f %.9f %.9f\n", f.centre_mm.x,
                              f.centre_mm.y, f.centre_mm.z, n.x, n.y, n.z);
      ours[k] = border_of (body, &shot, fan_rad).area_mm2;
    }
  g_autofree char *output = run_vtk (path, planes->str);
  g_auto (GStrv) line = g_strsplit (g_strstrip (output), "\n", -1);
  g_assert_cmpint ((int)g_strv_length (line), ==, 17);
  int large = 0;
  for (int k = 0; k < 17; k++)
    {
      char *rest = NULL;
      double length = g_ascii_strtod (line[k], &rest), area = g_ascii_strtod (rest, NULL);
      g_test_message ("%.1f mm around, %.1f mm2 by VTK, %.1f by us", length, area, ours[k]);
      g_assert_cmpfloat_with_epsilon (ours[k], area, 0.1 * length + 1); /* 0.1 mm all round */
      large += area > 1000;
    }
  g_assert_cmpint (large, >=, 8);
  g_remove (path);
  g_rmdir (folder);
  tarn_mesh_clear (&mesh);
  tarn_body_free (body);
}

/* Pappus over a fine fan makes the volume that VTK-checked meshes have. */
static void
test_pappus (void)
{
  static const double volumes_ml[] = { 40, 300, 600 };
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = tarn_patient_default ();
      patient.bladder.volume_ml = volumes_ml[v];
      patient.bladder.length_mm = patient.bladder.width_mm = patient.bladder.height_mm = 0;
      double size = 2 * cbrt (volumes_ml[v] * TARN_MM3_PER_ML * 3 / (4 * TARN_PI));
      patient.bladder.length_mm = size * 1.1;
      patient.bladder.width_mm = size * 1.05;
      patient.bladder.height_mm = size / 1.155;
      TarnBody *body = body_of (&patient);
      TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 50, .force_n = 12 });
      TarnMesh mesh = pressed_mesh (body, &shot);
      double pressed_ml = tarn_mesh_volume_mm3 (&mesh) / TARN_MM3_PER_ML, sum = 0;
      const double step = 0.02;
      for (double fan_rad = -1.4; fan_rad < 1.4; fan_rad += step)
        {
          TarnBorder border = border_of (body, &shot, fan_rad);
          double area, moment;
          measure (&border, &area, &moment);
          g_assert_cmpfloat_with_epsilon (area, border.area_mm2, 0.001 * area + 0.1);
          sum += moment * step;
        }
      g_test_message ("%.2f mL by Pappus, %.2f pressed", sum / TARN_MM3_PER_ML, pressed_ml);
      g_assert_cmpfloat_with_epsilon (sum / TARN_MM3_PER_ML, pressed_ml, 0.005 * pressed_ml);
      tarn_mesh_clear (&mesh);
      tarn_body_free (body);
    }
}

/* By looking up tissue at points of the plane. */
static double
counted_mm2 (const TarnBody *body, const TarnShot *shot, double fan_rad)
{
  const double pitch = 0.8;
  TarnPlaneFrame frame = tarn_plane_frame (&shot->contact, fan_rad);
  double sum = 0;
  for (double u = -110; u < 110; u += pitch)
    {
      float x[256], y[256], z[256];
      for (int k = 0; k < 256; k++)
        {
          TarnVec3 p = tarn_add_scaled (frame.centre_mm, frame.lateral, u);
          p = tarn_add_scaled (p, frame.axis, 15 + k * pitch);
          x[k] = (float)p.x;
          y[k] = (float)p.y;
          z[k] = (float)p.z;
        }
      tarn_deform_inverse_many (&shot->deform, 256, x, y, z);
      for (int k = 0; k < 256; k++)
        sum += tarn_body_tissue (body, tarn_vec3 ((double)x[k], (double)y[k], (double)z[k]))
               == TARN_TISSUE_URINE;
    }
  return sum * pitch * pitch;
}

/* A pouch that counts is part of the border, joined by its neck or apart; one that does not
 * count is none. */
static void
test_diverticulum (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_DIVERTICULUM,
                                          .centre_mm = { 75, 60, 60 },
                                          .radii_mm = { 22, 20, 24 },
                                          .turn_deg = { 20, 10, 30 },
                                          .counts = true };
  int apart = 0;
  for (int counts = 1; counts >= 0; counts--)
    {
      patient.structure[0].counts = counts;
      TarnBody *body = body_of (&patient);
      TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 50, .force_n = 8 });
      for (int k = -6; k <= 6; k++)
        {
          TarnBorder border = border_of (body, &shot, 0.1 * k);
          double counted = counted_mm2 (body, &shot, 0.1 * k);
          apart += border.loops > 1;
          g_assert_cmpint (border.loops, <=, counts ? 2 : 1);
          if (counts)
            g_assert_cmpfloat_with_epsilon (border.area_mm2, counted, 0.01 * counted + 5);
          else
            g_assert_cmpfloat (border.area_mm2, <=, 1.01 * counted + 5);
        }
      tarn_body_free (body);
    }
  g_assert_cmpint (apart, >=, 1);
}

/* Of a clean sweep: planes near its middle, where the border stands steep. */
static void
test_outline_of_a_clean_sweep (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  TarnPose pose = { .above_mm = 50, .tilt_rad = 0.09, .force_n = 5 };
  for (int moving = 0; moving <= 1; moving++)
    {
      TarnSweepSetup setup = tarn_sweep_setup (body, &pose);
      setup.planes = 18;
      if (moving)
        {
          setup.motion.tremor_mm = 3;
          setup.motion.seed = 4;
        }
      g_autofree TarnSweep *sweep = g_new (TarnSweep, 1);
      g_assert_cmpint (tarn_sweep_run (&setup, false, sweep), ==, TARN_OK);
      int compared = 0;
      double sum = 0;
      for (int k = 0; k < sweep->planes; k++)
        {
          const TarnOutline *outline = &sweep->plane[k].outline;
          TarnBorder border;
          g_assert_cmpint (tarn_border_of_sweep (body, sweep, k, &border), ==, TARN_OK);
          if (!outline->found || border.area_mm2 < 2000)
            continue;
          double share = outline->area_mm2 / border.area_mm2 - 1;
          g_test_message ("plane %d: outlined %.0f mm2, true %.0f, %+.1f %%", k,
                          outline->area_mm2, border.area_mm2, 100 * share);
          g_assert_cmpfloat (fabs (share), <, 0.12);
          sum += fabs (share);
          compared++;
        }
      g_assert_cmpint (compared, >=, 8);
      g_assert_cmpfloat (sum / compared, <, 0.05);
      tarn_sweep_clear (sweep);
    }
  tarn_body_free (body);
}

static void
test_empty_and_out_of_the_way (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 180, .force_n = 5 });
  TarnBorder border = border_of (body, &shot, 0.9);
  g_assert_cmpint (border.loops, ==, 0);
  g_assert_cmpfloat (border.area_mm2, ==, 0);
  tarn_body_free (body);

  patient.bladder.volume_ml = 0;
  body = body_of (&patient);
  shot = shot_of (body, (TarnPose){ .above_mm = 40, .force_n = 5 });
  border = border_of (body, &shot, 0);
  g_assert_cmpint (border.loops, ==, 0);
  tarn_body_free (body);
}

/* The largest bladder has room, at whatever coarseness. */
static void
test_room (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.torso_width_mm = 310;
  patient.habitus.torso_depth_mm = 205;
  patient.bladder.volume_ml = 1700;
  patient.bladder.length_mm = 190;
  patient.bladder.width_mm = 190;
  patient.bladder.height_mm = 90;
  TarnBody *body = body_of (&patient);
  TarnShot shot = shot_of (body, (TarnPose){ .above_mm = 60, .turn_rad = 1.57, .force_n = 5 });
  TarnBorder border = border_of (body, &shot, 0);
  double counted = counted_mm2 (body, &shot, 0);
  g_test_message ("%d points, %.0f mm2, counted %.0f", border.first[border.loops],
                  border.area_mm2, counted);
  g_assert_cmpfloat (border.area_mm2, >=, 0.99 * counted); /* the count has a frame */
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/border/sphere", test_sphere);
  g_test_add_func ("/border/vtk-cutter", test_vtk_cutter);
  g_test_add_func ("/border/pappus", test_pappus);
  g_test_add_func ("/border/diverticulum", test_diverticulum);
  g_test_add_func ("/border/outline", test_outline_of_a_clean_sweep);
  g_test_add_func ("/border/empty", test_empty_and_out_of_the_way);
  g_test_add_func ("/border/room", test_room);
  return g_test_run ();
}
