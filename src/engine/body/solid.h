/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * solid.h: a structure of the patient file as ellipsoids.
 *
 * Floor: engine.  Internal to body/.  Patient frame, mm.
 *
 * A structure is an ellipsoid; some have a second one within it.  radii-mm are those of the
 * fluid for a cyst and a diverticulum, whose thin wall lies around it, and the outer ones for
 * everything else; a gravid uterus has its wall within them.  A diverticulum is joined to the
 * lumen by a neck, a capsule. */
#pragma once

#include "engine/body/bones.h"
#include "engine/body/ellipsoid.h"
#include "engine/body/lumen.h"
#include "engine/body/tissue.h"

#define TARN_NECK_RADIUS_MM 4.0

typedef struct
{
  TarnStructureKind kind;
  bool counts, has_inner, has_neck;
  TarnVec3 centre_mm;
  TarnMat3 turn; /* rows: the ellipsoid's own axes */
  TarnEllipsoid outer, inner;
  TarnTissue outer_tissue, inner_tissue; /* inner_tissue throughout when not hollow */
  TarnCapsule neck;                      /* of the fluid; its wall lies around it */
  double wall_mm;
  double reach_mm; /* no point is further from the centre */
} TarnSolid;

/* @wall_mm: of the bladder, which a diverticulum shares. */
void tarn_solid_init (TarnSolid *solid, const TarnStructure *structure, double wall_mm);
/* Joins a diverticulum to the lumen. */
void tarn_solid_join (TarnSolid *solid, const TarnLumen *lumen);

/* TARN_TISSUES where the structure is not. */
TarnTissue tarn_solid_tissue (const TarnSolid *solid, TarnVec3 p_mm);
/* Signed, to first order; of the outer surface, and of the fluid within (as the outer one when
 * there is none within); @gradient: unit, may be NULL. */
double tarn_solid_outer_distance_mm (const TarnSolid *solid, TarnVec3 p_mm, TarnVec3 *gradient);
double tarn_solid_inner_distance_mm (const TarnSolid *solid, TarnVec3 p_mm, TarnVec3 *gradient);
/* Outer surface without the neck: a point for each unit @direction. */
TarnVec3 tarn_solid_point_mm (const TarnSolid *solid, const TarnEllipsoid *ellipsoid,
                              TarnVec3 direction);
/* Volume of the ellipsoid, mm³. */
double tarn_ellipsoid_volume_mm3 (const TarnEllipsoid *ellipsoid);

/* Over the ball: +1 none of it in the structure; -1 all of it in *@tissue; 0 not known. */
int tarn_solid_side (const TarnSolid *solid, TarnVec3 p_mm, double radius_mm,
                     TarnTissue *tissue);
