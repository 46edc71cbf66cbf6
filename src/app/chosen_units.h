/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * chosen_units.h: the units of the settings, as the words want them.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/words.h"

TarnUnits tarn_chosen_units (void);
