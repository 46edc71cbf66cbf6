/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * words_debrief.h: what the debrief's pictures show, in the learner's language.
 *
 * Floor: app.  Threads: any.  As in words.h: a char * is new, a const char * the program's. */
#pragma once

#include "app/words.h"
#include "engine/coach/aim.h"
#include "engine/scene/fates.h"
#include "engine/verdict/plane_loss.h"

/* What became of the urine: "Hidden by bone". */
const char *tarn_words_part (int part);
/* All of them with their volumes, for who does not see the picture. */
char *tarn_words_fates (const double ml[TARN_FATES_PARTS], const TarnUnits *units);

/* Of one plane: "3.1 mL missing here, behind bone"; "" where there is next to nothing. */
char *tarn_words_plane_loss (const TarnPlaneLoss *loss, const TarnUnits *units);
/* What took it, in a word: "bone"; "" where nothing did. */
const char *tarn_words_plane_loss_word (const TarnPlaneLoss *loss);
/* Both on a thumbnail: "−3.1 mL bone". */
char *tarn_words_plane_loss_short (const TarnPlaneLoss *loss, const TarnUnits *units);
/* Before a list of planes: "Planes in which bone casts its shadow". */
const char *tarn_words_planes_of (TarnCause cause);

/* Whether the section was the largest that tilting, or sliding, would have found; one sentence
 * each.  @turn_rad: of the pose. */
char *tarn_words_aim_tilt (const TarnAimProfile *aim, double turn_rad);
char *tarn_words_aim_slide (const TarnAimProfile *aim, double turn_rad, const TarnUnits *units);
/* Where a tilt to negative angles, or @ahead to positive ones, goes: "to the feet". */
const char *tarn_words_way (double turn_rad, gboolean ahead);
/* A side of the field: "Left side, with the mark"; and the room there: "12° of room", "ran out
 * by 14°". */
const char *tarn_words_side (TarnSide side, double turn_rad);
char *tarn_words_margin (TarnSide side, double margin, const TarnUnits *units);

/* What the number would have led to. */
char *tarn_words_decision (TarnDecision decision, double threshold_ml, const TarnUnits *units);
