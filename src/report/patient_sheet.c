/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From top to bottom: title and story; two cuts and a plane side by side; facts in two columns;
 * the acoustic window; the texts; the footer. */
#include "report/patient_sheet.h"

#include "report/bytes.h"
#include "report/section_picture.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MARGIN        42.0
#define GAP           12.0
#define TITLE         17.0
#define HEADING       10.5
#define TEXT          8.5
#define SMALL         7.5
#define LINE          11.3
#define PICTURE_HIGH  140.0
#define CUT_SCALE     2.5   /* pixels of a cut for each point of paper */
#define CUT_MM        230.0 /* that a cut is wide */
#define FOOT          30.0
#define WRITING_LINE  20.0
#define WRITING_LINES 4
#define MAP_SHARE     0.73 /* of a map alone: here it has no footer */

static const TarnPaper paper = { 0 };

typedef struct
{
  cairo_t *cr;
  const TarnPatientSheet *sheet;
  double y; /* down to which the page is filled */
} Page;

static double
inner_width (void)
{
  return TARN_PATIENT_SHEET_WIDTH - 2 * MARGIN;
}

static double
bottom (void)
{
  return TARN_PATIENT_SHEET_HEIGHT - FOOT - MARGIN / 2;
}

/* One line of the text as it was written, however long. */
static void
written_line (Page *page, double x, double width, double size, const char *text, size_t length)
{
  double step = LINE * size / TEXT;
  char *line = malloc (length + 1);
  if (line == NULL)
    return;
  memcpy (line, text, length);
  line[length] = '\0';
  int lines = tarn_paper_wrapped (page->cr, x, page->y + size, width, step, line, true);
  page->y += lines > 0 ? lines * step : step / 2;
  free (line);
}

static void
paragraph (Page *page, double x, double width, double size, bool bold, TarnInk ink,
           const char *text)
{
  tarn_paper_font (page->cr, &paper, size, bold);
  tarn_paper_source (page->cr, &paper, ink);
  while (*text != '\0')
    {
      size_t length = strcspn (text, "\n");
      written_line (page, x, width, size, text, length);
      text += length + (text[length] == '\n');
    }
}

static void
draw_head (Page *page)
{
  paragraph (page, MARGIN, inner_width (), TITLE, true, TARN_INK_TEXT, page->sheet->title);
  page->y += 3;
  if (page->sheet->scenario != NULL)
    paragraph (page, MARGIN, inner_width (), TEXT, false, TARN_INK_TEXT, page->sheet->scenario);
  page->y += GAP;
}

/* ---- Pictures ---- */

static void
caption (Page *page, double x, double y, double width, const char *text)
{
  tarn_paper_font (page->cr, &paper, SMALL, false);
  tarn_paper_source (page->cr, &paper, TARN_INK_QUIET);
  tarn_paper_wrapped (page->cr, x, y, width, SMALL * 1.3, text, true);
}

static void
draw_cut (Page *page, TarnSectionKind kind, double x, double width)
{
  TarnVec3 middle = tarn_body_lumen_centre_mm (page->sheet->body);
  TarnSection section = { .kind = kind,
                          .middle_mm = middle,
                          .width = (int)(width * CUT_SCALE),
                          .height = (int)(PICTURE_HIGH * CUT_SCALE),
                          .px_per_mm = width * CUT_SCALE / CUT_MM };
  cairo_surface_t *picture
      = cairo_image_surface_create (CAIRO_FORMAT_RGB24, section.width, section.height);
  tarn_section_paint (picture, &section, page->sheet->body);
  cairo_save (page->cr);
  cairo_translate (page->cr, x, page->y);
  cairo_scale (page->cr, 1 / CUT_SCALE, 1 / CUT_SCALE);
  cairo_set_source_surface (page->cr, picture, 0, 0);
  cairo_paint (page->cr);
  cairo_restore (page->cr);
  cairo_surface_destroy (picture);
}

/* The plane on its own dark ground. */
static void
draw_plane (Page *page, double x, double width)
{
  cairo_save (page->cr);
  cairo_rectangle (page->cr, x, page->y, width, PICTURE_HIGH);
  cairo_clip (page->cr);
  cairo_translate (page->cr, x, page->y);
  double scale
      = fmin (width / TARN_PLANE_PICTURE_WIDTH, PICTURE_HIGH / TARN_PLANE_PICTURE_HEIGHT);
  cairo_scale (page->cr, scale, scale);
  tarn_picture_draw_plane (page->cr, width / scale, PICTURE_HIGH / scale, page->sheet->plane);
  cairo_restore (page->cr);
}

static void
draw_pictures (Page *page)
{
  const TarnPatientSheet *sheet = page->sheet;
  double width = (inner_width () - 2 * GAP) / 3, x = MARGIN;
  double below = page->y + PICTURE_HIGH + SMALL + 3;
  if (sheet->body == NULL && sheet->plane == NULL)
    return;
  if (sheet->body != NULL)
    {
      draw_cut (page, TARN_SECTION_SAGITTAL, x, width);
      caption (page, x, below, width, sheet->from_side);
      draw_cut (page, TARN_SECTION_TRANSVERSE, x + width + GAP, width);
      caption (page, x + width + GAP, below, width, sheet->across);
      x += 2 * (width + GAP);
    }
  if (sheet->plane != NULL)
    {
      draw_plane (page, x, width);
      caption (page, x, below, width, sheet->plane_caption);
    }
  page->y = below + SMALL * 1.3 + GAP;
}

/* ---- Words ---- */

