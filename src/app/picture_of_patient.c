/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/picture_of_patient.h"

#include <math.h>

/* Proportions of the drawing are our own; nothing is measured from it. */
#define SHOWN_MM   900.0 /* from edge to edge, of an adult */
#define BED_SHARE  0.17  /* of the picture's height */
#define PUBIS_AT   0.60  /* of its width */
#define DRAPE_MM   9.0   /* thickness of the cloth */
#define FOLD_FROM  12.0  /* mm of pannus from which it hangs over */
#define POINTS_MAX 24

typedef struct
{
  double along_mm, up_mm; /* towards the head from the pubis; from the bed */
} Point;

typedef struct
{
  Point point[POINTS_MAX];
  int points;
} Profile;

static void
add (Profile *profile, double along_mm, double up_mm)
{
  g_return_if_fail (profile->points < POINTS_MAX);
  profile->point[profile->points++] = (Point){ along_mm, up_mm };
}

/* How long the trunk is against an adult's: grows until sixteen. */
static double
growth (const TarnPatient *patient)
{
  return CLAMP (0.4 + 0.6 * patient->habitus.age_years / 16, 0.4, 1.0);
}

/* How fat changes the height of the belly: a slim one sinks between ribs and pubis. */
static double
roundness_mm (const TarnPatient *patient)
{
  return CLAMP (0.8 * (patient->habitus.fat_mm - 18), -16, 34);
}

/* The skin from the head end to the feet, fold apart.  Small bodies go on under the cloth to
 * the picture's edges, @far_mm away. */
static void
trace_skin (const TarnPatient *patient, double far_mm, Profile *profile)
{
  double length = growth (patient), depth_mm = patient->habitus.torso_depth_mm;
  double round_mm = roundness_mm (patient), pannus_mm = patient->habitus.pannus_mm;

  add (profile, MAX (far_mm, 700), depth_mm * 0.90);
  add (profile, 640 * length, depth_mm * 0.92);
  add (profile, 440 * length, depth_mm * 1.02);
  add (profile, 310 * length, depth_mm * 1.04);
  add (profile, 225 * length, depth_mm + round_mm * 0.7 + pannus_mm * 0.3);
  add (profile, 140 * length, depth_mm * 0.97 + round_mm + pannus_mm * 0.8);
  add (profile, 60 * length, depth_mm * 0.93 + round_mm * 0.9 + pannus_mm * 0.9);
  add (profile, 0, depth_mm * 0.86 + round_mm * 0.3);
  add (profile, -60 * length, depth_mm * 0.74);
  add (profile, -170 * length, depth_mm * 0.67);
  add (profile, -330 * length, depth_mm * 0.56);
  add (profile, -520 * length, depth_mm * 0.50);
  add (profile, MIN (-far_mm, -600), depth_mm * 0.48);
}

/* The part of a fold that hangs over towards the feet, and back to its crease. */
static void
trace_fold (const TarnPatient *patient, Profile *profile)
{
  double length = growth (patient), depth_mm = patient->habitus.torso_depth_mm;
  double round_mm = roundness_mm (patient), pannus_mm = patient->habitus.pannus_mm;

  add (profile, 140 * length, depth_mm * 0.97 + round_mm + pannus_mm * 0.8);
  add (profile, 60 * length, depth_mm * 0.95 + round_mm + pannus_mm);
  add (profile, 0, depth_mm * 0.93 + round_mm * 0.8 + pannus_mm * 0.8);
  add (profile, -20 - pannus_mm * 0.5, depth_mm * 0.88 + pannus_mm * 0.3);
  add (profile, -14 - pannus_mm * 0.35, depth_mm * 0.80);
  add (profile, 10, depth_mm * 0.76);
  add (profile, 60 * length, depth_mm * 0.80);
}

static double
distance_mm (Point a, Point b)
{
  return MAX (hypot (a.along_mm - b.along_mm, a.up_mm - b.up_mm), 1);
}

/* A smooth line through the points: a Catmull-Rom spline over the lengths of the chords, so
 * that a long piece does not swing beyond a short one beside it. */
static void
trace_line (cairo_t *cr, const Profile *profile, double lift_mm)
{
  const Point *p = profile->point;
  for (int i = 0; i + 1 < profile->points; i++)
    {
      Point before = p[MAX (i - 1, 0)], from = p[i], to = p[i + 1];
      Point after = p[MIN (i + 2, profile->points - 1)];
      double chord = distance_mm (from, to);
      double leave = chord / 3 / (i > 0 ? distance_mm (before, from) + chord : chord);
      double arrive
          = chord / 3 / (i + 2 < profile->points ? distance_mm (to, after) + chord : chord);
      if (i == 0)
        cairo_line_to (cr, from.along_mm, from.up_mm + lift_mm);
      cairo_curve_to (cr, from.along_mm + (to.along_mm - before.along_mm) * leave,
                      from.up_mm + (to.up_mm - before.up_mm) * leave + lift_mm,
                      to.along_mm - (after.along_mm - from.along_mm) * arrive,
                      to.up_mm - (after.up_mm - from.up_mm) * arrive + lift_mm, to.along_mm,
                      to.up_mm + lift_mm);
    }
}

