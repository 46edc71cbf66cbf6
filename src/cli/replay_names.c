/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the codes of an attempt are called on the command line. */
#include "cli/replay.h"

#include <stdio.h>

static const char *const deed[TARN_DEEDS] = {
  [TARN_DEED_HANDS] = "hands",     [TARN_DEED_IDENTITY] = "identity",
  [TARN_DEED_CONSENT] = "consent", [TARN_DEED_PRIVACY] = "privacy",
  [TARN_DEED_HISTORY] = "history", [TARN_DEED_POSITION] = "position",
  [TARN_DEED_SKIN] = "skin",       [TARN_DEED_CATHETER] = "catheter",
  [TARN_DEED_BRIEF] = "lie-still", [TARN_DEED_NOTE] = "note",
  [TARN_DEED_ACTION] = "action",   [TARN_DEED_ESCALATE] = "escalate",
  [TARN_DEED_CLEAN] = "clean",
};

static const char *const voice[TARN_VOICES] = {
  [TARN_VOICE_NONE] = "",
  [TARN_VOICE_COLD] = "cold",
  [TARN_VOICE_HURTS] = "hurts",
  [TARN_VOICE_BETTER] = "better",
  [TARN_VOICE_URGE] = "urge",
  [TARN_VOICE_WHO] = "who-are-you",
  [TARN_VOICE_REFUSED] = "refused",
  [TARN_VOICE_EXPOSED] = "exposed",
  [TARN_VOICE_RESTLESS] = "restless",
  [TARN_VOICE_SORE] = "sore",
};

static const char *const caliper[TARN_CALIPERS] = { "width", "height", "length" };

void
tarn_replay_detail (const TarnReplayMark *mark, char *text, size_t size)
{
  text[0] = '\0';
  switch (mark->kind)
    {
    case TARN_REPLAY_DEED:
      snprintf (text, size, "%s", deed[mark->detail]);
      break;
    case TARN_REPLAY_VOICE:
      snprintf (text, size, "%s", voice[mark->detail]);
      break;
    case TARN_REPLAY_CALIPER:
      snprintf (text, size, "%s", caliper[mark->detail]);
      break;
    case TARN_REPLAY_GEL:
      snprintf (text, size, "%d g", mark->detail);
      break;
    case TARN_REPLAY_LIFT:
      snprintf (text, size, "%d %%", mark->detail);
      break;
    case TARN_REPLAY_SWEEP:
    case TARN_REPLAY_SWEPT:
    case TARN_REPLAY_READING:
      snprintf (text, size, "%d", mark->detail + 1);
      break;
    case TARN_REPLAY_JUDGE:
      if (mark->detail < 0)
        snprintf (text, size, "the situation");
      else
        snprintf (text, size, "reading %d", mark->detail + 1);
      break;
    case TARN_REPLAY_RECORD:
      if (mark->detail < 0)
        snprintf (text, size, "a number of one's own");
      else
        snprintf (text, size, "reading %d", mark->detail + 1);
      break;
    case TARN_REPLAY_WIPE:
    case TARN_REPLAY_PALPATE:
    case TARN_REPLAY_ABANDON:
    case TARN_REPLAY_FREEZE:
    case TARN_REPLAY_FINISH:
    case TARN_REPLAY_KINDS:
      break;
    }
}

const char *
tarn_mode_name (TarnMode mode)
{
  static const char *const name[TARN_MODES] = { "guided", "practice", "exam" };
  return name[mode];
}

const char *
tarn_judgement_name (TarnJudgementKind kind)
{
  static const char *const name[TARN_JUDGEMENTS]
      = { "none", "use", "at-least", "not-seen", "do-not-use", "not-to-be-scanned" };
  return name[kind];
}

const char *
tarn_record_name (TarnRecordKind record)
{
  static const char *const name[] = { "nothing", "exact", "at-least", "not-seen" };
  return name[record];
}

const char *
tarn_source_name (TarnReadingSource source)
{
  return source == TARN_SOURCE_SWEEP ? "sweep" : "calipers";
}
