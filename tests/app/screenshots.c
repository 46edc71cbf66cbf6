/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * screenshots FOLDER [PAGE…]: walks through one attempt and leaves a picture of every page, at
 * two sizes, light and dark, with texts half as large again, as FOLDER/PAGE-SIZE-THEME.png. Of
 * PAGEs that are named, those alone whose names begin so.
 *
 *     tests/app/in-a-room.sh build/ui build/tests/app/screenshots FOLDER
 *
 * with ROOM_SCREEN=2000x1200x24 and TARN_ANATOMIES at the patients. */
#include "app/editor_import.h"
#include "app/editor_map_window.h"
#include "app/judge_page.h"
#include "app/preferences.h"
#include "app/settings.h"
#include "app/style.h"
#include "app/window.h"
#include "app/window_editor.h"
#include "store/body_labels.h"
#include "store/nrrd.h"

#include <glib/gstdio.h>
#include <gtk/gtk.h>

#define PATIENCE_S 60

static const struct
{
  const char *name;
  int width, height;
  TarnTheme theme;
  double text; /* size of it */
} looks[] = {
  { "1280-light", 1280, 800, TARN_THEME_LIGHT, 1 },
  { "1280-dark", 1280, 800, TARN_THEME_DARK, 1 },
  { "1920-light", 1920, 1080, TARN_THEME_LIGHT, 1 },
  { "1920-dark", 1920, 1080, TARN_THEME_DARK, 1 },
  { "1280-large", 1280, 800, TARN_THEME_LIGHT, 1.5 },
};

static void
live (double seconds)
{
  gint64 end_us = g_get_monotonic_time () + (gint64)(seconds * G_USEC_PER_SEC);
  while (g_get_monotonic_time () < end_us)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      g_usleep (2000);
    }
}

/* What the window shows; NULL in the moment before it is drawn again. */
static GskRenderNode *
node_of (GtkWidget *window)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (window);
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  gdk_paintable_snapshot (paintable, snapshot, gtk_widget_get_width (window),
                          gtk_widget_get_height (window));
  return gtk_snapshot_free_to_node (snapshot);
}

static void
save (GtkWidget *window, const char *path)
{
  int width = gtk_widget_get_width (window), height = gtk_widget_get_height (window);
  GskRenderNode *node = node_of (window);
  for (int k = 0; node == NULL && k < 100; k++)
    {
      live (0.05);
      node = node_of (window);
    }
  GskRenderer *renderer = gtk_native_get_renderer (GTK_NATIVE (window));
  g_autoptr (GdkTexture) texture = gsk_renderer_render_texture (
      renderer, node, &GRAPHENE_RECT_INIT (0, 0, (float)width, (float)height));
  if (!gdk_texture_save_to_png (texture, path))
    g_printerr ("%s: cannot be written\n", path);
  gsk_render_node_unref (node);
}

static GtkWidget *
find (GtkWidget *from, const char *type)
{
  if (g_str_equal (G_OBJECT_TYPE_NAME (from), type))
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* What the next pictures have at their top; NULL: the page as it stands. */
static GtkWidget *part;

static void
scroll_to_part (void)
{
  graphene_point_t corner;
  GtkWidget *scroll
      = part != NULL ? gtk_widget_get_ancestor (part, GTK_TYPE_SCROLLED_WINDOW) : NULL;
  if (scroll == NULL
      || !gtk_widget_compute_point (part, scroll, &GRAPHENE_POINT_INIT (0, 0), &corner))
    return;
  GtkAdjustment *at = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scroll));
  gtk_adjustment_set_value (at, gtk_adjustment_get_value (at) + corner.y - 60);
  live (0.3);
}

static gboolean
is_wanted (char **argv, const char *page)
{
  gboolean wanted = argv[2] == NULL;
  for (char **name = argv + 2; !wanted && *name != NULL; name++)
    wanted = g_str_has_prefix (page, *name);
  return wanted;
}

/* The first @count looks. */
static void
shoot_some (TarnWindow *window, char **argv, const char *page, gsize count)
{
  for (gsize k = 0; is_wanted (argv, page) && k < count; k++)
    {
      g_autofree char *name = g_strdup_printf ("%s-%s.png", page, looks[k].name);
      g_autofree char *path = g_build_filename (argv[1], name, NULL);
      g_object_set (tarn_settings (), "theme", (guint)looks[k].theme, NULL);
      g_object_set (gtk_settings_get_default (), "gtk-xft-dpi",
                    (int)(96 * 1024 * looks[k].text), NULL);
      gtk_window_set_default_size (GTK_WINDOW (window), looks[k].width, looks[k].height);
      live (1.2);
      scroll_to_part ();
      save (GTK_WIDGET (window), path);
    }
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", 96 * 1024, NULL);
}