/* What lies between the line and the bed. */
static void
trace_solid (cairo_t *cr, const Profile *profile, double lift_mm)
{
  cairo_new_path (cr);
  cairo_move_to (cr, profile->point[0].along_mm, 0);
  trace_line (cr, profile, lift_mm);
  cairo_line_to (cr, profile->point[profile->points - 1].along_mm, 0);
  cairo_close_path (cr);
}

static void
set_colour (cairo_t *cr, unsigned rgb, double brightness)
{
  cairo_set_source_rgb (cr, (rgb >> 16 & 255) / 255.0 * brightness,
                        (rgb >> 8 & 255) / 255.0 * brightness,
                        (rgb & 255) / 255.0 * brightness);
}

static void
add_stop (cairo_pattern_t *pattern, double at, unsigned rgb, double brightness)
{
  cairo_pattern_add_color_stop_rgb (pattern, at, (rgb >> 16 & 255) / 255.0 * brightness,
                                    (rgb >> 8 & 255) / 255.0 * brightness,
                                    (rgb & 255) / 255.0 * brightness);
}

static void
fill_between (cairo_t *cr, double from_y, unsigned from, double to_y, unsigned to, double light)
{
  cairo_pattern_t *pattern = cairo_pattern_create_linear (0, from_y, 0, to_y);
  add_stop (pattern, 0, from, light);
  add_stop (pattern, 1, to, light);
  cairo_set_source (cr, pattern);
  cairo_fill (cr);
  cairo_pattern_destroy (pattern);
}

static void
draw_room (cairo_t *cr, double width, double height, gboolean dark)
{
  double bed_y = height * (1 - BED_SHARE);
  cairo_rectangle (cr, 0, 0, width, height);
  fill_between (cr, 0, dark ? 0x1f2224 : 0xe7e3db, height, dark ? 0x2b2f32 : 0xf4f1ec, 1);
  /* The mattress and its sheet. */
  cairo_rectangle (cr, 0, bed_y, width, height - bed_y);
  fill_between (cr, bed_y, dark ? 0x4a5055 : 0xffffff, height, dark ? 0x353a3e : 0xdfdad1, 1);
}

/* The tone of a complexion, lit from above. */
static void
fill_skin (cairo_t *cr, const TarnPatient *patient, gboolean dark)
{
  static const unsigned lit[] = { 0xf2d2bd, 0xe7bd9e, 0xd2a17b, 0xb3805a, 0x8c5f42, 0x624232 };
  static const unsigned shade[]
      = { 0xcf9f86, 0xbc8a69, 0xa3724e, 0x815436, 0x5d3b26, 0x3c261b };
  int tone = CLAMP (patient->habitus.complexion, 1, 6) - 1;
  double top_mm = patient->habitus.torso_depth_mm + patient->habitus.pannus_mm;
  fill_between (cr, top_mm, lit[tone], 0, shade[tone], dark ? 0.84 : 1);
}

/* A cloth over all that lies beyond an edge: @side +1 towards the head, -1 towards the feet. */
static void
draw_drape (cairo_t *cr, const Profile *profile, double edge_mm, int side, double top_mm,
            gboolean dark)
{
  double far_mm = side * 5000, hang_mm = side * 26;
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_move_to (cr, edge_mm, top_mm * 2);
  cairo_line_to (cr, edge_mm, top_mm * 0.9);
  cairo_curve_to (cr, edge_mm, top_mm * 0.5, edge_mm + hang_mm, top_mm * 0.3, edge_mm + hang_mm,
                  -10);
  cairo_line_to (cr, far_mm, -10);
  cairo_line_to (cr, far_mm, top_mm * 2);
  cairo_close_path (cr);
  cairo_path_t *region = cairo_copy_path (cr);
  cairo_clip (cr);
  trace_solid (cr, profile, DRAPE_MM);
  fill_between (cr, top_mm, dark ? 0x566873 : 0xc5d4dd, 0, dark ? 0x323f47 : 0x8ea6b4, 1);
  /* The hem, along the region's border within the cloth. */
  trace_solid (cr, profile, DRAPE_MM);
  cairo_clip (cr);
  cairo_append_path (cr, region);
  set_colour (cr, dark ? 0x6d808b : 0xdde7ed, 1);
  cairo_set_line_width (cr, 9);
  cairo_stroke (cr);
  cairo_path_destroy (region);
  cairo_restore (cr);
}

