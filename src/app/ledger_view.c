/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/ledger_view.h"

#include "report/rounding.h"
#include "report/waterfall.h"

#include <glib/gi18n.h>

#define WIDTH_LEAST   320
#define WIDTH_NATURAL 560
#define TEXT_PX       13.4 /* the size that drawings call 1 */

struct _TarnLedgerView
{
  GtkWidget parent;
  gboolean has_truth;
  TarnTruth truth;
  TarnUnits units;
  unsigned open;               /* causes whose bars can be pressed */
  GtkWidget *bar[TARN_CAUSES]; /* a button over each of them; NULL: none */
};

G_DEFINE_FINAL_TYPE (TarnLedgerView, tarn_ledger_view, GTK_TYPE_WIDGET)

static guint chosen_signal;

/* ---- Marks and paper ---- */

TarnMark
tarn_mark_of_cause (int cause)
{
  static const TarnMark mark[TARN_WORDS_CAUSES] = {
    [TARN_CAUSE_EDGE] = TARN_MARK_EDGE,       [TARN_CAUSE_BONE] = TARN_MARK_SHADOW,
    [TARN_CAUSE_GAS] = TARN_MARK_SHADOW,      [TARN_CAUSE_CONTACT] = TARN_MARK_CONTACT,
    [TARN_CAUSE_MOTION] = TARN_MARK_MOTION,   [TARN_CAUSE_OTHER_FLUID] = TARN_MARK_OTHER_FLUID,
    [TARN_CAUSE_REST] = TARN_MARK_REST,       [TARN_WORDS_CALIPERS] = TARN_MARK_CALIPERS,
    [TARN_WORDS_FORMULA] = TARN_MARK_FORMULA,
  };
  g_return_val_if_fail (cause >= 0 && cause < TARN_WORDS_CAUSES, TARN_MARK_REST);
  return mark[cause];
}

TarnMark
tarn_mark_of_verdict (TarnVerdict verdict)
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
  g_return_val_if_fail (verdict < TARN_VERDICTS, TARN_MARK_REST);
  return mark[verdict];
}

TarnPaper
tarn_paper_of_widget (GtkWidget *widget)
{
  PangoContext *context = gtk_widget_get_pango_context (widget);
  const PangoFontDescription *font = pango_context_get_font_description (context);
  GtkRoot *root = gtk_widget_get_root (widget);
  double px = pango_font_description_get_size (font) / (double)PANGO_SCALE;
  const char *family = pango_font_description_get_family (font);

  if (!pango_font_description_get_size_is_absolute (font))
    px *= pango_cairo_context_get_resolution (context) / 72;
  return (TarnPaper){
    .dark = root != NULL && gtk_widget_has_css_class (GTK_WIDGET (root), "dark"),
    .text_size = px > 0 ? px / TEXT_PX : 1,
    .font = family != NULL ? g_intern_string (family) : NULL,
  };
}

/* ---- The drawing ---- */

/* A waterfall and the texts that it points to; what rounds to nothing is no row. */
typedef struct
{
  TarnWaterfall waterfall;
  TarnWaterfallRow row[TARN_WORDS_CAUSES];
  int cause[TARN_WORDS_CAUSES]; /* of each row */
  GPtrArray *texts;
} Ledger;

static const char *
keep (Ledger *ledger, char *text)
{
  g_ptr_array_add (ledger->texts, text);
  return text;
}

static void
ledger_init (Ledger *ledger, const TarnTruth *truth, const TarnUnits *units)
{
  TarnWordsSplit split = tarn_words_split (truth);
  ledger->texts = g_ptr_array_new_with_free_func (g_free);
  int rows = 0;
  for (int k = 0; k < split.causes; k++)
    if (split.steps[k] != 0)
      {
        ledger->cause[rows] = split.cause[k];
        ledger->row[rows++] = (TarnWaterfallRow){
          .label = tarn_words_cause (split.cause[k]),
          .value
          = keep (ledger, tarn_words_signed_volume (split.steps[k], split.decimals, units)),
          .ml = split.ml[k],
          .mark = tarn_mark_of_cause (split.cause[k]),
        };
      }
  ledger->waterfall = (TarnWaterfall){
    .first = { .label = _ ("Truth"),
               .value = keep (ledger, tarn_words_volume (truth->truth_ml, units)),
               .ml = truth->truth_ml,
               .mark = TARN_MARK_TRUTH },
    .last = { .label = _ ("Reading"),
              .value = keep (ledger, tarn_words_volume (split.reading_ml, units)),
              .ml = split.reading_ml,
              .mark = TARN_MARK_MEASURED },
    .rows = rows,
    .row = ledger->row,
    .unit = tarn_words_volume_unit (units),
    .small = _ ("Too small to draw:"),
    /* Translators: on the line that marks the true volume. */
    .reference = _ ("truth"),
  };
}

