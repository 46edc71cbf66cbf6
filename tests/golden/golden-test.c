/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Frozen results: the same bytes on every machine, at any optimisation, on any thread count,
 * with either kernel.  They say that something changed, never that it is right: what is right
 * the oracles and properties say.
 *
 * The file golden.ini beside this one holds them.  After a change that is meant to change
 * results, renew it:
 *
 *     TARN_GOLDEN_RENEW=1 meson test -C build golden
 *
 * Such a run writes the file anew, and fails if a value was another one before, so that nothing
 * is renewed unseen; the next run passes.  Look at `git diff` before you commit. */
#include "base/parallel.h"
#include "base/units.h"
#include "engine/measure/sweep.h"
#include "store/patient_file.h"

#include <glib.h>
#include <string.h>

#define PLANES 16 /* of a sweep: enough for the chain of outlines */

typedef struct
{
  const char *name, *file;
  TarnPose pose;
  double fan_rad;
} Case;

static const Case cases[] = {
  { "plain-adult",
    "01-plain-adult.anatomy",
    { .above_mm = 40, .tilt_rad = 0.1, .force_n = 5 },
    0 },
  { "slim-young-adult",
    "03-slim-young-adult.anatomy",
    { .above_mm = 25, .left_mm = 4, .tilt_rad = 0.2, .turn_rad = 1.5, .force_n = 3 },
    0.1 },
  { "scar-and-gas",
    "22-scar-and-gas.anatomy",
    { .above_mm = 45, .tilt_rad = 0.15, .lean_rad = 0.05, .force_n = 8 },
    -0.2 },
};

static GKeyFile *golden;
static GKeyFile *fresh; /* when renewing: what this run has found */
static gboolean changed;

static TarnBody *
load_body (const Case *one)
{
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), one->file, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&file->patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

/* Compares with the file; when renewing, with what this run has found before. */
static void
check (const char *group, const char *key, const char *value)
{
  g_autofree char *before = g_key_file_get_string (golden, group, key, NULL);
  if (fresh == NULL || g_key_file_has_key (fresh, group, key, NULL))
    {
      g_assert_cmpstr (value, ==, before);
      return;
    }
  g_key_file_set_string (fresh, group, key, value);
  if (g_strcmp0 (before, value) == 0)
    return;
  g_test_message ("[%s] %s becomes %s, was %s", group, key, value,
                  before != NULL ? before : "not there");
  g_key_file_set_string (golden, group, key, value);
  changed = TRUE;
}

static void
test_plane (gconstpointer data)
{
  const Case *one = data;
  TarnBody *body = load_body (one);
  TarnContact contact;
  TarnDeform deform;
  g_assert_cmpint (tarn_contact_solve (body, &one->pose, NULL, &contact), ==, TARN_OK);
  tarn_deform_init (&deform, body, &contact);
  TarnPlaneSetup setup = {
    .body = body,
    .deform = &deform,
    .contact = &contact,
    .frame = tarn_plane_frame (&contact, one->fan_rad),
    .geometry = tarn_plane_geometry (&tarn_body_patient (body)->probe, 0),
    .range_db = 60,
    .noise_seed = 7,
  };
  gsize bytes = (gsize)setup.geometry.lines * (gsize)setup.geometry.samples;
  g_autofree guint8 *grey = g_malloc (bytes);
  for (int plain = 0; plain < 2; plain++)
    {
      TarnPlaneWork *work = tarn_plane_work_new (plain == 1);
      g_assert_cmpint (tarn_plane_simulate (work, &setup, 0, grey, NULL), ==, TARN_OK);
      g_autofree char *sum = g_compute_checksum_for_data (G_CHECKSUM_SHA256, grey, bytes);
      check (one->name, "plane", sum);
      tarn_plane_work_free (work);
    }
  tarn_body_free (body);
}

/* What a sweep found, in text: a point's hundredths of a millimetre are far below what shows.
 */
