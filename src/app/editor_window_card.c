/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/editor_window_card.h"

#include "app/chosen_units.h"
#include "app/ledger_view.h"
#include "app/words.h"
#include "report/paper.h"

#include <glib/gi18n.h>
#include <math.h>

#define BAR_PX     12
#define LINE_PX    20
#define SHARES_MAX TARN_VERDICTS

struct _TarnEditorWindowCard
{
  GtkWidget parent_instance;
  GtkWidget *box, *state, *main, *best, *bars, *draws, *map;
  TarnEditorSurvey *survey;
};

G_DEFINE_FINAL_TYPE (TarnEditorWindowCard, tarn_editor_window_card, GTK_TYPE_WIDGET)

/* ---- Bars ---- */

static TarnMark
mark_of (TarnVerdict verdict)
{
  static const TarnMark mark[TARN_VERDICTS] = {
    [TARN_VERDICT_ACCURATE] = TARN_MARK_MEASURED,
    [TARN_VERDICT_CLIPPED] = TARN_MARK_EDGE,
    [TARN_VERDICT_SHADOWED] = TARN_MARK_SHADOW,
    [TARN_VERDICT_POOR_CONTACT] = TARN_MARK_CONTACT,
    [TARN_VERDICT_MOVED] = TARN_MARK_MOTION,
    [TARN_VERDICT_WRONG_FLUID] = TARN_MARK_OTHER_FLUID,
    [TARN_VERDICT_UNEXPLAINED] = TARN_MARK_REST,
    [TARN_VERDICT_NOT_ACCURATE] = TARN_MARK_REST,
  };
  return mark[verdict];
}

/* Verdicts with a share, accurate first, then the largest.  Returns how many. */
static int
shares_of (const TarnAcousticWindow *window, TarnVerdict verdict[SHARES_MAX])
{
  int count = 0;
  for (int k = 0; k < TARN_VERDICTS; k++)
    {
      if (k != TARN_VERDICT_ACCURATE && window->share[k] < 0.005)
        continue;
      int at = count++;
      for (; at > 1 && window->share[verdict[at - 1]] < window->share[k]; at--)
        verdict[at] = verdict[at - 1];
      verdict[at] = (TarnVerdict)k;
    }
  return count;
}

static void
draw_bars (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnEditorWindowCard *self = data;
  TarnVerdict verdict[SHARES_MAX];
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  double size = tarn_paper_text_size (&paper);
  (void)height;
  if (self->survey == NULL || self->survey->status != TARN_OK)
    return;
  int count = shares_of (&self->survey->window, verdict);
  double from = fmin (120 * size, width * 0.45), most = width - from - 48 * size;
  tarn_paper_font (cr, &paper, 12, false);
  for (int k = 0; k < count; k++)
    {
      double share = self->survey->window.share[verdict[k]], y = (k * LINE_PX + 4) * size;
      g_autofree char *percent = g_strdup_printf (_ ("%.0f %%"), share * 100);
      tarn_paper_source (cr, &paper, TARN_INK_TEXT);
      tarn_paper_text (cr, 0, y + 10 * size, TARN_ALIGN_START, tarn_words_verdict (verdict[k]));
      cairo_rectangle (cr, from, y, fmax (share * most, 1), BAR_PX * size);
      tarn_paper_fill_mark (cr, &paper, mark_of (verdict[k]));
      tarn_paper_source (cr, &paper, TARN_INK_TEXT);
      tarn_paper_text (cr, from + share * most + 6 * size, y + 10 * size, TARN_ALIGN_START,
                       percent);
    }
}

/* The same for who cannot see them. */
static void
describe_bars (TarnEditorWindowCard *self)
{
  TarnVerdict verdict[SHARES_MAX];
  g_autoptr (GString) said = g_string_new (NULL);
  int count = shares_of (&self->survey->window, verdict);
  for (int k = 0; k < count; k++)
    g_string_append_printf (said, "%s%s %.0f %%", k > 0 ? ", " : "",
                            tarn_words_verdict (verdict[k]),
                            self->survey->window.share[verdict[k]] * 100);
  TarnPaper paper = tarn_paper_of_widget (self->bars);
  gtk_widget_set_size_request (self->bars, -1,
                               (int)(count * LINE_PX * tarn_paper_text_size (&paper)));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->bars), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Poses by verdict"), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  said->str, -1);
  gtk_widget_queue_draw (self->bars);
}

/* ---- Words ---- */

static char *
main_text (const TarnAcousticWindow *window, const TarnUnits *units)
{
  g_autofree char *above = tarn_words_length (window->above_mm, units);
  g_autofree char *left = tarn_words_length (window->left_mm, units);
  if (window->lower_bound)
    return g_strdup (_ ("No pose holds all of it: “at least” is the right answer."));
  if (!window->open)
    return g_strdup (_ ("Closed: no pose that was tried reads accurately."));
  /* Translators: size of the acoustic window along the body, across it, in tilt. */
  return g_strdup_printf (
      _ ("Difficulty %.0f: so many of 100 beginners keep a wrong reading. Open over %s along, "
         "%s across, %.0f° of tilt."),
      window->difficulty, above, left, window->tilt_rad * 180 / G_PI);
}