static void
shoot (TarnWindow *window, char **argv, const char *page)
{
  shoot_some (window, argv, page, G_N_ELEMENTS (looks));
}

static TarnBedside
now (TarnWindow *window)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (tarn_window_run (window));
  return frame->bedside;
}

static void
act (TarnWindow *window, const char *action, GVariant *target)
{
  gtk_widget_activate_action_variant (GTK_WIDGET (tarn_window_bedside (window)), action,
                                      target);
}

static void
give (TarnWindow *window, TarnInputKind kind, int code, int cause)
{
  TarnInput input = { .kind = (uint8_t)kind, .code = (uint8_t)code, .cause = (uint8_t)cause };
  tarn_run_input (tarn_window_run (window), &input);
}

static void
scan (TarnWindow *window)
{
  for (TarnDeed deed = TARN_DEED_HANDS; deed < TARN_DEED_NOTE; deed++)
    if (deed != TARN_DEED_PRIVACY)
      give (window, TARN_INPUT_DEED, deed, 0);
  act (window, "bedside.gel", g_variant_new_double (20));
  act (window, "bedside.down", NULL);
  live (1);
  act (window, "bedside.slide", g_variant_new ("(dd)", 12.0, -38.0));
  act (window, "bedside.tilt", g_variant_new_double (6));
  live (2);
}

static void
wait_for_reading (TarnWindow *window)
{
  gint64 end_us = g_get_monotonic_time () + PATIENCE_S * G_USEC_PER_SEC;
  while (now (window).readings == 0 && g_get_monotonic_time () < end_us)
    live (0.1);
}

static void
finish (TarnWindow *window)
{
  GtkWidget *page = gtk_widget_get_first_child (
      gtk_widget_get_parent (GTK_WIDGET (tarn_window_bedside (window))));
  gint64 end_us = g_get_monotonic_time () + PATIENCE_S * G_USEC_PER_SEC;
  while (page != NULL && !TARN_IS_JUDGE_PAGE (page))
    page = gtk_widget_get_next_sibling (page);
  gint64 began_us = g_get_monotonic_time ();
  g_signal_emit_by_name (page, "finished");
  while (!g_str_equal (tarn_window_page (window), "truth") && g_get_monotonic_time () < end_us)
    live (0.005);
  g_print ("the truth after %.0f ms\n", (double)(g_get_monotonic_time () - began_us) / 1000);
  live (1);
}

/* The letter page by page, then the replay. */
static void
shoot_truth (TarnWindow *window, char **argv, const char *name, gsize count)
{
  static const char *const parts[][2] = { { NULL, "" },
                                          { "TarnBladderCard", "-ledger" },
                                          { "TarnFanGrid", "-planes" },
                                          { "TarnCoachCard", "-next" } };
  GtkWidget *page = find (GTK_WIDGET (window), "TarnTruthPage");
  for (gsize k = 0; k < G_N_ELEMENTS (parts); k++)
    {
      g_autofree char *shot = g_strconcat (name, parts[k][1], NULL);
      part = parts[k][0] != NULL ? find (page, parts[k][0]) : NULL;
      if (part == NULL || gtk_widget_get_mapped (part))
        shoot_some (window, argv, shot, count);
    }
  part = NULL;
}

/* ---- Other ends ---- */

typedef struct
{
  const char *name, *patient;
  TarnPose pose;
  double gel_g;
  TarnRecordKind record;
  TarnJudgementKind judgement;
  gboolean calipers;
} End;

