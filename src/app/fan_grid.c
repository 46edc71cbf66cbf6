/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. Everything that does not move with the focus lies on one cached surface: the sheet of all
 *    planes, or the one that is enlarged.  It is drawn anew when fan, size, scale, plane or
 *    text size change.
 * 2. Cells are laid out in as many columns as make the planes largest. */
#include "app/fan_grid.h"

#include "app/ledger_view.h"
#include "base/units.h"
#include "report/outline_stroke.h"
#include "report/picture.h"
#include "report/sector.h"

#include <glib/gi18n.h>
#include <math.h>

#define GAP        6
#define LABEL      16.0 /* room above a plane, times the text size */
#define LEAST      280
#define NATURAL    520
#define THUMB_LINE 1.25
#define LARGE_LINE 2.0

/* What a cached surface was drawn for. */
typedef struct
{
  int width, height, scale;
  int plane; /* -1: all */
  double text_size;
} Key;

struct _TarnFanGrid
{
  GtkWidget parent;
  TarnFan fan; /* planes 0: none */
  TarnUnits units;
  int chosen;
  gboolean enlarged;
  char *text;
  cairo_surface_t *drawn; /* NULL: to be drawn */
  Key key;
};

G_DEFINE_FINAL_TYPE (TarnFanGrid, tarn_fan_grid, GTK_TYPE_WIDGET)

enum
{
  PROP_ENLARGED = 1,
  PROP_TEXT,
  PROPS
};
static GParamSpec *properties[PROPS];

/* ---- Layout ---- */

typedef struct
{
  int columns, rows;
  int width, height; /* of a cell, gap apart from the next */
  int label;         /* of the height, above the plane */
} Cells;

static Cells
cells_of (TarnFanGrid *self, int width, int height, double text_size)
{
  Cells best = { 1, 1, 1, 1, (int)(LABEL * text_size) };
  double best_scale = 0;
  for (int columns = 1; columns <= self->fan.planes; columns++)
    {
      int rows = (self->fan.planes + columns - 1) / columns;
      int wide = (width - GAP) / columns - GAP, high = (height - GAP) / rows - GAP;
      if (wide < 1 || high <= best.label)
        continue;
      double scale = tarn_sector_fit (&self->fan.geometry, 0, 0, wide, high - best.label).scale;
      if (scale > best_scale)
        {
          best_scale = scale;
          best = (Cells){ columns, rows, wide, high, best.label };
        }
    }
  return best;
}

static void
cell_corner (const Cells *cells, int plane, int *x, int *y)
{
  *x = GAP + plane % cells->columns * (cells->width + GAP);
  *y = GAP + plane / cells->columns * (cells->height + GAP);
}

static TarnImage
image_of (TarnFanGrid *self, int plane)
{
  const TarnImageGeometry *geometry = &self->fan.geometry;
  gsize each = (gsize)geometry->lines * (gsize)geometry->samples;
  const uint8_t *grey = g_bytes_get_data (self->fan.grey, NULL);
  return (TarnImage){ .geometry = *geometry,
                      .grey = grey + each * (gsize)plane,
                      .stride = geometry->samples };
}

/* ---- Drawing ---- */

static void
draw_angle (TarnFanGrid *self, cairo_t *cr, double x, double y, int plane)
{
  double deg = tarn_deg_from_rad (self->fan.plane[plane].fan_rad);
  long whole = lround (deg);
  g_autofree char *text = g_strdup_printf ("%s%ld°",
                                           whole < 0   ? "−"
                                           : whole > 0 ? "+"
                                                       : "",
                                           labs (whole));
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), text);
  PangoAttrList *small = pango_attr_list_new ();
  pango_attr_list_insert (small, pango_attr_scale_new (PANGO_SCALE_SMALL));
  pango_layout_set_attributes (layout, small);
  pango_attr_list_unref (small);
  const TarnPaper paper = { .dark = true };
  tarn_paper_source (cr, &paper, TARN_INK_QUIET);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, layout);
}

/* All cells share their geometry; the map is made for device pixels, the strokes for the
 * widget's. */
static void
draw_sheet (TarnFanGrid *self, cairo_t *cr, const Key *key)
{
  Cells cells = cells_of (self, key->width, key->height, key->text_size);
  int scale = key->scale;
  TarnSectorPlace fine
      = tarn_sector_fit (&self->fan.geometry, 0, cells.label * scale, cells.width * scale,
                         (cells.height - cells.label) * scale);
  TarnSectorPlace coarse = { fine.x0 / scale, fine.y0 / scale, fine.scale / scale };
  TarnSectorMap *map = tarn_sector_map_new (&self->fan.geometry, &fine);
  for (int k = 0; k < self->fan.planes; k++)
    {
      int x, y;
      TarnImage image = image_of (self, k);
      cell_corner (&cells, k, &x, &y);
      cairo_save (cr);
      cairo_scale (cr, 1.0 / scale, 1.0 / scale);
      tarn_sector_paint (cr, map, &image, x * scale, y * scale);
      cairo_restore (cr);
      TarnSectorPlace place = { coarse.x0 + x, coarse.y0 + y, coarse.scale };
      tarn_outline_stroke (cr, &self->fan.plane[k].outline, &place, THUMB_LINE);
      draw_angle (self, cr, x + 3, y, k);
    }
  tarn_sector_map_free (map);
}

