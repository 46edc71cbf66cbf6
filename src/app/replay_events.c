/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_events.h"

#include "app/ledger_view.h"
#include "app/replay_words.h"
#include "report/timeline.h"

#include <glib/gi18n.h>

#define GLYPH_PX 14

static void
draw_glyph (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (area));
  tarn_timeline_glyph (cr, width / 2.0, height / 2.0, GLYPH_PX - 2,
                       (TarnReplayKind)GPOINTER_TO_INT (data), &paper);
}

static GtkWidget *
glyph_new (TarnReplayKind kind)
{
  GtkWidget *area = gtk_drawing_area_new ();
  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (area), GLYPH_PX);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (area), GLYPH_PX);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_glyph, GINT_TO_POINTER (kind),
                                  NULL);
  gtk_widget_set_valign (area, GTK_ALIGN_CENTER);
  return area;
}

static GtkWidget *
row_new (int mark, TarnReplayKind kind, const char *time, const char *text)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *when = gtk_label_new (time), *what = gtk_label_new (text);
  g_autofree char *said = g_strdup_printf (_ ("%s, at %s"), text, time);
  gtk_widget_add_css_class (when, "tarn-quiet");
  gtk_widget_set_valign (when, GTK_ALIGN_START);
  gtk_label_set_xalign (GTK_LABEL (when), 1);
  gtk_label_set_width_chars (GTK_LABEL (when), 5);
  gtk_label_set_xalign (GTK_LABEL (what), 0);
  gtk_label_set_wrap (GTK_LABEL (what), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (what), 22);
  gtk_widget_set_hexpand (what, TRUE);
  gtk_box_append (GTK_BOX (box), when);
  gtk_box_append (GTK_BOX (box), glyph_new (kind));
  gtk_box_append (GTK_BOX (box), what);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, said,
                                  -1);
  g_object_set_data (G_OBJECT (row), "mark", GINT_TO_POINTER (mark));
  g_object_set_data_full (G_OBJECT (row), "said", g_strdup (said), g_free);
  return row;
}

/* Whether the row says the same already. */
static gboolean
says (GtkListBoxRow *row, const char *time, const char *text)
{
  g_autofree char *said = g_strdup_printf (_ ("%s, at %s"), text, time);
  return g_strcmp0 (g_object_get_data (G_OBJECT (row), "said"), said) == 0;
}

void
tarn_replay_events_fill (GtkListBox *list, const TarnReplayKnown *known, const TarnUnits *units)
{
  GtkListBoxRow *row;
  for (guint k = 0; k < known->marks->len; k++)
    {
      const TarnReplayMark *mark = &g_array_index (known->marks, TarnReplayMark, k);
      g_autofree char *time = tarn_words_time (mark->tick);
      g_autofree char *text = tarn_words_replay_mark (mark, known->readings, units);
      row = gtk_list_box_get_row_at_index (list, (int)k);
      if (row != NULL && says (row, time, text))
        continue;
      if (row != NULL)
        gtk_list_box_remove (list, GTK_WIDGET (row));
      gtk_list_box_insert (list, row_new ((int)k, mark->kind, time, text), (int)k);
    }
  while ((row = gtk_list_box_get_row_at_index (list, (int)known->marks->len)) != NULL)
    gtk_list_box_remove (list, GTK_WIDGET (row));
}

int
tarn_replay_events_mark (GtkListBoxRow *row)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (row), "mark"));
}

void
tarn_replay_events_follow (GtkListBox *list, int mark)
{
  GtkListBoxRow *row = mark >= 0 ? gtk_list_box_get_row_at_index (list, mark) : NULL;
  GtkAdjustment *adjustment = gtk_list_box_get_adjustment (list);
  graphene_rect_t bounds;
  gtk_list_box_select_row (list, row);
  if (row != NULL && adjustment != NULL
      && gtk_widget_compute_bounds (GTK_WIDGET (row), GTK_WIDGET (list), &bounds))
    gtk_adjustment_clamp_page (adjustment, bounds.origin.y,
                               bounds.origin.y + bounds.size.height);
}
