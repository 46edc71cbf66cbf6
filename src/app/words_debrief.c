/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fates, planes, aim and decision in words. */
#include "app/words_debrief.h"

#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

#define LEANS     8
#define LEAST_ML  0.05 /* of a fate; less is not said */
#define AS_GOOD   0.97 /* of the largest section */
#define ROOM_NONE 1.0  /* degrees, or mm: no room to speak of */

const char *
tarn_words_part (int part)
{
  static const char *const words[TARN_FATES_PARTS] = {
    [TARN_FATE_CAPTURED] = N_ ("Captured"),
    [TARN_FATE_EDGE] = N_ ("Clipped by the field"),
    [TARN_FATE_BONE] = N_ ("Hidden by bone"),
    [TARN_FATE_GAS] = N_ ("Hidden by gas"),
    [TARN_FATE_CONTACT] = N_ ("Missed by dry elements"),
    [TARN_FATES_OTHER_FLUID] = N_ ("Other fluid, not urine"),
  };
  g_return_val_if_fail (part >= 0 && part < TARN_FATES_PARTS, "");
  return _ (words[part]);
}

char *
tarn_words_fates (const double ml[TARN_FATES_PARTS], const TarnUnits *units)
{
  GString *text = g_string_new (NULL);
  for (int k = 0; k < TARN_FATES_PARTS; k++)
    {
      g_autofree char *volume = tarn_words_volume (ml[k], units);
      if (ml[k] < LEAST_ML)
        continue;
      /* Translators: a part of the bladder and its volume; such parts follow each other. */
      g_string_append_printf (text, C_ ("fates", "%s: %s."), tarn_words_part (k), volume);
      g_string_append_c (text, ' ');
    }
  return g_strchomp (g_string_free (text, FALSE));
}

/* ---- Planes ---- */

/* Less is the outline's own roughness, and is not said (own design values). */
static gboolean
is_little (const TarnPlaneLoss *loss)
{
  return fabs (tarn_plane_loss_error_ml (loss)) < fmax (0.1, 0.04 * loss->urine_ml);
}

