/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * picture_of_patient.h: a small picture of what anyone sees who comes to the bed: the belly
 * from the side, between two cloths.
 *
 * Floor: app.  Main thread.  Drawn from the patient's build alone: nothing of what is inside,
 * so that it gives nothing away. */
#pragma once

#include "app/patient_item.h"

#include <gtk/gtk.h>

/* Property: "item" (TarnPatientItem, may be NULL: an empty bed). */
#define TARN_TYPE_PICTURE_OF_PATIENT (tarn_picture_of_patient_get_type ())
G_DECLARE_FINAL_TYPE (TarnPictureOfPatient, tarn_picture_of_patient, TARN, PICTURE_OF_PATIENT,
                      GtkWidget)

/* Fills @width x @height, the head end at the left.  @patient: NULL for an empty bed. */
void tarn_picture_of_patient_draw (cairo_t *cr, const TarnPatient *patient, double width,
                                   double height, gboolean dark);
