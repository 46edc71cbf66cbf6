/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_labels.h: a label map read and imported behind the editor.
 *
 * Floor: app.  Main thread; the work is done on threads of its own and told as GIO does.  What
 * is cancelled leaves nothing behind. */
#pragma once

#include "store/label_shape.h"

/* What a map consists of. */
typedef struct
{
  int count;
  gboolean tissues; /* labels are TarnTissue, as in a map that was exported here */
  struct
  {
    uint16_t label;
    double volume_ml;
  } of[TARN_LABELS_MAX]; /* by label */
} TarnEditorLabels;

void tarn_editor_labels_read (const char *path, GCancellable *cancellable,
                              GAsyncReadyCallback done, gpointer data);
/* NULL with @error set; else g_free () it. */
TarnEditorLabels *tarn_editor_labels_read_finish (GAsyncResult *result, GError **error);

/* @import and @patient are copied. */
void tarn_editor_labels_import (const TarnLabelImport *import, const TarnPatient *patient,
                                GCancellable *cancellable, GAsyncReadyCallback done,
                                gpointer data);
/* @patient: out; what became of it: tarn_patient_clear () it.  @agreement: out.
 * Returns FALSE with @error set. */
gboolean tarn_editor_labels_import_finish (GAsyncResult *result, TarnPatient *patient,
                                           double *agreement, GError **error);
