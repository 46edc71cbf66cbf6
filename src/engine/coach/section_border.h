/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * section_border.h: the border of a section, from the places that it holds; private to coach/.
 */
#pragma once

#include "engine/coach/section.h"

/* The border about a place, a radius for each of its directions. */
typedef struct
{
  double u_mm, v_mm;
  double sum_mm[TARN_OUTLINE_POINTS]; /* of what falls into the direction */
  int count[TARN_OUTLINE_POINTS], unknown[TARN_OUTLINE_POINTS], edge[TARN_OUTLINE_POINTS];
  float radius_mm[TARN_OUTLINE_POINTS];
  uint8_t evidence[TARN_OUTLINE_POINTS];
} TarnSectionBorder;

/* Gathers the border of the patch called @name about @border's place. */
void tarn_section_collect (const TarnPlaneView *view, int name, TarnSectionBorder *border);
/* A radius for each direction; false when there is hardly any border. */
bool tarn_section_settle (TarnSectionBorder *border);
/* Gives what was not seen the shape that an outline would give it. */
void tarn_section_bridge (const TarnPlaneView *view, TarnSectionBorder *border);
/* Writes the points out and measures them; found is left false. */
void tarn_section_write (const TarnPlaneView *view, const TarnSectionBorder *border,
                         TarnOutline *section);