static const End ends[] = {
  { "end-accurate",
    "01-plain-adult",
    { .above_mm = 45, .tilt_rad = 0.1, .force_n = 5 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_USE,
    FALSE },
  { "end-unseen",
    "01-plain-adult",
    { .above_mm = 190, .left_mm = 60, .force_n = 5 },
    20,
    TARN_RECORD_NOT_SEEN,
    TARN_JUDGEMENT_NOT_SEEN,
    FALSE },
  { "end-dry",
    "04-large-abdomen",
    { .above_mm = 30, .tilt_rad = 0.2, .force_n = 6 },
    2,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_DO_NOT_USE,
    FALSE },
  { "end-bone",
    "06-low-behind-the-bone",
    { .above_mm = 10, .force_n = 5 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_AT_LEAST,
    FALSE },
  { "end-gas",
    "22-scar-and-gas",
    { .above_mm = 55, .tilt_rad = 0.1, .force_n = 4 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_USE,
    FALSE },
  { "end-cyst",
    "09-cyst-beside-the-bladder",
    { .above_mm = 110, .left_mm = 30, .tilt_rad = 0.1, .force_n = 5 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_USE,
    FALSE },
  { "end-fluid",
    "08-fluid-in-the-belly",
    { .above_mm = 120, .tilt_rad = 0.1, .force_n = 5 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_USE,
    FALSE },
  { "end-calipers",
    "01-plain-adult",
    { .above_mm = 45, .tilt_rad = 0.1, .force_n = 5 },
    20,
    TARN_RECORD_EXACT,
    TARN_JUDGEMENT_USE,
    TRUE },
  { "end-stop",
    "32-she-said-no",
    { 0 },
    0,
    TARN_RECORD_NONE,
    TARN_JUDGEMENT_NOT_TO_BE_SCANNED,
    FALSE },
};

static void
measure (TarnRun *run)
{
  static const double ends_mm[TARN_CALIPERS][4]
      = { { -38, 80, 38, 80 }, { 0, 50, 0, 110 }, { -35, 85, 40, 75 } };
  tarn_run_do (run, TARN_INPUT_FREEZE, 1, 0);
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      TarnInput set = { .kind = TARN_INPUT_CALIPER, .code = (uint8_t)k };
      for (int j = 0; j < 4; j++)
        set.value[j] = ends_mm[k][j];
      tarn_run_input (run, &set);
    }
  tarn_run_do (run, TARN_INPUT_MEASURE, 0, 0.52);
  tarn_run_advance_ticks (run, 1);
}

static void
come_to (TarnWindow *window, const End *end)
{
  TarnRun *run = tarn_window_run (window);
  TarnPose lifted = end->pose;
  lifted.force_n = 0;
  tarn_run_hand (run, &lifted);
  tarn_run_advance_ticks (run, 60);
  tarn_run_do (run, TARN_INPUT_GEL, 0, end->gel_g);
  tarn_run_advance_ticks (run, 1);
  tarn_run_hand (run, &end->pose);
  tarn_run_advance_ticks (run, 90);
  if (end->calipers)
    measure (run);
  else
    tarn_run_do (run, TARN_INPUT_SWEEP, 0, 0);
  tarn_run_advance_ticks (run, 4 * TARN_TICKS_PER_SECOND);
}

static void
shoot_end (TarnWindow *window, char **argv, const End *end)
{
  gboolean scans = end->record != TARN_RECORD_NONE;
  g_autofree char *name = g_strconcat (end->patient, ".anatomy", NULL);
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  const TarnInput judged = { .kind = TARN_INPUT_JUDGE,
                             .code = (uint8_t)end->judgement,
                             .cause = TARN_VERDICT_POOR_CONTACT,
                             .reading = scans ? 0 : -1 };
  if (!is_wanted (argv, end->name) || !tarn_window_begin (window, file, TARN_MODE_PRACTICE, 0))
    return;
  if (scans)
    come_to (window, end);
  tarn_run_input (tarn_window_run (window), &judged);
  if (scans)
    give (window, TARN_INPUT_RECORD, end->record, 0);
  live (0.5);
  finish (window);
  shoot_truth (window, argv, end->name, 2);
}

/* With advice, from where there is something to gain. */
static void
shoot_guided (TarnWindow *window, char **argv)
{
  const End end = { .pose = { .above_mm = 20, .left_mm = 10, .force_n = 4 }, .gel_g = 20 };
  g_autofree char *path
      = g_build_filename (g_getenv ("TARN_ANATOMIES"), "03-slim-young-adult.anatomy", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  if (!is_wanted (argv, "guided") || !tarn_window_begin (window, file, TARN_MODE_GUIDED, 0))
    return;
  tarn_run_do (tarn_window_run (window), TARN_INPUT_GEL, 0, end.gel_g);
  act (window, "bedside.down", NULL);
  act (window, "bedside.slide", g_variant_new ("(dd)", -20.0, 25.0));
  live (4);
  shoot (window, argv, "guided");
}

/* ---- The editor ---- */

/* A coarse map of @patient's body. */
static void
write_map (const TarnPatient *patient, const char *path)
{
  TarnBody *body;
  TarnLabelMap map;
  if (tarn_body_new (patient, 0, &body, NULL) != TARN_OK)
    return;
  if (tarn_body_labels (body, 4, NULL, &map))
    {
      tarn_nrrd_save (&map, path, NULL, NULL);
      tarn_label_map_clear (&map);
    }
  tarn_body_free (body);
}

/* A dialog in every look, and away with it. */
static void
shoot_dialog (GtkWidget *dialog, char **argv, const char *what)
{
  for (gsize k = 0; k < G_N_ELEMENTS (looks); k++)
    {
      g_autofree char *name = g_strdup_printf ("%s-%s.png", what, looks[k].name);
      g_autofree char *shot = g_build_filename (argv[1], name, NULL);
      g_object_set (tarn_settings (), "theme", (guint)looks[k].theme, NULL);
      g_object_set (gtk_settings_get_default (), "gtk-xft-dpi",
                    (int)(96 * 1024 * looks[k].text), NULL);
      live (1.2);
      save (dialog, shot);
    }
  gtk_window_destroy (GTK_WINDOW (dialog));
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", 96 * 1024, NULL);
}

static void
shoot_map (TarnEditorPage *page, char **argv)
{
  g_autoptr (GListModel) windows = g_object_ref (gtk_window_get_toplevels ());
  gtk_widget_activate_action (GTK_WIDGET (page), "editor.map", NULL);
  for (guint k = 0; k < g_list_model_get_n_items (windows); k++)
    {
      g_autoptr (GtkWidget) each = g_list_model_get_item (windows, k);
      if (TARN_IS_EDITOR_MAP_WINDOW (each))
        {
          shoot_dialog (each, argv, "editor-map");
          return;
        }
    }
}

static void
shoot_import (TarnEditorPage *page, char **argv)
{
  g_autofree char *folder = g_dir_make_tmp ("tarn-shots-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "from-a-segmentation.nrrd", NULL);
  write_map (tarn_editor_draft_patient (tarn_editor_page_draft (page)), path);
  GtkWidget *dialog = tarn_editor_page_import (page, path);
  shoot_dialog (dialog, argv, "editor-import");
  g_unlink (path);
  g_rmdir (folder);
}

/* A trap in work: a cyst beside the bladder, chosen; then the dialog for label maps. */
static void
shoot_editor (TarnWindow *window, char **argv, const char *patient_path)
{
  if (!is_wanted (argv, "editor"))
    return;
  tarn_window_show_page (window, "library"); /* not from within an attempt */
  gtk_widget_activate_action (GTK_WIDGET (window), "window.editor", NULL);
  TarnEditorPage *page = tarn_window_editor_page (window);
  tarn_editor_page_open (page, patient_path);
  live (1);
  shoot_some (window, argv, "editor-story", 1);
  tarn_editor_draft_add_structure (tarn_editor_page_draft (page), TARN_STRUCTURE_CYST,
                                   tarn_vec3 (30, 70, 150), tarn_vec3 (22, 20, 24));
  g_signal_emit_by_name (find (GTK_WIDGET (page), "TarnEditorForm"), "chosen", 0);
  live (10);
  shoot (window, argv, "editor");
  shoot_map (page, argv);
  shoot_import (page, argv);
}

int
main (int argc, char **argv)
{
  if (argc < 2)
    {
      g_printerr ("usage: screenshots FOLDER [PAGE…]\n");
      return 2;
    }
  gtk_init ();
  g_object_set (tarn_settings (), "reduce-motion", TRUE, NULL);
  g_autoptr (TarnApplication) application = tarn_application_new (G_APPLICATION_NON_UNIQUE);
  g_application_register (G_APPLICATION (application), NULL, NULL);
  TarnWindow *window = tarn_window_new (application);
  g_autofree char *path
      = g_build_filename (g_getenv ("TARN_ANATOMIES"), "05-off-the-midline.anatomy", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);

  gtk_window_present (GTK_WINDOW (window));
  shoot (window, argv, "cautions");
  g_object_set (tarn_settings (), "cautions-accepted", TRUE, NULL);
  tarn_window_show_page (window, "library"); /* as the button does */
  tarn_window_open_file (window, file);
  shoot (window, argv, "briefing");
  gtk_widget_activate_action (GTK_WIDGET (window), "window.back", NULL);
  shoot (window, argv, "library");
  if (!tarn_window_begin (window, file, TARN_MODE_PRACTICE, 3))
    return 1;
  shoot (window, argv, "bedside-covered");
  scan (window);
  shoot (window, argv, "bedside");
  act (window, "bedside.sweep", NULL);
  wait_for_reading (window);
  shoot (window, argv, "swept");
  act (window, "bedside.judge", NULL);
  shoot (window, argv, "judge");
  give (window, TARN_INPUT_JUDGE, TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_CLIPPED);
  give (window, TARN_INPUT_RECORD, TARN_RECORD_EXACT, 0);
  give (window, TARN_INPUT_DEED, TARN_DEED_NOTE, 0);
  live (1);
  finish (window);
  shoot_truth (window, argv, "truth", G_N_ELEMENTS (looks));
  gtk_widget_activate_action (find (GTK_WIDGET (window), "TarnTruthPage"), "truth.replay",
                              NULL);
  live (3);
  shoot (window, argv, "truth-replay");
  for (gsize k = 0; k < G_N_ELEMENTS (ends); k++)
    shoot_end (window, argv, &ends[k]);
  shoot_guided (window, argv);
  shoot_editor (window, argv, path);
  gtk_window_destroy (GTK_WINDOW (window));
  live (0.2);
  return 0;
}
