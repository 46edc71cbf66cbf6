/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The patient in 3-D as a widget: that it draws, with OpenGL and without, the same; what the
 * pointer finds; what it says of itself. */
#include "app/body_view.h"
#include "engine/scene/scene.h"

#include <gtk/gtk.h>
#include <math.h>
#include <string.h>

#define WIDTH  360
#define HEIGHT 300

typedef struct
{
  GtkWidget *window;
  TarnBodyView *view;
  TarnBody *body;
  TarnScene *scene;
} Rig;

static TarnScenePicture *
picture_of (Rig *rig)
{
  static TarnContact contact;
  static TarnDeform deform;
  TarnPose pose = { .above_mm = 55, .force_n = 8 };
  g_assert_cmpint (tarn_contact_solve (rig->body, &pose, NULL, &contact), ==, TARN_OK);
  tarn_deform_init (&deform, rig->body, &contact);
  TarnSceneView view = { .body = rig->body,
                         .contact = &contact,
                         .deform = &deform,
                         .on_skin = true,
                         .uncovered = true };
  g_assert_cmpint (tarn_scene_update (rig->scene, &view), ==, TARN_OK);
  TarnSceneMesh mesh = tarn_scene_mesh (rig->scene);
  return tarn_scene_picture_new (&mesh);
}

