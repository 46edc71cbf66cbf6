/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where drafts are kept: saved and opened again, changed by somebody else, left by a program
 * that ended; with the label map that their shape is of. */
#include "wait.h"

#include "app/editor_file.h"
#include "app/editor_starts.h"
#include "store/body_labels.h"
#include "store/label_shape.h"
#include "store/nrrd.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <string.h>

typedef struct
{
  char *folder, *copies, *path;
  TarnEditorDraft *draft;
  TarnEditorFile *file;
} Desk;

static const TarnField *
fat (void)
{
  return tarn_field_find (TARN_GROUP_HABITUS, "fat-mm");
}

static TarnEditorDraft *
draft_new (void)
{
  TarnPatient start = tarn_editor_start_patient (TARN_START_MAN);
  TarnEditorDraft *draft = tarn_editor_draft_new (&start);
  tarn_patient_clear (&start);
  return draft;
}

static double
fat_of (TarnEditorDraft *draft)
{
  return tarn_editor_draft_patient (draft)->habitus.fat_mm;
}

static void
set_up (Desk *desk, gconstpointer data)
{
  (void)data;
  desk->folder = g_dir_make_tmp ("tarn-draft-XXXXXX", NULL);
  desk->copies = g_build_filename (desk->folder, "copies", NULL);
  desk->path = g_build_filename (desk->folder, "mine.anatomy", NULL);
  desk->draft = draft_new ();
  desk->file = tarn_editor_file_new (desk->draft, desk->copies);
}

static void
remove_all (const char *folder)
{
  g_autoptr (GDir) open = g_dir_open (folder, 0, NULL);
  for (const char *name; open != NULL && (name = g_dir_read_name (open)) != NULL;)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (folder);
}

static void
tear_down (Desk *desk, gconstpointer data)
{
  (void)data;
  g_clear_object (&desk->file);
  g_clear_object (&desk->draft);
  remove_all (desk->copies);
  remove_all (desk->folder);
  g_assert_false (g_file_test (desk->folder, G_FILE_TEST_EXISTS));
  g_free (desk->folder);
  g_free (desk->copies);
  g_free (desk->path);
}

static void
count_up (gpointer object, int *count)
{
  (void)object;
  ++*count;
}

