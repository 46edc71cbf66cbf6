/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. Everything that does not move with the focus lies on one cached surface: the sheet of all
 *    planes, or the one that is enlarged.  It is drawn anew when fan, size, scale, plane or
 *    text size change.
 * 2. Cells are laid out in as many columns as make the planes largest. */
#include "app/fan_grid_private.h"

#include "app/ledger_view.h"
#include "app/words_debrief.h"
#include "base/units.h"
#include "report/outline_stroke.h"
#include "report/picture.h"
#include "report/sector.h"

#include <math.h>

#define LABEL       16.0 /* room above a plane, times the text size */
#define THUMB_LINE  1.25
#define LARGE_LINE  2.0
#define BORDER_LINE 0.8 /* of the outline's */

/* ---- Layout ---- */

TarnFanCells
tarn_fan_grid_cells (TarnFanGrid *self, int width, int height, double text_size)
{
  TarnFanCells best = { 1, 1, 1, 1, (int)(LABEL * text_size) };
  double best_scale = 0;
  for (int columns = 1; columns <= self->shown_count; columns++)
    {
      int rows = (self->shown_count + columns - 1) / columns;
      int wide = (width - TARN_FAN_GAP) / columns - TARN_FAN_GAP,
          high = (height - TARN_FAN_GAP) / rows - TARN_FAN_GAP;
      if (wide < 1 || high <= best.label)
        continue;
      double scale = tarn_sector_fit (&self->fan.geometry, 0, 0, wide, high - best.label).scale;
      if (scale > best_scale)
        {
          best_scale = scale;
          best = (TarnFanCells){ columns, rows, wide, high, best.label };
        }
    }
  return best;
}

static void
cell_corner (const TarnFanCells *cells, int plane, int *x, int *y)
{
  *x = TARN_FAN_GAP + plane % cells->columns * (cells->width + TARN_FAN_GAP);
  *y = TARN_FAN_GAP + plane / cells->columns * (cells->height + TARN_FAN_GAP);
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

static PangoLayout *
small_text (TarnFanGrid *self, const char *text)
{
  PangoLayout *layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), text);
  PangoAttrList *small = pango_attr_list_new ();
  pango_attr_list_insert (small, pango_attr_scale_new (PANGO_SCALE_SMALL));
  pango_layout_set_attributes (layout, small);
  pango_attr_list_unref (small);
  return layout;
}

/* The angle at the left; at the right what is missing and why, or why alone, as there is room.
 */
static void
draw_label (TarnFanGrid *self, cairo_t *cr, double x, double y, int width, int plane)
{
  double deg = tarn_deg_from_rad (self->fan.plane[plane].fan_rad);
  long whole = lround (deg);
  g_autofree char *text = g_strdup_printf ("%s%ld°",
                                           whole < 0   ? "−"
                                           : whole > 0 ? "+"
                                                       : "",
                                           labs (whole));
  g_autoptr (PangoLayout) angle = small_text (self, text);
  const TarnPaper paper = { .dark = true };
  tarn_paper_source (cr, &paper, TARN_INK_QUIET);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, angle);

  const TarnDebriefPlane *truth = tarn_fan_grid_truth (self, plane);
  if (truth == NULL)
    return;
  int angle_width, loss_width;
  g_autofree char *lost = tarn_words_plane_loss_short (&truth->loss, &self->units);
  g_autoptr (PangoLayout) loss = small_text (self, lost);
  pango_layout_get_pixel_size (angle, &angle_width, NULL);
  pango_layout_get_pixel_size (loss, &loss_width, NULL);
  int room = width - 6 - angle_width - TARN_FAN_GAP;
  if (loss_width > room)
    {
      pango_layout_set_text (loss, tarn_words_plane_loss_word (&truth->loss), -1);
      pango_layout_get_pixel_size (loss, &loss_width, NULL);
    }
  tarn_paper_source (cr, &paper, TARN_INK_TEXT);
  cairo_move_to (cr, x + width - 6 - loss_width, y);
  if (loss_width <= room)
    pango_cairo_show_layout (cr, loss);
}

/* The true border, as far as the cell goes: it may leave the field. */
static void
draw_border (TarnFanGrid *self, cairo_t *cr, const TarnSectorPlace *place, int plane,
             double line)
{
  const TarnDebriefPlane *truth = tarn_fan_grid_truth (self, plane);
  if (truth != NULL && self->true_border)
    tarn_border_stroke (cr, &truth->border, place, line * BORDER_LINE);
}

/* All cells share their geometry; the map is made for device pixels, the strokes for the
 * widget's. */