static void
draw_enlarged (TarnFanGrid *self, cairo_t *cr, const Key *key)
{
  const TarnImageGeometry *geometry = &self->fan.geometry;
  const TarnSweepPlane *plane = &self->fan.plane[key->plane];
  g_autofree char *caption
      = tarn_words_plane (key->plane, self->fan.planes, plane->fan_rad, self->fan.turn_rad);
  const TarnSurroundings around = { .turn_rad = self->fan.turn_rad,
                                    .text_size = key->text_size,
                                    .caption = caption,
                                    .millimetres = self->units.millimetres };
  TarnSectorPlace place = tarn_picture_plane_place (geometry, key->width, key->height, &around);
  TarnSectorPlace fine
      = { place.x0 * key->scale, place.y0 * key->scale, place.scale * key->scale };
  TarnImage image = image_of (self, key->plane);
  TarnSectorMap *map = tarn_sector_map_new (geometry, &fine);
  cairo_save (cr);
  cairo_scale (cr, 1.0 / key->scale, 1.0 / key->scale);
  tarn_sector_paint (cr, map, &image, 0, 0);
  cairo_restore (cr);
  tarn_sector_map_free (map);
  tarn_outline_stroke (cr, &plane->outline, &place, LARGE_LINE);
  tarn_picture_draw_surroundings (cr, key->width, key->height, geometry, &place, &around);
}

static void
forget_drawing (TarnFanGrid *self)
{
  g_clear_pointer (&self->drawn, cairo_surface_destroy);
}

static void
ensure_drawing (TarnFanGrid *self, const Key *key)
{
  const Key *had = &self->key;
  if (self->drawn != NULL && had->width == key->width && had->height == key->height
      && had->scale == key->scale && had->plane == key->plane
      && fabs (had->text_size - key->text_size) < 1e-6)
    return;
  forget_drawing (self);
  self->key = *key;
  self->drawn = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, key->width * key->scale,
                                            key->height * key->scale);
  cairo_surface_set_device_scale (self->drawn, key->scale, key->scale);
  cairo_t *cr = cairo_create (self->drawn);
  if (key->plane >= 0)
    draw_enlarged (self, cr, key);
  else
    draw_sheet (self, cr, key);
  cairo_destroy (cr);
}

static void
append_ring (TarnFanGrid *self, GtkSnapshot *snapshot, const Key *key)
{
  Cells cells = cells_of (self, key->width, key->height, key->text_size);
  gboolean focus = gtk_widget_has_focus (GTK_WIDGET (self));
  const GdkRGBA measured = { 0x56 / 255.0F, 0xb4 / 255.0F, 0xe9 / 255.0F, 1 };
  const GdkRGBA quiet = { 0xa3 / 255.0F, 0xa1 / 255.0F, 0x9c / 255.0F, 1 };
  float line = focus ? 2 : 1;
  int x, y;
  GskRoundedRect ring;
  cell_corner (&cells, self->chosen, &x, &y);
  gsk_rounded_rect_init_from_rect (&ring,
                                   &GRAPHENE_RECT_INIT ((float)x - 3, (float)y - 2,
                                                        (float)cells.width + 6,
                                                        (float)cells.height + 4),
                                   6);
  const GdkRGBA *colour = focus ? &measured : &quiet;
  gtk_snapshot_append_border (snapshot, &ring, (float[4]){ line, line, line, line },
                              (GdkRGBA[4]){ *colour, *colour, *colour, *colour });
}

static void
tarn_fan_grid_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnFanGrid *self = TARN_FAN_GRID (widget);
  Key key = { .width = gtk_widget_get_width (widget),
              .height = gtk_widget_get_height (widget),
              .scale = gtk_widget_get_scale_factor (widget),
              .plane = self->enlarged ? self->chosen : -1,
              .text_size = tarn_paper_of_widget (widget).text_size };
  if (self->fan.planes == 0 || key.width <= 2 * GAP || key.height <= 2 * GAP)
    return;
  ensure_drawing (self, &key);
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)key.width, (float)key.height));
  cairo_set_source_surface (cr, self->drawn, 0, 0);
  cairo_paint (cr);
  cairo_destroy (cr);
  if (!self->enlarged)
    append_ring (self, snapshot, &key);
}

