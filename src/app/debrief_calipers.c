/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_calipers.h"

#include "app/words_debrief.h"

#include <glib/gi18n.h>

static void
add_row (GtkGrid *grid, int row, const char *heading, const char *value, const char *text)
{
  GtkWidget *label[] = { gtk_label_new (heading), gtk_label_new (value), gtk_label_new (text) };
  for (int k = 0; k < 3; k++)
    {
      gtk_label_set_xalign (GTK_LABEL (label[k]), 0);
      gtk_label_set_yalign (GTK_LABEL (label[k]), 0);
      gtk_label_set_wrap (GTK_LABEL (label[k]), TRUE);
      gtk_grid_attach (grid, label[k], k, row, 1, 1);
    }
  gtk_widget_add_css_class (label[1], "tarn-figures");
  gtk_widget_add_css_class (label[2], "tarn-quiet");
  gtk_label_set_max_width_chars (GTK_LABEL (label[2]), 72);
  gtk_widget_set_hexpand (label[2], TRUE);
}

/* As on the bars above. */
static char *
part_text (const TarnTruth *truth, int cause, const TarnUnits *units)
{
  TarnWordsSplit split = tarn_words_split (truth);
  for (int k = 0; k < split.causes; k++)
    if (split.cause[k] == cause)
      return tarn_words_signed_volume (split.steps[k], split.decimals, units);
  return g_strdup ("");
}

/* The diameters as set and as they were. */
static char *
diameters_text (const TarnDebrief *debrief, const TarnUnits *units)
{
  if (debrief == NULL || !debrief->has_diameters)
    return g_strdup (" \n ");
  const TarnDiameters *set = &debrief->diameters, *held = &debrief->true_diameters;
  g_autofree char *length = tarn_words_length (set->length_mm, units);
  g_autofree char *width = tarn_words_length (set->width_mm, units);
  g_autofree char *height = tarn_words_length (set->height_mm, units);
  g_autofree char *true_length = tarn_words_length (held->length_mm, units);
  g_autofree char *true_width = tarn_words_length (held->width_mm, units);
  g_autofree char *true_height = tarn_words_length (held->height_mm, units);
  return g_strdup_printf (_ ("You set length %s, width %s, height %s.\nThe bladder’s own are "
                             "%s, %s and %s."),
                          length, width, height, true_length, true_width, true_height);
}

void
tarn_calipers_fill (GtkGrid *grid, const TarnTruth *truth, const TarnDebrief *debrief,
                    const TarnUnits *units)
{
  const TarnCaliperReport *report = &truth->calipers;
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (grid))) != NULL)
    gtk_grid_remove (grid, child);
  gtk_widget_set_visible (GTK_WIDGET (grid), report->coefficient > 0);
  if (!(report->coefficient > 0))
    return;

  g_autofree char *calipers = part_text (truth, TARN_WORDS_CALIPERS, units);
  g_autofree char *formula = part_text (truth, TARN_WORDS_FORMULA, units);
  g_autofree char *set = diameters_text (debrief, units);
  g_autofree char *chosen = tarn_words_coefficient (report->coefficient);
  g_autofree char *own
      = g_strdup_printf (_ ("%s. This bladder’s own is %.2f; nobody can see that at the "
                            "bedside, so the formula’s part is not held against you."),
                         chosen, report->true_coefficient);
  add_row (grid, 0, _ ("Calipers"), calipers, set);
  add_row (grid, 1, _ ("Formula"), formula, own);
  if (!(truth->facts.retention_ml > 0))
    return;
  TarnDecision decision
      = tarn_decision (report->volume_ml, report->truth_ml, truth->facts.retention_ml);
  g_autofree char *led = tarn_words_decision (decision, truth->facts.retention_ml, units);
  add_row (grid, 2, _ ("Decision"), "", led);
}
