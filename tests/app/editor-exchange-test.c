/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Label maps into the editor, meshes, maps and pages out of it, below the choosers: what is
 * written is read again by what reads such files here, and by what knows their first bytes. */
#include "wait.h"

#include "app/editor_import.h"
#include "app/editor_page.h"
#include "app/settings.h"
#include "app/style.h"
#include "base/units.h"
#include "engine/body/body.h"
#include "store/nrrd.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define MAP_LABELS 2 /* of the map that is imported: 3 the bladder, 7 a cyst */

typedef struct
{
  GtkWidget *window;
  TarnEditorPage *page;
  TarnEditorDraft *draft;
  TarnPatientList *patients;
  char *folder, *path, *map_path;
} Room;

/* ---- A map ---- */

static gboolean
within (double i, double j, double k, const double middle[3], const double radius[3])
{
  double x = (i - middle[0]) / radius[0], y = (j - middle[1]) / radius[1],
         z = (k - middle[2]) / radius[2];
  return x * x + y * y + z * z < 1;
}

/* An ellipsoid of 80 x 64 x 96 mm as the bladder, a ball of 20 mm above it; voxels of 2 mm. */
static void
write_map (const char *path)
{
  static const double middle[2][3] = { { 25, 20, 28 }, { 25, 20, 62 } };
  static const double radius[2][3] = { { 20, 16, 24 }, { 5, 5, 5 } };
  g_autofree uint8_t *code = g_malloc0 (50 * 40 * 72);
  g_autoptr (GError) error = NULL;
  TarnLabelMap map = { .size = { 50, 40, 72 },
                       .step_mm = { { 2, 0, 0 }, { 0, 2, 0 }, { 0, 0, 2 } },
                       .code = code,
                       .labels = MAP_LABELS,
                       .value = { 0, 3, 7 } };
  for (int at = 0; at < 50 * 40 * 72; at++)
    for (int n = 0; n < MAP_LABELS; n++)
      if (within (at % 50, at / 50 % 40, at / 2000, middle[n], radius[n]))
        {
          code[at] = (uint8_t)(n + 1);
          map.voxels[n + 1]++;
        }
  if (!tarn_nrrd_save (&map, path, NULL, &error))
    g_error ("%s", error->message);
}

/* ---- The room ---- */

static void
set_up (Room *room, gconstpointer data)
{
  (void)data;
  room->folder = g_dir_make_tmp ("tarn-exchange-XXXXXX", NULL);
  room->path = g_build_filename (room->folder, "mine.anatomy", NULL);
  room->map_path = g_build_filename (room->folder, "seen.nrrd", NULL);
  g_autofree char *from
      = g_build_filename (g_getenv ("TARN_ANATOMIES"), "01-plain-adult.anatomy", NULL);
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents (from, &text, NULL, NULL));
  g_assert_true (g_file_set_contents (room->path, text, -1, NULL));
  write_map (room->map_path);
  room->patients = tarn_patient_list_new (NULL);
  room->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 750);
  tarn_style_adopt (GTK_WINDOW (room->window));
  room->page = TARN_EDITOR_PAGE (
      tarn_editor_page_new (room->patients, tarn_settings (), room->folder));
  room->draft = tarn_editor_page_draft (room->page);
  tarn_editor_page_set_surveying (room->page, FALSE);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (room->window);
  tarn_editor_page_open (room->page, room->path);
}

static void
tear_down (Room *room, gconstpointer data)
{
  GtkWidget *page = GTK_WIDGET (room->page);
  (void)data;
  g_object_add_weak_pointer (G_OBJECT (page), (gpointer *)&page);
  gtk_window_destroy (GTK_WINDOW (room->window));
  WAIT (page == NULL);
  g_object_unref (room->patients);
  g_autoptr (GDir) folder = g_dir_open (room->folder, 0, NULL);
  for (const char *name; (name = g_dir_read_name (folder)) != NULL;)
    {
      g_autofree char *path = g_build_filename (room->folder, name, NULL);
      g_assert_cmpint (g_unlink (path), ==, 0);
    }
  g_assert_cmpint (g_rmdir (room->folder), ==, 0);
  g_free (room->folder);
  g_free (room->path);
  g_free (room->map_path);
}