/* Where skin and cloths rest on the sheet. */
static void
draw_contact (cairo_t *cr, double width_mm, gboolean dark)
{
  cairo_rectangle (cr, -width_mm, -9, 2 * width_mm, 9);
  cairo_pattern_t *pattern = cairo_pattern_create_linear (0, 0, 0, -9);
  cairo_pattern_add_color_stop_rgba (pattern, 0, 0, 0, 0, dark ? 0.45 : 0.22);
  cairo_pattern_add_color_stop_rgba (pattern, 1, 0, 0, 0, 0);
  cairo_set_source (cr, pattern);
  cairo_fill (cr);
  cairo_pattern_destroy (pattern);
}

void
tarn_picture_of_patient_draw (cairo_t *cr, const TarnPatient *patient, double width,
                              double height, gboolean dark)
{
  draw_room (cr, width, height, dark);
  if (patient == NULL)
    return;
  double top_mm = patient->habitus.torso_depth_mm * 1.04 + roundness_mm (patient)
                  + patient->habitus.pannus_mm + DRAPE_MM;
  /* Even the largest belly stays below the picture's edge. */
  double scale = MIN (width / SHOWN_MM, height * (1 - BED_SHARE) * 0.94 / top_mm);
  Profile skin = { .points = 0 };
  trace_skin (patient, width / scale, &skin);
  cairo_save (cr);
  cairo_translate (cr, width * PUBIS_AT, height * (1 - BED_SHARE));
  cairo_scale (cr, -scale, -scale);
  draw_contact (cr, width / scale, dark);
  trace_solid (cr, &skin, 0);
  fill_skin (cr, patient, dark);
  draw_drape (cr, &skin, 225 * growth (patient), 1, top_mm, dark);
  draw_drape (cr, &skin, -8, -1, top_mm, dark);
  if (patient->habitus.pannus_mm >= FOLD_FROM)
    {
      Profile fold = { .points = 0 };
      trace_fold (patient, &fold);
      cairo_new_path (cr);
      trace_line (cr, &fold, 0);
      cairo_close_path (cr);
      fill_skin (cr, patient, dark);
    }
  cairo_restore (cr);
}

struct _TarnPictureOfPatient
{
  GtkWidget parent_instance;
  TarnPatientItem *item;
};

G_DEFINE_FINAL_TYPE (TarnPictureOfPatient, tarn_picture_of_patient, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_ITEM,
  N_PROPS
};

static GParamSpec *props[N_PROPS];

static void
tarn_picture_of_patient_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnPictureOfPatient *self = TARN_PICTURE_OF_PATIENT (widget);
  float width = (float)gtk_widget_get_width (widget);
  float height = (float)gtk_widget_get_height (widget);
  if (width <= 0 || height <= 0)
    return;
  /* Light text means a dark theme. */
  GdkRGBA text;
  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &text);
  gboolean dark = text.red + text.green + text.blue > 1.5f;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  tarn_picture_of_patient_draw (
      cr, self->item != NULL ? tarn_patient_item_patient (self->item) : NULL, (double)width,
      (double)height, dark);
  cairo_destroy (cr);
}

static void
tarn_picture_of_patient_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (tarn_picture_of_patient_parent_class)->css_changed (widget, change);
  gtk_widget_queue_draw (widget);
}

static void
tarn_picture_of_patient_get_property (GObject *object, guint id, GValue *value,
                                      GParamSpec *pspec)
{
  if (id == PROP_ITEM)
    g_value_set_object (value, TARN_PICTURE_OF_PATIENT (object)->item);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_picture_of_patient_set_property (GObject *object, guint id, const GValue *value,
                                      GParamSpec *pspec)
{
  TarnPictureOfPatient *self = TARN_PICTURE_OF_PATIENT (object);
  if (id != PROP_ITEM)
    {
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
      return;
    }
  if (g_set_object (&self->item, g_value_get_object (value)))
    {
      gtk_widget_queue_draw (GTK_WIDGET (self));
      g_object_notify_by_pspec (object, pspec);
    }
}

static void
tarn_picture_of_patient_dispose (GObject *object)
{
  g_clear_object (&TARN_PICTURE_OF_PATIENT (object)->item);
  G_OBJECT_CLASS (tarn_picture_of_patient_parent_class)->dispose (object);
}

static void
tarn_picture_of_patient_class_init (TarnPictureOfPatientClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  object_class->get_property = tarn_picture_of_patient_get_property;
  object_class->set_property = tarn_picture_of_patient_set_property;
  object_class->dispose = tarn_picture_of_patient_dispose;
  widget_class->snapshot = tarn_picture_of_patient_snapshot;
  widget_class->css_changed = tarn_picture_of_patient_css_changed;
  props[PROP_ITEM] = g_param_spec_object ("item", NULL, NULL, TARN_TYPE_PATIENT_ITEM,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY
                                              | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_css_name (widget_class, "picture");
  /* Its card says all that it shows. */
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
tarn_picture_of_patient_init (TarnPictureOfPatient *self)
{
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-picture");
}
