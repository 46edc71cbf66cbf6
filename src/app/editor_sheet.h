/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_sheet.h: the draft on one page for the class, in the instructor's language.
 *
 * Floor: app.  Threads: any. */
#pragma once

#include "app/words.h"
#include "engine/patient/patient.h"

#include <gio/gio.h>

typedef enum
{
  TARN_SHEET_WITH_ANSWER, /* for who teaches */
  TARN_SHEET_HANDOUT,     /* for who is to scan: nothing that gives it away */
} TarnEditorSheetKind;

/**
 * Makes the page: story, cuts, the plane from the best pose, the acoustic window, objective and
 * trap; as a handout the story, the plane from where one starts, and room to write.  Takes some
 * seconds.
 *
 * @locale: of the patient's own texts.  @as_picture: PNG instead of PDF.
 * Returns NULL with @error set.
 */
GBytes *tarn_editor_sheet (const TarnPatient *patient, TarnEditorSheetKind kind,
                           const char *locale, const TarnUnits *units, gboolean as_picture,
                           GCancellable *cancellable, GError **error);
