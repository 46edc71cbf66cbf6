/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_words.h"

#include "app/plane_words.h"

#include <glib/gi18n.h>
#include <math.h>

#define BREATH_TURNS 0.85 /* beyond it, of either sign, the breath is held for a moment */

const char *
tarn_words_replay_short (TarnReplayKind kind)
{
  static const char *const words[TARN_REPLAY_KINDS] = {
    [TARN_REPLAY_DEED] = NC_ ("time line", "care"),
    [TARN_REPLAY_GEL] = NC_ ("time line", "gel"),
    [TARN_REPLAY_WIPE] = NC_ ("time line", "wiped"),
    [TARN_REPLAY_LIFT] = NC_ ("time line", "fold"),
    [TARN_REPLAY_PALPATE] = NC_ ("time line", "felt"),
    [TARN_REPLAY_SWEEP] = NC_ ("time line", "sweep"),
    [TARN_REPLAY_SWEPT] = NC_ ("time line", "swept"),
    [TARN_REPLAY_ABANDON] = NC_ ("time line", "broken off"),
    [TARN_REPLAY_FREEZE] = NC_ ("time line", "frozen"),
    [TARN_REPLAY_CALIPER] = NC_ ("time line", "calipers"),
    [TARN_REPLAY_READING] = NC_ ("time line", "reading"),
    [TARN_REPLAY_JUDGE] = NC_ ("time line", "judged"),
    [TARN_REPLAY_RECORD] = NC_ ("time line", "noted"),
    [TARN_REPLAY_VOICE] = NC_ ("time line", "says"),
    [TARN_REPLAY_FINISH] = NC_ ("time line", "end"),
  };
  g_return_val_if_fail (kind < TARN_REPLAY_KINDS, "");
  return g_dpgettext2 (NULL, "time line", words[kind]);
}

static char *
reading_words (int index, const GArray *readings, const TarnUnits *units)
{
  if (index < 0 || (guint)index >= readings->len)
    return g_strdup_printf (_ ("Reading %d"), index + 1);
  g_autofree char *value
      = tarn_words_reading (&g_array_index (readings, TarnReading, index), units);
  return g_strdup_printf (_ ("Reading %d: %s"), index + 1, value);
}

char *
tarn_words_replay_mark (const TarnReplayMark *mark, const GArray *readings,
                        const TarnUnits *units)
{
  int detail = mark->detail;
  switch (mark->kind)
    {
    case TARN_REPLAY_DEED:
      return g_strdup (tarn_words_deed ((TarnDeed)detail));
    case TARN_REPLAY_GEL:
      return g_strdup_printf (_ ("Gel laid: %d g"), detail);
    case TARN_REPLAY_WIPE:
      return g_strdup (_ ("Gel wiped off"));
    case TARN_REPLAY_LIFT:
      return detail > 0 ? g_strdup_printf (_ ("Fold held away: %d percent"), detail)
                        : g_strdup (_ ("Fold let go"));
    case TARN_REPLAY_PALPATE:
      return g_strdup (_ ("Felt with a fingertip"));
    case TARN_REPLAY_SWEEP:
      return g_strdup (_ ("A sweep begins"));
    case TARN_REPLAY_SWEPT:
      return g_strdup (_ ("The sweep ends"));
    case TARN_REPLAY_ABANDON:
      return g_strdup (_ ("The sweep is broken off"));
    case TARN_REPLAY_FREEZE:
      return g_strdup (_ ("The plane is frozen"));
    case TARN_REPLAY_CALIPER:
      return g_strdup_printf (_ ("Caliper set: %s"), tarn_diameter_word (detail));
    case TARN_REPLAY_READING:
      return reading_words (detail, readings, units);
    case TARN_REPLAY_JUDGE:
      return detail >= 0 ? g_strdup_printf (_ ("Reading %d judged"), detail + 1)
                         : g_strdup (_ ("The situation judged"));
    case TARN_REPLAY_RECORD:
      return detail >= 0 ? g_strdup_printf (_ ("Reading %d written down"), detail + 1)
                         : g_strdup (_ ("Written down, without a reading"));
    case TARN_REPLAY_VOICE:
      return g_strdup (tarn_words_voice ((TarnVoice)detail));
    case TARN_REPLAY_FINISH:
    case TARN_REPLAY_KINDS:
      break;
    }
  return g_strdup (_ ("The end"));
}

static const char *
breath_words (double breath)
{
  return breath > BREATH_TURNS    ? _ ("breathed in")
         : breath < -BREATH_TURNS ? _ ("breathed out")
                                  : _ ("between breaths");
}

char *
tarn_words_replay_moment (const TarnBedside *now)
{
  const char *state = now->sweeping ? _ ("Sweeping") : now->frozen ? _ ("Frozen") : _ ("Live");
  if (!now->on_skin)
    return g_strdup_printf (_ ("%s. The probe is off the skin; %.0f g of gel near it; %s."),
                            state, now->gel_g, breath_words (now->breath));
  const char *comfort = now->pose.force_n > now->comfort_n ? _ ("more than this patient bears")
                                                           : _ ("within comfort");
  return g_strdup_printf (_ ("%s. Force %.1f N, %s (%.0f N); %.0f g of gel near, %.0f percent "
                             "of the face wet; hand "
                             "off by %.1f mm; %s."),
                          state, now->pose.force_n, comfort, now->comfort_n, now->gel_g,
                          100 * now->contact.wet_fraction, now->unsteady_mm,
                          breath_words (now->breath));
}