static void
ledger_clear (Ledger *ledger)
{
  g_ptr_array_unref (ledger->texts);
}

char *
tarn_ledger_text (const TarnTruth *truth, const TarnUnits *units)
{
  GString *text = g_string_new (NULL);
  TarnWordsSplit split = tarn_words_split (truth);
  if (!split.has_split)
    return g_string_free (text, FALSE);
  Ledger ledger;
  ledger_init (&ledger, truth, units);
  const TarnWaterfall *all = &ledger.waterfall;
  /* Translators: a line of a table read aloud: label and volume. */
  const char *format = C_ ("ledger", "%s: %s");
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
  g_string_append_printf (text, format, all->first.label, all->first.value);
  for (int k = 0; k < all->rows; k++)
    {
      g_string_append_c (text, '\n');
      g_string_append_printf (text, format, all->row[k].label, all->row[k].value);
    }
  g_string_append_c (text, '\n');
  g_string_append_printf (text, format, all->last.label, all->last.value);
#pragma GCC diagnostic pop
  ledger_clear (&ledger);
  return g_string_free (text, FALSE);
}

static void
tarn_ledger_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnLedgerView *self = TARN_LEDGER_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  if (!self->has_truth || width <= 0 || height <= 0)
    return;
  TarnPaper paper = tarn_paper_of_widget (widget);
  Ledger ledger;
  ledger_init (&ledger, &self->truth, &self->units);
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)width, (float)height));
  tarn_waterfall_draw (cr, width, &ledger.waterfall, &paper);
  cairo_destroy (cr);
  ledger_clear (&ledger);
  for (int k = 0; k < TARN_CAUSES; k++)
    if (self->bar[k] != NULL)
      gtk_widget_snapshot_child (widget, self->bar[k], snapshot);
}

/* ---- Bars that can be pressed ---- */

static void
on_bar (GtkButton *bar, TarnLedgerView *self)
{
  for (int k = 0; k < TARN_CAUSES; k++)
    if (self->bar[k] == GTK_WIDGET (bar))
      g_signal_emit (self, chosen_signal, 0, k);
}

