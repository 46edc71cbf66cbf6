/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands out on the time line, and what goes up and down along it. */
#include "engine/attempt/replay_parts.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define SAMPLE_TICKS 6
#define STREAM_TICKS TARN_TICKS_PER_SECOND /* inputs of a kind within these are one stream */

static const char *const kind_name[TARN_REPLAY_KINDS] = {
  [TARN_REPLAY_DEED] = "deed",       [TARN_REPLAY_GEL] = "gel",
  [TARN_REPLAY_WIPE] = "wipe",       [TARN_REPLAY_LIFT] = "lift",
  [TARN_REPLAY_PALPATE] = "palpate", [TARN_REPLAY_SWEEP] = "sweep",
  [TARN_REPLAY_SWEPT] = "swept",     [TARN_REPLAY_ABANDON] = "abandon",
  [TARN_REPLAY_FREEZE] = "freeze",   [TARN_REPLAY_CALIPER] = "caliper",
  [TARN_REPLAY_READING] = "reading", [TARN_REPLAY_JUDGE] = "judge",
  [TARN_REPLAY_RECORD] = "record",   [TARN_REPLAY_VOICE] = "voice",
  [TARN_REPLAY_FINISH] = "finish",
};

const char *
tarn_replay_kind_name (TarnReplayKind kind)
{
  assert (kind < TARN_REPLAY_KINDS);
  return kind_name[kind];
}

void
tarn_timeline_clear (TarnTimeline *timeline)
{
  free (timeline->mark);
  free (timeline->sample);
  *timeline = (TarnTimeline){ 0 };
}

static bool
add_mark (TarnTimeline *timeline, uint32_t tick, TarnReplayKind kind, int detail)
{
  if (timeline->marks == timeline->marks_room)
    {
      int room = timeline->marks_room > 0 ? 2 * timeline->marks_room : 64;
      TarnReplayMark *mark = realloc (timeline->mark, (size_t)room * sizeof *mark);
      if (mark == NULL)
        return false;
      timeline->mark = mark;
      timeline->marks_room = room;
    }
  timeline->mark[timeline->marks++] = (TarnReplayMark){ tick, kind, detail };
  return true;
}

/* Whether the input goes on with what the one before of its kind began. */
static bool
streams_on (TarnTimeline *timeline, const TarnInput *input, uint32_t tick)
{
  uint32_t *last = &timeline->stream_tick[input->kind];
  bool on = *last > 0 && tick + 1 - *last < STREAM_TICKS;
  *last = tick + 1;
  return on;
}

bool
tarn_timeline_note_input (TarnTimeline *timeline, const TarnAttempt *attempt,
                          const TarnInput *input)
{
  uint32_t tick = attempt->bedside.tick;
  double value = input->value[0];
  switch ((TarnInputKind)input->kind)
    {
    case TARN_INPUT_DEED:
      return add_mark (timeline, tick, TARN_REPLAY_DEED, input->code);
    case TARN_INPUT_GEL:
      return value <= 0 || add_mark (timeline, tick, TARN_REPLAY_GEL, (int)lround (value));
    case TARN_INPUT_WIPE:
      return add_mark (timeline, tick, TARN_REPLAY_WIPE, 0);
    case TARN_INPUT_LIFT:
      return streams_on (timeline, input, tick)
             || add_mark (timeline, tick, TARN_REPLAY_LIFT, (int)lround (100 * value));
    case TARN_INPUT_PALPATE:
      return streams_on (timeline, input, tick)
             || add_mark (timeline, tick, TARN_REPLAY_PALPATE, 0);
    case TARN_INPUT_FREEZE:
      return input->code == 0 || add_mark (timeline, tick, TARN_REPLAY_FREEZE, 0);
    case TARN_INPUT_SWEEP:
      return add_mark (timeline, tick, TARN_REPLAY_SWEEP, attempt->bedside.sweeps);
    case TARN_INPUT_ABANDON:
      return add_mark (timeline, tick, TARN_REPLAY_ABANDON, 0);
    case TARN_INPUT_CALIPER:
      return streams_on (timeline, input, tick)
             || add_mark (timeline, tick, TARN_REPLAY_CALIPER, input->code);
    case TARN_INPUT_JUDGE:
      return add_mark (timeline, tick, TARN_REPLAY_JUDGE, input->reading);
    case TARN_INPUT_RECORD:
      return add_mark (timeline, tick, TARN_REPLAY_RECORD, input->reading);
    case TARN_INPUT_FINISH:
      return add_mark (timeline, tick, TARN_REPLAY_FINISH, 0);
    case TARN_INPUT_HAND:
    case TARN_INPUT_DEPTH:
    case TARN_INPUT_GAIN:
    case TARN_INPUT_MEASURE: /* its reading is marked */
    case TARN_INPUTS:
      break;
    }
  return true;
}

/* Every other sample is given up, and there is room again. */
static void
thin_out (TarnTimeline *timeline)
{
  timeline->sample_ticks *= 2;
  timeline->samples = (timeline->samples + 1) / 2;
  for (int k = 1; k < timeline->samples; k++)
    timeline->sample[k] = timeline->sample[2 * k];
}

static bool
add_sample (TarnTimeline *timeline, const TarnBedside *now)
{
  if (timeline->sample_ticks == 0)
    timeline->sample_ticks = SAMPLE_TICKS;
  if (timeline->samples == TARN_REPLAY_SAMPLES_MAX)
    thin_out (timeline);
  if (now->tick % (uint32_t)timeline->sample_ticks != 0)
    return true;
  if (timeline->samples == timeline->samples_room)
    {
      int room = timeline->samples_room > 0 ? 2 * timeline->samples_room : 1024;
      TarnReplaySample *sample = realloc (timeline->sample, (size_t)room * sizeof *sample);
      if (sample == NULL)
        return false;
      timeline->sample = sample;
      timeline->samples_room = room;
    }
  timeline->sample[timeline->samples++] = (TarnReplaySample){
    .force_n = (float)(now->on_skin ? now->pose.force_n : 0),
    .gel_g = (float)now->gel_g,
    .wet = (float)now->contact.wet_fraction,
    .breath = (float)now->breath,
    .unsteady_mm = (float)now->unsteady_mm,
    .on_skin = now->on_skin,
    .sweeping = now->sweeping,
    .frozen = now->frozen,
    .guarding = now->guarding,
  };
  return true;
}

bool
tarn_timeline_note_tick (TarnTimeline *timeline, const TarnAttempt *attempt)
{
  const TarnBedside *now = &attempt->bedside;
  bool done = true;
  if (now->sweeps > timeline->sweeps)
    done = add_mark (timeline, now->tick, TARN_REPLAY_SWEPT, now->sweeps - 1);
  for (int k = timeline->readings; done && k < now->readings; k++)
    done = add_mark (timeline, now->tick, TARN_REPLAY_READING, k);
  bool spoke
      = now->voice != TARN_VOICE_NONE
        && (timeline->voice == TARN_VOICE_NONE || now->voice_tick != timeline->voice_tick);
  if (done && spoke)
    done = add_mark (timeline, now->tick, TARN_REPLAY_VOICE, (int)now->voice);
  timeline->sweeps = now->sweeps;
  timeline->readings = now->readings;
  timeline->voice = now->voice;
  timeline->voice_tick = now->voice_tick;
  return done && add_sample (timeline, now);
}