static void
tarn_fan_grid_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                       int *minimum, int *natural, int *minimum_baseline, int *natural_baseline)
{
  (void)widget;
  (void)for_size;
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? LEAST : LEAST * 3 / 4;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? NATURAL : NATURAL * 3 / 4;
  *minimum_baseline = *natural_baseline = -1;
}

/* ---- Choosing ---- */

/* The chosen plane in words, for the page, for screen readers, and for listeners. */
static void
tell (TarnFanGrid *self)
{
  g_free (self->text);
  self->text = NULL;
  if (self->fan.planes > 0)
    {
      const TarnSweepPlane *plane = &self->fan.plane[self->chosen];
      g_autofree char *which = tarn_words_plane (self->chosen, self->fan.planes, plane->fan_rad,
                                                 self->fan.turn_rad);
      g_autofree char *evidence = tarn_words_evidence (&plane->outline);
      /* Translators: a plane, and how sure its outline is. */
      self->text = g_strdup_printf (C_ ("plane", "%s: %s"), which, evidence);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  self->text != NULL ? self->text : _ ("No planes"), -1);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TEXT]);
}

int
tarn_fan_grid_chosen (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), -1);
  return self->fan.planes > 0 ? self->chosen : -1;
}

void
tarn_fan_grid_choose (TarnFanGrid *self, int plane)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  if (self->fan.planes == 0)
    return;
  plane = CLAMP (plane, 0, self->fan.planes - 1);
  if (plane == self->chosen)
    return;
  self->chosen = plane;
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
tarn_fan_grid_enlarged (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), FALSE);
  return self->enlarged;
}

void
tarn_fan_grid_set_enlarged (TarnFanGrid *self, gboolean enlarged)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  enlarged = enlarged && self->fan.planes > 0;
  if (enlarged == self->enlarged)
    return;
  self->enlarged = enlarged;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_ENLARGED]);
}

const char *
tarn_fan_grid_text (TarnFanGrid *self)
{
  g_return_val_if_fail (TARN_IS_FAN_GRID (self), "");
  return self->text != NULL ? self->text : "";
}