static const char *
missing_format (TarnCause cause)
{
  static const char *const words[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = N_ ("%s missing here, outside the picture"),
    [TARN_CAUSE_BONE] = N_ ("%s missing here, behind bone"),
    [TARN_CAUSE_GAS] = N_ ("%s missing here, behind gas"),
    [TARN_CAUSE_CONTACT] = N_ ("%s missing here, under dry elements"),
  };
  return words[cause] != NULL ? words[cause] : N_ ("%s missing here");
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *
tarn_words_plane_loss (const TarnPlaneLoss *loss, const TarnUnits *units)
{
  double ml = tarn_plane_loss_error_ml (loss);
  TarnCause cause = tarn_plane_loss_main (loss);
  if (is_little (loss))
    return g_strdup ("");
  g_autofree char *volume = tarn_words_volume (fabs (ml), units);
  if (ml < 0)
    return g_strdup_printf (_ (missing_format (cause)), volume);
  return cause == TARN_CAUSE_OTHER_FLUID
             ? g_strdup_printf (_ ("%s too much here, of other fluid"), volume)
             : g_strdup_printf (_ ("%s too much here"), volume);
}
#pragma GCC diagnostic pop

const char *
tarn_words_plane_loss_word (const TarnPlaneLoss *loss)
{
  /* Translators: one short word each, on a small picture, after a volume. */
  static const char *const words[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = NC_ ("plane", "edge"),
    [TARN_CAUSE_BONE] = NC_ ("plane", "bone"),
    [TARN_CAUSE_GAS] = NC_ ("plane", "gas"),
    [TARN_CAUSE_CONTACT] = NC_ ("plane", "dry"),
    [TARN_CAUSE_OTHER_FLUID] = NC_ ("plane", "fluid"),
  };
  TarnCause cause = tarn_plane_loss_main (loss);
  if (is_little (loss) || words[cause] == NULL)
    return "";
  return g_dpgettext2 (NULL, "plane", words[cause]);
}

char *
tarn_words_plane_loss_short (const TarnPlaneLoss *loss, const TarnUnits *units)
{
  if (is_little (loss))
    return g_strdup ("");
  g_autofree char *volume
      = tarn_words_signed_volume (lround (10 * tarn_plane_loss_error_ml (loss)), 1, units);
  /* Translators: on a small picture: a volume and a word for what took it. */
  return g_strchomp (
      g_strdup_printf (C_ ("plane", "%s %s"), volume, tarn_words_plane_loss_word (loss)));
}

const char *
tarn_words_planes_of (TarnCause cause)
{
  static const char *const words[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = N_ ("Where the bladder leaves the picture"),
    [TARN_CAUSE_BONE] = N_ ("In the shadow of bone"),
    [TARN_CAUSE_GAS] = N_ ("In the shadow of gas"),
    [TARN_CAUSE_CONTACT] = N_ ("Under dry elements"),
    [TARN_CAUSE_MOTION] = N_ ("Furthest from where the probe should stand"),
    [TARN_CAUSE_OTHER_FLUID] = N_ ("Where other fluid was outlined"),
    [TARN_CAUSE_REST] = N_ ("All planes"),
  };
  g_return_val_if_fail (cause < TARN_CAUSES, "");
  return _ (words[cause]);
}

/* ---- Aim ---- */

/* Which way a plane of positive (@ahead) or negative angle lies, to the nearest of eight: 0 the
 * feet, then by way of the patient's right; as lean_format () of words.c. */
static int
lean_index (double turn_rad, gboolean ahead)
{
  int eighth = (int)lround (turn_rad / (TARN_PI / 4)) + (ahead ? 4 : 0);
  return (eighth % LEANS + LEANS) % LEANS;
}

static double
more_percent (double share)
{
  return share > 0 ? 100 * (1 / share - 1) : 0;
}

/* What both sentences say where there is nothing to gain, or nothing to see. */
static const char *
aim_without_gain (double share, gboolean tilt)
{
  if (!(share > 0))
    return tilt ? _ ("The probe’s middle plane did not cross the bladder.") : "";
  return tilt ? _ ("Tilting would not have found a larger section.")
              : _ ("Sliding would not have found a larger section.");
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *
tarn_words_aim_tilt (const TarnAimProfile *aim, double turn_rad)
{
  static const char *const words[LEANS] = {
    N_ ("Tilted %.0f° further to the feet, the section would have been %.0f %% larger."),
    N_ ("Tilted %.0f° further to the feet and right, the section would have been %.0f %% "
        "larger."),
    N_ ("Tilted %.0f° further to the patient’s right, the section would have been %.0f %% "
        "larger."),
    N_ ("Tilted %.0f° further to the right and head, the section would have been %.0f %% "
        "larger."),
    N_ ("Tilted %.0f° further to the head, the section would have been %.0f %% larger."),
    N_ ("Tilted %.0f° further to the head and left, the section would have been %.0f %% "
        "larger."),
    N_ ("Tilted %.0f° further to the patient’s left, the section would have been %.0f %% "
        "larger."),
    N_ ("Tilted %.0f° further to the left and feet, the section would have been %.0f %% "
        "larger."),
  };
  double deg = tarn_deg_from_rad (aim->best_tilt_rad);
  if (!(aim->tilt_share > 0) || aim->tilt_share >= AS_GOOD)
    return g_strdup (aim_without_gain (aim->tilt_share, TRUE));
  return g_strdup_printf (_ (words[lean_index (turn_rad, deg > 0)]), fabs (deg),
                          more_percent (aim->tilt_share));
}

/* Positive slides go the way of planes of positive angle: transverse, to the head. */
char *
tarn_words_aim_slide (const TarnAimProfile *aim, double turn_rad, const TarnUnits *units)
{
  static const char *const words[LEANS] = {
    N_ ("Slid %s to the feet, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the feet and right, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the patient’s right, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the right and head, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the head, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the head and left, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the patient’s left, the section would have been %.0f %% larger."),
    N_ ("Slid %s to the left and feet, the section would have been %.0f %% larger."),
  };
  if (!(aim->slide_share > 0) || aim->slide_share >= AS_GOOD)
    return g_strdup (aim_without_gain (aim->slide_share, FALSE));
  g_autofree char *length = tarn_words_length (fabs (aim->best_slide_mm), units);
  return g_strdup_printf (_ (words[lean_index (turn_rad, aim->best_slide_mm > 0)]), length,
                          more_percent (aim->slide_share));
}
#pragma GCC diagnostic pop

const char *
tarn_words_way (double turn_rad, gboolean ahead)
{
  static const char *const words[LEANS] = {
    N_ ("to the feet"), N_ ("feet and right"), N_ ("to the right"), N_ ("right and head"),
    N_ ("to the head"), N_ ("head and left"),  N_ ("to the left"),  N_ ("left and feet"),
  };
  return _ (words[lean_index (turn_rad, ahead)]);
}

const char *
tarn_words_side (TarnSide side, double turn_rad)
{
  static const char *const ends[LEANS] = {
    N_ ("To the feet"),           N_ ("To the feet and right"), N_ ("To the patient’s right"),
    N_ ("To the right and head"), N_ ("To the head"),           N_ ("To the head and left"),
    N_ ("To the patient’s left"), N_ ("To the left and feet"),
  };
  g_return_val_if_fail (side < TARN_SIDES, "");
  switch (side)
    {
    case TARN_SIDE_MARK:
      return _ ("Picture’s left, the mark’s side");
    case TARN_SIDE_OTHER:
      return _ ("Picture’s right");
    case TARN_SIDE_FIRST:
    case TARN_SIDE_LAST:
      return _ (ends[lean_index (turn_rad, side == TARN_SIDE_LAST)]);
    case TARN_SIDE_DEEP:
    case TARN_SIDES:
      break;
    }
  return _ ("In depth");
}

char *
tarn_words_margin (TarnSide side, double margin, const TarnUnits *units)
{
  double size = side == TARN_SIDE_DEEP ? margin : tarn_deg_from_rad (margin);
  if (fabs (size) < ROOM_NONE)
    return g_strdup (_ ("just enough room"));
  if (side == TARN_SIDE_DEEP)
    {
      g_autofree char *length = tarn_words_length (fabs (margin), units);
      return size > 0 ? g_strdup_printf (_ ("%s of room"), length)
                      : g_strdup_printf (_ ("ran out by %s"), length);
    }
  return size > 0 ? g_strdup_printf (_ ("%.0f° of room"), size)
                  : g_strdup_printf (_ ("ran out by %.0f°"), -size);
}

/* ---- Decision ---- */

char *
tarn_words_decision (TarnDecision decision, double threshold_ml, const TarnUnits *units)
{
  g_autofree char *threshold = tarn_words_volume (threshold_ml, units);
  switch (decision)
    {
    case TARN_DECISION_MISSED:
      return g_strdup_printf (_ ("Wrong: the bladder held %s or more, from where on local "
                                 "policy asks for action; the number did not."),
                              threshold);
    case TARN_DECISION_NEEDLESS:
      return g_strdup_printf (_ ("Wrong: the number reached %s, from where on local policy "
                                 "asks for action; the bladder did not hold that much."),
                              threshold);
    case TARN_DECISION_RIGHT:
      break;
    }
  return g_strdup_printf (_ ("Right: number and bladder lie on the same side of %s, from where "
                             "on local policy asks for action."),
                          threshold);
}
