/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/attempt_patient.h"

#include <string.h>

#define BYTES_MAX (4 * 1024 * 1024) /* of a file whose hash is worth asking for */

static gboolean
has_hash (const char *path, const char *sha256)
{
  g_autofree char *data = NULL;
  gsize length = 0;
  if (!g_file_test (path, G_FILE_TEST_IS_REGULAR)
      || !g_file_get_contents (path, &data, &length, NULL) || length > BYTES_MAX)
    return FALSE;
  g_autofree char *hash
      = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *)data, length);
  return strcmp (hash, sha256) == 0;
}

/* A file of the folder that has the hash; NULL: none. */
static char *
find_in (const char *folder, const char *sha256)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_str_has_suffix (name, ".anatomy") && has_hash (path, sha256))
        return g_steal_pointer (&path);
    }
  return NULL;
}

static char *
find (const TarnAttemptLog *log, const char *log_path, const char *const *folders)
{
  if (has_hash (log->patient_path, log->sha256))
    return g_strdup (log->patient_path);
  g_autofree char *beside = log_path != NULL ? g_path_get_dirname (log_path) : NULL;
  char *found = NULL;
  if (beside != NULL)
    {
      g_autofree char *from_there = g_build_filename (beside, log->patient_path, NULL);
      if (has_hash (from_there, log->sha256))
        return g_steal_pointer (&from_there);
      found = find_in (beside, log->sha256);
    }
  for (gsize k = 0; found == NULL && folders != NULL && folders[k] != NULL; k++)
    found = find_in (folders[k], log->sha256);
  return found;
}

TarnPatientFile *
tarn_attempt_log_find_patient (const TarnAttemptLog *log, const char *log_path,
                               const char *given, const char *const *folders, GError **error)
{
  g_autofree char *path = given != NULL ? g_strdup (given) : find (log, log_path, folders);
  if (path == NULL)
    {
      gboolean there = g_file_test (log->patient_path, G_FILE_TEST_EXISTS);
      g_set_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_PATIENT,
                   there ? "%s: the patient's file has changed since the attempt; its sha256 "
                           "was %s"
                         : "%s: the patient's file is not there, nor another one with the "
                           "sha256 %s",
                   log->patient_path, log->sha256);
      return NULL;
    }
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, error);
  if (file == NULL)
    return NULL;
  if (strcmp (file->sha256, log->sha256) != 0)
    {
      g_set_error (
          error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_PATIENT,
          "%s: not the patient of this attempt: its sha256 is %s, the attempt was made "
          "with %s",
          path, file->sha256, log->sha256);
      return NULL;
    }
  return g_steal_pointer (&file);
}
