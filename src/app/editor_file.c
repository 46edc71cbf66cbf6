/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The copy for a crash holds the draft as text with the path it belongs to.  It is written
 *    two seconds after an edit, and goes when the draft is saved.
 * 2. While nobody has said what becomes of a copy that an earlier program left, our own goes
 *    into a second file, which the next program finds in the first one's place.
 * 3. Whether the file is still ours is told by its checksum, not by its time: our own saving
 *    comes back as news too. */
#include "app/editor_file.h"

#include "store/label_shape.h"
#include "store/patient_file.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <string.h>

#define SETTLED_S 2
#define GROUP     "draft"

struct _TarnEditorFile
{
  GObject parent_instance;
  TarnEditorDraft *draft;
  char *folder, *left_path, *second_path, *trial_path;
  char *path, *sha256;    /* of the file as we know it */
  GPtrArray *map_folders; /* where label maps may lie that the draft names, or named */
  GFileMonitor *monitor;
  guint settling;
  guint64 kept;         /* the state that the copy holds */
  gboolean second_left; /* a second copy is of an earlier program too */
  gboolean left;        /* the copy is of an earlier program */
};

G_DEFINE_FINAL_TYPE (TarnEditorFile, tarn_editor_file, G_TYPE_OBJECT)

static guint outside_signal;

const char *
tarn_editor_file_path (TarnEditorFile *self)
{
  return self->path;
}

char *
tarn_editor_file_name (TarnEditorFile *self)
{
  return self->path != NULL ? g_filename_display_basename (self->path)
                            : g_strdup (_ ("New patient"));
}

/* ---- The copy ---- */

static void
keep_copy (TarnEditorFile *self)
{
  guint64 state = tarn_editor_draft_state (self->draft);
  const char *to = self->left ? self->second_path : self->left_path;
  if (self->left && self->second_left)
    return;
  if (tarn_editor_draft_is_saved (self->draft)
      || !tarn_editor_draft_can_undo (self->draft, NULL))
    {
      g_unlink (to);
      self->kept = 0;
      return;
    }
  if (state == self->kept || g_mkdir_with_parents (self->folder, 0700) != 0)
    return;
  g_autoptr (GKeyFile) copy = g_key_file_new ();
  g_autofree char *text
      = tarn_patient_file_format (tarn_editor_draft_patient (self->draft), NULL);
  g_key_file_set_string (copy, GROUP, "path", self->path != NULL ? self->path : "");
  g_key_file_set_string (copy, GROUP, "text", text);
  if (g_key_file_save_to_file (copy, to, NULL))
    self->kept = state;
}

static gboolean
on_settled (gpointer data)
{
  TarnEditorFile *self = data;
  self->settling = 0;
  keep_copy (self);
  return G_SOURCE_REMOVE;
}

static void
on_changed (TarnEditorFile *self)
{
  if (self->settling == 0)
    self->settling = g_timeout_add_seconds (SETTLED_S, on_settled, self);
}

void
tarn_editor_file_flush (TarnEditorFile *self)
{
  g_return_if_fail (TARN_IS_EDITOR_FILE (self));
  g_clear_handle_id (&self->settling, g_source_remove);
  keep_copy (self);
}

gboolean
tarn_editor_file_has_left (TarnEditorFile *self)
{
  return self->left;
}

/* The first copy is answered for: our own goes there now, or there is a second to ask about. */
static void
settle_left (TarnEditorFile *self)
{
  self->left = self->second_left && g_rename (self->second_path, self->left_path) == 0;
  if (!self->second_left)
    g_unlink (self->second_path);
  self->second_left = FALSE;
  self->kept = 0;
}

void
tarn_editor_file_forget (TarnEditorFile *self)
{
  g_unlink (self->left_path);
  settle_left (self);
}

/* ---- The label map that lies beside the file ---- */

static char *
checksum_of (const char *path)
{
  g_autofree char *data = NULL;
  gsize length;
  if (!g_file_get_contents (path, &data, &length, NULL))
    return NULL;
  return g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *)data, length);
}

/* @path: of a patient beside which a map may lie; NULL is allowed. */
static void
note_map_folder (TarnEditorFile *self, const char *path)
{
  g_autofree char *folder = path != NULL ? g_path_get_dirname (path) : NULL;
  if (folder != NULL
      && !g_ptr_array_find_with_equal_func (self->map_folders, folder, g_str_equal, NULL))
    g_ptr_array_add (self->map_folders, g_steal_pointer (&folder));
}

/* The map of that name and checksum, wherever it has been seen; NULL: nowhere.  Free it. */
static char *
find_map (TarnEditorFile *self, const char *base, const char *sha256)
{
  for (guint k = 0; k < self->map_folders->len; k++)
    {
      g_autofree char *path
          = g_build_filename (g_ptr_array_index (self->map_folders, k), base, NULL);
      g_autofree char *sum = checksum_of (path);
      if (sum != NULL && g_strcmp0 (sum, sha256) == 0)
        return g_steal_pointer (&path);
    }
  return NULL;
}

