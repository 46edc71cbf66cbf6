/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. A piece of advice is whole sentences in a row: the cue, the move, the gain.  So each can
 * be translated by itself, and any move goes with any cue.
 * 2. Sides are the picture's where the picture is meant, and the patient's where the hand
 * moves. The mark's side is the picture's left.
 * 3. Where the first and last planes of a sweep lean to depends on how the probe is turned: to
 *    the nearest of eight, as in words.c. */
#include "app/words_advice.h"

#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

#define LEANS 8

/* To the nearest of eight; as lean_format () of words.c. */
static int
lean_index (double turn_rad, gboolean negative)
{
  int eighth = (int)lround (turn_rad / (TARN_PI / 4)) + (negative ? 0 : 4);
  return (eighth % LEANS + LEANS) % LEANS;
}

/* ---- Moves ---- */

/* A length that a hand can keep: to the half centimetre. */
static char *
hand_length (double mm, const TarnUnits *units)
{
  double halves = fmax (round (mm / 5), 1);
  return units->millimetres ? g_strdup_printf (_ ("%.0f mm"), 5 * halves)
                            : g_strdup_printf (_ ("%.3g cm"), halves / 2);
}

static gboolean
is_slide (TarnMoveKind kind)
{
  return kind >= TARN_MOVE_SLIDE_HEAD && kind <= TARN_MOVE_SLIDE_RIGHT;
}

static gboolean
is_depth (TarnMoveKind kind)
{
  return kind == TARN_MOVE_DEEPER || kind == TARN_MOVE_SHALLOWER;
}

/* Moves whose amount is a length in words. */
static const char *
length_format (TarnMoveKind kind)
{
  static const char *const words[TARN_MOVES] = {
    [TARN_MOVE_SLIDE_HEAD] = N_ ("Slide %s towards the head."),
    [TARN_MOVE_SLIDE_FEET] = N_ ("Slide %s towards the feet."),
    [TARN_MOVE_SLIDE_LEFT] = N_ ("Slide %s to the patient’s left."),
    [TARN_MOVE_SLIDE_RIGHT] = N_ ("Slide %s to the patient’s right."),
    [TARN_MOVE_DEEPER] = N_ ("Set %s more depth."),
    [TARN_MOVE_SHALLOWER] = N_ ("Set %s less depth."),
  };
  return words[kind];
}

/* Moves whose amount is a number: degrees, newtons, grams, percent. */
static const char *
number_format (TarnMoveKind kind)
{
  static const char *const words[TARN_MOVES] = {
    [TARN_MOVE_TILT_FEET] = N_ ("Tilt the beam %.0f° towards the feet."),
    [TARN_MOVE_TILT_HEAD] = N_ ("Tilt the beam %.0f° towards the head."),
    [TARN_MOVE_LEAN_LEFT] = N_ ("Lean the beam %.0f° to the patient’s left."),
    [TARN_MOVE_LEAN_RIGHT] = N_ ("Lean the beam %.0f° to the patient’s right."),
    [TARN_MOVE_PRESS] = N_ ("Press about %.0f N more, gently."),
    [TARN_MOVE_EASE] = N_ ("Press about %.0f N less."),
    [TARN_MOVE_GEL] = N_ ("Lay about %.0f g more gel."),
    [TARN_MOVE_LIFT] = N_ ("Lift the fold about %.0f %% further away."),
  };
  return words[kind];
}

