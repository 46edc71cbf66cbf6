/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The map lies through the best pose; whoever points at it takes over what it holds still. */
#include "app/editor_map_window.h"

#include "app/chosen_units.h"
#include "app/ledger_view.h"
#include "app/style.h"
#include "app/window_words.h"
#include "app/words.h"

#include <glib/gi18n.h>
#include <math.h>

struct _TarnEditorMapWindow
{
  GtkWindow parent_instance;
  GtkWidget *map, *word;
  TarnEditorSurvey *survey;
  TarnWindowMap words;
  char *best, *by_place, *by_tilt;
  TarnPose pose;
};

G_DEFINE_FINAL_TYPE (TarnEditorMapWindow, tarn_editor_map_window, GTK_TYPE_WINDOW)

static guint posed_signal;

static gboolean
has_map (TarnEditorMapWindow *self)
{
  return self->survey != NULL && self->survey->status == TARN_OK;
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnEditorMapWindow *self = data;
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  if (!has_map (self))
    return;
  TarnWindowMap map = self->words;
  map.here_pose = self->pose;
  tarn_window_map_draw (cr, width, height, &map, &paper);
}

/* ---- The test pose ---- */

static void
put (TarnEditorMapWindow *self, const TarnPose *pose)
{
  self->pose = *pose;
  gtk_widget_queue_draw (self->map);
  g_signal_emit (self, posed_signal, 0);
}

static void
on_pressed (GtkGestureClick *click, int presses, double x, double y, TarnEditorMapWindow *self)
{
  TarnPaper paper = tarn_paper_of_widget (self->map);
  TarnPose pose;
  (void)click, (void)presses;
  gtk_widget_grab_focus (self->map);
  if (has_map (self)
      && tarn_window_map_pose_at (gtk_widget_get_width (self->map),
                                  gtk_widget_get_height (self->map), &self->words, &paper, x, y,
                                  &pose))
    put (self, &pose);
}

/* To the middle of the next cell of the axis. */
static double
stepped (const TarnWindowAxis *axis, double value, int way)
{
  double cell = round ((value - axis->first) / axis->step) + way;
  return axis->first + axis->step * CLAMP (cell, 0, axis->count - 1);
}

static gboolean
on_key (GtkEventControllerKey *keys, guint key, guint code, GdkModifierType state,
        TarnEditorMapWindow *self)
{
  (void)keys, (void)code;
  if (!has_map (self) || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  const TarnAcousticWindow *window = &self->survey->window;
  TarnPose pose = window->best; /* with its force, lean and turn */
  pose.above_mm = self->pose.above_mm;
  pose.left_mm = self->pose.left_mm;
  pose.tilt_rad = self->pose.tilt_rad;
  switch (key)
    {
    case GDK_KEY_Up:
    case GDK_KEY_Down:
      pose.above_mm = stepped (&window->above, pose.above_mm, key == GDK_KEY_Up ? 1 : -1);
      break;
    case GDK_KEY_Left:
    case GDK_KEY_Right:
      pose.left_mm = stepped (&window->left, pose.left_mm, key == GDK_KEY_Right ? 1 : -1);
      break;
    case GDK_KEY_Page_Up:
    case GDK_KEY_Page_Down:
      pose.tilt_rad = stepped (&window->tilt, pose.tilt_rad, key == GDK_KEY_Page_Down ? 1 : -1);
      break;
    case GDK_KEY_Home:
      pose = window->best;
      break;
    default:
      return FALSE;
    }
  put (self, &pose);
  return TRUE;
}

const TarnPose *
tarn_editor_map_window_pose (TarnEditorMapWindow *self, double *lift)
{
  *lift = has_map (self) ? self->survey->window.best_lift : 0;
  return &self->pose;
}

void
tarn_editor_map_window_set_pose (TarnEditorMapWindow *self, const TarnPose *pose)
{
  g_return_if_fail (TARN_IS_EDITOR_MAP_WINDOW (self));
  self->pose = *pose;
  gtk_widget_queue_draw (self->map);
}

/* ---- What is shown ---- */

static void
forget_words (TarnEditorMapWindow *self)
{
  g_clear_pointer (&self->best, g_free);
  g_clear_pointer (&self->by_place, g_free);
  g_clear_pointer (&self->by_tilt, g_free);
}

/* What the map shows, for who cannot see it. */
static void
describe (TarnEditorMapWindow *self)
{
  const TarnAcousticWindow *window = &self->survey->window;
  const TarnUnits units = tarn_chosen_units ();
  g_autofree char *above = tarn_words_length (window->above_mm, &units);
  g_autofree char *left = tarn_words_length (window->left_mm, &units);
  g_autofree char *said
      = window->open
            /* Translators: sizes of the acoustic window, then the best pose in words. */
            ? g_strdup_printf (_ ("Open over %s along the body, %s across, %.0f° of tilt. "
                                  "Best pose: %s."),
                               above, left, window->tilt_rad * 180 / G_PI, self->best)
            : g_strdup (_ ("Closed: no pose that was tried reads accurately."));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->map),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, said, -1);
}

