/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_export.h: the draft in the forms that other programs take.
 *
 * Floor: app.  Main thread; the work is done on a thread of its own and told as GIO does. */
#pragma once

#include "app/words.h"
#include "engine/patient/patient.h"

#include <gio/gio.h>

typedef enum
{
  TARN_EXPORT_BLADDER, /* STL: the urine's own surface */
  TARN_EXPORT_BODIES,  /* STL: each body, one after another */
  TARN_EXPORT_LABELS,  /* NRRD: a label for each tissue */
  TARN_EXPORT_PAGE,    /* PDF, for who teaches */
  TARN_EXPORT_PICTURE, /* the same page as PNG */
  TARN_EXPORT_HANDOUT, /* PDF, without the answer */
  TARN_EXPORTS
} TarnEditorExport;

const char *tarn_editor_export_name (TarnEditorExport kind);   /* "bladder": in actions */
const char *tarn_editor_export_suffix (TarnEditorExport kind); /* ".stl" */
/* As a menu's entry: "Bladder for printing (STL)…". */
const char *tarn_editor_export_title (TarnEditorExport kind);

/* Writes @patient, which is copied, to @path; what is cancelled leaves nothing behind. */
void tarn_editor_export (TarnEditorExport kind, const TarnPatient *patient,
                         const TarnUnits *units, const char *path, GCancellable *cancellable,
                         GAsyncReadyCallback done, gpointer data);
/* Returns FALSE with @error set. */
gboolean tarn_editor_export_finish (GAsyncResult *result, GError **error);
