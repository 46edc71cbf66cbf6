/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/chosen_units.h"

#include "app/settings.h"

TarnUnits
tarn_chosen_units (void)
{
  return (TarnUnits){
    .cubic_cm = tarn_settings_volume_unit (tarn_settings ()) == TARN_VOLUME_CM3,
    .millimetres = tarn_settings_length_unit (tarn_settings ()) == TARN_LENGTH_MM,
  };
}