/* The map has to lie beside @path as well; another one of its name is not written over, but
 * where @ours. */
static gboolean
carry_map (TarnEditorFile *self, const char *path, gboolean ours, GError **error)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  const char *name = tarn_patient_prose (patient, "map", "");
  const char *sha256 = tarn_patient_prose (patient, "map-sha256", "");
  if (name == NULL)
    return TRUE;
  g_autofree char *base = g_path_get_basename (name), *folder = g_path_get_dirname (path);
  g_autofree char *there = g_build_filename (folder, base, NULL);
  g_autofree char *sum = checksum_of (there), *found = NULL;
  if (sum != NULL && g_strcmp0 (sum, sha256) == 0)
    return TRUE;
  found = find_map (self, base, sha256);
  if (found == NULL)
    g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE,
                 _ ("The patient’s label map, %s, is not there any more, or is another one."),
                 base);
  else if (sum != NULL && !ours)
    g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE,
                 _ ("In that folder lies another label map of the name %s. Save elsewhere."),
                 base);
  if (found == NULL || (sum != NULL && !ours))
    return FALSE;
  g_autoptr (GFile) from = g_file_new_for_path (found);
  g_autoptr (GFile) to = g_file_new_for_path (there);
  return g_file_copy (from, to, G_FILE_COPY_OVERWRITE, NULL, NULL, NULL, error);
}

/* ---- The file ---- */

static void
on_file_changed (GFileMonitor *monitor, GFile *file, GFile *other, GFileMonitorEvent event,
                 TarnEditorFile *self)
{
  (void)monitor, (void)file, (void)other;
  if (event == G_FILE_MONITOR_EVENT_ATTRIBUTE_CHANGED || event == G_FILE_MONITOR_EVENT_CHANGED)
    return;
  g_autofree char *now = checksum_of (self->path);
  if (g_strcmp0 (now, self->sha256) == 0)
    return;
  g_free (self->sha256);
  self->sha256 = g_steal_pointer (&now);
  g_signal_emit (self, outside_signal, 0);
}

static void
watch (TarnEditorFile *self, const char *path)
{
  char *kept = g_strdup (path); /* @path may be our own */
  if (self->monitor != NULL)
    g_file_monitor_cancel (self->monitor);
  g_clear_object (&self->monitor);
  g_free (self->path);
  g_free (self->sha256);
  self->path = kept;
  self->sha256 = kept != NULL ? checksum_of (kept) : NULL;
  if (kept == NULL)
    return;
  g_autoptr (GFile) file = g_file_new_for_path (kept);
  self->monitor = g_file_monitor_file (file, G_FILE_MONITOR_NONE, NULL, NULL);
  if (self->monitor != NULL)
    g_signal_connect_object (self->monitor, "changed", G_CALLBACK (on_file_changed), self, 0);
}

gboolean
tarn_editor_file_open (TarnEditorFile *self, const char *path, GError **error)
{
  g_return_val_if_fail (TARN_IS_EDITOR_FILE (self), FALSE);
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, error);
  if (file == NULL)
    return FALSE;
  watch (self, path);
  note_map_folder (self, path);
  tarn_editor_draft_restart (self->draft, &file->patient);
  tarn_editor_draft_note_saved (self->draft);
  return TRUE;
}

void
tarn_editor_file_begin (TarnEditorFile *self, const TarnPatient *patient, const char *from)
{
  g_return_if_fail (TARN_IS_EDITOR_FILE (self));
  note_map_folder (self, from);
  watch (self, NULL);
  tarn_editor_draft_restart (self->draft, patient);
}

gboolean
tarn_editor_file_save (TarnEditorFile *self, const char *path, GError **error)
{
  g_return_val_if_fail (TARN_IS_EDITOR_FILE (self), FALSE);
  const char *to = path != NULL ? path : self->path;
  g_return_val_if_fail (to != NULL, FALSE);
  if (!carry_map (self, to, FALSE, error)
      || !tarn_patient_file_save (tarn_editor_draft_patient (self->draft), to, error))
    return FALSE;
  note_map_folder (self, to);
  watch (self, to);
  tarn_editor_draft_note_saved (self->draft);
  tarn_editor_file_flush (self);
  return TRUE;
}

void
tarn_editor_file_keep_mine (TarnEditorFile *self)
{
  g_return_if_fail (TARN_IS_EDITOR_FILE (self));
  watch (self, self->path);
}

/* A draft's text says which map its shape is of.  Without the map it has the shape that its
 * numbers give, and saving says what is missing. */
