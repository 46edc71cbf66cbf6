/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_slider.h: one number as a slider with an entry beside it.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_SLIDER (tarn_editor_slider_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorSlider, tarn_editor_slider, TARN, EDITOR_SLIDER, GtkWidget)

typedef struct
{
  const char *word; /* before the slider; NULL: none */
  const char *name; /* for who cannot see it */
  const char *unit; /* "" for none */
  double low, high, step;
  int digits;          /* after the point */
  gboolean entry_only; /* no slider: the range is too wide to be one */
} TarnEditorSliderSetup;

GtkWidget *tarn_editor_slider_new (const TarnEditorSliderSetup *setup);
/* Shows @value without the signal. */
void tarn_editor_slider_show (TarnEditorSlider *self, double value);
double tarn_editor_slider_value (TarnEditorSlider *self);

/* The wheel scrolls the page: it never turns what lies under the pointer on the way. */
void tarn_editor_ignore_wheel (GtkWidget *widget);

/* Signal "moved" (double): somebody has set another value, rounded to the digits. */
