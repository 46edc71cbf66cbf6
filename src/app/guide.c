/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The guide: a table of steps, each a sentence and a question that the state answers. */
#include "app/guide.h"

#include "app/plane_words.h"

#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

/* @from: as the guide began. */
typedef bool (*Done) (const TarnBedside *now, const TarnBedside *from);

struct _TarnGuide
{
  GtkWidget parent;
  GtkWidget *box;
  GtkLabel *count, *text;
  int step;
  TarnBedside from;    /* as the guide began */
  uint32_t since_tick; /* when the present step began; a step shows for a moment at least */
};

G_DEFINE_FINAL_TYPE (TarnGuide, tarn_guide, GTK_TYPE_WIDGET)

static guint finished_signal;

#define SLID_MM     6.0
#define SHOWN_TICKS TARN_TICKS_PER_SECOND

static bool
did (const TarnBedside *now, TarnDeed deed)
{
  return (now->deeds & 1u << deed) != 0;
}

static bool
met (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return did (now, TARN_DEED_HANDS) && did (now, TARN_DEED_IDENTITY)
         && did (now, TARN_DEED_CONSENT);
}

static bool
felt (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->finger_n_mm >= TARN_FELT_BONE_N_MM;
}

static bool
gelled (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->gel_laid_g >= 20;
}

static bool
touching (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->on_skin;
}

static bool
slid (const TarnBedside *now, const TarnBedside *from)
{
  double way_mm = hypot (now->hand.above_mm - from->hand.above_mm,
                         now->hand.left_mm - from->hand.left_mm);
  return now->on_skin && way_mm >= SLID_MM && now->pose.above_mm > 30 && now->pose.above_mm < 80
         && fabs (now->pose.left_mm) < 15;
}

static bool
tilted (const TarnBedside *now, const TarnBedside *from)
{
  return now->on_skin && !now->frozen
         && fabs (now->hand.tilt_rad - from->hand.tilt_rad) > tarn_rad_from_deg (5);
}

static bool
turned (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->on_skin && !now->frozen && fabs (sin (now->pose.turn_rad)) > 0.8;
}

static bool
turned_back (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->on_skin && !now->frozen && fabs (sin (now->pose.turn_rad)) < 0.3;
}

static bool
swept (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->readings >= 2;
}

static bool
looked (const TarnBedside *now, const TarnBedside *from)
{
  (void)from;
  return now->finished;
}

static const struct
{
  const char *text;
  Done done;
} steps[] = {
  { N_ ("Meet your patient first. Open “Before and after” (b): clean your hands, check the "
        "wrist "
        "band, explain and ask, and whatever else she may need."),
    met },
  { N_ ("Find the bone. Press “Feel” (p) and click low on the belly, on the midline, until it "
        "feels hard. Then switch “Feel” off."),
    felt },
  { N_ ("Lay gel: press “Gel 10 g” (g), twice. Sound does not cross air."), gelled },
  { N_ ("Put the probe down (0). Press more with the wheel or +, less with −. The disc below "
        "shows where the face is wet."),
    touching },
  { N_ ("Slide the probe to and fro, by dragging or with the arrow keys: 3 to 8 cm above the "
        "bone, on the midline. The black area in the picture is urine."),
    slid },
  { N_ ("Tilt the beam to the feet or to the head (Ctrl and arrow keys, or drag with Ctrl) "
        "until "
        "the black area is largest."),
    tilted },
  { N_ ("Look along the body too: turn the probe to sagittal (t, or “Hand and view”). Is the "
        "dark area whole from "
        "end to end?"),
    turned },
  { N_ ("Turn back to transverse (t)."), turned_back },
  { N_ ("Hold still and sweep (s), three seconds; then sweep once more. Two readings that "
        "agree can be believed."),
    swept },
  { N_ ("Now open “Readings and judgement” (j): look at every plane, say what you make of the "
        "reading, write the note, and ask for the truth."),
    looked },
};

static void
show_step (TarnGuide *self)
{
  int total = (int)G_N_ELEMENTS (steps);
  gtk_widget_set_visible (GTK_WIDGET (self), self->step >= 0);
  if (self->step < 0)
    return;
  g_autofree char *count = g_strdup_printf (_ ("Step %d of %d"), self->step + 1, total);
  gtk_label_set_text (self->count, count);
  gtk_label_set_text (self->text, _ (steps[self->step].text));
}

void
tarn_guide_start (TarnGuide *self, const TarnBedside *bedside)
{
  self->step = 0;
  self->since_tick = 0;
  self->from = *bedside;
  show_step (self);
}

void
tarn_guide_stop (TarnGuide *self)
{
  self->step = -1;
  show_step (self);
}

static void
end (TarnGuide *self)
{
  self->step = -1;
  show_step (self);
  g_signal_emit (self, finished_signal, 0);
}

void
tarn_guide_take (TarnGuide *self, const TarnBedside *bedside)
{
  if (self->step < 0 || bedside->tick < self->since_tick + SHOWN_TICKS
      || !steps[self->step].done (bedside, &self->from))
    return;
  self->step++;
  self->since_tick = bedside->tick;
  if (self->step == (int)G_N_ELEMENTS (steps))
    end (self);
  else
    show_step (self);
}

int
tarn_guide_step (TarnGuide *self)
{
  return self->step;
}

static void
tarn_guide_dispose (GObject *object)
{
  TarnGuide *self = TARN_GUIDE (object);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (tarn_guide_parent_class)->dispose (object);
}

static void
tarn_guide_class_init (TarnGuideClass *class)
{
  G_OBJECT_CLASS (class)->dispose = tarn_guide_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "guide");
  finished_signal = g_signal_new ("finished", TARN_TYPE_GUIDE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                  NULL, G_TYPE_NONE, 0);
}

static void
tarn_guide_init (TarnGuide *self)
{
  GtkWidget *count = gtk_label_new (""), *text = gtk_label_new ("");
  GtkWidget *leave = gtk_button_new_with_label (_ ("Go on alone"));

  self->step = -1;
  self->count = GTK_LABEL (count);
  self->text = GTK_LABEL (text);
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_widget_add_css_class (self->box, "tarn-notice");
  gtk_widget_add_css_class (count, "tarn-figures");
  gtk_widget_add_css_class (count, "tarn-quiet");
  gtk_label_set_wrap (self->text, TRUE);
  gtk_label_set_xalign (self->text, 0);
  gtk_label_set_lines (self->text, 2);
  gtk_widget_set_hexpand (text, TRUE);
  gtk_widget_set_size_request (text, -1, 38);
  gtk_widget_set_valign (leave, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (self->box), count);
  gtk_box_append (GTK_BOX (self->box), text);
  gtk_box_append (GTK_BOX (self->box), leave);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_connect_object (leave, "clicked", G_CALLBACK (end), self, G_CONNECT_SWAPPED);
}

GtkWidget *
tarn_guide_new (void)
{
  return g_object_new (TARN_TYPE_GUIDE, NULL);
}
