/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * advice.h: the one move that gains most, and the cue that shows it.
 *
 * Floor: engine.  Pure.  Codes only: the words are the window's.  Two advisers: one knows the
 * body; the other only what a learner can see and feel. */
#pragma once

#include "engine/coach/coverage.h"

typedef enum
{
  TARN_MOVE_STAY, /* nothing gains: hold still and sweep, or take the reading */
  TARN_MOVE_SLIDE_HEAD,
  TARN_MOVE_SLIDE_FEET,
  TARN_MOVE_SLIDE_LEFT, /* the patient's */
  TARN_MOVE_SLIDE_RIGHT,
  TARN_MOVE_TILT_FEET,
  TARN_MOVE_TILT_HEAD,
  TARN_MOVE_LEAN_LEFT,
  TARN_MOVE_LEAN_RIGHT,
  TARN_MOVE_TURN, /* to the other direction, transverse or sagittal */
  TARN_MOVE_PRESS,
  TARN_MOVE_EASE,
  TARN_MOVE_GEL,
  TARN_MOVE_LIFT, /* the pannus */
  TARN_MOVE_DEEPER,
  TARN_MOVE_SHALLOWER,
  TARN_MOVE_STILL,      /* the same again, with a quieter hand or patient */
  TARN_MOVE_AT_LEAST,   /* no pose holds it all: say "at least" */
  TARN_MOVE_DO_NOT_USE, /* what is dark here is not the bladder alone, and no move parts them */
  TARN_MOVES
} TarnMoveKind;

typedef struct
{
  TarnMoveKind kind;
  double
      amount; /* > 0: mm, rad, N, g, share of the pannus; 0 where there is nothing to count */
} TarnMove;

/* What shows it, in the picture or under the hand. */
typedef enum
{
  TARN_CUE_NONE,
  TARN_CUE_NOTHING_DARK,    /* no dark region at all */
  TARN_CUE_RUNS_INTO_MARK,  /* the dark region runs into the sector's side with the mark */
  TARN_CUE_RUNS_INTO_OTHER, /* … into the other side */
  TARN_CUE_FIRST_PLANES,    /* … is still large in the sweep's first planes */
  TARN_CUE_LAST_PLANES,     /* … in its last ones */
  TARN_CUE_RUNS_DEEP,       /* … past the depth limit */
  TARN_CUE_BONE_SHADOW,     /* a bright arc with black behind it, over part of the region */
  TARN_CUE_GAS,        /* a bright patch with a grey, banded tail over part of the region */
  TARN_CUE_DRY,        /* lines black from the face on */
  TARN_CUE_FAR,        /* deep and faint: much fat in the way */
  TARN_CUE_HURTS,      /* the patient says so; the region is flat and wide */
  TARN_CUE_WANDERS,    /* the picture wandered during the sweep */
  TARN_CUE_OTHER_DARK, /* another dark region touches it or lies beside it */
  TARN_CUE_CLOSED,     /* bright border all round, in every plane */
  TARN_CUES
} TarnCue;

typedef struct
{
  TarnMove move;
  TarnCue cue;
  double gain_ml;      /* how much nearer to the truth, expected; 0 for none */
  double expected_ml;  /* what a sweep would then read; 0: the adviser does not know */
  bool accurate_after; /* that reading would be accurate */
} TarnAdvice;

/* How things stand. */
typedef struct
{
  TarnPose pose;
  const TarnGelFilm *film;  /* NULL: wet all over */
  double depth_mm;          /* 0: the probe's own */
  double lift;              /* of the pannus, 0..1, as the body of the survey has it */
  const TarnSurvey *lifted; /* the same patient with the pannus quite away; NULL: no pannus, or
                               not known */
} TarnStance;

/**
 * Tries the moves that a hand can make and says which gains most.
 *
 * @after: out, may be NULL; the stance's pose after the move.
 *
 * Returns as tarn_coverage_at ().  Well under 100 ms.
 */
TarnStatus tarn_advise (const TarnSurvey *survey, const TarnStance *stance,
                        const TarnParallel *parallel, TarnAdvice *advice, TarnPose *after);

/* The same from a finished sweep's outlines and what the hand feels; knows no body. */
typedef struct
{
  TarnPose pose;
  const TarnSweepPlane *plane; /* @planes of them, with their evidence */
  int planes;
  TarnImageGeometry geometry;
  TarnReading reading;
  double wet_fraction; /* how much of the face feels wet */
  double comfort_n;    /* at which this patient spoke; INFINITY: has not */
  bool has_pannus;     /* a fold hangs over the place */
  double lift;
  double wander_mm;        /* of the hand during the sweep, as its trace showed */
  const TarnPose *doubted; /* @doubts poses of earlier sweeps that found something which may be
                              no bladder (TARN_CUE_OTHER_DARK); NULL: none, or not known */
  int doubts;
} TarnSweepSeen;

/* Never fails; gain_ml is an estimate from the evidence alone. */
TarnAdvice tarn_advise_by_image (const TarnSweepSeen *seen);

/* @pose after @move; force kept within 1 … 40 N.  Gel, lift and depth are not a pose's. */
TarnPose tarn_move_pose (const TarnMove *move, const TarnPose *pose);
