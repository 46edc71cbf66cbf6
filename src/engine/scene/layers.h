/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * layers.h: the pieces that a scene is made of.  Private to scene/.
 *
 * Each adds its vertices, triangles and parts to a store.  How many: see budget in scene.c. */
#pragma once

#include "engine/scene/chart.h"
#include "engine/scene/store.h"

#define TARN_SKIN_ROWS    50
#define TARN_SKIN_COLUMNS 44

/* Skin. */

/* Paint of bare skin of a complexion 1 … 6 at a place, with its slight unevenness. */
TarnPaint tarn_skin_paint (int complexion, TarnVec3 p_mm);
/* The skin that shows, @sunk_mm deeper where cloth must cover it, finer about @above_mm,
 * @left_mm where @fine; @place: out, above and left of each vertex. */
void tarn_skin_add (TarnStore *store, const TarnSkinChart *chart, bool fine, double above_mm,
                    double left_mm, double sunk_mm, float (*place)[2]);

/* Cloth, at rest: the drapes follow the body, the bed does not. */
void tarn_drapes_add (TarnStore *store, const TarnSkinChart *chart, bool uncovered);
void tarn_bed_add (TarnStore *store, const TarnSkinChart *chart);

/* What the situation put on the skin, at rest. */
void tarn_marks_add (TarnStore *store, const TarnSkinChart *chart, const TarnPatient *patient);
/* A catheter's tube across the sheet; it does not move with the body. */
void tarn_tube_add (TarnStore *store, const TarnSkinChart *chart, const TarnPatient *patient);

/* Bones and bladder at rest.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_inside_add (TarnStore *store, const TarnBody *body);

/* Gel as thick as the film, at rest.  @across: lines of its grid each way, at most
 * TARN_GEL_ACROSS. */
#define TARN_GEL_ACROSS       33
#define TARN_GEL_ACROSS_GLASS 15 /* where there is much else to draw */
void tarn_gel_add (TarnStore *store, const TarnSkinChart *chart, const TarnGelFilm *film,
                   int across);

/* The probe with its face at the contact's, moved by @shift_mm. */
#define TARN_PROBE_LENGTH_MM 134.0
void tarn_probe_add (TarnStore *store, const TarnContact *contact, TarnVec3 shift_mm);
/* A fingertip's disc on the skin. */
void tarn_finger_add (TarnStore *store, TarnVec3 p_mm, TarnVec3 outward);
/* The plane's light. */
void tarn_sector_add (TarnStore *store, const TarnContact *contact,
                      const TarnImageGeometry *geometry, double fan_rad, TarnVec3 shift_mm);
