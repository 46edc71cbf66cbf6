/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/patient_words.h"

#include <glib.h>

const char *
tarn_patient_words (const TarnPatient *patient, const char *key)
{
  const char *untranslated = tarn_patient_prose (patient, key, "");
  const char *const *language = g_get_language_names ();
  for (; *language != NULL; language++)
    {
      /* What has no suffix is English. */
      if (g_str_equal (*language, "C") || g_str_has_prefix (*language, "en"))
        return untranslated;
      const char *text = tarn_patient_prose (patient, key, *language);
      if (text != untranslated)
        return text;
    }
  return untranslated;
}
