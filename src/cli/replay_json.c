/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The schema tarn.replay/1.  Numbers of readings, truth, ledger and score are written so that
 * they read back to the same bits. */
#include "cli/json_text.h"
#include "cli/replay.h"

#include "base/units.h"

#define SECONDS(tick) ((double)(tick) / TARN_TICKS_PER_SECOND)

static void
write_patient (GString *json, const TarnReplayReport *report)
{
  tarn_json_open (json, "patient", '{');
  tarn_json_text (json, "id", report->file->patient.id);
  tarn_json_text (json, "sha256", report->file->sha256);
  tarn_json_close (json, '}');
  tarn_json_text (json, "mode", tarn_mode_name (report->log->mode));
  /* A JSON number would lose the larger seeds. */
  char *seed = g_strdup_printf ("%" G_GUINT64_FORMAT, (guint64)report->log->seed);
  tarn_json_text (json, "seed", seed);
  g_free (seed);
  tarn_json_exact (json, "retention_ml", report->log->retention_ml);
  tarn_json_number (json, "duration_s", SECONDS (tarn_replay_last_tick (report->replay)), 4);
  tarn_json_bool (json, "finished", report->finished);
}

static void
write_events (GString *json, const TarnReplay *replay)
{
  char detail[64];
  tarn_json_open (json, "events", '[');
  for (int k = 0; k < tarn_replay_marks (replay); k++)
    {
      const TarnReplayMark *mark = tarn_replay_mark (replay, k);
      tarn_json_open (json, NULL, '{');
      tarn_json_number (json, "tick", mark->tick, 0);
      tarn_json_number (json, "time_s", SECONDS (mark->tick), 4);
      tarn_json_text (json, "kind", tarn_replay_kind_name (mark->kind));
      tarn_replay_detail (mark, detail, sizeof detail);
      tarn_json_text (json, "detail", detail);
      tarn_json_close (json, '}');
    }
  tarn_json_close (json, ']');
}

static void
write_judgement (GString *json, const char *key, const TarnJudgement *judgement)
{
  tarn_json_open (json, key, '{');
  tarn_json_text (json, "kind", tarn_judgement_name (judgement->kind));
  if (judgement->kind == TARN_JUDGEMENT_DO_NOT_USE)
    tarn_json_text (json, "cause", tarn_verdict_name (judgement->cause));
  tarn_json_close (json, '}');
}

static void
write_pose (GString *json, const TarnPose *pose)
{
  tarn_json_open (json, "pose", '{');
  tarn_json_exact (json, "above_mm", pose->above_mm);
  tarn_json_exact (json, "left_mm", pose->left_mm);
  tarn_json_exact (json, "tilt_deg", tarn_deg_from_rad (pose->tilt_rad));
  tarn_json_exact (json, "lean_deg", tarn_deg_from_rad (pose->lean_rad));
  tarn_json_exact (json, "turn_deg", tarn_deg_from_rad (pose->turn_rad));
  tarn_json_exact (json, "force_n", pose->force_n);
  tarn_json_close (json, '}');
}

static void
write_planes (GString *json, const TarnSweep *sweep)
{
  tarn_json_open (json, "planes", '[');
  for (int k = 0; k < sweep->planes; k++)
    {
      tarn_json_open (json, NULL, '{');
      tarn_json_exact (json, "angle_deg", tarn_deg_from_rad (sweep->plane[k].fan_rad));
      tarn_json_exact (json, "area_mm2", sweep->plane[k].outline.area_mm2);
      tarn_json_close (json, '}');
    }
  tarn_json_close (json, ']');
}

static void
write_reading (GString *json, int index, const TarnAttemptReading *reading)
{
  tarn_json_open (json, NULL, '{');
  tarn_json_number (json, "number", index + 1, 0);
  tarn_json_text (json, "source", tarn_source_name (reading->source));
  tarn_json_number (json, "tick", reading->tick, 0);
  tarn_json_text (json, "kind", tarn_reading_kind_name (reading->reading.kind));
  tarn_json_exact (json, "volume_ml", reading->reading.volume_ml);
  write_judgement (json, "judgement", &reading->judgement);
  write_pose (json, &reading->pose);
  tarn_json_exact (json, "force_most_n", reading->force_most_n);
  if (reading->scan != NULL)
    {
      tarn_json_exact (json, "wet_fraction", reading->scan->sweep.contact.wet_fraction);
      tarn_json_exact (json, "wander_mm", reading->wander_mm);
      tarn_json_exact (json, "section_share", reading->section_share);
      write_planes (json, &reading->scan->sweep);
    }
  else
    {
      tarn_json_exact (json, "length_mm", reading->diameters.length_mm);
      tarn_json_exact (json, "width_mm", reading->diameters.width_mm);
      tarn_json_exact (json, "height_mm", reading->diameters.height_mm);
      tarn_json_exact (json, "coefficient", reading->coefficient);
    }
  tarn_json_close (json, '}');
}

