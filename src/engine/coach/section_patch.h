/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * section_patch.h: the dark patches of a plane; private to coach/. */
#pragma once

#include "engine/coach/section.h"

#define TARN_PATCHES_MAX 64

/* Dark places that hang together. */
typedef struct
{
  double area_mm2, moment_mm3;
  double u_mm, v_mm; /* centroid */
  TarnSectionHolds holds;
  double distance_mm; /* of the nearest of its places from where one looks */
  int name;           /* its places' in the view */
} TarnPatch;

/* All patches of @least_mm2 at least, nearest to (u, v) first.  Returns how many. */
int tarn_patches_find (TarnPlaneView *view, double u_mm, double v_mm, double least_mm2,
                       TarnPatch patch[TARN_PATCHES_MAX]);
/* Leaves of a patch what can be seen from its middle: an outline has one radius in each
 * direction, and what lies round a corner is not in it. */
void tarn_patch_trim (TarnPlaneView *view, TarnPatch *patch);