static char *
describe (const TarnSweep *sweep)
{
  GString *text = g_string_new (NULL);
  for (int k = 0; k < sweep->planes; k++)
    {
      const TarnOutline *outline = &sweep->plane[k].outline;
      g_string_append_printf (text, "%d %d\n", k, outline->found);
      for (int j = 0; outline->found && j < TARN_OUTLINE_POINTS; j++)
        g_string_append_printf (text, "%.2f %.2f %d\n", (double)outline->point[j].u_mm,
                                (double)outline->point[j].v_mm, outline->point[j].evidence);
    }
  return g_string_free (text, FALSE);
}

static void
check_sweep (const Case *one, const TarnBody *body, int threads, bool plain)
{
  TarnSweepSetup setup = tarn_sweep_setup (body, &one->pose);
  TarnThreadPool *pool = tarn_thread_pool_new (threads);
  g_assert_nonnull (pool);
  TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_assert_cmpint (tarn_gel_dose (film, one->pose.above_mm, one->pose.left_mm, 20), ==,
                   TARN_OK);
  setup.film = film;
  setup.motion.tremor_mm = 0.5;
  setup.motion.seed = 9;
  setup.planes = PLANES;
  setup.plain = plain;
  setup.parallel = tarn_thread_pool_parallel (pool);
  TarnSweep *sweep = g_new (TarnSweep, 1);
  g_assert_cmpint (tarn_sweep_run (&setup, true, sweep), ==, TARN_OK);
  g_test_message ("%d threads, %s kernels", threads, plain ? "plain" : "the machine's");

  gsize bytes = PLANES * (gsize)sweep->geometry.lines * (gsize)sweep->geometry.samples;
  g_autofree char *grey = g_compute_checksum_for_data (G_CHECKSUM_SHA256, sweep->grey, bytes);
  g_autofree char *outlines = describe (sweep);
  g_autofree char *sum = g_compute_checksum_for_string (G_CHECKSUM_SHA256, outlines, -1);
  g_autofree char *reading = g_strdup_printf (
      "%s %.6f mL", tarn_reading_kind_name (sweep->reading.kind), sweep->reading.volume_ml);
  check (one->name, "sweep", grey);
  check (one->name, "outlines", sum);
  check (one->name, "reading", reading);
  tarn_sweep_clear (sweep);
  g_free (sweep);
  g_free (film);
  tarn_thread_pool_free (pool);
}

static void
test_sweep (gconstpointer data)
{
  static const struct
  {
    int threads;
    bool plain;
  } way[] = { { 1, false }, { 4, true }, { 2, false }, { 4, false }, { 1, true }, { 2, true } };
  const Case *one = data;
  TarnBody *body = load_body (one);
  guint ways = g_getenv ("TARN_TEST_QUICK") != NULL ? 2 : G_N_ELEMENTS (way);
  for (guint k = 0; k < ways; k++)
    check_sweep (one, body, way[k].threads, way[k].plain);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  golden = g_key_file_new ();
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "golden", "golden.ini", NULL);
  if (g_getenv ("TARN_GOLDEN_RENEW") != NULL)
    fresh = g_key_file_new ();
  g_key_file_load_from_file (golden, path, G_KEY_FILE_KEEP_COMMENTS, NULL);
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    {
      g_autofree char *plane = g_strdup_printf ("/golden/%s/plane", cases[k].name);
      g_autofree char *sweep = g_strdup_printf ("/golden/%s/sweep", cases[k].name);
      g_test_add_data_func (plane, &cases[k], test_plane);
      g_test_add_data_func (sweep, &cases[k], test_sweep);
    }
  int status = g_test_run ();
  if (status == 0 && changed)
    {
      status = 1;
      g_autoptr (GError) error = NULL;
      g_key_file_save_to_file (golden, path, &error);
      g_assert_no_error (error);
    }
  g_clear_pointer (&fresh, g_key_file_unref);
  g_key_file_unref (golden);
  return status;
}
