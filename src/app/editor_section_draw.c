/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A section as it is seen: the picture from the thread behind, and over it structures, marks,
 * the probe and the directions. */
#include "app/editor_section_private.h"

#include "report/palette.h"

#include <glib/gi18n.h>
#include <math.h>

#define HANDLE_PX 5.0 /* half a mark's side */

static void
trace (cairo_t *cr, const TarnSectionEllipse *e)
{
  cairo_matrix_t saved, to_ellipse;
  cairo_get_matrix (cr, &saved);
  cairo_matrix_init (&to_ellipse, e->major_x, e->major_y, e->minor_x, e->minor_y, e->x, e->y);
  cairo_transform (cr, &to_ellipse);
  cairo_new_sub_path (cr);
  cairo_arc (cr, 0, 0, 1, 0, 2 * G_PI);
  cairo_set_matrix (cr, &saved);
}

static void
stroke_with_halo (cairo_t *cr, double width)
{
  tarn_palette_source (cr, TARN_PALETTE_HALO);
  cairo_set_line_width (cr, width + 2);
  cairo_stroke_preserve (cr);
  tarn_palette_source (cr, TARN_PALETTE_MEASURED);
  cairo_set_line_width (cr, width);
  cairo_stroke (cr);
}

static void
draw_marks (cairo_t *cr, const TarnSectionEllipse *e)
{
  const double at[4][2] = { { e->x + e->major_x, e->y + e->major_y },
                            { e->x - e->major_x, e->y - e->major_y },
                            { e->x + e->minor_x, e->y + e->minor_y },
                            { e->x - e->minor_x, e->y - e->minor_y } };
  for (int k = 0; k < 4; k++)
    {
      cairo_rectangle (cr, at[k][0] - HANDLE_PX, at[k][1] - HANDLE_PX, 2 * HANDLE_PX,
                       2 * HANDLE_PX);
      tarn_palette_source (cr, TARN_PALETTE_HALO);
      cairo_fill_preserve (cr);
      tarn_palette_source (cr, TARN_PALETTE_MEASURED);
      cairo_set_line_width (cr, 1.5);
      cairo_stroke (cr);
    }
}

/* Where the other two cuts pass: short ticks at the edges, nothing over the picture. */
static void
draw_ticks (TarnEditorSection *self, cairo_t *cr, const TarnSection *cut)
{
  double x, y, width = cut->width, height = cut->height;
  tarn_section_place (cut, tarn_editor_section_where (self), &x, &y);
  x = floor (x) + 0.5;
  y = floor (y) + 0.5;
  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, x, 0);
  cairo_line_to (cr, x, 7);
  cairo_move_to (cr, x, height - 7);
  cairo_line_to (cr, x, height);
  cairo_move_to (cr, 0, y);
  cairo_line_to (cr, 7, y);
  cairo_move_to (cr, width - 7, y);
  cairo_line_to (cr, width, y);
  cairo_stroke (cr);
}

/* Where the probe of the plane stands: its face and its axis. */
static void
draw_probe (TarnEditorSection *self, cairo_t *cr, const TarnSection *cut)
{
  const TarnEditorShot *shot = self->shot;
  TarnVec3 skin, in;
  double x, y, to_x, to_y;
  if (shot->body == NULL
      || !tarn_body_skin_at (shot->body->body, shot->wish.pose.above_mm,
                             shot->wish.pose.left_mm, &skin, &in))
    return;
  in = tarn_add_scaled (in, tarn_vec3 (0, 0, -1), tan (shot->wish.pose.tilt_rad));
  in = tarn_normalize (
      tarn_add_scaled (in, tarn_vec3 (1, 0, 0), tan (shot->wish.pose.lean_rad)));
  tarn_section_place (cut, tarn_add_scaled (skin, in, -3), &to_x, &to_y);
  tarn_section_place (cut, tarn_add_scaled (skin, in, -22), &x, &y);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_move_to (cr, x, y);
  cairo_line_to (cr, to_x, to_y);
  stroke_with_halo (cr, 5);
}