/* "331 mL, 48": one attempt's volume and how hard it is. */
static char *
draw_text (const TarnEditorDraw *draw, const TarnUnits *units)
{
  g_autofree char *volume = tarn_words_volume (draw->volume_ml, units);
  if (draw->status != TARN_OK)
    /* Translators: %s is the volume that variation draws for an attempt. */
    return g_strdup_printf (_ ("%s, no such body"), volume);
  if (draw->lower_bound)
    return g_strdup_printf (_ ("%s, “at least”"), volume);
  if (!draw->open)
    return g_strdup_printf (_ ("%s, closed"), volume);
  /* Translators: the volume of an attempt and its difficulty. */
  return g_strdup_printf (_ ("%s, %.0f"), volume, draw->difficulty);
}

static void
show_draws (TarnEditorWindowCard *self, const TarnUnits *units)
{
  g_autoptr (GString) list = g_string_new (NULL);
  for (int k = 0; k < self->survey->draws; k++)
    {
      g_autofree char *one = draw_text (&self->survey->draw[k], units);
      g_string_append_printf (list, "%s%s", k > 0 ? "; " : "", one);
    }
  /* Translators: a list of volumes with their difficulties. */
  g_autofree char *text
      = g_strdup_printf (_ ("Attempts vary (volume, difficulty): %s."), list->str);
  gtk_label_set_text (GTK_LABEL (self->draws), text);
  gtk_widget_set_visible (self->draws, self->survey->draws > 0);
}

static void
show_state (TarnEditorWindowCard *self, gboolean current)
{
  const char *text = _ ("in work…");
  if (self->survey != NULL && current && self->survey->status != TARN_OK)
    text = _ ("none");
  else if (self->survey != NULL && current)
    text = self->survey->fine ? "" : _ ("coarse");
  gtk_label_set_text (GTK_LABEL (self->state), text);
}

void
tarn_editor_window_card_show (TarnEditorWindowCard *self, TarnEditorSurvey *survey,
                              gboolean current)
{
  g_return_if_fail (TARN_IS_EDITOR_WINDOW_CARD (self));
  const TarnUnits units = tarn_chosen_units ();
  if (survey != NULL)
    tarn_editor_survey_ref (survey);
  g_clear_pointer (&self->survey, tarn_editor_survey_unref);
  self->survey = survey;
  show_state (self, current);
  gboolean known = survey != NULL && survey->status == TARN_OK;
  gboolean open = known && (survey->window.open || survey->window.lower_bound);
  gtk_widget_set_visible (self->main, known);
  gtk_widget_set_visible (self->bars, known);
  gtk_widget_set_visible (self->best, open);
  gtk_widget_set_visible (self->map, known);
  gtk_widget_set_opacity (self->box, current ? 1 : 0.6);
  if (!known)
    {
      gtk_widget_set_visible (self->draws, FALSE);
      return;
    }
  g_autofree char *text = main_text (&survey->window, &units);
  g_autofree char *pose = tarn_words_pose (&survey->window.best, &units);
  g_autofree char *best = g_strdup_printf (_ ("Best pose: %s."), pose);
  gtk_label_set_text (GTK_LABEL (self->main), text);
  gtk_label_set_text (GTK_LABEL (self->best), best);
  describe_bars (self);
  show_draws (self, &units);
}

/* ---- The widget ---- */

static GtkWidget *
label_in (GtkWidget *box, const char *class)
{
  GtkWidget *label = gtk_label_new ("");
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static void
tarn_editor_window_card_init (TarnEditorWindowCard *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_box_append (GTK_BOX (self->box), head);
  GtkWidget *heading = label_in (head, "tarn-heading");
  gtk_label_set_text (GTK_LABEL (heading), _ ("Acoustic window"));
  gtk_label_set_wrap (GTK_LABEL (heading), FALSE);
  self->state = label_in (head, "tarn-quiet");
  gtk_widget_set_hexpand (self->state, TRUE);
  self->map = gtk_button_new_with_label (_ ("Map"));
  gtk_widget_set_tooltip_text (self->map,
                               _ ("Which poses are open, and what closes the others (Ctrl+M)"));
  /* The page's own action. */
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->map), "editor.map");
  gtk_box_append (GTK_BOX (head), self->map);
  self->main = label_in (self->box, NULL);
  self->bars = gtk_drawing_area_new ();
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->bars), draw_bars, self, NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->bars), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Poses by verdict"), -1);
  gtk_box_append (GTK_BOX (self->box), self->bars);
  self->draws = label_in (self->box, "tarn-figures");
  self->best = label_in (self->box, "tarn-quiet");
  tarn_editor_window_card_show (self, NULL, FALSE);
}

GtkWidget *
tarn_editor_window_card_new (void)
{
  return g_object_new (TARN_TYPE_EDITOR_WINDOW_CARD, NULL);
}

static void
tarn_editor_window_card_dispose (GObject *object)
{
  TarnEditorWindowCard *self = TARN_EDITOR_WINDOW_CARD (object);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->survey, tarn_editor_survey_unref);
  G_OBJECT_CLASS (tarn_editor_window_card_parent_class)->dispose (object);
}

static void
tarn_editor_window_card_class_init (TarnEditorWindowCardClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_window_card_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}
