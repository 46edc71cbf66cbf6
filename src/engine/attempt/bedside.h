/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bedside.h: how things stand at one tick of an attempt.
 *
 * Floor: engine.  Plain data, copied by assignment; about 20 kB. */
#pragma once

#include "engine/attempt/care.h"
#include "engine/attempt/input.h"
#include "engine/contact/contact.h"
#include "engine/deform/deform.h"
#include "engine/measure/motion.h"

#include <stdbool.h>
#include <stdint.h>

typedef struct
{
  uint32_t tick;
  TarnPose hand;       /* where the learner wants the probe */
  TarnPose pose;       /* where the hand has it, tremor included */
  bool on_skin;        /* the face is pressed */
  TarnContact contact; /* of pose, the body's own motion taken into account */
  TarnDeform deform;
  TarnVec3 body_mm; /* how far breath and unrest have moved the body */
  double breath;    /* -1 out … 1 in */
  double lift, lift_wanted;
  double depth_mm, gain_db;
  double half_sector_rad;

  bool frozen;
  bool sweeping;
  double sweep_share; /* 0..1 of the sweep under way */
  double fan_rad;     /* of the plane shown: 0 unless sweeping */
  int sweeps;         /* finished */

  double unsteady_mm; /* RMS of the face off its mean place over the last second */
  double gel_g;       /* on the skin within reach of the face, and on the face */
  double gel_laid_g;  /* all doses */
  double comfort_n;
  bool guarding;

  double finger_n_mm;                     /* stiffness under the fingertip; 0: not palpating */
  double finger_above_mm, finger_left_mm; /* last felt */

  unsigned deeds;                 /* done, a bit for each TarnDeed */
  uint32_t deed_tick[TARN_DEEDS]; /* when last */
  TarnAnswer answer[TARN_DEEDS];  /* what came of it; TARN_ANSWER_NONE before */
  unsigned care_done;             /* of TarnCare */
  TarnVoice voice;                /* said last, unasked */
  uint32_t voice_tick;

  bool caliper_set[TARN_CALIPERS];
  TarnCaliper caliper[TARN_CALIPERS];
  double caliper_turn_rad[TARN_CALIPERS]; /* of the plane on which it was set */

  int readings;
  TarnRecordKind record;
  int recorded;       /* -1: none or a number of one's own */
  double recorded_ml; /* of one's own */
  bool finished;
} TarnBedside;
