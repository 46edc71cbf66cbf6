/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_aim.h"

#include "app/ledger_view.h"
#include "app/words_debrief.h"
#include "base/units.h"
#include "report/aim_chart.h"

#include <glib/gi18n.h>

struct _TarnAimCard
{
  GtkBox parent;
  GtkDrawingArea *chart;
  GtkLabel *tilt, *slide;
  GtkGrid *margins;
  GtkLabel *side[TARN_SIDES], *margin[TARN_SIDES];

  gboolean has_aim;
  TarnAimProfile aim;
  double turn_rad;
};

G_DEFINE_FINAL_TYPE (TarnAimCard, tarn_aim_card, GTK_TYPE_BOX)

#define GAP 18 /* between the charts */

static void
draw_chart (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnAimCard *self = data;
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  if (!self->has_aim)
    return;
  TarnAimChart tilt = {
    .sample = self->aim.tilt,
    .best_offset = self->aim.best_tilt_rad,
    .per_offset = tarn_deg_from_rad (1),
    .title = _ ("Tilted in place"),
    .unit = "°",
    .low = tarn_words_way (self->turn_rad, FALSE),
    .high = tarn_words_way (self->turn_rad, TRUE),
    .area_unit = _ ("cm²"),
    .whole = _ ("in the body"),
    .seen = _ ("seen"),
    .here = _ ("here"),
    .largest = _ ("largest"),
    .here_largest = _ ("here, the largest"),
  };
  TarnAimChart slide = tilt;
  slide.sample = self->aim.slide;
  slide.best_offset = self->aim.best_slide_mm;
  slide.per_offset = 1;
  slide.title = _ ("Slid along the skin");
  slide.unit = _ ("mm");
  double half = (width - GAP) / 2.0;
  tarn_aim_chart_draw (cr, 0, 0, half, height, &tilt, &paper);
  tarn_aim_chart_draw (cr, half + GAP, 0, half, height, &slide, &paper);
}

/* As high as looks well at this size of text. */
static void
fit_chart (TarnAimCard *self)
{
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (self->chart));
  gtk_drawing_area_set_content_height (self->chart,
                                       (int)(TARN_AIM_CHART_HEIGHT * paper.text_size));
}

static void
say (TarnAimCard *self, const char *tilt, const char *slide)
{
  gtk_label_set_text (self->tilt, tilt);
  gtk_label_set_text (self->slide, slide);
  fit_chart (self);
  gtk_widget_queue_draw (GTK_WIDGET (self->chart));
}

/* Whether any plane that could have been reached crossed the bladder. */
static gboolean
meets_bladder (const TarnAimProfile *aim)
{
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    if (aim->tilt[k].whole_mm2 > 0 || aim->slide[k].whole_mm2 > 0)
      return TRUE;
  return FALSE;
}

void
tarn_aim_card_wait (TarnAimCard *self)
{
  g_return_if_fail (TARN_IS_AIM_CARD (self));
  self->has_aim = FALSE;
  gtk_widget_set_visible (GTK_WIDGET (self->chart), TRUE);
  say (self, _ ("Being worked out…"), " ");
  gtk_widget_set_opacity (GTK_WIDGET (self->margins), 0);
}

void
tarn_aim_card_show (TarnAimCard *self, const TarnDebrief *debrief, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_AIM_CARD (self));
  double turn_rad = debrief->turn_rad;
  self->has_aim = debrief->has_aim;
  self->aim = debrief->aim;
  self->turn_rad = turn_rad;
  gtk_widget_set_opacity (GTK_WIDGET (self->margins), self->has_aim ? 1 : 0);
  if (!self->has_aim)
    {
      say (self, _ ("This cannot be worked out for where the probe stood."), "");
      return;
    }
  gtk_widget_set_visible (GTK_WIDGET (self->chart), meets_bladder (&self->aim));
  g_autofree char *tilt = tarn_words_aim_tilt (&self->aim, turn_rad);
  g_autofree char *slide = tarn_words_aim_slide (&self->aim, turn_rad, units);
  say (self, tilt, slide);
  for (int k = 0; k < TARN_SIDES; k++)
    {
      g_autofree char *margin = tarn_words_margin ((TarnSide)k, self->aim.margin[k], units);
      gtk_label_set_text (self->side[k], tarn_words_side ((TarnSide)k, turn_rad));
      gtk_label_set_text (self->margin[k], margin);
    }
}

static void
tarn_aim_card_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_AIM_CARD);
  G_OBJECT_CLASS (tarn_aim_card_parent_class)->dispose (object);
}

static void
tarn_aim_card_class_init (TarnAimCardClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_aim_card_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/debrief-aim.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnAimCard, chart);
  gtk_widget_class_bind_template_child (widget_class, TarnAimCard, tilt);
  gtk_widget_class_bind_template_child (widget_class, TarnAimCard, slide);
  gtk_widget_class_bind_template_child (widget_class, TarnAimCard, margins);
}

static void
tarn_aim_card_init (TarnAimCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_drawing_area_set_draw_func (self->chart, draw_chart, self, NULL);
  g_signal_connect_object (self->chart, "map", G_CALLBACK (fit_chart), self, G_CONNECT_SWAPPED);
  for (int k = 0; k < TARN_SIDES; k++)
    {
      GtkWidget *side = gtk_label_new (tarn_words_side ((TarnSide)k, 0));
      GtkWidget *margin = gtk_label_new ("");
      gtk_label_set_xalign (GTK_LABEL (side), 0);
      gtk_label_set_xalign (GTK_LABEL (margin), 0);
      gtk_label_set_wrap (GTK_LABEL (side), TRUE);
      gtk_label_set_wrap (GTK_LABEL (margin), TRUE);
      gtk_widget_add_css_class (side, "tarn-quiet");
      gtk_widget_add_css_class (margin, "tarn-figures");
      gtk_grid_attach (self->margins, side, 0, k, 1, 1);
      gtk_grid_attach (self->margins, margin, 1, k, 1, 1);
      self->side[k] = GTK_LABEL (side);
      self->margin[k] = GTK_LABEL (margin);
    }
}
