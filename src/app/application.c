/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The program. */
#include "app/application.h"

#include "app/about.h"
#include "app/bench_mode.h"
#include "app/preferences.h"
#include "app/settings.h"
#include "app/style.h"
#include "app/window.h"

#include <glib/gi18n.h>

struct _TarnApplication
{
  GtkApplication parent;
  gint64 seed; /* of the command line; -1: none */
  char *bench; /* where the benchmark's table goes; NULL: no benchmark */
};

G_DEFINE_FINAL_TYPE (TarnApplication, tarn_application, GTK_TYPE_APPLICATION)

static gint64 started_us; /* set once, by the first application */

static const GOptionEntry options[] = {
  { "seed", 0, 0, G_OPTION_ARG_INT64, NULL, N_ ("Seed of attempts, so that they repeat"),
    N_ ("NUMBER") },
  { "bench", 0, 0, G_OPTION_ARG_FILENAME, NULL,
    N_ ("Measure frames in a running window, write a table to FILE and quit"), N_ ("FILE") },
  { "version", 'v', 0, G_OPTION_ARG_NONE, NULL, N_ ("Print the version and quit"), NULL },
  { NULL },
};

static TarnWindow *
the_window (TarnApplication *self)
{
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (self));
  for (GList *item = gtk_application_get_windows (GTK_APPLICATION (self));
       item != NULL && !TARN_IS_WINDOW (window); item = item->next)
    window = item->data;
  return TARN_IS_WINDOW (window) ? TARN_WINDOW (window) : tarn_window_new (self);
}

static void
tarn_application_activate (GApplication *application)
{
  TarnApplication *self = TARN_APPLICATION (application);
  TarnWindow *window = the_window (self);
  gtk_window_present (GTK_WINDOW (window));
  if (self->bench != NULL)
    tarn_bench_mode_start (window, self->bench);
}

static void
tarn_application_open (GApplication *application, GFile **files, int count, const char *hint)
{
  TarnWindow *window = the_window (TARN_APPLICATION (application));
  (void)hint;
  gtk_window_present (GTK_WINDOW (window));
  if (count > 0)
    tarn_window_open_file (window, files[0]);
}

static int
tarn_application_handle_local_options (GApplication *application, GVariantDict *given)
{
  TarnApplication *self = TARN_APPLICATION (application);
  if (g_variant_dict_contains (given, "version"))
    {
      g_print ("tarn %s\n", TARN_VERSION);
      return 0;
    }
  (void)g_variant_dict_lookup (given, "seed", "x", &self->seed);
  (void)g_variant_dict_lookup (given, "bench", "^ay", &self->bench);
  return -1;
}

guint64
tarn_application_draw_seed (TarnApplication *self)
{
  return self->seed >= 0 ? (guint64)self->seed : (guint64)g_random_int () + 1;
}

gint64
tarn_application_started_us (void)
{
  return started_us;
}

/* ---- Actions ---- */

static void
show_preferences (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  (void)action;
  (void)parameter;
  GtkWidget *window = tarn_preferences_new (GTK_WINDOW (the_window (data)));
  gtk_window_present (GTK_WINDOW (window));
}

static void
show_about (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  (void)action;
  (void)parameter;
  tarn_about_show (GTK_WINDOW (the_window (data)));
}

static void
quit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  (void)action;
  (void)parameter;
  gtk_window_close (GTK_WINDOW (the_window (data)));
}

static void
tarn_application_startup (GApplication *application)
{
  static const GActionEntry actions[] = {
    { .name = "preferences", .activate = show_preferences },
    { .name = "about", .activate = show_about },
    { .name = "quit", .activate = quit },
  };
  G_APPLICATION_CLASS (tarn_application_parent_class)->startup (application);
  GtkApplication *app = GTK_APPLICATION (application);
  g_action_map_add_action_entries (G_ACTION_MAP (app), actions, G_N_ELEMENTS (actions), app);
  gtk_application_set_accels_for_action (app, "app.preferences",
                                         (const char *[]){ "<Control>comma", NULL });
  gtk_application_set_accels_for_action (app, "app.quit",
                                         (const char *[]){ "<Control>q", NULL });
  gtk_application_set_accels_for_action (app, "win.show-help-overlay",
                                         (const char *[]){ "F1", "<Control>question", NULL });
  gtk_window_set_default_icon_name (TARN_APPLICATION_ID);
  tarn_style_start (tarn_settings ());
}

static void
tarn_application_finalize (GObject *object)
{
  g_free (TARN_APPLICATION (object)->bench);
  G_OBJECT_CLASS (tarn_application_parent_class)->finalize (object);
}

static void
tarn_application_class_init (TarnApplicationClass *class)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (class);
  G_OBJECT_CLASS (class)->finalize = tarn_application_finalize;
  application_class->activate = tarn_application_activate;
  application_class->open = tarn_application_open;
  application_class->startup = tarn_application_startup;
  application_class->handle_local_options = tarn_application_handle_local_options;
}

static void
tarn_application_init (TarnApplication *self)
{
  self->seed = -1;
  if (started_us == 0)
    started_us = g_get_monotonic_time ();
  g_application_add_main_option_entries (G_APPLICATION (self), options);
  g_application_set_option_context_parameter_string (G_APPLICATION (self),
                                                     _ ("[PATIENT.anatomy]"));
}

TarnApplication *
tarn_application_new (GApplicationFlags flags)
{
  return g_object_new (TARN_TYPE_APPLICATION, "application-id", TARN_APPLICATION_ID, "flags",
                       flags | G_APPLICATION_HANDLES_OPEN, "resource-base-path",
                       "/org/tarn/Tarn", NULL);
}