static const char *
plain_move (TarnMoveKind kind)
{
  static const char *const words[TARN_MOVES] = {
    [TARN_MOVE_STAY] = N_ ("Stay there: hold still and sweep, or take the reading."),
    [TARN_MOVE_SLIDE_HEAD] = N_ ("Slide towards the head."),
    [TARN_MOVE_SLIDE_FEET] = N_ ("Slide towards the feet."),
    [TARN_MOVE_SLIDE_LEFT] = N_ ("Slide to the patient’s left."),
    [TARN_MOVE_SLIDE_RIGHT] = N_ ("Slide to the patient’s right."),
    [TARN_MOVE_TILT_FEET] = N_ ("Tilt the beam towards the feet."),
    [TARN_MOVE_TILT_HEAD] = N_ ("Tilt the beam towards the head."),
    [TARN_MOVE_LEAN_LEFT] = N_ ("Lean the beam to the patient’s left."),
    [TARN_MOVE_LEAN_RIGHT] = N_ ("Lean the beam to the patient’s right."),
    [TARN_MOVE_TURN] = N_ ("Turn the probe by a quarter and sweep in the other direction."),
    [TARN_MOVE_PRESS] = N_ ("Press a little more, gently."),
    [TARN_MOVE_EASE] = N_ ("Press less."),
    [TARN_MOVE_GEL] = N_ ("Lay more gel where the probe stands."),
    [TARN_MOVE_LIFT] = N_ ("Lift the fold further away."),
    [TARN_MOVE_DEEPER] = N_ ("Set more depth."),
    [TARN_MOVE_SHALLOWER] = N_ ("Set less depth."),
    [TARN_MOVE_STILL] = N_ ("Sweep again from the same place, with the hand at rest on the "
                            "body and between two breaths."),
    [TARN_MOVE_AT_LEAST] = N_ ("No place shows it all: write “at least”."),
    [TARN_MOVE_DO_NOT_USE] = N_ ("No place parts the bladder from the rest: do not use the "
                                 "reading."),
  };
  return words[kind];
}

