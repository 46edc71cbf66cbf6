/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window_words.h: the words on a map of a patient's acoustic window.
 *
 * Floor: app. */
#pragma once

#include "report/window_map.h"

/* Fills @map, in the reader's language; all that is given must stay as long as the map.
 * @by_place, @by_tilt: what each map holds still. */
void tarn_window_words (TarnWindowMap *map, const TarnAcousticWindow *window,
                        const TarnPatient *patient, const char *by_place, const char *by_tilt);
/* "Tilted 16° to the feet"; "23 mm to the patient's left".  Free them. */
char *tarn_window_words_by_place (const TarnAcousticWindow *window);
char *tarn_window_words_by_tilt (const TarnAcousticWindow *window);
