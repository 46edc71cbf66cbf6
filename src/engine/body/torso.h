/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * torso.h: skin and layers as nested ovals.
 *
 * Floor: engine.  Internal to body/, and to scene/, which draws it.  Patient frame,
 * mm.
 *
 * An oval is a superellipse of exponent 2.5 in every plane across the torso, the same at all
 * levels, with a half-depth of its own towards the back.  A layer's border is an oval whose
 * front half is pushed along +y by an offset that depends on x and z: minus the pannus for the
 * skin, the thickness of muscle and gap for what lies behind the fat.  All offsets are products
 * or sums of functions that rise or fall steadily with |x| and z, so exact bounds over a block
 * of space are cheap; the cell table rests on that. */
#pragma once

#include "base/vec.h"
#include "engine/patient/patient.h"

#include <stddef.h>

/* How far the torso reaches, feet to head. */
#define TARN_TORSO_FEET_MM (-160.0)
#define TARN_TORSO_HEAD_MM 340.0

typedef struct
{
  double half_width_mm, middle_y_mm, half_front_mm, half_back_mm;
  double per_width, per_front, per_back; /* their inverses, 1/mm */
} TarnOval;

/* Borders from outside in.  What lies outside a border and inside the one before it is skin,
 * fat, muscle and the fat of the gap in front of the bladder. */
typedef enum
{
  TARN_LAYER_SKIN,
  TARN_LAYER_SKIN_INNER,
  TARN_LAYER_FAT_INNER,
  TARN_LAYER_MUSCLE_INNER,
  TARN_LAYER_GAP_INNER,
  TARN_LAYERS
} TarnLayer;

typedef struct
{
  TarnOval oval[3]; /* skin, its inner face, the fat's inner face */
  double pannus_mm, pannus_foot_mm, pannus_full_mm, pannus_fade_mm, pannus_reach_mm;
  double crease;                  /* [0, 1]: how deep the fold is */
  double muscle_mm;               /* of the rectus */
  double gap_mm;                  /* fat between muscle and bladder */
  double moved_mm;                /* how far bone pushed the bladder back; fat fills it */
  double dome_mm;                 /* level of the bladder's top */
  double joint_y_mm, joint_slope; /* middle of the symphysis: y = joint_y - z joint_slope */
  double joint_top_mm;            /* level above which there is no bone in front */
} TarnTorso;

typedef struct
{
  TarnVec3 low, high;
} TarnBox;

typedef struct
{
  double low, high;
} TarnRange;

/* All but moved_mm and dome_mm, which the bladder sets, and the back of the ovals, which the
 * spine may push out. */
void tarn_torso_init (TarnTorso *torso, const TarnPatient *patient, double lift);
/* Makes room behind: the skin's back surface at least at @y_mm. */
void tarn_torso_reach_back (TarnTorso *torso, const TarnPatient *patient, double y_mm);

/* < 0 inside the border, > 0 outside. */
double tarn_torso_level (const TarnTorso *torso, TarnLayer layer, TarnVec3 p_mm);
TarnRange tarn_torso_level_range (const TarnTorso *torso, TarnLayer layer, const TarnBox *box);
/* To first order, exact on the axes of the oval; @gradient: unit, outward. */
double tarn_torso_distance_mm (const TarnTorso *torso, TarnLayer layer, TarnVec3 p_mm,
                               TarnVec3 *gradient);
/* y of the border's front half; @x_mm within the oval. */
double tarn_torso_front_mm (const TarnTorso *torso, TarnLayer layer, double x_mm, double z_mm);

/* The skin's front half by the polar angle about the oval's middle, 0 in front, ± π/2 at the
 * flanks (+ to the patient's left). */
TarnVec3 tarn_torso_skin_mm (const TarnTorso *torso, double around_rad, double z_mm);
/* [0, 1]: how deep in a fold's crease the skin is there. */
double tarn_torso_crease (const TarnTorso *torso, double x_mm, double z_mm);
