/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * care_list.h: what can be looked at, asked and done before and after a scan, and what came of
 * it.  In any order, any number of times; nothing blocks.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_CARE_LIST (tarn_care_list_get_type ())
G_DECLARE_FINAL_TYPE (TarnCareList, tarn_care_list, TARN, CARE_LIST, GtkWidget)

GtkWidget *tarn_care_list_new (void);
void tarn_care_list_set_run (TarnCareList *self, TarnRun *run); /* NULL: none */
