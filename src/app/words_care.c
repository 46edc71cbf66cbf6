/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is looked at, asked and done, and what the patient says. */
#include "app/words.h"

#include <glib/gi18n.h>
#include <math.h>

const char *
tarn_words_care (int index)
{
  /* By the number of the bit in TarnCare. */
  static const char *const words[TARN_WORDS_CARES] = {
    N_ ("Identity checked"),
    N_ ("Explained, and consent asked"),
    N_ ("History asked: last void, scars, pregnancy"),
    N_ ("Curtain and cover for privacy"),
    N_ ("Upper edge of the pubic bone felt"),
    N_ ("Looked in two directions"),
    N_ ("Time and doubts noted"),
    N_ ("Action under local policy"),
    N_ ("Told someone who decides"),
    N_ ("Catheter looked at and reported"),
    N_ ("Patient and probe wiped clean"),
    N_ ("Hands cleaned first"),
    N_ ("Patient flat and at ease"),
    N_ ("Skin looked at"),
    N_ ("Asked to lie still"),
  };
  return index >= 0 && index < TARN_WORDS_CARES ? _ (words[index]) : NULL;
}

const char *
tarn_words_deed (TarnDeed deed)
{
  static const char *const words[TARN_DEEDS] = {
    [TARN_DEED_HANDS] = N_ ("Clean your hands"),
    [TARN_DEED_IDENTITY] = N_ ("Compare the wrist band with the request"),
    [TARN_DEED_CONSENT] = N_ ("Explain, and ask for consent"),
    [TARN_DEED_PRIVACY] = N_ ("Draw the curtain and cover the patient"),
    [TARN_DEED_HISTORY] = N_ ("Ask about the last void, scars, pregnancy"),
    [TARN_DEED_POSITION] = N_ ("Lay the patient flat and at ease"),
    [TARN_DEED_SKIN] = N_ ("Look at the skin"),
    [TARN_DEED_CATHETER] = N_ ("Look for a catheter, its tube and bag"),
    [TARN_DEED_BRIEF] = N_ ("Ask the patient to lie still and breathe quietly"),
    [TARN_DEED_NOTE] = N_ ("Add to the note: time, doubts"),
    [TARN_DEED_ACTION] = N_ ("Act under local policy"),
    [TARN_DEED_ESCALATE] = N_ ("Tell someone who decides"),
    [TARN_DEED_CLEAN] = N_ ("Wipe patient and probe"),
  };
  g_return_val_if_fail (deed < TARN_DEEDS, "");
  return _ (words[deed]);
}

static char *
voided (double minutes)
{
  long whole = lround (fmax (minutes, 0));
  if (whole < 1)
    return g_strdup (_ ("“I went just now.”"));
  if (whole < 120)
    return g_strdup_printf (ngettext ("“I went %ld minute ago.”", "“I went %ld minutes ago.”",
                                      (unsigned long)whole),
                            whole);
  long hours = lround (minutes / 60);
  return g_strdup_printf (ngettext ("“I last went about %ld hour ago.”",
                                    "“I last went about %ld hours ago.”", (unsigned long)hours),
                          hours);
}

char *
tarn_words_answer (TarnAnswer answer, double minutes)
{
  static const char *const words[TARN_ANSWERS] = {
    [TARN_ANSWER_NONE] = "",
    [TARN_ANSWER_DONE] = N_ ("Done."),
    [TARN_ANSWER_IDENTITY_MATCHES] = N_ ("The band and the request name the same person."),
    [TARN_ANSWER_IDENTITY_DIFFERS] = N_ ("The band and the request name different people."),
    [TARN_ANSWER_CONSENTS] = N_ ("“Yes, go ahead.”"),
    [TARN_ANSWER_REFUSES] = N_ ("“No. I do not want this.”"),
    [TARN_ANSWER_VOIDED] = NULL,
    [TARN_ANSWER_VOID_NOT_KNOWN] = N_ ("“I do not know when I last went.”"),
    [TARN_ANSWER_SKIN_INTACT] = N_ ("The skin is whole."),
    [TARN_ANSWER_SKIN_SCAR] = N_ ("There is a healed scar low on the belly."),
    [TARN_ANSWER_SKIN_DRESSING] = N_ ("There is a dressing low on the belly."),
    [TARN_ANSWER_SKIN_WOUND] = N_ ("There is an open wound low on the belly."),
    [TARN_ANSWER_NO_CATHETER] = N_ ("There is no catheter."),
    [TARN_ANSWER_CATHETER_DRAINS] = N_ ("There is a catheter; urine runs into the bag."),
    [TARN_ANSWER_CATHETER_BLOCKED] = N_ ("There is a catheter; nothing runs into the bag."),
    [TARN_ANSWER_WILL_LIE_STILL] = N_ ("“I will try to lie still.”"),
  };
  if (answer == TARN_ANSWER_VOIDED)
    return voided (minutes);
  if ((int)answer <= TARN_ANSWER_NONE || answer >= TARN_ANSWERS)
    return g_strdup ("");
  return g_strdup (_ (words[answer]));
}

const char *
tarn_words_voice (TarnVoice voice)
{
  static const char *const words[TARN_VOICES] = {
    [TARN_VOICE_COLD] = N_ ("“Oh, that is cold.”"),
    [TARN_VOICE_HURTS] = N_ ("“Ouch. That is too hard.”"),
    [TARN_VOICE_BETTER] = N_ ("“That is better.”"),
    [TARN_VOICE_URGE] = N_ ("“When you press there, I need to go.”"),
    [TARN_VOICE_WHO] = N_ ("“Who are you, and what is this for?”"),
    [TARN_VOICE_REFUSED] = N_ ("“I said no. Please stop.”"),
    [TARN_VOICE_EXPOSED] = N_ ("“Can everybody see me here?”"),
    [TARN_VOICE_RESTLESS] = N_ ("“Is it nearly over? I cannot get comfortable.”"),
    [TARN_VOICE_SORE] = N_ ("“Careful, it is sore there.”"),
  };
  if ((int)voice <= TARN_VOICE_NONE || voice >= TARN_VOICES)
    return "";
  return _ (words[voice]);
}

const char *
tarn_words_miss (TarnMustNotMiss miss)
{
  switch (miss)
    {
    case TARN_MISS_SCANNED_AGAINST_STOP:
      return _ ("Something in this situation spoke against scanning, and you scanned.");
    case TARN_MISS_WRONG_PATIENT:
      return _ ("The band and the request did not agree, and you went on: the wrong patient.");
    case TARN_MISS_WRONG_FLUID_RECORDED:
      return _ ("What you wrote down as urine is mostly another fluid.");
    case TARN_MISS_MISSED_RETENTION:
      return _ ("So much urine was held back that someone had to be told, and your note does "
                "not show it.");
    case TARN_MISS_INVENTED_VOLUME:
      return _ ("You wrote down a volume that no reading of yours gives.");
    case TARN_MISS_BLOCKED_CATHETER_MISSED:
      return _ ("The catheter was blocked, and nobody was told.");
    case TARN_MISS_FALSE_EXACT_NUMBER:
      return _ ("You wrote an exact number where the reading was only “at least”.");
    }
  return "";
}
