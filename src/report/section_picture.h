/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * section_picture.h: straight cuts through a body at rest, coloured by what is there.
 *
 * Floor: report.  Frame: patient, mm; paper: pixels, y down. */
#pragma once

#include "engine/body/body.h"

#include <cairo.h>

typedef enum
{
  TARN_SECTION_SAGITTAL,   /* the head at the left, the front on top */
  TARN_SECTION_TRANSVERSE, /* the patient's right at the left, the front on top */
  TARN_SECTION_CORONAL,    /* the patient's right at the left, the head on top */
  TARN_SECTIONS
} TarnSectionKind;

typedef struct
{
  TarnSectionKind kind;
  TarnVec3 middle_mm; /* at the middle of the paper; the cut goes through it */
  int width, height;  /* of the paper */
  double px_per_mm;
} TarnSection;

/* The paper's directions in the patient: unit. */
void tarn_section_axes (TarnSectionKind kind, TarnVec3 *right, TarnVec3 *down);
TarnVec3 tarn_section_point (const TarnSection *section, double x, double y);
/* Where a point lies, seen straight onto the cut. */
void tarn_section_place (const TarnSection *section, TarnVec3 point_mm, double *x, double *y);

/* The cut through an ellipsoid: its middle and two half axes on the paper, px. */
typedef struct
{
  double x, y;
  double major_x, major_y, minor_x, minor_y;
} TarnSectionEllipse;
/* Returns false, and leaves @ellipse alone, where the cut misses @structure. */
bool tarn_section_ellipse (const TarnSection *section, const TarnStructure *structure,
                           TarnSectionEllipse *ellipse);

/* Paints the whole of @paper, an RGB24 image of the section's size.  Threads: safe. */
void tarn_section_paint (cairo_surface_t *paper, const TarnSection *section,
                         const TarnBody *body);
