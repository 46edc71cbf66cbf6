/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_differences.h"

#include <glib/gi18n.h>

gint64
tarn_replay_first_sweep (const TarnReplayKnown *known)
{
  for (guint k = 0; k < known->marks->len; k++)
    {
      const TarnReplayMark *mark = &g_array_index (known->marks, TarnReplayMark, k);
      if (mark->kind == TARN_REPLAY_SWEEP)
        return mark->tick;
    }
  return -1;
}

static int
count (const TarnReplayKnown *known, TarnReplayKind kind)
{
  int times = 0;
  for (guint k = 0; k < known->marks->len; k++)
    times += g_array_index (known->marks, TarnReplayMark, k).kind == kind;
  return times;
}

static char *
written (const TarnReplayKnown *known, const TarnUnits *units)
{
  return known->has_truth
             ? tarn_words_record (known->truth.record, known->truth.recorded_ml, units)
             : g_strdup (_ ("Not finished"));
}

static char *
truth (const TarnReplayKnown *known, const TarnUnits *units)
{
  return known->has_truth ? tarn_words_volume (known->truth.truth_ml, units) : g_strdup ("–");
}

static char *
verdict (const TarnReplayKnown *known, const TarnUnits *units)
{
  (void)units;
  return g_strdup (known->has_truth ? tarn_words_result (&known->truth) : "–");
}

static char *
score (const TarnReplayKnown *known, const TarnUnits *units)
{
  (void)units;
  return known->has_truth
             ? g_strdup_printf (_ ("%d of 100"), tarn_words_score (&known->truth.score))
             : g_strdup ("–");
}

static char *
readings (const TarnReplayKnown *known, const TarnUnits *units)
{
  GString *list = g_string_new (NULL);
  for (guint k = 0; k < known->readings->len; k++)
    {
      g_autofree char *one
          = tarn_words_reading (&g_array_index (known->readings, TarnReading, k), units);
      g_string_append_printf (list, "%s%s", k > 0 ? "\n" : "", one);
    }
  if (list->len == 0)
    g_string_append (list, _ ("None"));
  return g_string_free (list, FALSE);
}

static char *
force (const TarnReplayKnown *known, const TarnUnits *units)
{
  double most_n = 0;
  (void)units;
  for (guint k = 0; k < known->samples->len; k++)
    most_n = MAX (most_n, g_array_index (known->samples, TarnReplaySample, k).force_n);
  return most_n > known->comfort_n && known->comfort_n > 0
             ? g_strdup_printf (_ ("%.0f N, too hard"), most_n)
             : g_strdup_printf (_ ("%.0f N"), most_n);
}

static char *
gel (const TarnReplayKnown *known, const TarnUnits *units)
{
  int laid_g = 0;
  (void)units;
  for (guint k = 0; k < known->marks->len; k++)
    {
      const TarnReplayMark *mark = &g_array_index (known->marks, TarnReplayMark, k);
      laid_g += mark->kind == TARN_REPLAY_GEL ? mark->detail : 0;
    }
  return g_strdup_printf (_ ("%d g"), laid_g);
}

static char *
time_on_skin (const TarnReplayKnown *known, const TarnUnits *units)
{
  guint ticks = 0;
  (void)units;
  for (guint k = 0; k < known->samples->len; k++)
    ticks += g_array_index (known->samples, TarnReplaySample, k).on_skin
                 ? (guint)known->sample_ticks
                 : 0;
  return tarn_words_time (ticks);
}

static char *
whole_time (const TarnReplayKnown *known, const TarnUnits *units)
{
  (void)units;
  return tarn_words_time (known->last_tick);
}

static char *
sweeps (const TarnReplayKnown *known, const TarnUnits *units)
{
  (void)units;
  return g_strdup_printf ("%d", count (known, TARN_REPLAY_SWEPT));
}

static char *
care (const TarnReplayKnown *known, const TarnUnits *units)
{
  (void)units;
  if (!known->has_truth)
    return g_strdup ("–");
  unsigned needed = known->truth.care_needed, done = needed & known->truth.care_done;
  return g_strdup_printf (_ ("%d of %d"), __builtin_popcount (done),
                          __builtin_popcount (needed));
}

static const struct
{
  const char *name;
  char *(*tell) (const TarnReplayKnown *known, const TarnUnits *units);
} rows[] = {
  { N_ ("Written down"), written },
  { N_ ("Truth"), truth },
  { N_ ("Verdict"), verdict },
  { N_ ("Score"), score },
  { N_ ("Readings"), readings },
  { N_ ("Sweeps"), sweeps },
  { N_ ("Greatest force"), force },
  { N_ ("Gel laid"), gel },
  { N_ ("On the skin for"), time_on_skin },
  { N_ ("In all"), whole_time },
  { N_ ("Care done"), care },
};

static GtkWidget *
cell (GtkGrid *grid, const char *text, int column, int row, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_yalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 14);
  if (css_class != NULL)
    gtk_widget_add_css_class (label, css_class);
  gtk_grid_attach (grid, label, column, row, 1, 1);
  return label;
}

static void
fill_row (GtkGrid *grid, gsize row, const TarnReplayKnown *a, const TarnReplayKnown *b,
          const TarnUnits *units)
{
  const char *name = _ (rows[row].name);
  g_autofree char *of_a = rows[row].tell (a, units);
  g_autofree char *of_b = b != NULL ? rows[row].tell (b, units) : g_strdup ("…");
  gboolean same = g_str_equal (of_a, of_b);
  int at = (int)row + 1;
  cell (grid, name, 0, at, "tarn-quiet");
  GtkWidget *label_a = cell (grid, of_a, 1, at, same ? "tarn-quiet" : NULL);
  GtkWidget *label_b = cell (grid, of_b, 2, at, same ? "tarn-quiet" : NULL);
  g_autofree char *said_a = g_strdup_printf (_ ("%s, attempt A: %s"), name, of_a);
  g_autofree char *said_b = g_strdup_printf (_ ("%s, attempt B: %s"), name, of_b);
  gtk_accessible_update_property (GTK_ACCESSIBLE (label_a), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  said_a, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (label_b), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  said_b, -1);
}

void
tarn_replay_differences_fill (GtkGrid *grid, const TarnReplayKnown *a, const TarnReplayKnown *b,
                              const TarnUnits *units)
{
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (grid))) != NULL)
    gtk_grid_remove (grid, child);
  cell (grid, _ ("A"), 1, 0, "tarn-heading");
  cell (grid, _ ("B"), 2, 0, "tarn-heading");
  for (gsize row = 0; row < G_N_ELEMENTS (rows); row++)
    fill_row (grid, row, a, b, units);
}
