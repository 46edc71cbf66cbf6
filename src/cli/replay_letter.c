/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An attempt played again, told to a person. */
#include "cli/millilitres.h"
#include "cli/replay.h"

#include "base/units.h"

#include <math.h>

static void
append_time (GString *text, uint32_t tick)
{
  unsigned tenths = tick * 10 / TARN_TICKS_PER_SECOND;
  g_string_append_printf (text, "%u:%02u.%u", tenths / 600, tenths / 10 % 60, tenths % 10);
}

static void
append_events (GString *text, const TarnReplay *replay)
{
  char detail[64];
  g_string_append (text, "\nWhat happened, in minutes and seconds:\n");
  for (int k = 0; k < tarn_replay_marks (replay); k++)
    {
      const TarnReplayMark *mark = tarn_replay_mark (replay, k);
      tarn_replay_detail (mark, detail, sizeof detail);
      g_string_append (text, "  ");
      append_time (text, mark->tick);
      g_string_append_printf (text, "  %s%s%s\n", tarn_replay_kind_name (mark->kind),
                              detail[0] != '\0' ? " " : "", detail);
    }
}

static void
append_volume (GString *text, const TarnReading *reading)
{
  if (reading->kind == TARN_READING_NOT_SEEN)
    {
      g_string_append (text, "not seen");
      return;
    }
  if (reading->kind == TARN_READING_LOWER_BOUND)
    g_string_append (text, "at least ");
  tarn_append_ml (text, reading->volume_ml);
}

static void
append_judgement (GString *text, const TarnJudgement *judgement)
{
  g_string_append (text, tarn_judgement_name (judgement->kind));
  if (judgement->kind == TARN_JUDGEMENT_DO_NOT_USE
      && judgement->cause != TARN_VERDICT_NOT_ACCURATE)
    g_string_append_printf (text, " (%s)", tarn_verdict_name (judgement->cause));
}

static void
append_readings (GString *text, const GArray *readings)
{
  g_string_append (text, readings->len > 0 ? "\nReadings:\n" : "\nNo reading was made.\n");
  for (guint k = 0; k < readings->len; k++)
    {
      const TarnAttemptReading *reading = &g_array_index (readings, TarnAttemptReading, k);
      g_string_append_printf (text, "  %u  ", k + 1);
      append_time (text, reading->tick);
      g_string_append_printf (text, "  %s: ", tarn_source_name (reading->source));
      append_volume (text, &reading->reading);
      g_string_append (text, "; judged: ");
      append_judgement (text, &reading->judgement);
      g_string_append_c (text, '\n');
    }
}

static void
append_truth (GString *text, const TarnTruth *truth)
{
  g_string_append (text, "\nWritten down: ");
  if (truth->record == TARN_RECORD_EXACT)
    tarn_append_ml (text, truth->recorded_ml);
  else if (truth->record == TARN_RECORD_AT_LEAST)
    {
      g_string_append (text, "at least ");
      tarn_append_ml (text, truth->recorded_ml);
    }
  else
    g_string_append (text, truth->record == TARN_RECORD_NOT_SEEN ? "not seen" : "nothing");
  g_string_append (text, "\nTruth: ");
  tarn_append_ml (text, truth->truth_ml);
  g_string_append_printf (text,
                          "\nVerdict: %s%s\nJudgement: ", tarn_verdict_name (truth->verdict),
                          truth->by_luck ? ", but by luck" : "");
  append_judgement (text, &truth->judgement);
  g_string_append_printf (
      text, ", which was %s\nScore: %.0f of 100%s\n",
      truth->was_right.right ? "right" : "not right", floor (truth->score.total + 0.5),
      truth->score.failed ? "; not passed, for an error that must not happen" : "");
}

static void
append_moment (GString *text, const TarnReplay *replay)
{
  const TarnBedside *now = tarn_attempt_bedside (tarn_replay_attempt (replay));
  g_string_append (text, "\nAt ");
  append_time (text, now->tick);
  if (!now->on_skin)
    g_string_append (text, " the probe is off the skin");
  else
    g_string_append_printf (
        text,
        " the probe is %.0f mm above, %.0f mm left, tilted %.0f, leaned %.0f and turned %.0f "
        "degrees,\n  pressed with %.1f N, %.0f percent of its face wet",
        now->pose.above_mm, now->pose.left_mm, tarn_deg_from_rad (now->pose.tilt_rad),
        tarn_deg_from_rad (now->pose.lean_rad), tarn_deg_from_rad (now->pose.turn_rad),
        now->pose.force_n, 100 * now->contact.wet_fraction);
  g_string_append_printf (text, ", %.1f g of gel near it%s%s.\n", now->gel_g,
                          now->sweeping ? "; sweeping" : "",
                          now->frozen ? "; the plane is frozen" : "");
}

void
tarn_replay_write_letter (GString *text, const TarnReplayReport *report)
{
  const char *title = tarn_patient_prose (&report->file->patient, "title", "");
  g_string_append_printf (text, "%s: %s\nAttempt: %s, seed %" G_GUINT64_FORMAT ", ",
                          report->file->patient.id, title != NULL ? title : "",
                          tarn_mode_name (report->log->mode), (guint64)report->log->seed);
  append_time (text, tarn_replay_last_tick (report->replay));
  g_string_append (text, report->finished ? " min\n" : " min, not finished\n");
  append_events (text, report->replay);
  append_readings (text, report->readings);
  if (report->finished)
    append_truth (text, &report->truth);
  if (report->has_moment)
    append_moment (text, report->replay);
  g_string_append (text, "\nTraining only, synthetic anatomy; not for clinical use.\n");
}
