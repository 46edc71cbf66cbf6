/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_sheet.h: the draft on one page for the class, in the instructor's language.
 *
 * Floor: app.  Threads: any. */
#pragma once

#include "app/words.h"
#include "engine/patient/patient.h"

#include <gio/gio.h>

/**
 * Makes the page: story, cuts, the plane from the best pose, the acoustic window, objective and
 * trap.  Takes some seconds.
 *
 * @locale: of the patient's own texts.  @as_picture: PNG instead of PDF.
 * Returns NULL with @error set.
 */
GBytes *tarn_editor_sheet (const TarnPatient *patient, const char *locale,
                           const TarnUnits *units, gboolean as_picture,
                           GCancellable *cancellable, GError **error);
