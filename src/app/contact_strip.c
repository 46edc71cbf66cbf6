/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strip of contact and steadiness.  The trace keeps the face's way off its own mean over
 * the last seconds, one value a sixth of a second. */
#include "app/contact_strip.h"

#include "app/ledger_view.h"
#include "report/face_picture.h"
#include "report/trace_picture.h"

#include <glib/gi18n.h>
#include <math.h>

#define NATURAL_PX     300
#define TRACE_LEAST_PX 120 /* narrower, it tells nothing */
#define SECONDS        4.0
#define EVERY_TICKS    6
#define SAMPLES        40 /* SECONDS of them */
#define FACE_PX        96.0
#define GAP_PX         18.0
#define GAUGE_PX       150.0
#define HEIGHT_PX      120
#define WIDTH_PX       96 /* the face alone; the trace where there is room */
#define FORCE_FULL_N   40.0
#define GEL_FULL_G     30.0
#define FOLLOW         0.08 /* of the way to the face's place in each sample: a slow mean */

struct _TarnContactStrip
{
  GtkWidget parent;
  gboolean more;

  TarnBedside bedside;
  gboolean has_bedside;
  uint32_t taken_tick;
  double mean_above_mm, mean_left_mm;
  float wander_mm[SAMPLES]; /* oldest first */
  int samples;
};

G_DEFINE_FINAL_TYPE (TarnContactStrip, tarn_contact_strip, GTK_TYPE_WIDGET)

static void
draw_gauges (TarnContactStrip *self, cairo_t *cr, double x, double y, const TarnPaper *paper)
{
  const TarnBedside *now = &self->bedside;
  double force_n = now->on_skin ? now->pose.force_n : 0;
  g_autofree char *force = g_strdup_printf (_ ("%.0f N"), force_n);
  g_autofree char *gel = g_strdup_printf (_ ("%.0f g"), now->gel_g);
  TarnGauge pressed = { .label = _ ("Force"),
                        .value = force,
                        .limit_name = _ ("comfort"),
                        .share = CLAMP (force_n / FORCE_FULL_N, 0, 1),
                        .limit = CLAMP (now->comfort_n / FORCE_FULL_N, 0, 1) };
  TarnGauge left = { .label = _ ("Gel left"),
                     .value = gel,
                     .share = CLAMP (now->gel_g / GEL_FULL_G, 0, 1) };
  double step = TARN_GAUGE_HEIGHT * paper->text_size;

  tarn_gauge_draw (cr, x, y, GAUGE_PX, &pressed, paper);
  tarn_gauge_draw (cr, x, y + step, GAUGE_PX, &left, paper);
  tarn_breath_draw (cr, x, y + 2 * step, GAUGE_PX, now->breath, _ ("out"), _ ("in"), paper);
}

static void
tarn_contact_strip_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnContactStrip *self = TARN_CONTACT_STRIP (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, (float)width, (float)height);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  TarnPaper paper = tarn_paper_of_widget (widget);
  bool touches = self->has_bedside && self->bedside.on_skin;
  double face = fmin (FACE_PX, height), gauges = self->more ? GAUGE_PX + GAP_PX : 0;
  double trace_x = face + GAP_PX;

  tarn_face_picture_draw (
      cr, 0, (height - face) / 2, face,
      touches ? (const float (*)[TARN_FACE_ELEMENTS])self->bedside.contact.wet : NULL, &paper);
  TarnTracePicture trace = { .samples = self->samples,
                             .wander_mm = self->wander_mm,
                             .seconds = SECONDS,
                             .full = SAMPLES,
                             .steady = _ ("steady"),
                             .unit = _ ("mm"),
                             .seconds_ago = _ ("4 s ago"),
                             .now = _ ("now") };
  if (width - trace_x - gauges > TRACE_LEAST_PX)
    tarn_trace_picture_draw (cr, trace_x, 0, width - trace_x - gauges, height, &trace, &paper);
  if (self->more && self->has_bedside)
    draw_gauges (self, cr, width - GAUGE_PX, 0, &paper);
  cairo_destroy (cr);
}

/* What the pictures say, for who does not see them. */
static void
describe (TarnContactStrip *self)
{
  const TarnBedside *now = &self->bedside;
  g_autofree char *text
      = now->on_skin ? g_strdup_printf (_ ("%.0f percent of the face is wet; the hand wanders "
                                           "%.1f mm."),
                                        100 * now->contact.wet_fraction, now->unsteady_mm)
                     : g_strdup (_ ("The probe is off the skin."));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  text, -1);
}

void
tarn_contact_strip_take (TarnContactStrip *self, const TarnBedside *bedside)
{
  if (self->has_bedside && bedside->tick < self->taken_tick + EVERY_TICKS
      && bedside->tick >= self->taken_tick)
    return;
  bool began = !self->has_bedside || (bedside->on_skin && !self->bedside.on_skin);
  self->bedside = *bedside;
  self->has_bedside = TRUE;
  self->taken_tick = bedside->tick;

  if (began)
    {
      self->mean_above_mm = bedside->pose.above_mm;
      self->mean_left_mm = bedside->pose.left_mm;
      self->samples = 0;
    }
  double up = bedside->pose.above_mm - self->mean_above_mm;
  double over = bedside->pose.left_mm - self->mean_left_mm;
  self->mean_above_mm += FOLLOW * up;
  self->mean_left_mm += FOLLOW * over;
  if (bedside->on_skin)
    {
      if (self->samples == SAMPLES)
        memmove (self->wander_mm, self->wander_mm + 1, (SAMPLES - 1) * sizeof (float));
      else
        self->samples++;
      self->wander_mm[self->samples - 1] = (float)hypot (up, over);
    }
  describe (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_contact_strip_clear (TarnContactStrip *self)
{
  self->has_bedside = FALSE;
  self->samples = 0;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_contact_strip_set_more (TarnContactStrip *self, gboolean more)
{
  self->more = more;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
tarn_contact_strip_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                            int *minimum, int *natural, int *minimum_baseline,
                            int *natural_baseline)
{
  (void)widget;
  (void)for_size;
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_PX : HEIGHT_PX;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? NATURAL_PX : HEIGHT_PX;
  *minimum_baseline = *natural_baseline = -1;
}

static void
tarn_contact_strip_class_init (TarnContactStripClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  widget_class->snapshot = tarn_contact_strip_snapshot;
  widget_class->measure = tarn_contact_strip_measure;
  gtk_widget_class_set_css_name (widget_class, "contactstrip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
tarn_contact_strip_init (TarnContactStrip *self)
{
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Contact and steadiness"), -1);
}

GtkWidget *
tarn_contact_strip_new (void)
{
  return g_object_new (TARN_TYPE_CONTACT_STRIP, NULL);
}
