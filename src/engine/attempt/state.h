/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * state.h: what an attempt is made of, and who does what in a tick.  Private to attempt/.
 *
 * Floor: engine.  A tick, in this order:
 * 1. bodies.c: the pannus follows the free hand; between sweeps the body changes with it.
 * 2. unrest.c: the patient breathes and stirs.
 * 3. hand.c:   the hand follows where it is wanted, trembles, presses; gel is wiped.
 * 4. sweep.c:  a sweep that is under way is recorded, and read when it is over.
 * 5. voice.c, care.c: what the patient says, and what has been looked at long enough. */
#pragma once

#include "engine/attempt/attempt.h"

/* The pannus in tenths: a body is built for each when it is first wanted. */
#define TARN_LIFT_STEPS 10

/* TARN_SWEEP_SECONDS in ticks; a sample for each and for the start. */
#define TARN_SWEEP_TICKS   (3 * TARN_TICKS_PER_SECOND)
#define TARN_SWEEP_SAMPLES (TARN_SWEEP_TICKS + 1)

/* A plane that is held, with all that it shows. */
typedef struct
{
  const TarnBody *body;
  TarnContact contact;
  TarnDeform deform;
  TarnImageGeometry geometry;
  double gain_db;
  TarnPose pose;
  uint64_t noise_seed;
} TarnHeldPlane;

/* What lies under one pair of calipers, and how its plane was taken. */
typedef struct
{
  double urine, other; /* shares of its length */
  double force_n, wet_fraction;
} TarnCaliperGround;

/* The hand, before its tremor. */
typedef struct
{
  TarnPose pose, speed; /* speed: each member by the second */
  TarnPose wiped;       /* up to here the gel has been wiped */
} TarnHand;

typedef struct
{
  double phase_rad; /* of breath */
  double calm;      /* 1: moves as it likes … a fifth: asked to lie still */
} TarnUnrest;

/* A sweep that is under way. */
typedef struct
{
  TarnPose nominal;
  int lift_step;
  double depth_mm, gain_db;
  double force_most_n;
  int ticks; /* done */
  TarnGelFilm film;
  TarnHeldPlane middle; /* the plane passed half-way */
  TarnDrift drift[TARN_SWEEP_SAMPLES];
} TarnSweeping;

/* A reading, and what its public part does not show. */
typedef struct
{
  TarnAttemptReading made;
  TarnScan *scan;  /* owned; NULL of calipers */
  TarnDrift *path; /* owned; of a sweep */
  int lift_step;
  TarnCaliperGround ground[TARN_CALIPERS];
} TarnMadeReading;

/* What the patient would say. */
typedef struct
{
  unsigned wants; /* a bit for each TarnVoice that has cause and is not yet said */
  unsigned said;  /* ever */
  uint32_t tick[TARN_VOICES];
  bool was_on_skin, was_guarding, was_urged;
} TarnVoices;

/* How long each direction has been looked at, in ticks; and the probe on the skin in all. */
typedef struct
{
  int transverse_ticks, sagittal_ticks, skin_ticks;
} TarnLooked;

struct TarnAttempt
{
  TarnAttemptSetup setup;
  TarnPatient patient;
  TarnBody *bodies[TARN_LIFT_STEPS + 1]; /* NULL until wanted */
  int lift_step;                         /* of the body as it is now */

  TarnBedside bedside;
  TarnGelFilm film;
  TarnHand hand;
  TarnUnrest unrest;
  TarnHeldPlane held;     /* while the bedside says frozen */
  TarnSweeping *sweeping; /* room for one; used while the bedside says sweeping */
  TarnVec3 trace_mm[TARN_TICKS_PER_SECOND]; /* the face's places over the last second */
  TarnVoices voices;
  TarnLooked looked;
  TarnCaliperGround ground[TARN_CALIPERS];
  TarnPose caliper_pose; /* of the plane on which the last one was set */
  double force_most_n;

  TarnMadeReading reading[TARN_ATTEMPT_READINGS_MAX];
  /* Of a replay: so many readings were made before time went back, or in the attempt that is
   * played again, and are taken when their time comes. */
  int kept;
  const TarnAttempt *lender; /* whose bodies and scans are used and not owned; NULL: nobody's */
  int judged;                /* the reading judged last; -1: the situation, or nothing */
  TarnJudgement situation_judgement;

  int inputs, room;
  TarnInput *input;

  bool has_truth;
  TarnTruth truth;
};

/* attempt.c: a new attempt with the patient, bodies and readings of @lender, which must outlive
 * it; for replay. */
TarnStatus tarn_attempt_again (const TarnAttempt *lender, const TarnParallel *parallel,
                               TarnAttempt **attempt);

/* bodies.c */
TarnStatus tarn_bodies_want (TarnAttempt *attempt, int step, TarnProblem *problem);
TarnStatus tarn_bodies_tick (TarnAttempt *attempt);
const TarnBody *tarn_bodies_now (const TarnAttempt *attempt);

/* unrest.c: how the patient begins, and one tick on. */
void tarn_unrest_begin (TarnAttempt *attempt);
void tarn_unrest_tick (TarnAttempt *attempt);
bool tarn_unrest_asked (const TarnAttempt *attempt); /* lies still because asked to */

/* hand.c: where the hand begins; where it may be wanted; one tick on; the contact as it is. */
void tarn_hand_begin (TarnAttempt *attempt);
TarnStatus tarn_hand_want (TarnAttempt *attempt, const double value[TARN_INPUT_VALUES]);
void tarn_hand_tick (TarnAttempt *attempt);
void tarn_hand_touch (TarnAttempt *attempt);

/* gel.c: a dose where the probe is; all of it off; how much is near. */
TarnStatus tarn_attempt_dose (TarnAttempt *attempt, double gel_g);
void tarn_attempt_wipe (TarnAttempt *attempt);
double tarn_gel_near_g (const TarnGelFilm *film, const TarnPose *pose);

/* sweep.c: begin, record, end; the plane that is seen now. */
TarnStatus tarn_sweeping_begin (TarnAttempt *attempt);
void tarn_sweeping_abandon (TarnAttempt *attempt);
TarnStatus tarn_sweeping_tick (TarnAttempt *attempt);
void tarn_plane_hold (const TarnAttempt *attempt, TarnHeldPlane *held);

/* diameters.c */
TarnStatus tarn_diameters_set (TarnAttempt *attempt, const TarnInput *input);
TarnStatus tarn_diameters_measure (TarnAttempt *attempt, double coefficient);
TarnVerdict tarn_diameters_verdict (const TarnAttempt *attempt, int index);

/* voice.c, looked.c, deeds.c */
void tarn_voice_gel (TarnAttempt *attempt);
void tarn_voice_tick (TarnAttempt *attempt);
void tarn_looked_tick (TarnAttempt *attempt);
void tarn_deed_do (TarnAttempt *attempt, TarnDeed deed);
bool tarn_attempt_has_scanned (const TarnAttempt *attempt);

/* take.c: what an input does; nothing unless TARN_OK. */
TarnStatus tarn_take (TarnAttempt *attempt, const TarnInput *input);

/* measurable.c: whether some sensible pose would lose little. */
TarnStatus tarn_measurable (TarnAttempt *attempt, bool *measurable);
