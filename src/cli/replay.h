/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay.h: an attempt played again, as the letter and the JSON tell it.
 *
 * Floor: cli. */
#pragma once

#include "engine/attempt/replay.h"
#include "store/attempt_log.h"
#include "store/patient_file.h"

#include <glib.h>

typedef struct
{
  const TarnAttemptLog *log;
  const TarnPatientFile *file;
  TarnReplay *replay; /* gone to the moment asked for */

  /* At the end. */
  uint64_t digest;
  GArray *readings; /* of TarnAttemptReading */
  TarnBedside end;
  bool finished;
  TarnTruth truth; /* of a finished attempt */
  bool has_moment; /* a moment was asked for */
} TarnReplayReport;

void tarn_replay_write_letter (GString *text, const TarnReplayReport *report);
void tarn_replay_write_json (GString *json, const TarnReplayReport *report);

/* What a mark's detail is called: "hands" of a deed, "2" of a reading; "" for none.
 * @text: out. */
void tarn_replay_detail (const TarnReplayMark *mark, char *text, size_t size);
/* As in the JSON. */
const char *tarn_mode_name (TarnMode mode);
const char *tarn_judgement_name (TarnJudgementKind kind);
const char *tarn_record_name (TarnRecordKind record);
const char *tarn_source_name (TarnReadingSource source);