/* The other of the two directions. */
static const char *
turn_words (double turn_rad)
{
  return fabs (sin (turn_rad)) > 0.7071
             ? _ ("Turn the probe to transverse, the mark to the patient’s right, and sweep "
                  "there.")
             : _ ("Turn the probe to sagittal, the mark to the head, and sweep there.");
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *
tarn_words_move (const TarnMove *move, double turn_rad, const TarnUnits *units)
{
  g_return_val_if_fail (move->kind < TARN_MOVES, g_strdup (""));
  TarnMoveKind kind = move->kind;
  double amount = move->amount;
  if (kind == TARN_MOVE_TURN)
    return g_strdup (turn_words (turn_rad));
  if (!(amount > 0) || (length_format (kind) == NULL && number_format (kind) == NULL))
    return g_strdup (_ (plain_move (kind)));
  if (is_slide (kind) || is_depth (kind))
    {
      g_autofree char *length = hand_length (amount, units);
      return g_strdup_printf (_ (length_format (kind)), length);
    }
  if (kind >= TARN_MOVE_TILT_FEET && kind <= TARN_MOVE_LEAN_RIGHT)
    amount = tarn_deg_from_rad (amount);
  else if (kind == TARN_MOVE_LIFT)
    amount *= 100;
  return g_strdup_printf (_ (number_format (kind)), fmax (round (amount), 1));
}
#pragma GCC diagnostic pop

const char *
tarn_words_move_name (TarnMoveKind kind)
{
  static const char *const words[TARN_MOVES] = {
    [TARN_MOVE_STAY] = N_ ("Stay there"),
    [TARN_MOVE_SLIDE_HEAD] = N_ ("Slide to the head"),
    [TARN_MOVE_SLIDE_FEET] = N_ ("Slide to the feet"),
    [TARN_MOVE_SLIDE_LEFT] = N_ ("Slide to the patient’s left"),
    [TARN_MOVE_SLIDE_RIGHT] = N_ ("Slide to the patient’s right"),
    [TARN_MOVE_TILT_FEET] = N_ ("Tilt to the feet"),
    [TARN_MOVE_TILT_HEAD] = N_ ("Tilt to the head"),
    [TARN_MOVE_LEAN_LEFT] = N_ ("Lean to the patient’s left"),
    [TARN_MOVE_LEAN_RIGHT] = N_ ("Lean to the patient’s right"),
    [TARN_MOVE_TURN] = N_ ("Turn the probe"),
    [TARN_MOVE_PRESS] = N_ ("Press more"),
    [TARN_MOVE_EASE] = N_ ("Press less"),
    [TARN_MOVE_GEL] = N_ ("More gel"),
    [TARN_MOVE_LIFT] = N_ ("Lift the fold"),
    [TARN_MOVE_DEEPER] = N_ ("More depth"),
    [TARN_MOVE_SHALLOWER] = N_ ("Less depth"),
    [TARN_MOVE_STILL] = N_ ("The same, held still"),
    [TARN_MOVE_AT_LEAST] = N_ ("Write “at least”"),
    [TARN_MOVE_DO_NOT_USE] = N_ ("Do not use the reading"),
  };
  g_return_val_if_fail (kind < TARN_MOVES, "");
  return _ (words[kind]);
}

/* ---- Cues ---- */

/* Of the fan's first or last planes. */
static const char *
end_cue (int lean, gboolean past)
{
  static const char *const now[LEANS] = {
    N_ ("The dark area is still large in the planes furthest to the feet."),
    N_ ("The dark area is still large in the planes furthest to the feet and right."),
    N_ ("The dark area is still large in the planes furthest to the patient’s right."),
    N_ ("The dark area is still large in the planes furthest to the right and head."),
    N_ ("The dark area is still large in the planes furthest to the head."),
    N_ ("The dark area is still large in the planes furthest to the head and left."),
    N_ ("The dark area is still large in the planes furthest to the patient’s left."),
    N_ ("The dark area is still large in the planes furthest to the left and feet."),
  };
  static const char *const before[LEANS] = {
    N_ ("The dark area was still large in the planes furthest to the feet."),
    N_ ("The dark area was still large in the planes furthest to the feet and right."),
    N_ ("The dark area was still large in the planes furthest to the patient’s right."),
    N_ ("The dark area was still large in the planes furthest to the right and head."),
    N_ ("The dark area was still large in the planes furthest to the head."),
    N_ ("The dark area was still large in the planes furthest to the head and left."),
    N_ ("The dark area was still large in the planes furthest to the patient’s left."),
    N_ ("The dark area was still large in the planes furthest to the left and feet."),
  };
  return _ (past ? before[lean] : now[lean]);
}

static const char *
cue_now (TarnCue cue)
{
  static const char *const words[TARN_CUES] = {
    [TARN_CUE_NOTHING_DARK] = N_ ("There is no dark area."),
    [TARN_CUE_RUNS_INTO_MARK]
    = N_ ("The dark area runs into the left side of the picture, the mark’s side."),
    [TARN_CUE_RUNS_INTO_OTHER]
    = N_ ("The dark area runs into the right side of the picture, away from the mark."),
    [TARN_CUE_RUNS_DEEP] = N_ ("The dark area runs out of the foot of the picture."),
    [TARN_CUE_BONE_SHADOW]
    = N_ ("A bright arc with black behind it lies over part of the dark area: bone."),
    [TARN_CUE_GAS]
    = N_ ("A bright patch with a grey, banded tail lies over part of the dark area: gas."),
    [TARN_CUE_DRY] = N_ ("Some lines are black from the face on: no gel there."),
    [TARN_CUE_FAR] = N_ ("The dark area lies deep and faint: there is much fat in the way."),
    [TARN_CUE_HURTS]
    = N_ ("It hurts, and the dark area is pressed flat and wide: too much force."),
    [TARN_CUE_WANDERS] = N_ ("The picture wanders."),
    [TARN_CUE_OTHER_DARK] = N_ ("Another dark area touches it, or lies beside it."),
    [TARN_CUE_CLOSED] = N_ ("A bright border closes all round the dark area."),
  };
  return words[cue];
}

static const char *
cue_past (TarnCue cue)
{
  static const char *const words[TARN_CUES] = {
    [TARN_CUE_NOTHING_DARK] = N_ ("There was no dark area in any plane."),
    [TARN_CUE_RUNS_INTO_MARK]
    = N_ ("The dark area ran into the left side of the picture, the mark’s side."),
    [TARN_CUE_RUNS_INTO_OTHER]
    = N_ ("The dark area ran into the right side of the picture, away from the mark."),
    [TARN_CUE_RUNS_DEEP] = N_ ("The dark area ran out of the foot of the picture."),
    [TARN_CUE_BONE_SHADOW]
    = N_ ("A bright arc with black behind it lay over part of the dark area: bone."),
    [TARN_CUE_GAS]
    = N_ ("A bright patch with a grey, banded tail lay over part of the dark area: gas."),
    [TARN_CUE_DRY] = N_ ("Some lines were black from the face on: no gel there."),
    [TARN_CUE_FAR] = N_ ("The dark area lay deep and faint: there was much fat in the way."),
    [TARN_CUE_HURTS]
    = N_ ("It hurt, and the dark area was pressed flat and wide: too much force."),
    [TARN_CUE_WANDERS] = N_ ("The picture wandered during the sweep."),
    [TARN_CUE_OTHER_DARK] = N_ ("Another dark area touched it, or lay beside it."),
    [TARN_CUE_CLOSED] = N_ ("A bright border closed all round the dark area, in every plane."),
  };
  return words[cue];
}

const char *
tarn_words_cue (TarnCue cue, double turn_rad, gboolean past)
{
  g_return_val_if_fail (cue < TARN_CUES, "");
  if (cue == TARN_CUE_NONE)
    return "";
  if (cue == TARN_CUE_FIRST_PLANES || cue == TARN_CUE_LAST_PLANES)
    return end_cue (lean_index (turn_rad, cue == TARN_CUE_FIRST_PLANES), past);
  return _ (past ? cue_past (cue) : cue_now (cue));
}

/* ---- Both together ---- */

static char *
gain_words (const TarnAdvice *advice, const TarnUnits *units)
{
  if (!(advice->gain_ml >= 0.5))
    return g_strdup ("");
  g_autofree char *gain = tarn_words_volume (advice->gain_ml, units);
  if (advice->move.kind == TARN_MOVE_DO_NOT_USE || advice->move.kind == TARN_MOVE_AT_LEAST)
    return g_strdup ("");
  if (advice->move.kind == TARN_MOVE_STILL || advice->cue == TARN_CUE_OTHER_DARK)
    return g_strdup_printf (_ ("Expected: about %s nearer to the truth."), gain);
  return advice->accurate_after
             ? g_strdup_printf (
                 _ ("Expected: about %s more of the bladder, and that is close enough."), gain)
             : g_strdup_printf (_ ("Expected: about %s more of the bladder."), gain);
}

/* Sentences follow each other; empty ones are left out. */
static char *
in_a_row (const char *const *sentence, int count)
{
  GString *text = g_string_new (NULL);
  for (int k = 0; k < count; k++)
    if (sentence[k][0] != '\0')
      g_string_append_printf (text, "%s%s", text->len > 0 ? " " : "", sentence[k]);
  return g_string_free (text, FALSE);
}

char *
tarn_words_advice (const TarnAdvice *advice, double turn_rad, const TarnUnits *units)
{
  g_autofree char *move
      = advice->move.kind == TARN_MOVE_STAY
            ? g_strdup (_ ("From there no move would have gained: the same again, held still."))
            : tarn_words_move (&advice->move, turn_rad, units);
  g_autofree char *gain = gain_words (advice, units);
  const char *const all[] = { tarn_words_cue (advice->cue, turn_rad, TRUE), move, gain };
  return in_a_row (all, G_N_ELEMENTS (all));
}

char *
tarn_words_advice_now (const TarnAdvice *advice, double turn_rad)
{
  const TarnUnits units = { 0 };
  const TarnMove plain = { .kind = advice->move.kind };
  g_autofree char *move = tarn_words_move (&plain, turn_rad, &units);
  const char *const all[] = { tarn_words_cue (advice->cue, turn_rad, FALSE), move };
  return in_a_row (all, G_N_ELEMENTS (all));
}