static void
attach_shape (TarnEditorFile *self, TarnPatient *patient)
{
  TarnProblem problem;
  g_autofree char *folder = self->path != NULL ? g_path_get_dirname (self->path) : NULL;
  if (folder != NULL && !tarn_label_shape_attach (patient, folder, &problem))
    g_debug ("a draft without its label map: %s: %s", problem.key, problem.text);
}

gboolean
tarn_editor_file_take_up (TarnEditorFile *self, GError **error)
{
  g_return_val_if_fail (TARN_IS_EDITOR_FILE (self), FALSE);
  g_autoptr (GKeyFile) copy = g_key_file_new ();
  if (!g_key_file_load_from_file (copy, self->left_path, G_KEY_FILE_NONE, error))
    return FALSE;
  g_autofree char *path = g_key_file_get_string (copy, GROUP, "path", NULL);
  g_autofree char *text = g_key_file_get_string (copy, GROUP, "text", error);
  if (text == NULL)
    return FALSE;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_parse_draft (text, strlen (text), self->left_path, error);
  if (file == NULL)
    return FALSE;
  watch (self, path != NULL && path[0] != '\0' ? path : NULL);
  /* A second copy waits for the next program: this one's is the draft's now. */
  self->left = FALSE;
  /* One step from what is saved, if anything is: so it is not taken for saved. */
  g_autoptr (TarnPatientFile) saved
      = self->path != NULL ? tarn_patient_file_load (self->path, NULL) : NULL;
  note_map_folder (self, self->path);
  attach_shape (self, &file->patient);
  tarn_editor_draft_restart (self->draft, saved != NULL ? &saved->patient : &file->patient);
  if (saved != NULL)
    tarn_editor_draft_note_saved (self->draft);
  tarn_editor_draft_replace (self->draft, &file->patient);
  return TRUE;
}

const char *
tarn_editor_file_trial (TarnEditorFile *self, GError **error)
{
  g_return_val_if_fail (TARN_IS_EDITOR_FILE (self), NULL);
  if (g_mkdir_with_parents (self->folder, 0700) != 0)
    g_debug ("no folder for a trial: what comes next says so");
  return tarn_patient_file_save (tarn_editor_draft_patient (self->draft), self->trial_path,
                                 error)
                 && carry_map (self, self->trial_path, TRUE, error)
             ? self->trial_path
             : NULL;
}

/* ---- The object ---- */

TarnEditorFile *
tarn_editor_file_new (TarnEditorDraft *draft, const char *folder)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorFile *self = g_object_new (TARN_TYPE_EDITOR_FILE, NULL);
  self->draft = g_object_ref (draft);
  self->folder = folder != NULL
                     ? g_strdup (folder)
                     : g_build_filename (g_get_user_data_dir (), "tarn", "editor", NULL);
  self->left_path = g_build_filename (self->folder, "draft.ini", NULL);
  self->trial_path = g_build_filename (self->folder, "trial.anatomy", NULL);
  self->second_path = g_build_filename (self->folder, "draft-2.ini", NULL);
  self->second_left = g_file_test (self->second_path, G_FILE_TEST_IS_REGULAR);
  self->left = g_file_test (self->left_path, G_FILE_TEST_IS_REGULAR);
  if (!self->left)
    settle_left (self);
  g_signal_connect_object (draft, "changed", G_CALLBACK (on_changed), self, G_CONNECT_SWAPPED);
  return self;
}

static void
tarn_editor_file_dispose (GObject *object)
{
  TarnEditorFile *self = TARN_EDITOR_FILE (object);
  if (self->draft != NULL)
    tarn_editor_file_flush (self);
  if (self->monitor != NULL)
    g_file_monitor_cancel (self->monitor);
  g_clear_object (&self->monitor);
  g_clear_object (&self->draft);
  G_OBJECT_CLASS (tarn_editor_file_parent_class)->dispose (object);
}

static void
tarn_editor_file_finalize (GObject *object)
{
  TarnEditorFile *self = TARN_EDITOR_FILE (object);
  g_free (self->folder);
  g_free (self->left_path);
  g_free (self->second_path);
  g_free (self->trial_path);
  g_free (self->path);
  g_free (self->sha256);
  g_ptr_array_unref (self->map_folders);
  G_OBJECT_CLASS (tarn_editor_file_parent_class)->finalize (object);
}

static void
tarn_editor_file_class_init (TarnEditorFileClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  object_class->dispose = tarn_editor_file_dispose;
  object_class->finalize = tarn_editor_file_finalize;
  outside_signal = g_signal_new ("changed-outside", TARN_TYPE_EDITOR_FILE, G_SIGNAL_RUN_LAST, 0,
                                 NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
tarn_editor_file_init (TarnEditorFile *self)
{
  self->map_folders = g_ptr_array_new_with_free_func (g_free);
}