static PangoLayout *
layout_of (TarnEditorSection *self, const char *text)
{
  PangoLayout *layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), text);
  PangoFontDescription *font = pango_font_description_copy (
      pango_context_get_font_description (gtk_widget_get_pango_context (GTK_WIDGET (self))));
  /* A widget's own is in pixels, scaled already. */
  pango_font_description_set_absolute_size (font, pango_font_description_get_size (font));
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  return layout;
}

/* @across, @along: 0 … 1 over the widget. */
static void
draw_word (TarnEditorSection *self, cairo_t *cr, const char *text, double across, double along)
{
  int width, height;
  g_autoptr (PangoLayout) layout = layout_of (self, text);
  pango_layout_get_pixel_size (layout, &width, &height);
  double x = 9 + across * (gtk_widget_get_width (GTK_WIDGET (self)) - 18 - width);
  double y = 6 + along * (gtk_widget_get_height (GTK_WIDGET (self)) - 12 - height);
  cairo_move_to (cr, floor (x), floor (y));
  pango_cairo_layout_path (cr, layout);
  tarn_palette_source (cr, TARN_PALETTE_HALO);
  cairo_set_line_width (cr, 3);
  cairo_stroke_preserve (cr);
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_fill (cr);
}

static const char *
title_of (TarnSectionKind kind)
{
  static const char *const title[TARN_SECTIONS]
      = { N_ ("Sagittal"), N_ ("Transverse"), N_ ("Coronal") };
  return _ (title[kind]);
}

static void
draw_words (TarnEditorSection *self, cairo_t *cr)
{
  static const char *const left[TARN_SECTIONS] = { N_ ("Head"), N_ ("Right"), N_ ("Right") };
  static const char *const right[TARN_SECTIONS] = { N_ ("Feet"), N_ ("Left"), N_ ("Left") };
  draw_word (self, cr, title_of (self->kind), 0, 0);
  draw_word (self, cr, _ (left[self->kind]), 0, 0.5);
  draw_word (self, cr, _ (right[self->kind]), 1, 0.5);
}

static void
draw_structures (TarnEditorSection *self, cairo_t *cr, const TarnSection *cut)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  TarnSectionEllipse ellipse;
  for (int k = 0; k < patient->structures; k++)
    if (k != self->chosen && tarn_section_ellipse (cut, &patient->structure[k], &ellipse))
      {
        trace (cr, &ellipse);
        tarn_palette_source (cr, TARN_PALETTE_TEXT);
        cairo_set_line_width (cr, 1);
        cairo_stroke (cr);
      }
  const TarnStructure *chosen = tarn_editor_section_structure (self, self->chosen);
  if (chosen == NULL || !tarn_section_ellipse (cut, chosen, &ellipse))
    return;
  trace (cr, &ellipse);
  stroke_with_halo (cr, 2);
  draw_marks (cr, &ellipse);
}

void
tarn_editor_section_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnEditorSection *self = TARN_EDITOR_SECTION (widget);
  TarnSection cut = tarn_editor_section_cut (self);
  int scale = gtk_widget_get_scale_factor (widget);
  if (cut.width <= 0 || cut.height <= 0)
    return;
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)cut.width, (float)cut.height));
  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  if (self->shot != NULL && self->shot->section[self->kind] != NULL)
    {
      cairo_save (cr);
      cairo_scale (cr, 1.0 / scale, 1.0 / scale);
      cairo_set_source_surface (cr, self->shot->section[self->kind], 0, 0);
      cairo_paint_with_alpha (cr, self->shot->body != NULL ? 1 : 0.4);
      cairo_restore (cr);
    }
  if (self->shot != NULL)
    {
      draw_structures (self, cr, &cut);
      if (self->kind != TARN_SECTION_CORONAL)
        draw_probe (self, cr, &cut);
      draw_ticks (self, cr, &cut);
    }
  draw_words (self, cr);
  cairo_destroy (cr);
}