static void
add_bar (TarnLedgerView *self, int cause, const TarnWaterfallRow *row)
{
  GtkWidget *bar = gtk_button_new ();
  /* Translators: a bar of the ledger: label and volume. */
  g_autofree char *name = g_strdup_printf (C_ ("ledger", "%s: %s"), row->label, row->value);
  gtk_widget_add_css_class (bar, "tarn-bar");
  gtk_widget_set_tooltip_text (bar, _ ("Show the planes in which this acts (Enter)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (bar), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  g_signal_connect_object (bar, "clicked", G_CALLBACK (on_bar), self, 0);
  self->bar[cause] = bar;
  /* From top to bottom, for the focus goes in the order of the children. */
  gtk_widget_insert_before (bar, GTK_WIDGET (self), NULL);
}

static void
make_bars (TarnLedgerView *self)
{
  for (int k = 0; k < TARN_CAUSES; k++)
    g_clear_pointer (&self->bar[k], gtk_widget_unparent);
  if (!self->has_truth || self->open == 0)
    return;
  Ledger ledger;
  ledger_init (&ledger, &self->truth, &self->units);
  for (int k = 0; k < ledger.waterfall.rows; k++)
    if (ledger.cause[k] < TARN_CAUSES && (self->open & 1u << ledger.cause[k]) != 0
        && tarn_waterfall_draws (&ledger.waterfall, k))
      add_bar (self, ledger.cause[k], &ledger.row[k]);
  ledger_clear (&ledger);
}

static void
tarn_ledger_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TarnLedgerView *self = TARN_LEDGER_VIEW (widget);
  (void)height;
  (void)baseline;
  if (!self->has_truth)
    return;
  TarnPaper paper = tarn_paper_of_widget (widget);
  Ledger ledger;
  ledger_init (&ledger, &self->truth, &self->units);
  for (int k = 0; k < ledger.waterfall.rows; k++)
    {
      double y, high;
      GtkWidget *bar = ledger.cause[k] < TARN_CAUSES ? self->bar[ledger.cause[k]] : NULL;
      if (bar == NULL)
        continue;
      tarn_waterfall_row_place (&ledger.waterfall, &paper, k, &y, &high);
      /* A button is measured before it is given its place. */
      gtk_widget_measure (bar, GTK_ORIENTATION_HORIZONTAL, -1, NULL, NULL, NULL, NULL);
      gtk_widget_size_allocate (bar, &(GtkAllocation){ 0, (int)y, width, (int)high }, -1);
    }
  ledger_clear (&ledger);
}

static void
tarn_ledger_view_dispose (GObject *object)
{
  TarnLedgerView *self = TARN_LEDGER_VIEW (object);
  for (int k = 0; k < TARN_CAUSES; k++)
    g_clear_pointer (&self->bar[k], gtk_widget_unparent);
  G_OBJECT_CLASS (tarn_ledger_view_parent_class)->dispose (object);
}

void
tarn_ledger_view_set_open (TarnLedgerView *self, unsigned causes)
{
  g_return_if_fail (TARN_IS_LEDGER_VIEW (self));
  if (causes == self->open)
    return;
  self->open = causes;
  make_bars (self);
}

gboolean
tarn_ledger_view_has_bars (TarnLedgerView *self)
{
  g_return_val_if_fail (TARN_IS_LEDGER_VIEW (self), FALSE);
  return gtk_widget_get_first_child (GTK_WIDGET (self)) != NULL;
}

/* ---- Measures ---- */

static void
tarn_ledger_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                          int *minimum, int *natural, int *minimum_baseline,
                          int *natural_baseline)
{
  TarnLedgerView *self = TARN_LEDGER_VIEW (widget);
  TarnPaper paper = tarn_paper_of_widget (widget);
  *minimum_baseline = *natural_baseline = -1;
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = (int)(WIDTH_LEAST * MIN (paper.text_size, 1.3));
      *natural = MAX (*minimum, WIDTH_NATURAL);
      return;
    }
  *minimum = 0;
  if (self->has_truth)
    {
      Ledger ledger;
      ledger_init (&ledger, &self->truth, &self->units);
      *minimum = (int)tarn_waterfall_height (&ledger.waterfall, &paper,
                                             for_size > 0 ? for_size : WIDTH_NATURAL);
      ledger_clear (&ledger);
    }
  *natural = *minimum;
}

static GtkSizeRequestMode
tarn_ledger_view_get_request_mode (GtkWidget *widget)
{
  (void)widget;
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
tarn_ledger_view_class_init (TarnLedgerViewClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  widget_class->snapshot = tarn_ledger_view_snapshot;
  widget_class->measure = tarn_ledger_view_measure;
  widget_class->size_allocate = tarn_ledger_view_size_allocate;
  G_OBJECT_CLASS (class)->dispose = tarn_ledger_view_dispose;
  chosen_signal = g_signal_new ("cause-chosen", TARN_TYPE_LEDGER_VIEW, G_SIGNAL_RUN_LAST, 0,
                                NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  widget_class->get_request_mode = tarn_ledger_view_get_request_mode;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_css_name (widget_class, "ledger");
}

static void
tarn_ledger_view_init (TarnLedgerView *self)
{
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
}

GtkWidget *
tarn_ledger_view_new (void)
{
  return g_object_new (TARN_TYPE_LEDGER_VIEW, NULL);
}

void
tarn_ledger_view_set_truth (TarnLedgerView *self, const TarnTruth *truth,
                            const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_LEDGER_VIEW (self));
  self->truth = *truth;
  self->units = *units;
  self->has_truth = tarn_words_split (truth).has_split;
  self->open = 0;
  make_bars (self);
  gtk_widget_set_visible (GTK_WIDGET (self), self->has_truth);

  g_autofree char *text = tarn_ledger_text (truth, units);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Where the millilitres went"),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}
