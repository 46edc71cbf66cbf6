/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * coverage.h: what a still sweep from a pose would see, by straight rays, fast enough to ask
 * for many poses; and what it would therefore read.
 *
 * Floor: engine.  Pure; no picture, no outline. */
#pragma once

#include "engine/verdict/verdict.h"

/* A body's urine as points, made once for many poses.  Const: any thread may ask. */
typedef struct TarnSurvey TarnSurvey;

/* @body: must outlive the survey.  @survey: out; tarn_survey_free () it.
 * Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_survey_new (const TarnBody *body, TarnSurvey **survey);
void tarn_survey_free (TarnSurvey *survey); /* NULL is allowed */
const TarnBody *tarn_survey_body (const TarnSurvey *survey);

/* The sides of the field that a sweep covers. */
typedef enum
{
  TARN_SIDE_MARK,  /* of the plane: the side of the index mark, the image's left */
  TARN_SIDE_OTHER, /* the image's right */
  TARN_SIDE_FIRST, /* the fan's first planes, negative angles */
  TARN_SIDE_LAST,  /* its last ones */
  TARN_SIDE_DEEP,  /* the depth limit */
  TARN_SIDES
} TarnSide;

typedef struct
{
  double urine_ml, seen_ml;      /* in all; hidden by nothing */
  double hidden_ml[TARN_CAUSES]; /* as in TarnGeometricLoss */
  double beyond_ml[TARN_SIDES];  /* urine outside each side of the field */
  double margin[TARN_SIDES];     /* room between the urine and that side: rad, mm for the depth;
                                    negative: it runs out */
  TarnReading forecast;          /* what a still sweep would read */
  TarnVerdict verdict;           /* of that reading, by what hides most */
  double urine_share;      /* of what that reading holds, the bladder's own; 1: no reading */
  double at_edge, bridged; /* shares of the border of its sections, by their areas */
  double wet_fraction, indentation_mm;
  bool over_comfort;
} TarnCoverage;

/**
 * @film: the gel on the skin; not changed.  NULL: wet all over.
 * @depth_mm: 0 for the probe's own.
 *
 * Returns TARN_OK, TARN_OFF_BODY, TARN_OUT_OF_RANGE or TARN_NO_MEMORY; @coverage is then left
 * alone.
 */
TarnStatus tarn_coverage_at (const TarnSurvey *survey, const TarnPose *pose,
                             const TarnGelFilm *film, double depth_mm, TarnCoverage *coverage);
