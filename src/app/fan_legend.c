/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the lines on the planes mean. */
#include "app/fan_grid.h"

#include "report/outline_stroke.h"

#include <glib/gi18n.h>

#define TRUE_BORDER (-1) /* beside the kinds of evidence */

static void
draw_sample (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  (void)area;
  /* The strokes are made for dark ground, so each sample brings a piece of it. */
  cairo_set_source_rgb (cr, 0x14 / 255.0, 0x16 / 255.0, 0x18 / 255.0);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_fill (cr);
  int which = GPOINTER_TO_INT (data);
  if (which == TRUE_BORDER)
    tarn_border_sample_stroke (cr, 6, height / 2.0, width - 12, 1.75);
  else
    tarn_evidence_stroke (cr, (TarnEvidence)which, 6, height / 2.0, width - 12, 1.75);
}

static GtkWidget *
pair_new (int which, const char *word)
{
  GtkWidget *pair = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *sample = gtk_drawing_area_new ();
  GtkWidget *label = gtk_label_new (word);
  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (sample), 54);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (sample), 18);
  gtk_widget_set_valign (sample, GTK_ALIGN_CENTER);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (sample), draw_sample,
                                  GINT_TO_POINTER (which), NULL);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "tarn-quiet");
  gtk_box_append (GTK_BOX (pair), sample);
  gtk_box_append (GTK_BOX (pair), label);
  return pair;
}

GtkWidget *
tarn_fan_legend_new (void)
{
  static const char *const words[] = { [TARN_EVIDENCE_SEEN] = N_ ("border seen"),
                                       [TARN_EVIDENCE_BRIDGED] = N_ ("bridged over a gap"),
                                       [TARN_EVIDENCE_AT_EDGE] = N_ ("at the picture’s edge") };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 18);
  for (int k = 0; k < (int)G_N_ELEMENTS (words); k++)
    gtk_box_append (GTK_BOX (box), pair_new (k, _ (words[k])));
  return box;
}

GtkWidget *
tarn_fan_border_toggle_new (TarnFanGrid *grid)
{
  GtkWidget *toggle = gtk_check_button_new ();
  gtk_check_button_set_child (GTK_CHECK_BUTTON (toggle),
                              pair_new (TRUE_BORDER, _ ("true border")));
  gtk_widget_set_size_request (toggle, -1, 24);
  gtk_widget_set_tooltip_text (toggle, _ ("Show or hide where the border really ran (Space)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (toggle), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("True border"), -1);
  g_object_bind_property (grid, "true-border", toggle, "active",
                          G_BINDING_BIDIRECTIONAL | G_BINDING_SYNC_CREATE);
  return toggle;
}