void
tarn_editor_map_window_show (TarnEditorMapWindow *self, TarnEditorSurvey *survey,
                             const TarnPatient *patient, gboolean current)
{
  g_return_if_fail (TARN_IS_EDITOR_MAP_WINDOW (self));
  const TarnUnits units = tarn_chosen_units ();
  if (survey != NULL)
    tarn_editor_survey_ref (survey);
  g_clear_pointer (&self->survey, tarn_editor_survey_unref);
  self->survey = survey;
  gtk_widget_set_opacity (self->map, current ? 1 : 0.6);
  gtk_label_set_text (
      GTK_LABEL (self->word),
      survey != NULL && !has_map (self)
          ? _ ("There is no such body yet.")
          : _ (
              "Point at a cell, or press the arrows, Page Up and Page Down: the test pose goes "
              "there, and the plane shows what it sees. Home: the best pose."));
  gtk_widget_queue_draw (self->map);
  if (!has_map (self))
    return;
  forget_words (self);
  self->best = tarn_words_pose (&survey->window.best, &units);
  self->by_place = tarn_window_words_by_place (&survey->window);
  self->by_tilt = tarn_window_words_by_tilt (&survey->window);
  tarn_window_words (&self->words, &survey->window, patient, self->by_place, self->by_tilt);
  self->words.here = _ ("test pose");
  describe (self);
}

/* ---- The window ---- */

static void
tarn_editor_map_window_init (TarnEditorMapWindow *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkGesture *click = gtk_gesture_click_new ();

  gtk_window_set_title (GTK_WINDOW (self), _ ("Acoustic window"));
  gtk_window_set_default_size (GTK_WINDOW (self), 760, 500);
  gtk_window_set_child (GTK_WINDOW (self), box);
  self->map = gtk_drawing_area_new ();
  gtk_widget_set_vexpand (self->map, TRUE);
  gtk_widget_set_focusable (self->map, TRUE);
  gtk_widget_set_size_request (self->map, 560, 380);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->map), draw, self, NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->map), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Map of the acoustic window"), -1);
  gtk_box_append (GTK_BOX (box), self->map);
  self->word = gtk_label_new ("");
  gtk_label_set_wrap (GTK_LABEL (self->word), TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->word), 0);
  gtk_widget_add_css_class (self->word, "tarn-quiet");
  gtk_widget_set_margin_start (self->word, 24);
  gtk_widget_set_margin_end (self->word, 24);
  gtk_widget_set_margin_bottom (self->word, 18);
  gtk_box_append (GTK_BOX (box), self->word);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (self->map, keys);
  g_signal_connect (click, "pressed", G_CALLBACK (on_pressed), self);
  gtk_widget_add_controller (self->map, GTK_EVENT_CONTROLLER (click));
}

GtkWidget *
tarn_editor_map_window_new (GtkWindow *parent)
{
  TarnEditorMapWindow *self = g_object_new (TARN_TYPE_EDITOR_MAP_WINDOW, "transient-for",
                                            parent, "destroy-with-parent", TRUE, NULL);
  tarn_style_adopt (GTK_WINDOW (self));
  gtk_widget_grab_focus (self->map);
  return GTK_WIDGET (self);
}

static void
tarn_editor_map_window_finalize (GObject *object)
{
  TarnEditorMapWindow *self = TARN_EDITOR_MAP_WINDOW (object);
  g_clear_pointer (&self->survey, tarn_editor_survey_unref);
  forget_words (self);
  G_OBJECT_CLASS (tarn_editor_map_window_parent_class)->finalize (object);
}

static void
tarn_editor_map_window_class_init (TarnEditorMapWindowClass *class)
{
  G_OBJECT_CLASS (class)->finalize = tarn_editor_map_window_finalize;
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (class), GDK_KEY_Escape, 0,
                                       "window.close", NULL);
  posed_signal = g_signal_new ("posed", TARN_TYPE_EDITOR_MAP_WINDOW, G_SIGNAL_RUN_LAST, 0, NULL,
                               NULL, NULL, G_TYPE_NONE, 0);
}