static void
draw_sheet (TarnFanGrid *self, cairo_t *cr, const TarnFanKey *key)
{
  TarnFanCells cells = tarn_fan_grid_cells (self, key->width, key->height, key->text_size);
  int scale = key->scale;
  TarnSectorPlace fine
      = tarn_sector_fit (&self->fan.geometry, 0, cells.label * scale, cells.width * scale,
                         (cells.height - cells.label) * scale);
  TarnSectorPlace coarse = { fine.x0 / scale, fine.y0 / scale, fine.scale / scale };
  TarnSectorMap *map = tarn_sector_map_new (&self->fan.geometry, &fine);
  for (int cell = 0; cell < self->shown_count; cell++)
    {
      int x, y, k = self->shown[cell];
      TarnImage image = image_of (self, k);
      cell_corner (&cells, cell, &x, &y);
      cairo_save (cr);
      cairo_scale (cr, 1.0 / scale, 1.0 / scale);
      tarn_sector_paint (cr, map, &image, x * scale, y * scale);
      cairo_restore (cr);
      TarnSectorPlace place = { coarse.x0 + x, coarse.y0 + y, coarse.scale };
      cairo_save (cr);
      cairo_rectangle (cr, x, y + cells.label, cells.width, cells.height - cells.label);
      cairo_clip (cr);
      draw_border (self, cr, &place, k, THUMB_LINE);
      tarn_outline_stroke (cr, &self->fan.plane[k].outline, &place, THUMB_LINE);
      cairo_restore (cr);
      draw_label (self, cr, x + 3, y, cells.width, k);
    }
  tarn_sector_map_free (map);
}

static void
draw_enlarged (TarnFanGrid *self, cairo_t *cr, const TarnFanKey *key)
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
  draw_border (self, cr, &place, key->plane, LARGE_LINE);
  tarn_outline_stroke (cr, &plane->outline, &place, LARGE_LINE);
  tarn_picture_draw_surroundings (cr, key->width, key->height, geometry, &place, &around);
}

void
tarn_fan_grid_forget (TarnFanGrid *self)
{
  g_clear_pointer (&self->drawn, cairo_surface_destroy);
}

static void
ensure_drawing (TarnFanGrid *self, const TarnFanKey *key)
{
  const TarnFanKey *had = &self->key;
  if (self->drawn != NULL && had->width == key->width && had->height == key->height
      && had->scale == key->scale && had->plane == key->plane
      && fabs (had->text_size - key->text_size) < 1e-6)
    return;
  tarn_fan_grid_forget (self);
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
append_ring (TarnFanGrid *self, GtkSnapshot *snapshot, const TarnFanKey *key)
{
  TarnFanCells cells = tarn_fan_grid_cells (self, key->width, key->height, key->text_size);
  gboolean focus = gtk_widget_has_focus (GTK_WIDGET (self));
  const GdkRGBA measured = { 0x56 / 255.0F, 0xb4 / 255.0F, 0xe9 / 255.0F, 1 };
  const GdkRGBA quiet = { 0xa3 / 255.0F, 0xa1 / 255.0F, 0x9c / 255.0F, 1 };
  float line = focus ? 2 : 1;
  int x, y, cell = 0;
  GskRoundedRect ring;
  while (cell < self->shown_count - 1 && self->shown[cell] != self->chosen)
    cell++;
  cell_corner (&cells, cell, &x, &y);
  gsk_rounded_rect_init_from_rect (&ring,
                                   &GRAPHENE_RECT_INIT ((float)x - 3, (float)y - 2,
                                                        (float)cells.width + 6,
                                                        (float)cells.height + 4),
                                   6);
  const GdkRGBA *colour = focus ? &measured : &quiet;
  gtk_snapshot_append_border (snapshot, &ring, (float[4]){ line, line, line, line },
                              (GdkRGBA[4]){ *colour, *colour, *colour, *colour });
}

void
tarn_fan_grid_draw (TarnFanGrid *self, GtkSnapshot *snapshot)
{
  GtkWidget *widget = GTK_WIDGET (self);
  TarnFanKey key = { .width = gtk_widget_get_width (widget),
                     .height = gtk_widget_get_height (widget),
                     .scale = gtk_widget_get_scale_factor (widget),
                     .plane = self->enlarged ? self->chosen : -1,
                     .text_size = tarn_paper_of_widget (widget).text_size };
  if (self->shown_count == 0 || key.width <= 2 * TARN_FAN_GAP || key.height <= 2 * TARN_FAN_GAP)
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
