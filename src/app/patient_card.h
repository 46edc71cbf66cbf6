/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_card.h: a patient in the library: picture, title, scenario, attempts; or the file's
 * name and what is wrong with it.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/patient_item.h"

#include <gtk/gtk.h>

#define TARN_TYPE_PATIENT_CARD (tarn_patient_card_get_type ())
G_DECLARE_FINAL_TYPE (TarnPatientCard, tarn_patient_card, TARN, PATIENT_CARD, GtkFlowBoxChild)

GtkWidget *tarn_patient_card_new (TarnPatientItem *item);
TarnPatientItem *tarn_patient_card_item (TarnPatientCard *self); /* belongs to the card */
