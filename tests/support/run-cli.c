/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "run-cli.h"

#include <gio/gio.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

static char *folder;

/* Data that is empty may be NULL; a text never is. */
static char *
take_text (GBytes *bytes)
{
  GString *text = g_string_new (NULL);
  g_string_append_len (text, g_bytes_get_data (bytes, NULL), (gssize)g_bytes_get_size (bytes));
  g_bytes_unref (bytes);
  return g_string_free (text, FALSE);
}

CliRun
cli_run (const char *input, const char *arguments, ...)
{
  va_list list;
  va_start (list, arguments);
  char *line = g_strdup_vprintf (arguments, list);
  va_end (list);
  char *whole = g_strconcat (g_getenv ("TARN_CLI"), *line != '\0' ? " " : "", line, NULL);
  char **argv = g_strsplit (whole, " ", -1);

  GError *error = NULL;
  GSubprocess *process
      = g_subprocess_newv ((const char *const *)argv,
                           G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE
                               | G_SUBPROCESS_FLAGS_STDERR_PIPE,
                           &error);
  g_assert_no_error (error);
  GBytes *bytes = g_bytes_new (input != NULL ? input : "", input != NULL ? strlen (input) : 0);
  GBytes *out = NULL, *err = NULL;
  g_subprocess_communicate (process, bytes, NULL, &out, &err, &error);
  g_assert_no_error (error);

  CliRun run = { .exit_code = -1 };
  if (g_subprocess_get_if_exited (process))
    run.exit_code = g_subprocess_get_exit_status (process);
  run.out = take_text (out);
  run.err = take_text (err);
  g_bytes_unref (bytes);
  g_object_unref (process);
  g_strfreev (argv);
  g_free (whole);
  g_free (line);
  return run;
}

void
cli_run_clear (CliRun *run)
{
  g_free (run->out);
  g_free (run->err);
  *run = (CliRun){ 0 };
}

int
cli_lines (const char *text)
{
  int lines = 0;
  char **line = g_strsplit (text, "\n", -1);
  for (int k = 0; line[k] != NULL; k++)
    lines += *line[k] != '\0';
  g_strfreev (line);
  return lines;
}

void
cli_expect_complaint (CliRun *run, int exit_code, const char *word)
{
  g_test_message ("%d: %s%s", run->exit_code, run->out, run->err);
  g_assert_cmpint (run->exit_code, ==, exit_code);
  g_assert_cmpint (cli_lines (run->err), ==, 1);
  g_assert_cmpstr (run->out, ==, "");
  g_assert_nonnull (strstr (run->err, word));
  cli_run_clear (run);
}

JsonObject *
cli_parse (const char *text)
{
  JsonParser *parser = json_parser_new_immutable ();
  GError *error = NULL;
  json_parser_load_from_data (parser, text, -1, &error);
  g_assert_no_error (error);
  JsonNode *root = json_parser_get_root (parser);
  g_assert_nonnull (root);
  g_assert_cmpint (json_node_get_node_type (root), ==, JSON_NODE_OBJECT);
  JsonObject *object = json_object_ref (json_node_get_object (root));
  g_object_unref (parser);
  return object;
}

static JsonNode *
find_node (JsonObject *object, const char *path)
{
  char **step = g_strsplit (path, ".", -1);
  JsonNode *node = NULL;
  for (int k = 0; step[k] != NULL; k++)
    {
      node = json_object_get_member (object, step[k]);
      if (node == NULL)
        g_error ("the object has no %s", path);
      if (step[k + 1] != NULL)
        object = json_node_get_object (node);
    }
  g_strfreev (step);
  return node;
}

double
cli_number (JsonObject *object, const char *path)
{
  JsonNode *node = find_node (object, path);
  g_assert_cmpint (json_node_get_node_type (node), ==, JSON_NODE_VALUE);
  GType type = json_node_get_value_type (node);
  g_assert_true (type == G_TYPE_DOUBLE || type == G_TYPE_INT64);
  double value = json_node_get_double (node);
  g_assert_cmpint (isfinite (value), !=, 0);
  return value;
}

const char *
cli_text (JsonObject *object, const char *path)
{
  const char *text = json_node_get_string (find_node (object, path));
  g_assert_nonnull (text);
  return text;
}

char *
cli_anatomy (const char *name)
{
  return g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
}

const char *
cli_folder (void)
{
  if (folder == NULL)
    {
      GError *error = NULL;
      folder = g_dir_make_tmp ("tarn-cli-XXXXXX", &error);
      g_assert_no_error (error);
    }
  return folder;
}

char *
cli_write_file (const char *name, const char *data, gssize size)
{
  GError *error = NULL;
  char *path = g_build_filename (cli_folder (), name, NULL);
  g_file_set_contents (path, data, size, &error);
  g_assert_no_error (error);
  return path;
}

void
cli_remove_folder (void)
{
  if (folder == NULL)
    return;
  GDir *dir = g_dir_open (folder, 0, NULL);
  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    {
      char *path = g_build_filename (folder, name, NULL);
      g_remove (path);
      g_free (path);
    }
  g_dir_close (dir);
  g_rmdir (folder);
  g_clear_pointer (&folder, g_free);
}