static GtkWidget *
find (GtkWidget *root, GType type, int *skip)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (root, type) && (*skip)-- == 0)
    return root;
  for (GtkWidget *each = gtk_widget_get_first_child (root); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    {
      GtkWidget *found = find (each, type, skip);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* NULL: not there yet. */
static GtkWidget *
nth (GtkWidget *root, GType type, int index)
{
  return find (root, type, &index);
}

static gboolean
says (GtkWidget *root, const char *words)
{
  if (!gtk_widget_get_visible (root))
    return FALSE;
  if (GTK_IS_LABEL (root) && strstr (gtk_label_get_text (GTK_LABEL (root)), words) != NULL)
    return TRUE;
  for (GtkWidget *each = gtk_widget_get_first_child (root); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    if (says (each, words))
      return TRUE;
  return FALSE;
}

static const TarnPatient *
patient (Room *room)
{
  return tarn_editor_draft_patient (room->draft);
}

/* ---- In ---- */

/* What row @index of a dialog, which has been read, is said to be. */
static void
choose (GtkWidget *dialog, int index, guint choice)
{
  GtkWidget *row = nth (dialog, GTK_TYPE_DROP_DOWN, index);
  g_assert_nonnull (row);
  g_assert_true (
      gtk_test_accessible_has_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (row), choice);
}

/* The bladder gets its label's volume, the cyst its place; one step back and forth. */
static void
test_import (Room *room, gconstpointer data)
{
  const double bladder_ml = 4.0 / 3 * TARN_PI * 40 * 32 * 48 / TARN_MM3_PER_ML;
  g_autoptr (GError) error = NULL;
  double before_ml = patient (room)->bladder.volume_ml;
  (void)data;
  GtkWidget *dialog = tarn_editor_page_import (room->page, room->map_path);
  g_object_add_weak_pointer (G_OBJECT (dialog), (gpointer *)&dialog);
  WAIT (nth (dialog, GTK_TYPE_DROP_DOWN, MAP_LABELS - 1) != NULL);
  g_assert_true (says (dialog, "which label is the bladder"));
  choose (dialog, 0, 1);
  choose (dialog, 1, 1);
  g_assert_true (says (dialog, "Only one label"));
  choose (dialog, 1, 2 + TARN_STRUCTURE_CYST);
  g_assert_true (gtk_widget_activate_action (dialog, "import.go", NULL));
  WAIT (dialog == NULL);

  /* The volume of the sphere that the map was made of; voxels of 2 mm are good to 0.5 %. */
  g_assert_cmpfloat_with_epsilon (patient (room)->bladder.volume_ml, bladder_ml,
                                  0.005 * bladder_ml);
  g_assert_cmpint (patient (room)->structures, ==, 1);
  g_assert_cmpint (patient (room)->structure[0].kind, ==, TARN_STRUCTURE_CYST);
  g_assert_cmpfloat_with_epsilon (patient (room)->structure[0].radii_mm.x, 10, 0.5);
  g_assert_true (patient (room)->shape.any);
  g_assert_true (says (GTK_WIDGET (room->page), "(Dice)"));
  tarn_editor_draft_undo (room->draft);
  g_assert_cmpfloat (patient (room)->bladder.volume_ml, ==, before_ml);
  g_assert_false (patient (room)->shape.any);
  tarn_editor_draft_redo (room->draft);
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.save", NULL));
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (room->path, &error);
  g_assert_no_error (error);
  g_assert_cmpmem (&file->patient.shape, sizeof file->patient.shape, &patient (room)->shape,
                   sizeof file->patient.shape);
}

static int
files_in (const char *path)
{
  int count = 0;
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  while (g_dir_read_name (folder) != NULL)
    count++;
  return count;
}

/* What is no map is refused in place; what is cancelled changes nothing and leaves nothing. */
static void
test_refused (Room *room, gconstpointer data)
{
  guint64 state = tarn_editor_draft_state (room->draft);
  (void)data;
  GtkWidget *dialog = tarn_editor_page_import (room->page, room->path);
  g_object_add_weak_pointer (G_OBJECT (dialog), (gpointer *)&dialog);
  WAIT (says (dialog, "mine.anatomy:1: "));
  gtk_window_close (GTK_WINDOW (dialog));
  WAIT (dialog == NULL);

  int files = files_in (room->folder);
  dialog = tarn_editor_page_import (room->page, room->map_path);
  g_object_add_weak_pointer (G_OBJECT (dialog), (gpointer *)&dialog);
  WAIT (nth (dialog, GTK_TYPE_DROP_DOWN, 1) != NULL);
  choose (dialog, 0, 1);
  g_assert_true (gtk_widget_activate_action (dialog, "import.go", NULL));
  gtk_window_close (GTK_WINDOW (dialog));
  WAIT (dialog == NULL);
  g_assert_cmpuint (tarn_editor_draft_state (room->draft), ==, state);
  g_assert_cmpint (files_in (room->folder), ==, files);
}

/* A draft that has no file yet is to be saved first. */
static void
test_save_first (Room *room, gconstpointer data)
{
  (void)data;
  tarn_editor_page_begin (room->page);
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.import", NULL));
  g_assert_true (says (GTK_WIDGET (room->page), "save the patient first"));
  g_assert_true (
      gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.answer", "b", FALSE));
  g_assert_false (says (GTK_WIDGET (room->page), "save the patient first"));
}

/* ---- Out ---- */

static char *export(Room *room, TarnEditorExport kind)
{
  g_autofree char *name
      = g_strconcat (tarn_editor_export_name (kind), tarn_editor_export_suffix (kind), NULL);
  char *path = g_build_filename (room->folder, name, NULL);
  tarn_editor_page_export (room->page, kind, path);
  g_assert_true (says (GTK_WIDGET (room->page), "Writing"));
  WAIT (says (GTK_WIDGET (room->page), "has been written"));
  return path;
}

/* Of all `solid`s of an STL text: how many, and the volume of what they enclose. */
static int
solids_of (const char *path, double *ml)
{
  g_autofree char *text = NULL;
  int solids = 0, corner = 0;
  double x[3][3] = { { 0 } }, volume = 0;
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  /* Not g_strsplit (): instrumented, it measures all that is left of the text at every line. */
  for (char *line = text, *next; *line != '\0'; line = next)
    {
      char *ends = strchr (line, '\n'), *word = line;
      next = ends != NULL ? ends + 1 : line + strlen (line);
      while (*word == ' ')
        word++;
      solids += g_str_has_prefix (word, "solid");
      if (!g_str_has_prefix (word, "vertex "))
        continue;
      char *end = word + strlen ("vertex ");
      for (int k = 0; k < 3; k++)
        x[corner][k] = g_ascii_strtod (end, &end);
      corner = (corner + 1) % 3;
      if (corner == 0) /* a sixth of the determinant, by Gauss's theorem */
        volume += (x[0][0] * (x[1][1] * x[2][2] - x[1][2] * x[2][1])
                   - x[0][1] * (x[1][0] * x[2][2] - x[1][2] * x[2][0])
                   + x[0][2] * (x[1][0] * x[2][1] - x[1][1] * x[2][0]))
                  / 6;
    }
  *ml = volume / TARN_MM3_PER_ML;
  return solids;
}

static void
test_meshes (Room *room, gconstpointer data)
{
  double ml;
  (void)data;
  g_autofree char *bladder = export(room, TARN_EXPORT_BLADDER);
  g_assert_cmpint (solids_of (bladder, &ml), ==, 1);
  g_assert_cmpfloat_with_epsilon (ml, patient (room)->bladder.volume_ml,
                                  0.002 * patient (room)->bladder.volume_ml);
  g_autofree char *all = export(room, TARN_EXPORT_BODIES);
  g_assert_cmpint (solids_of (all, &ml), >, 3);

  /* Where it cannot be written it says so. */
  g_autofree char *nowhere = g_build_filename (room->folder, "none", "a.stl", NULL);
  tarn_editor_page_export (room->page, TARN_EXPORT_BLADDER, nowhere);
  WAIT (says (GTK_WIDGET (room->page), "cannot be written: "));
}

static void
test_labels (Room *room, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  TarnLabelMap map;
  double ml = 0;
  (void)data;
  g_autofree char *path = export(room, TARN_EXPORT_LABELS);
  g_assert_true (tarn_nrrd_load (path, &map, NULL, &error));
  for (int code = 1; code <= map.labels; code++)
    if (map.value[code] == TARN_TISSUE_URINE)
      ml = (double)map.voxels[code] * tarn_label_map_voxel_mm3 (&map) / TARN_MM3_PER_ML;
  g_assert_cmpfloat_with_epsilon (ml, patient (room)->bladder.volume_ml,
                                  0.005 * patient (room)->bladder.volume_ml);
  tarn_label_map_clear (&map);

  /* Brought in again, its labels have names, and the bladder is known. */
  GtkWidget *dialog = tarn_editor_page_import (room->page, path);
  WAIT (nth (dialog, GTK_TYPE_DROP_DOWN, 0) != NULL);
  g_assert_true (says (dialog, "Urine"));
  g_assert_false (says (dialog, "which label is the bladder"));
  gtk_window_destroy (GTK_WINDOW (dialog));
}

/* ISO 32000-1, 7.5.2: a PDF begins so; PNG: W3C, 5.2.  A page takes seconds: the picture when
 * there is time, the paper in the quick run. */
static void
test_page (Room *room, gconstpointer data)
{
  static const TarnEditorExport kinds[] = { TARN_EXPORT_PAGE, TARN_EXPORT_PICTURE };
  static const char *const begins[] = { "%PDF-", "\x89PNG\r\n\x1a\n" };
  int which = g_getenv ("TARN_TEST_QUICK") != NULL ? 0 : 1;
  (void)data;
  g_autofree char *bytes = NULL, *made = export(room, kinds[which]);
  g_autofree char *handout_bytes = NULL, *handout = export(room, TARN_EXPORT_HANDOUT);
  gsize size;
  g_assert_true (g_file_get_contents (handout, &handout_bytes, &size, NULL));
  g_assert_cmpmem (handout_bytes, strlen (begins[0]), begins[0], strlen (begins[0]));
  g_assert_true (g_file_get_contents (made, &bytes, &size, NULL));
  g_assert_cmpuint (size, >, 20000);
  g_assert_cmpmem (bytes, strlen (begins[which]), begins[which], strlen (begins[which]));
  /* Cancelled, it leaves nothing, and says nothing any more. */
  g_autofree char *path = g_build_filename (room->folder, "not.pdf", NULL);
  tarn_editor_page_export (room->page, TARN_EXPORT_PAGE, path);
  gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.answer", "b", TRUE);
  WAIT (!says (GTK_WIDGET (room->page), "Writing"));
  g_assert_false (says (GTK_WIDGET (room->page), "not.pdf"));
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
#define IN_ROOM(name, function) g_test_add (name, Room, NULL, set_up, function, tear_down)
  IN_ROOM ("/editor-exchange/import", test_import);
  IN_ROOM ("/editor-exchange/refused", test_refused);
  IN_ROOM ("/editor-exchange/save-first", test_save_first);
  IN_ROOM ("/editor-exchange/meshes", test_meshes);
  IN_ROOM ("/editor-exchange/labels", test_labels);
  IN_ROOM ("/editor-exchange/page", test_page);
#undef IN_ROOM
  return g_test_run ();
}
