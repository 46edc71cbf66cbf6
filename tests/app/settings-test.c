/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Settings: the schema's defaults and the program's agree, changes are kept and told of, and
 * neither a missing schema nor a home that cannot be written to ends anything. */
#include "app/settings.h"

#include <gio/gio.h>
#include <glib/gstdio.h>

static const char *const keys[]
    = { "volume-unit",      "length-unit",       "theme",        "handedness",
        "reduce-motion",    "cautions-accepted", "window-width", "window-height",
        "window-maximized", "class-folder" };

static void
test_defaults_agree (void)
{
  g_autoptr (TarnSettings) kept = tarn_settings_new (g_settings_schema_source_get_default ());
  g_autoptr (TarnSettings) built_in = tarn_settings_new (NULL);
  g_assert_cmpstr (tarn_settings_problem (kept), ==, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      GParamSpec *spec = g_object_class_find_property (G_OBJECT_GET_CLASS (kept), keys[i]);
      g_assert_nonnull (spec);
      g_auto (GValue) a = G_VALUE_INIT, b = G_VALUE_INIT;
      g_object_get_property (G_OBJECT (kept), keys[i], &a);
      g_object_get_property (G_OBJECT (built_in), keys[i], &b);
      if (g_param_values_cmp (spec, &a, &b) != 0)
        g_test_message ("%s differs", keys[i]);
      g_assert_cmpint (g_param_values_cmp (spec, &a, &b), ==, 0);
    }
}

/* Every key of the schema is a property, so that none is forgotten. */
static void
test_all_keys (void)
{
  g_autoptr (GSettingsSchema) schema = g_settings_schema_source_lookup (
      g_settings_schema_source_get_default (), "org.tarn.Tarn", TRUE);
  g_assert_nonnull (schema);
  g_auto (GStrv) of_schema = g_settings_schema_list_keys (schema);
  g_assert_cmpuint (g_strv_length (of_schema), ==, G_N_ELEMENTS (keys));
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    g_assert_true (g_strv_contains ((const char *const *)of_schema, keys[i]));
}

static void
count (int *notified)
{
  (*notified)++;
}

static void
test_kept_and_told (void)
{
  g_autoptr (TarnSettings) one = tarn_settings_new (g_settings_schema_source_get_default ());
  g_autoptr (TarnSettings) other = tarn_settings_new (g_settings_schema_source_get_default ());
  int notified = 0;
  g_signal_connect_swapped (other, "notify::theme", G_CALLBACK (count), &notified);
  g_object_set (one, "theme", TARN_THEME_DARK, "class-folder", "/somewhere", NULL);
  while (g_main_context_iteration (NULL, FALSE))
    continue;
  g_assert_cmpuint (tarn_settings_theme (other), ==, TARN_THEME_DARK);
  g_assert_cmpstr (tarn_settings_class_folder (other), ==, "/somewhere");
  g_assert_cmpint (notified, ==, 1);
  g_assert_false (tarn_settings_is_fixed (one, "theme"));

  g_autoptr (GSettings) raw = g_settings_new ("org.tarn.Tarn");
  g_autofree char *nick = g_settings_get_string (raw, "theme");
  g_assert_cmpstr (nick, ==, "dark");
  g_settings_reset (raw, "theme");
  g_settings_reset (raw, "class-folder");
}

static void
assert_holds (TarnSettings *settings)
{
  g_assert_cmpuint (tarn_settings_volume_unit (settings), ==, TARN_VOLUME_ML);
  g_object_set (settings, "volume-unit", TARN_VOLUME_CM3, "cautions-accepted", TRUE,
                "class-folder", NULL, "window-width", 900, NULL);
  g_assert_cmpuint (tarn_settings_volume_unit (settings), ==, TARN_VOLUME_CM3);
  g_assert_true (tarn_settings_cautions_accepted (settings));
  g_assert_cmpstr (tarn_settings_class_folder (settings), ==, "");
  g_assert_cmpstr (tarn_settings_problem (settings), !=, NULL);
  g_assert_true (g_str_has_suffix (tarn_settings_problem (settings), "."));
}

static void
test_no_schema (void)
{
  g_autoptr (TarnSettings) settings = tarn_settings_new (NULL);
  assert_holds (settings);
}

/* As left by another version: asking GSettings for a key that is not there ends a program. */
static void
test_old_schema (void)
{
  g_autofree char *folder = g_dir_make_tmp ("tarn-schema-XXXXXX", NULL);
  g_autofree char *file = g_build_filename (folder, "old.gschema.xml", NULL);
  g_autofree char *compiled = g_build_filename (folder, "gschemas.compiled", NULL);
  g_assert_true (g_file_set_contents (
      file,
      "<schemalist><schema id='org.tarn.Tarn' path='/org/tarn/Tarn/'>"
      "<key name='reduce-motion' type='b'><default>true</default></key></schema></schemalist>",
      -1, NULL));
  const char *argv[] = { "glib-compile-schemas", folder, NULL };
  int status = -1;
  g_autoptr (GError) error = NULL;
  g_spawn_sync (NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, &status,
                &error);
  g_assert_no_error (error);
  g_assert_cmpint (status, ==, 0);
  g_autoptr (GSettingsSchemaSource) source
      = g_settings_schema_source_new_from_directory (folder, NULL, FALSE, &error);
  g_assert_no_error (error);
  g_autoptr (TarnSettings) settings = tarn_settings_new (source);
  assert_holds (settings);
  g_assert_false (tarn_settings_reduce_motion (settings));
  g_remove (file);
  g_remove (compiled);
  g_rmdir (folder);
}

/* A device is no folder for anyone, root included. */
static void
test_read_only_home (void)
{
  if (g_test_subprocess ())
    {
      g_autoptr (TarnSettings) settings
          = tarn_settings_new (g_settings_schema_source_get_default ());
      assert_holds (settings);
      g_assert_nonnull (strstr (tarn_settings_problem (settings), "/dev/null/config"));
      return;
    }
  g_autofree char *before = g_strdup (g_getenv ("XDG_CONFIG_HOME"));
  g_setenv ("XDG_CONFIG_HOME", "/dev/null/config", TRUE);
  g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_INHERIT_STDERR);
  if (before != NULL)
    g_setenv ("XDG_CONFIG_HOME", before, TRUE);
  else
    g_unsetenv ("XDG_CONFIG_HOME");
  g_test_trap_assert_passed ();
}

int
main (int argc, char **argv)
{
  g_setenv ("GSETTINGS_BACKEND", "memory", TRUE);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/settings/defaults-agree", test_defaults_agree);
  g_test_add_func ("/settings/all-keys", test_all_keys);
  g_test_add_func ("/settings/kept-and-told", test_kept_and_told);
  g_test_add_func ("/settings/no-schema", test_no_schema);
  g_test_add_func ("/settings/old-schema", test_old_schema);
  g_test_add_func ("/settings/read-only-home", test_read_only_home);
  return g_test_run ();
}
