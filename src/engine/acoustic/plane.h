/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane.h: one simulated B-mode plane.
 *
 * Floor: engine.  Pure: no I/O, clock or globals; same input, same bytes, on any thread count
 * and with either kernel. */
#pragma once

#include "base/image.h"
#include "base/status.h"
#include "engine/acoustic/phantom.h"
#include "engine/body/body.h"
#include "engine/contact/contact.h"
#include "engine/deform/deform.h"

/* A dry element hears its own face: bands this far apart.  The instrument knows its face. */
#define TARN_DRY_BAND_MM 2.3

/* Causes of error, and which of them to leave out of a picture.  The order is that of the
 * ledger (verdict/). */
enum
{
  TARN_WITHOUT_BONE = 1 << 0,   /* bone is taken for soft tissue */
  TARN_WITHOUT_GAS = 1 << 1,    /* gas likewise */
  TARN_WITHOUT_DRY = 1 << 2,    /* every element of the face is wet */
  TARN_WITHOUT_OTHERS = 1 << 3, /* no fluid but urine, nothing inside the lumen */
};

/* Where one plane lies: lines fan out from centre_mm in the plane of axis and lateral. */
typedef struct
{
  TarnVec3 centre_mm;
  TarnVec3 axis, lateral; /* unit, orthogonal; lateral to the image's right */
  double fan_rad;         /* the plane's angle in the sweep: its row on the face */
} TarnPlaneFrame;

/* The plane of a sweep at @fan_rad: turned about the Pappus axis, the line through the face's
 * centre parallel to the plane's width; positive towards the contact's elevation. */
TarnPlaneFrame tarn_plane_frame (const TarnContact *contact, double fan_rad);

/* The field of the patient's probe.  @depth_mm: 0 for the probe's own. */
TarnImageGeometry tarn_plane_geometry (const TarnProbe *probe, double depth_mm);
/* The same pitch, widened to at least ±@half_sector_rad and @depth_mm; @offset_lines: out, how
 * many lines the narrower field starts from the wider one's first. */
TarnImageGeometry tarn_plane_geometry_widened (const TarnImageGeometry *geometry,
                                               double half_sector_rad, double depth_mm,
                                               int *offset_lines);

typedef struct
{
  const TarnBody *body;
  const TarnDeform *deform;
  const TarnContact *contact;
  TarnPlaneFrame frame;
  TarnImageGeometry geometry;
  double gain_db;  /* [-40, 40], 0 by default */
  double range_db; /* [30, 90], 60 by default */
  uint64_t noise_seed;
  const TarnPhantom *phantom; /* NULL for a patient; else stands in the body's place */
} TarnPlaneSetup;

/* Scratch memory and tables for one thread; reusable for any setup. */
typedef struct TarnPlaneWork TarnPlaneWork;
/* @plain: never use the AVX2 kernel.  NULL when memory runs out. */
TarnPlaneWork *tarn_plane_work_new (bool plain);
void tarn_plane_work_free (TarnPlaneWork *work); /* NULL is allowed */
bool tarn_plane_work_is_plain (const TarnPlaneWork *work);

/**
 * The first half: the scatterers' echoes, summed on the grid in @work, and the march along
 * every line.
 *
 * @without: what tarn_plane_finish () may be told to leave out later: without _BONE or _GAS
 *   here, what they hide is not simulated.  _OTHERS is carried out here.
 */
TarnStatus tarn_plane_gather (TarnPlaneWork *work, const TarnPlaneSetup *setup,
                              unsigned without);

/* What acts in the plane last gathered: of TARN_WITHOUT_BONE, _GAS, _DRY, _OTHERS, those
 * whose removal can change the picture. */
unsigned tarn_plane_acting (const TarnPlaneWork *work);

/**
 * The second half: attenuation, transmission, shadows, beams, noise, display.  May be called
 * several times after one gather, with different causes left out.
 *
 * @grey: out, geometry.lines x geometry.samples.
 */
TarnStatus tarn_plane_finish (TarnPlaneWork *work, const TarnPlaneSetup *setup,
                              unsigned without, uint8_t *grey);

/* Both halves.  @echo_db: out, may be NULL; the echo before display, dB re the mean echo
 * intensity of generic tissue at the face, after depth gain; same layout as @grey. */
TarnStatus tarn_plane_simulate (TarnPlaneWork *work, const TarnPlaneSetup *setup,
                                unsigned without, uint8_t *grey, float *echo_db);
