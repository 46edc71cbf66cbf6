/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * picture.h: planes as pictures, for paper, screen and file alike.
 *
 * Floor: report; draws plain structs with cairo and knows nothing of files or widgets.
 * Lengths of the drawing are in the cairo context's user units, one to a device pixel. */
#pragma once

#include "base/image.h"
#include "base/status.h"
#include "engine/outline/outline.h"
#include "report/sector.h"

#include <cairo.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct
{
  TarnImage image;
  const TarnOutline *outline; /* drawn by its evidence; NULL: none */
  double turn_rad;            /* of the pose: 0 transverse, π/2 sagittal */
} TarnPlanePicture;

/* One plane with its depth scale, index mark and caption. */
#define TARN_PLANE_PICTURE_WIDTH  960
#define TARN_PLANE_PICTURE_HEIGHT 732
void tarn_picture_draw_plane (cairo_t *cr, double width, double height,
                              const TarnPlanePicture *plane);

/* What stands around a sector, for a view that paints the sector itself.  Zeroed: as in a
 * plane's picture, without the line about training. */
typedef struct
{
  double turn_rad;     /* of the pose */
  double text_size;    /* 0 or 1: that of a picture; 1.5: half as large again */
  const char *caption; /* one line; NULL: orientation and depth, in English; "": none */
  bool millimetres;    /* numbers beside the depth scale; else cm */
  bool safety;         /* "Training only, synthetic anatomy" at the caption's right */
} TarnSurroundings;

/* Where the sector lies on a paper of this size.  @around: NULL for zeroed. */
TarnSectorPlace tarn_picture_plane_place (const TarnImageGeometry *geometry, double width,
                                          double height, const TarnSurroundings *around);

/* Depth scale, index mark and caption; the ground is left alone.  @place: as
 * tarn_picture_plane_place () gave it. */
void tarn_picture_draw_surroundings (cairo_t *cr, double width, double height,
                                     const TarnImageGeometry *geometry,
                                     const TarnSectorPlace *place,
                                     const TarnSurroundings *around);

/* A finished sweep: small planes in rows, from one end of the fan to the other, each with its
 * angle; below them how the probe stood and what the kinds of line mean.  @angle_deg: one a
 * plane. */
typedef struct
{
  int planes;                    /* >= 1 */
  const TarnPlanePicture *plane; /* all of one geometry */
  const double *angle_deg;
  const char *title; /* one line; NULL: none */
} TarnSheetPicture;

/* The size that shows every plane of the sheet at 240 wide. */
void tarn_picture_sheet_size (int planes, int *width, int *height);
void tarn_picture_draw_sheet (cairo_t *cr, double width, double height,
                              const TarnSheetPicture *sheet);

/* "Transverse", "Sagittal" or "Oblique", and where the index mark points.
 * @text: out, at least 64 bytes. */
void tarn_picture_orientation (double turn_rad, char *text, size_t size);

/* Which way planes of negative angles lean: "the feet" when the probe stands transverse with
 * its mark to the patient's right.  @text: out, at least 64 bytes. */
void tarn_picture_lean (double turn_rad, char *text, size_t size);

/* Either kind of picture as a PNG file in memory.  @png: out, free () it.
 * Returns TARN_OK or TARN_NO_MEMORY, and then leaves @png and @size alone. */
TarnStatus tarn_picture_plane_png (const TarnPlanePicture *plane, uint8_t **png, size_t *size);
TarnStatus tarn_picture_sheet_png (const TarnSheetPicture *sheet, uint8_t **png, size_t *size);
