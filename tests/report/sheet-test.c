/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A patient on a page: the page is a PDF and a picture, holds its pictures and words, and what
 * is not there takes no room and does no harm. */
#include "report/patient_sheet.h"

#include <glib.h>
#include <stdlib.h>
#include <string.h>

static TarnPatientSheet
words (void)
{
  return (TarnPatientSheet){
    .title = "Somebody",
    .scenario = "A story.\n\nIn two paragraphs.",
    .from_side = "from the side",
    .across = "across",
    .facts = 3,
    .fact = { { "Person", "female, 30 years" }, { "Holds", "300 mL" }, { "Odd", "one" } },
    .texts = 2,
    .text = { { "One", "Short." }, { "Two", "Short too." } },
    .footer = "Training only",
  };
}

static TarnBody *
plain_body (void)
{
  TarnBody *body;
  TarnPatient patient = tarn_patient_default ();
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  tarn_patient_clear (&patient);
  return body;
}

static size_t
pdf_size (const TarnPatientSheet *sheet)
{
  uint8_t *bytes;
  size_t size;
  g_assert_cmpint (tarn_patient_sheet_pdf (sheet, &bytes, &size), ==, TARN_OK);
  g_assert_cmpuint (size, >, 1000);
  g_assert_cmpmem (bytes, 5, "%PDF-", 5);
  g_assert_cmpmem (bytes + size - 6, 6, "%%EOF\n", 6);
  free (bytes);
  return size;
}

static void
test_files (void)
{
  TarnPatientSheet sheet = words ();
  TarnBody *body = plain_body ();
  uint8_t *bytes;
  size_t size;
  size_t without = pdf_size (&sheet);
  sheet.body = body;
  g_assert_cmpuint (pdf_size (&sheet), >, without + 1000);
  g_assert_cmpint (tarn_patient_sheet_png (&sheet, &bytes, &size), ==, TARN_OK);
  g_assert_cmpmem (bytes, 8, "\x89PNG\r\n\x1a\n", 8);
  free (bytes);
  tarn_body_free (body);
}

/* Ink, in thirds of the page from the top: pixels that are not the ground's. */
static void
ink (const TarnPatientSheet *sheet, int third[3])
{
  int width = TARN_PATIENT_SHEET_WIDTH, height = TARN_PATIENT_SHEET_HEIGHT;
  cairo_surface_t *paper = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  cairo_t *cr = cairo_create (paper);
  tarn_patient_sheet_draw (cr, sheet);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (paper);
  third[0] = third[1] = third[2] = 0;
  const uint32_t *pixel = (const uint32_t *)(void *)cairo_image_surface_get_data (paper);
  int stride = cairo_image_surface_get_stride (paper) / 4;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      third[3 * y / height] += (pixel[y * stride + x] & 0xff) < 0x80;
  cairo_surface_destroy (paper);
}

/* Texts that are too long end above the footer. */
static void
test_long_texts (void)
{
  TarnPatientSheet sheet = words ();
  g_autoptr (GString) text = g_string_new (NULL);
  for (int k = 0; k < 2000; k++)
    g_string_append (text, "öffentlich ");
  sheet.text[0].value = sheet.text[1].value = text->str;
  int few[3], many[3];
  ink (&sheet, many);
  sheet.texts = 0;
  ink (&sheet, few);
  g_assert_cmpint (many[2], >, few[2] + 1000);
  pdf_size (&sheet);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sheet/files", test_files);
  g_test_add_func ("/sheet/long-texts", test_long_texts);
  return g_test_run ();
}