/* What is too wide is written smaller. */
static void
fit_font (Page *page, double width, const char *text)
{
  double wide = tarn_paper_text_width (page->cr, text);
  if (wide > width)
    tarn_paper_font (page->cr, &paper, TEXT * fmax (width / wide, 0.5), false);
}

static void
draw_facts (Page *page)
{
  const TarnPatientSheet *sheet = page->sheet;
  int rows = (sheet->facts + 1) / 2;
  double column = inner_width () / 2;
  for (int k = 0; k < sheet->facts; k++)
    {
      double x = MARGIN + (k / rows) * column, y = page->y + (k % rows + 1) * LINE;
      tarn_paper_font (page->cr, &paper, TEXT, false);
      tarn_paper_source (page->cr, &paper, TARN_INK_QUIET);
      double taken = tarn_paper_text (page->cr, x, y, TARN_ALIGN_START, sheet->fact[k].name);
      tarn_paper_source (page->cr, &paper, TARN_INK_TEXT);
      fit_font (page, column - 2 * GAP - taken, sheet->fact[k].value);
      tarn_paper_text (page->cr, x + column - GAP, y, TARN_ALIGN_END, sheet->fact[k].value);
    }
  page->y += rows * LINE + GAP;
}

static void
draw_window (Page *page)
{
  if (page->sheet->window == NULL)
    return;
  double scale = inner_width () / TARN_WINDOW_MAP_WIDTH;
  cairo_save (page->cr);
  cairo_translate (page->cr, MARGIN, page->y);
  cairo_scale (page->cr, scale, scale);
  tarn_window_map_draw (page->cr, TARN_WINDOW_MAP_WIDTH, TARN_WINDOW_MAP_HEIGHT * MAP_SHARE,
                        page->sheet->window, &paper);
  cairo_restore (page->cr);
  page->y += TARN_WINDOW_MAP_HEIGHT * MAP_SHARE * scale + GAP / 2;
}

static void
writing_lines (Page *page, double x, double width)
{
  tarn_paper_source (page->cr, &paper, TARN_INK_QUIET);
  cairo_set_line_width (page->cr, 0.5);
  for (int k = 0; k < WRITING_LINES; k++)
    {
      page->y += WRITING_LINE;
      cairo_move_to (page->cr, x, page->y);
      cairo_line_to (page->cr, x + width, page->y);
    }
  cairo_stroke (page->cr);
  page->y += GAP / 2;
}

/* Two columns of heading and paragraph; what does not fit is cut off by the clip, and says so.
 */
static void
draw_texts (Page *page)
{
  const TarnPatientSheet *sheet = page->sheet;
  double column = (inner_width () - GAP) / 2, top = page->y, reached[2] = { top, top };
  cairo_save (page->cr);
  cairo_rectangle (page->cr, 0, 0, TARN_PATIENT_SHEET_WIDTH, bottom ());
  cairo_clip (page->cr);
  for (int k = 0; k < sheet->texts; k++)
    {
      int side = reached[1] < reached[0];
      double x = MARGIN + side * (column + GAP);
      page->y = reached[side];
      paragraph (page, x, column, HEADING, true, TARN_INK_TEXT, sheet->text[k].name);
      if (sheet->text[k].value != NULL)
        paragraph (page, x, column, TEXT, false, TARN_INK_TEXT, sheet->text[k].value);
      else
        writing_lines (page, x, column);
      reached[side] = page->y + GAP / 2;
    }
  cairo_restore (page->cr);
  if (fmax (reached[0], reached[1]) > bottom () + GAP)
    caption (page, TARN_PATIENT_SHEET_WIDTH - MARGIN, bottom () + SMALL, MARGIN, "…");
  page->y = fmax (reached[0], reached[1]);
}

void
tarn_patient_sheet_draw (cairo_t *cr, const TarnPatientSheet *sheet)
{
  Page page = { .cr = cr, .sheet = sheet, .y = MARGIN };
  tarn_paper_source (cr, &paper, TARN_INK_GROUND);
  cairo_paint (cr);
  draw_head (&page);
  draw_pictures (&page);
  draw_facts (&page);
  draw_window (&page);
  draw_texts (&page);
  caption (&page, MARGIN, TARN_PATIENT_SHEET_HEIGHT - FOOT, inner_width (), sheet->footer);
}

/* ---- Files ---- */

TarnStatus
tarn_patient_sheet_pdf (const TarnPatientSheet *sheet, uint8_t **bytes, size_t *size)
{
  TarnBytes buffer = { 0 };
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (
      tarn_bytes_append, &buffer, TARN_PATIENT_SHEET_WIDTH, TARN_PATIENT_SHEET_HEIGHT);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, sheet->title);
  cairo_t *cr = cairo_create (surface);
  tarn_patient_sheet_draw (cr, sheet);
  cairo_show_page (cr);
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return tarn_bytes_take (&buffer, status, bytes, size);
}

TarnStatus
tarn_patient_sheet_png (const TarnPatientSheet *sheet, uint8_t **bytes, size_t *size)
{
  TarnBytes buffer = { 0 };
  cairo_surface_t *surface = cairo_image_surface_create (
      CAIRO_FORMAT_RGB24, 2 * TARN_PATIENT_SHEET_WIDTH, 2 * TARN_PATIENT_SHEET_HEIGHT);
  cairo_t *cr = cairo_create (surface);
  cairo_scale (cr, 2, 2);
  tarn_patient_sheet_draw (cr, sheet);
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_write_to_png_stream (surface, tarn_bytes_append, &buffer);
  cairo_surface_destroy (surface);
  return tarn_bytes_take (&buffer, status, bytes, size);
}
