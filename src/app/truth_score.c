/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/truth_score.h"

#include "app/ledger_view.h"
#include "report/trace_picture.h"

#include <glib/gi18n.h>

#define BAR_HEIGHT 28.0 /* label and bar, times the text size */

/* A bar and its texts. */
typedef struct
{
  char *label, *value;
  double share;
} Bar;

static void
bar_free (gpointer data)
{
  Bar *bar = data;
  g_free (bar->label);
  g_free (bar->value);
  g_free (bar);
}

static void
draw_bar (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const Bar *bar = data;
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  const TarnGauge gauge = { .label = bar->label, .value = bar->value, .share = bar->share };
  (void)height;
  tarn_gauge_draw (cr, 0, 0, width, &gauge, &paper);
}

static void
fit_bar (GtkWidget *area)
{
  double size = tarn_paper_of_widget (area).text_size;
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (area), (int)(BAR_HEIGHT * size));
}

static void
add_bar (GtkWidget *box, const char *label, double points, double most)
{
  GtkWidget *area = gtk_drawing_area_new ();
  Bar *bar = g_new0 (Bar, 1);
  bar->label = g_strdup (label);
  /* Translators: points of a score. */
  bar->value = g_strdup_printf (_ ("%d of %.0f"), tarn_words_points (points), most);
  bar->share = points / most;
  gtk_accessible_update_property (GTK_ACCESSIBLE (area), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, bar->value, -1);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_bar, bar, bar_free);
  gtk_widget_set_hexpand (area, TRUE);
  g_signal_connect (area, "map", G_CALLBACK (fit_bar), NULL);
  gtk_box_append (GTK_BOX (box), area);
  fit_bar (area);
}

void
tarn_score_bars_fill (GtkWidget *box, const TarnScore *score, const TarnScoreFacts *facts)
{
  gboolean rightly_left = facts->facts.stop && !facts->scanned;
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), child);
  add_bar (box,
           rightly_left && facts->record == TARN_RECORD_NONE && score->reading > 0
               ? _ ("Reading: none was needed")
               : _ ("What you wrote down"),
           score->reading, TARN_SCORE_READING);
  add_bar (box, _ ("Judgement"), score->judgement, TARN_SCORE_JUDGEMENT);
  add_bar (box,
           rightly_left && score->technique > 0 ? _ ("Technique: none was needed")
                                                : _ ("Technique"),
           score->technique, TARN_SCORE_TECHNIQUE);
  add_bar (box, _ ("Care"), score->care, TARN_SCORE_CARE);
}

char *
tarn_score_heading_text (const TarnScore *score)
{
  int points = tarn_words_score (score);
  return g_strdup_printf (
      score->failed ? _ ("Not passed. Score: %d of 100") : _ ("Score: %d of 100"), points);
}

char *
tarn_score_technique_text (const TarnScoreFacts *facts)
{
  if (!facts->scanned)
    return g_strdup ("");
  return g_strdup_printf (
      _ ("Technique: up to %.0f N where this patient bears %.0f; %.0f %% of the probe’s face "
         "wet; hand within %.1f mm; middle section %.0f %% of "
         "this sweep’s largest."),
      facts->force_n, facts->comfort_n, 100 * facts->wet_fraction, facts->wander_mm,
      100 * facts->section_share);
}