static Rig *
rig_new (gboolean without_gl)
{
  Rig *rig = g_new0 (Rig, 1);
  TarnPatient patient = tarn_patient_default ();
  g_assert_cmpint (tarn_body_new (&patient, 0, &rig->body, NULL), ==, TARN_OK);
  rig->scene = tarn_scene_new ();
  if (without_gl)
    g_setenv ("TARN_NO_GL", "1", TRUE);
  rig->view = TARN_BODY_VIEW (tarn_body_view_new ());
  g_unsetenv ("TARN_NO_GL");
  rig->window = gtk_window_new ();
  gtk_window_set_decorated (GTK_WINDOW (rig->window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (rig->window), WIDTH, HEIGHT);
  gtk_window_set_child (GTK_WINDOW (rig->window), GTK_WIDGET (rig->view));
  gtk_window_present (GTK_WINDOW (rig->window));
  gtk_test_widget_wait_for_draw (GTK_WIDGET (rig->view));
  return rig;
}

static void
rig_free (Rig *rig)
{
  gtk_window_destroy (GTK_WINDOW (rig->window));
  tarn_scene_free (rig->scene);
  tarn_body_free (rig->body);
  g_free (rig);
}

static gboolean
over (gpointer data)
{
  *(gboolean *)data = TRUE;
  return G_SOURCE_REMOVE;
}

static void
wait_ms (guint ms)
{
  gboolean done = FALSE;
  g_timeout_add (ms, over, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
}

/* What the widget shows now: BGRA, WIDTH × HEIGHT; NULL while it shows nothing. */
static guchar *
look (Rig *rig)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (GTK_WIDGET (rig->view));
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  gdk_paintable_snapshot (paintable, snapshot, WIDTH, HEIGHT);
  g_autoptr (GskRenderNode) node = gtk_snapshot_free_to_node (snapshot);
  if (node == NULL)
    return NULL;
  GskRenderer *renderer = gtk_native_get_renderer (GTK_NATIVE (rig->window));
  g_autoptr (GdkTexture) texture
      = gsk_renderer_render_texture (renderer, node, &GRAPHENE_RECT_INIT (0, 0, WIDTH, HEIGHT));
  guchar *pixels = g_malloc0 (4 * WIDTH * HEIGHT);
  gdk_texture_download (texture, pixels, 4 * WIDTH);
  return pixels;
}

/* The same once it has come to rest, however slow the machine. */
static guchar *
shot (Rig *rig)
{
  wait_ms (700);
  guchar *before = look (rig);
  for (int k = 0; k < 40; k++)
    {
      wait_ms (400);
      guchar *after = look (rig);
      bool rests
          = before != NULL && after != NULL && memcmp (before, after, 4 * WIDTH * HEIGHT) == 0;
      g_free (before);
      before = after;
      if (rests)
        break;
    }
  g_assert_nonnull (before);
  return before;
}

static double
difference (const guchar *a, const guchar *b)
{
  double sum = 0;
  for (int k = 0; k < 4 * WIDTH * HEIGHT; k++)
    sum += k % 4 == 3 ? 0 : abs (a[k] - b[k]);
  return sum / (3.0 * WIDTH * HEIGHT);
}

static void
draws_alike (void)
{
  guchar *seen[2][2];
  for (int k = 0; k < 2; k++)
    {
      Rig *rig = rig_new (k == 1);
      if (k == 1)
        g_assert_nonnull (tarn_body_view_get_notice (rig->view));
      seen[k][0] = shot (rig);
      g_autoptr (TarnScenePicture) picture = picture_of (rig);
      tarn_body_view_set_scene (rig->view, picture);
      seen[k][1] = shot (rig);
      rig_free (rig);
    }
  for (int k = 0; k < 2; k++)
    g_assert_cmpfloat (difference (seen[k][0], seen[k][1]), >, 30); /* of 255: something */
  g_assert_cmpfloat (difference (seen[0][0], seen[1][0]), <, 1);
  g_assert_cmpfloat (difference (seen[0][1], seen[1][1]), <, 4); /* edges, and highlights */
  for (int k = 0; k < 4; k++)
    g_free (seen[k / 2][k % 2]);
}

static void
actions_turn (void)
{
  Rig *rig = rig_new (TRUE);
  static const char *const names[] = { "view.above",    "view.feet",       "view.nearer",
                                       "view.farther",  "view.orbit-left", "view.orbit-right",
                                       "view.orbit-up", "view.orbit-down", "view.bedside" };
  /* Without a patient there is nothing to turn. */
  for (size_t k = 0; k < G_N_ELEMENTS (names); k++)
    g_assert_true (gtk_widget_activate_action (GTK_WIDGET (rig->view), names[k], NULL));
  g_autoptr (TarnScenePicture) picture = picture_of (rig);
  tarn_body_view_set_scene (rig->view, picture);
  guchar *before = shot (rig);
  for (size_t k = 0; k < 3; k++)
    {
      g_assert_true (gtk_widget_activate_action (GTK_WIDGET (rig->view), names[k], NULL));
      guchar *after = shot (rig);
      g_assert_cmpfloat (difference (before, after), >, 4);
      g_free (before);
      before = after;
    }
  g_free (before);
  rig_free (rig);
}

/* ---- The pointer ---- */

typedef struct
{
  int begun, moved, ended, modifiers;
  double above_mm, left_mm, dx, dy;
} Felt;

static void
on_begin (TarnBodyView *view, double above_mm, double left_mm, guint modifiers, Felt *felt)
{
  (void)view;
  felt->begun++;
  felt->modifiers = (int)modifiers;
  felt->above_mm = above_mm;
  felt->left_mm = left_mm;
}

static void
on_move (TarnBodyView *view, double dx, double dy, double above_mm, double left_mm,
         guint modifiers, Felt *felt)
{
  (void)view;
  felt->moved++;
  felt->modifiers = (int)modifiers;
  felt->dx = dx;
  felt->dy = dy;
  felt->above_mm = above_mm;
  felt->left_mm = left_mm;
}

static void
on_end (TarnBodyView *view, Felt *felt)
{
  (void)view;
  felt->ended++;
}

static GtkGesture *
drag_of (TarnBodyView *view)
{
  GtkGesture *found = NULL;
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (GTK_WIDGET (view));
  for (guint k = 0; k < g_list_model_get_n_items (all); k++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (all, k);
      if (GTK_IS_GESTURE_DRAG (controller))
        found = GTK_GESTURE (controller);
    }
  g_assert_nonnull (found);
  return found;
}

/* Where a place of the skin, or what is so far above it, appears in the widget. */
static void
appears (Rig *rig, const TarnSceneMesh *mesh, double above, double left, double over_mm,
         double *x, double *y)
{
  TarnVec3 p, n;
  float m[16];
  double clip[4];
  double width = gtk_widget_get_width (GTK_WIDGET (rig->view));
  double height = gtk_widget_get_height (GTK_WIDGET (rig->view));
  g_assert_true (tarn_body_skin_at (rig->body, above, left, &p, &n));
  p = tarn_add_scaled (p, n, -over_mm);
  tarn_camera_matrix (&mesh->preset[TARN_CAMERA_BEDSIDE], width / height, m);
  for (int k = 0; k < 4; k++)
    clip[k] = (double)m[k] * p.x + (double)m[4 + k] * p.y + (double)m[8 + k] * p.z
              + (double)m[12 + k];
  *x = (clip[0] / clip[3] + 1) / 2 * width;
  *y = (1 - clip[1] / clip[3]) / 2 * height;
}

static void
pointer_finds (void)
{
  Rig *rig = rig_new (TRUE);
  Felt felt = { 0 };
  double x, y;
  g_signal_connect (rig->view, "grab-begin", G_CALLBACK (on_begin), &felt);
  g_signal_connect (rig->view, "grab-move", G_CALLBACK (on_move), &felt);
  g_signal_connect (rig->view, "grab-end", G_CALLBACK (on_end), &felt);
  g_autoptr (TarnScenePicture) picture = picture_of (rig);
  tarn_body_view_set_scene (rig->view, picture);
  GtkGesture *drag = drag_of (rig->view);

  /* On bare skin, away from the dent. */
  appears (rig, tarn_scene_picture_mesh (picture), 110, -60, 0, &x, &y);
  g_signal_emit_by_name (drag, "drag-begin", x, y);
  g_assert_cmpint (felt.begun, ==, 1);
  g_assert_cmpfloat (hypot (felt.above_mm - 110, felt.left_mm + 60), <, 4); /* relief */
  g_signal_emit_by_name (drag, "drag-end", 0.0, 0.0);
  g_assert_cmpint (felt.ended, ==, 1);

  /* By the top of the probe's handle: the place that is meant is the one below the probe. */
  appears (rig, tarn_scene_picture_mesh (picture), 55, 0, 105, &x, &y);
  g_signal_emit_by_name (drag, "drag-begin", x, y);
  g_assert_cmpint (felt.begun, ==, 2);
  g_assert_cmpfloat (hypot (felt.above_mm - 55, felt.left_mm), <, 4);
  g_signal_emit_by_name (drag, "drag-end", 0.0, 0.0);

  /* In the empty corner there is no skin: that drag turns the view. */
  g_signal_emit_by_name (drag, "drag-begin", 2.0, 2.0);
  g_signal_emit_by_name (drag, "drag-update", 30.0, 0.0);
  g_signal_emit_by_name (drag, "drag-end", 30.0, 0.0);
  g_assert_cmpint (felt.begun, ==, 2);
  g_assert_cmpint (felt.moved, ==, 0);
  rig_free (rig);
}

static void
says_what_it_is (void)
{
  Rig *rig = rig_new (TRUE);
  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (rig->view), GTK_ACCESSIBLE_ROLE_IMG);
  gtk_accessible_update_property (GTK_ACCESSIBLE (rig->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  "The patient", -1);
  gtk_test_accessible_assert_property (rig->view, GTK_ACCESSIBLE_PROPERTY_LABEL, "The patient");
  g_assert_cmpstr (gtk_widget_get_css_name (GTK_WIDGET (rig->view)), ==, "bodyview");
  g_autofree char *notice = NULL;
  g_object_get (rig->view, "notice", &notice, NULL);
  g_assert_cmpstr (notice, ==, tarn_body_view_get_notice (rig->view));
  tarn_body_view_set_scene (rig->view, NULL);
  rig_free (rig);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/body-view/draws-alike", draws_alike);
  g_test_add_func ("/body-view/actions-turn", actions_turn);
  g_test_add_func ("/body-view/pointer-finds", pointer_finds);
  g_test_add_func ("/body-view/says-what-it-is", says_what_it_is);
  return g_test_run ();
}