/* Our own saving is no news; another's is. */
static void
test_saved (Desk *desk, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  int outside = 0;
  (void)data;
  g_signal_connect (desk->file, "changed-outside", G_CALLBACK (count_up), &outside);
  g_assert_true (tarn_editor_file_save (desk->file, desk->path, &error));
  g_assert_true (tarn_editor_draft_is_saved (desk->draft));
  tarn_editor_draft_set_number (desk->draft, fat (), -1, 0, 33);
  g_assert_true (tarn_editor_file_save (desk->file, NULL, &error));
  g_autoptr (TarnPatientFile) there = tarn_patient_file_load (desk->path, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (there->patient.habitus.fat_mm, ==, 33);

  there->patient.habitus.fat_mm = 44;
  g_assert_true (tarn_patient_file_save (&there->patient, desk->path, &error));
  WAIT (outside > 0);
  g_assert_cmpint (outside, ==, 1);
  g_assert_cmpfloat (fat_of (desk->draft), ==, 33);
  g_assert_true (tarn_editor_file_open (desk->file, desk->path, &error));
  g_assert_cmpfloat (fat_of (desk->draft), ==, 44);
  g_assert_false (tarn_editor_draft_can_undo (desk->draft, NULL));

  /* What is no patient leaves the draft alone. */
  g_assert_false (tarn_editor_file_open (desk->file, desk->folder, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_READ);
  g_assert_cmpfloat (fat_of (desk->draft), ==, 44);
}

/* What is not saved is there for the next program, whether or not it is fit to be a patient. */
static void
test_left (Desk *desk, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  (void)data;
  g_assert_false (tarn_editor_file_has_left (desk->file));
  g_assert_true (tarn_editor_file_save (desk->file, desk->path, &error));
  tarn_editor_draft_set_number (desk->draft, fat (), -1, 0, 55);
  tarn_editor_draft_set_text (desk->draft, tarn_field_find (TARN_GROUP_ANATOMY, "title"), "",
                              "");
  g_assert_null (tarn_editor_file_trial (desk->file, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID);
  g_clear_error (&error);
  tarn_editor_file_flush (desk->file);
  g_autofree char *before
      = tarn_patient_file_format (tarn_editor_draft_patient (desk->draft), NULL);

  g_autoptr (TarnEditorDraft) next = draft_new ();
  g_autoptr (TarnEditorFile) again = tarn_editor_file_new (next, desk->copies);
  g_assert_true (tarn_editor_file_has_left (again));
  g_assert_true (tarn_editor_file_take_up (again, &error));
  g_assert_no_error (error);
  g_autofree char *after = tarn_patient_file_format (tarn_editor_draft_patient (next), NULL);
  g_assert_cmpstr (after, ==, before);
  g_assert_cmpstr (tarn_editor_file_path (again), ==, desk->path);
  g_assert_false (tarn_editor_draft_is_saved (next));
  /* One step back is what the file holds. */
  tarn_editor_draft_undo (next);
  g_assert_true (tarn_editor_draft_is_saved (next));
}

/* While nobody has answered for the copy that was left, what is written is kept beside it. */
static void
test_two_left (Desk *desk, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  (void)data;
  tarn_editor_draft_set_number (desk->draft, fat (), -1, 0, 55);
  tarn_editor_file_flush (desk->file);
  g_autoptr (TarnEditorDraft) second = draft_new ();
  g_autoptr (TarnEditorFile) asked = tarn_editor_file_new (second, desk->copies);
  tarn_editor_draft_set_number (second, fat (), -1, 0, 66);
  tarn_editor_file_flush (asked);

  g_autoptr (TarnEditorDraft) third = draft_new ();
  g_autoptr (TarnEditorFile) later = tarn_editor_file_new (third, desk->copies);
  g_assert_true (tarn_editor_file_has_left (later));
  tarn_editor_file_forget (later);
  g_assert_true (tarn_editor_file_has_left (later));
  g_assert_true (tarn_editor_file_take_up (later, &error));
  g_assert_cmpfloat (fat_of (third), ==, 66);
}

/* The trial's file is the draft; the draft stays unsaved. */
static void
test_trial (Desk *desk, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  (void)data;
  tarn_editor_draft_set_number (desk->draft, fat (), -1, 0, 21);
  const char *path = tarn_editor_file_trial (desk->file, &error);
  g_assert_no_error (error);
  g_autoptr (TarnPatientFile) trial = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (trial->patient.habitus.fat_mm, ==, 21);
  g_assert_false (tarn_editor_draft_is_saved (desk->draft));
  g_assert_null (tarn_editor_file_path (desk->file));
}

/* ---- Label maps ---- */

/* A coarse map of a patient's body as @path, and from it the draft's lumen. */
static void
import_map (Desk *desk, const char *copy)
{
  g_autofree char *path = g_build_filename (desk->folder, "whole.nrrd", NULL);
  g_autoptr (GError) error = NULL;
  TarnPatient patient = tarn_editor_start_patient (TARN_START_MAN);
  TarnBody *body;
  TarnLabelMap map;
  TarnLabelImport import = { .map_path = path, .map_copy = copy, .bladder = TARN_TISSUE_URINE };
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  g_assert_true (tarn_body_labels (body, 4, NULL, &map));
  g_assert_true (tarn_nrrd_save (&map, path, NULL, &error));
  g_assert_true (tarn_label_import (&import, &patient, NULL, NULL, &error));
  tarn_editor_draft_replace (desk->draft, &patient);
  tarn_label_map_clear (&map);
  tarn_body_free (body);
  tarn_patient_clear (&patient);
}

static void
assert_same_shape (const TarnPatient *a, const TarnPatient *b)
{
  g_assert_true (a->shape.any);
  g_assert_cmpmem (&a->shape, sizeof a->shape, &b->shape, sizeof b->shape);
}

/* What @path holds is the draft, with its shape, and the map beside it is the one it names. */
static void
assert_saved_whole (Desk *desk, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  assert_same_shape (tarn_editor_draft_patient (desk->draft), &file->patient);
}

/* The shape stays through edits, steps back, saving elsewhere and a crash; no other map is
 * written over. */
static void
test_map (Desk *desk, gconstpointer data)
{
  g_autofree char *copy = g_build_filename (desk->folder, "mine.nrrd", NULL);
  g_autofree char *elsewhere = g_build_filename (desk->copies, "other.anatomy", NULL);
  g_autofree char *there = g_build_filename (desk->copies, "mine.nrrd", NULL);
  g_autofree char *sum = NULL, *left_path = g_build_filename (desk->copies, "draft.ini", NULL);
  g_autoptr (GError) error = NULL;
  (void)data;
  g_assert_true (tarn_editor_file_save (desk->file, desk->path, &error));
  import_map (desk, copy);

  /* A program that ends now leaves the draft with its shape. */
  tarn_editor_file_flush (desk->file);
  g_autoptr (TarnEditorDraft) next = draft_new ();
  g_autoptr (TarnEditorFile) again = tarn_editor_file_new (next, desk->copies);
  g_assert_true (tarn_editor_file_take_up (again, &error));
  assert_same_shape (tarn_editor_draft_patient (next), tarn_editor_draft_patient (desk->draft));
  g_clear_object (&again);
  g_unlink (left_path);

  g_assert_true (tarn_editor_file_save (desk->file, NULL, &error));
  assert_saved_whole (desk, desk->path);
  g_assert_true (tarn_editor_file_open (desk->file, desk->path, &error));
  tarn_editor_draft_set_number (desk->draft, fat (), -1, 0, 33);
  tarn_editor_draft_undo (desk->draft);

  /* Where another map of that name lies, nothing is written. */
  g_assert_cmpint (g_mkdir_with_parents (desk->copies, 0700), ==, 0);
  g_assert_true (g_file_set_contents (there, "other", -1, &error));
  g_assert_false (tarn_editor_file_save (desk->file, elsewhere, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE);
  g_clear_error (&error);
  g_assert_false (g_file_test (elsewhere, G_FILE_TEST_EXISTS));
  g_assert_true (g_file_get_contents (there, &sum, NULL, &error));
  g_assert_cmpstr (sum, ==, "other");
  g_unlink (there);
  g_assert_true (tarn_editor_file_save (desk->file, elsewhere, &error));
  g_assert_no_error (error);
  assert_saved_whole (desk, elsewhere);

  /* A trial has it as well; a step back to a map that only the first folder has finds it. */
  const char *trial = tarn_editor_file_trial (desk->file, &error);
  g_assert_no_error (error);
  assert_saved_whole (desk, trial);
  g_unlink (there);
  g_assert_true (tarn_editor_file_save (desk->file, NULL, &error));
  assert_saved_whole (desk, elsewhere);
  g_unlink (there);
  g_unlink (copy);
  g_assert_false (tarn_editor_file_save (desk->file, NULL, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define AT_DESK(name, function) g_test_add (name, Desk, NULL, set_up, function, tear_down)
  AT_DESK ("/draft-file/saved", test_saved);
  AT_DESK ("/draft-file/left", test_left);
  AT_DESK ("/draft-file/two-left", test_two_left);
  AT_DESK ("/draft-file/trial", test_trial);
  AT_DESK ("/draft-file/map", test_map);
#undef AT_DESK
  return g_test_run ();
}