void
tarn_fan_grid_set_fan (TarnFanGrid *self, const TarnFan *fan, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_FAN_GRID (self));
  g_clear_pointer (&self->fan.grey, g_bytes_unref);
  forget_drawing (self);
  self->fan = (TarnFan){ 0 };
  self->units = *units;
  self->chosen = 0;
  if (fan != NULL && fan->planes > 0 && fan->grey != NULL && fan->plane != NULL)
    {
      g_return_if_fail (g_bytes_get_size (fan->grey) >= (gsize)fan->planes
                                                            * (gsize)fan->geometry.lines
                                                            * (gsize)fan->geometry.samples);
      self->fan = *fan;
      g_bytes_ref (self->fan.grey);
      self->chosen = fan->planes / 2;
    }
  tarn_fan_grid_set_enlarged (self, FALSE);
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* A row up or down: as far as the grid has columns; one plane when enlarged. */
static int
row_step (TarnFanGrid *self)
{
  if (self->enlarged)
    return 1;
  GtkWidget *widget = GTK_WIDGET (self);
  return cells_of (self, gtk_widget_get_width (widget), gtk_widget_get_height (widget),
                   tarn_paper_of_widget (widget).text_size)
      .columns;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode,
             GdkModifierType state, gpointer data)
{
  TarnFanGrid *self = data;
  (void)controller;
  (void)keycode;
  if (self->fan.planes == 0 || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  int to = self->chosen;
  switch (keyval)
    {
    case GDK_KEY_Left:
      to--;
      break;
    case GDK_KEY_Right:
      to++;
      break;
    case GDK_KEY_Up:
      to -= row_step (self);
      break;
    case GDK_KEY_Down:
      to += row_step (self);
      break;
    case GDK_KEY_Home:
      to = 0;
      break;
    case GDK_KEY_End:
      to = self->fan.planes - 1;
      break;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_space:
      tarn_fan_grid_set_enlarged (self, !self->enlarged);
      return GDK_EVENT_STOP;
    case GDK_KEY_Escape:
      if (!self->enlarged)
        return GDK_EVENT_PROPAGATE;
      tarn_fan_grid_set_enlarged (self, FALSE);
      return GDK_EVENT_STOP;
    default:
      return GDK_EVENT_PROPAGATE;
    }
  if (to >= 0 && to < self->fan.planes)
    tarn_fan_grid_choose (self, to);
  return GDK_EVENT_STOP;
}

static void
pressed (GtkGestureClick *gesture, int presses, double x, double y, gpointer data)
{
  TarnFanGrid *self = data;
  GtkWidget *widget = GTK_WIDGET (self);
  (void)gesture;
  (void)presses;
  gtk_widget_grab_focus (widget);
  if (self->enlarged || self->fan.planes == 0)
    {
      tarn_fan_grid_set_enlarged (self, FALSE);
      return;
    }
  Cells cells = cells_of (self, gtk_widget_get_width (widget), gtk_widget_get_height (widget),
                          tarn_paper_of_widget (widget).text_size);
  int column = (int)((x - GAP / 2.0) / (cells.width + GAP));
  int row = (int)((y - GAP / 2.0) / (cells.height + GAP));
  int plane = row * cells.columns + column;
  if (column < 0 || column >= cells.columns || plane < 0 || plane >= self->fan.planes)
    return;
  if (plane == self->chosen)
    tarn_fan_grid_set_enlarged (self, TRUE);
  else
    tarn_fan_grid_choose (self, plane);
}

/* ---- The class ---- */

static void
tarn_fan_grid_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TarnFanGrid *self = TARN_FAN_GRID (object);
  if (id == PROP_ENLARGED)
    g_value_set_boolean (value, self->enlarged);
  else if (id == PROP_TEXT)
    g_value_set_string (value, tarn_fan_grid_text (self));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_fan_grid_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ENLARGED)
    tarn_fan_grid_set_enlarged (TARN_FAN_GRID (object), g_value_get_boolean (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_fan_grid_finalize (GObject *object)
{
  TarnFanGrid *self = TARN_FAN_GRID (object);
  g_clear_pointer (&self->fan.grey, g_bytes_unref);
  forget_drawing (self);
  g_free (self->text);
  G_OBJECT_CLASS (tarn_fan_grid_parent_class)->finalize (object);
}

static void
tarn_fan_grid_class_init (TarnFanGridClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  object_class->get_property = tarn_fan_grid_get_property;
  object_class->set_property = tarn_fan_grid_set_property;
  object_class->finalize = tarn_fan_grid_finalize;
  widget_class->snapshot = tarn_fan_grid_snapshot;
  widget_class->measure = tarn_fan_grid_measure;

  properties[PROP_ENLARGED] = g_param_spec_boolean ("enlarged", NULL, NULL, FALSE,
                                                    G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY
                                                        | G_PARAM_STATIC_STRINGS);
  properties[PROP_TEXT] = g_param_spec_string ("text", NULL, NULL, NULL,
                                               G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, PROPS, properties);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_set_css_name (widget_class, "fangrid");
}

static void
tarn_fan_grid_init (TarnFanGrid *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  gtk_widget_set_focusable (widget, TRUE);
  gtk_widget_set_overflow (widget, GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (widget, "tarn-view");

  GtkEventController *keys = gtk_event_controller_key_new ();
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (widget, keys);
  GtkGesture *click = gtk_gesture_click_new ();
  g_signal_connect (click, "pressed", G_CALLBACK (pressed), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (click));
  g_signal_connect (self, "notify::has-focus", G_CALLBACK (gtk_widget_queue_draw), NULL);
}

GtkWidget *
tarn_fan_grid_new (void)
{
  return g_object_new (TARN_TYPE_FAN_GRID, NULL);
}

/* ---- The legend ---- */

static void
draw_sample (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  (void)area;
  /* The strokes are made for dark ground, so each sample brings a piece of it. */
  cairo_set_source_rgb (cr, 0x14 / 255.0, 0x16 / 255.0, 0x18 / 255.0);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_fill (cr);
  tarn_evidence_stroke (cr, (TarnEvidence)GPOINTER_TO_INT (data), 6, height / 2.0, width - 12,
                        1.75);
}

GtkWidget *
tarn_fan_legend_new (void)
{
  static const char *const words[] = { [TARN_EVIDENCE_SEEN] = N_ ("border seen"),
                                       [TARN_EVIDENCE_BRIDGED] = N_ ("bridged over a gap"),
                                       [TARN_EVIDENCE_AT_EDGE] = N_ ("at the picture’s edge") };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 18);
  for (guint k = 0; k < G_N_ELEMENTS (words); k++)
    {
      GtkWidget *pair = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
      GtkWidget *sample = gtk_drawing_area_new ();
      GtkWidget *label = gtk_label_new (_ (words[k]));
      gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (sample), 54);
      gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (sample), 18);
      gtk_widget_set_valign (sample, GTK_ALIGN_CENTER);
      gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (sample), draw_sample,
                                      GINT_TO_POINTER (k), NULL);
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_widget_add_css_class (label, "tarn-quiet");
      gtk_box_append (GTK_BOX (pair), sample);
      gtk_box_append (GTK_BOX (pair), label);
      gtk_box_append (GTK_BOX (box), pair);
    }
  return box;
}
