/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * words_advice.h: moves of the hand, and the cues that show them, in the learner's language.
 * Advice is about the hand; it is never a thing to say to the patient.
 *
 * Floor: app.  Threads: any.  As in words.h: a char * is new, a const char * the program's. */
#pragma once

#include "app/words.h"
#include "engine/coach/advice.h"

/* "Slide 2 cm to the patient’s right."  Without an amount: "Slide to the patient’s right."
 * @turn_rad: of the pose from which the hand moves. */
char *tarn_words_move (const TarnMove *move, double turn_rad, const TarnUnits *units);

/* The same in a few words, for a heading: "Slide to the right". */
const char *tarn_words_move_name (TarnMoveKind kind);

/* "The dark area runs into the left side of the picture."; "" for TARN_CUE_NONE.
 * @turn_rad: as above.  @past: of a sweep that is over: "ran". */
const char *tarn_words_cue (TarnCue cue, double turn_rad, gboolean past);

/* What was to be seen, what to do about it, and what that gains, in whole sentences, of a
 * sweep that is over. */
char *tarn_words_advice (const TarnAdvice *advice, double turn_rad, const TarnUnits *units);

/* What is to be seen now and what to do: one line, no amounts. */
char *tarn_words_advice_now (const TarnAdvice *advice, double turn_rad);