static void
write_ledger (GString *json, const TarnTruth *truth)
{
  if (!truth->has_ledger)
    {
      tarn_json_null (json, "ledger_ml");
      return;
    }
  tarn_json_open (json, "ledger_ml", '{');
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    tarn_json_exact (json, tarn_cause_name ((TarnCause)cause), truth->ledger.entry_ml[cause]);
  tarn_json_close (json, '}');
}

static void
write_score (GString *json, const TarnScore *score)
{
  tarn_json_open (json, "score", '{');
  tarn_json_exact (json, "reading", score->reading);
  tarn_json_exact (json, "judgement", score->judgement);
  tarn_json_exact (json, "technique", score->technique);
  tarn_json_exact (json, "care", score->care);
  tarn_json_exact (json, "total", score->total);
  tarn_json_bool (json, "failed", score->failed);
  tarn_json_close (json, '}');
}

static void
write_truth (GString *json, const TarnTruth *truth)
{
  tarn_json_open (json, "truth", '{');
  tarn_json_exact (json, "volume_ml", truth->truth_ml);
  tarn_json_exact (json, "tolerance_ml", truth->tolerance_ml);
  tarn_json_close (json, '}');
  tarn_json_open (json, "record", '{');
  tarn_json_text (json, "kind", tarn_record_name (truth->record));
  tarn_json_exact (json, "volume_ml", truth->recorded_ml);
  tarn_json_number (json, "reading", truth->recorded + 1, 0);
  tarn_json_close (json, '}');
  write_judgement (json, "judgement", &truth->judgement);
  tarn_json_bool (json, "judged_right", truth->was_right.right);
  tarn_json_text (json, "verdict", tarn_verdict_name (truth->verdict));
  tarn_json_bool (json, "by_luck", truth->by_luck);
  write_ledger (json, truth);
  write_score (json, &truth->score);
}

static void
write_moment (GString *json, const TarnReplay *replay)
{
  const TarnBedside *now = tarn_attempt_bedside (tarn_replay_attempt (replay));
  tarn_json_open (json, "moment", '{');
  tarn_json_number (json, "tick", now->tick, 0);
  tarn_json_number (json, "time_s", SECONDS (now->tick), 4);
  write_pose (json, &now->pose);
  tarn_json_bool (json, "on_skin", now->on_skin);
  tarn_json_bool (json, "frozen", now->frozen);
  tarn_json_bool (json, "sweeping", now->sweeping);
  tarn_json_exact (json, "lift_percent", 100 * now->lift);
  tarn_json_exact (json, "gel_g", now->gel_g);
  tarn_json_exact (json, "wet_fraction", now->contact.wet_fraction);
  tarn_json_exact (json, "breath", now->breath);
  tarn_json_exact (json, "unsteady_mm", now->unsteady_mm);
  tarn_json_close (json, '}');
}

void
tarn_replay_write_json (GString *json, const TarnReplayReport *report)
{
  char digest[24];
  g_string_append_c (json, '{');
  tarn_json_text (json, "schema", "tarn.replay/1");
  write_patient (json, report);
  write_events (json, report->replay);
  tarn_json_open (json, "readings", '[');
  for (guint k = 0; k < report->readings->len; k++)
    write_reading (json, (int)k, &g_array_index (report->readings, TarnAttemptReading, k));
  tarn_json_close (json, ']');
  if (report->finished)
    write_truth (json, &report->truth);
  if (report->has_moment)
    write_moment (json, report->replay);
  g_snprintf (digest, sizeof digest, "%016" G_GINT64_MODIFIER "x", (guint64)report->digest);
  tarn_json_text (json, "digest", digest);
  g_string_append (json, "}\n");
}
