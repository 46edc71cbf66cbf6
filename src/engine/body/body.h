/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body.h: the body that a patient file describes, at rest.
 *
 * Floor: engine.  Pure: no I/O, clock or globals; same patient, same body.
 * Frame: patient, +x left, +y back, +z head; mm; origin on the midline at the upper front edge
 * of the symphysis, unpressed.  These are *material* coordinates: pressing moves points
 * (deform/), what a point is made of stays.
 * A TarnBody is const once built and may be read from any thread. */
#pragma once

#include "base/mesh.h"
#include "base/status.h"
#include "base/vec.h"
#include "engine/body/bones.h"
#include "engine/body/tissue.h"
#include "engine/patient/patient.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct TarnBody TarnBody;

/* clang-format off */
/* What each kind of structure is to the bladder and to the truth:
 *
 *   kind           is           against the bladder                          in the truth
 *   diverticulum   urine        joined to the lumen by a neck                counts
 *   balloon        water        in the lumen; makes it bulge at the wall     displaces urine
 *   clot, stone    solid        wholly in the lumen                          displaces urine
 *   uterus         solid        dents it                                     no part
 *   gravid-uterus  other fluid  dents it; its wall is solid                  no part
 *   prostate       solid        dents it; a lobe may have its middle within  no part
 *   haematoma      other fluid  dents it                                     no part
 *   cyst           other fluid  dents it; its wall is thin                   no part
 *   ascites        other fluid  flows around it                              no part
 *   bowel, gas     solid, gas   float aside, never down, by 30 mm at most    no part
 *   scar           solid        keeps off, in skin and fat                   no part
 *
 * volume-ml is what the lumen holds, dented or not, with what displaces urine in it.  Dents leave
 * the bladder at least half the room that it then takes alone.  What would take more is refused,
 * as is one that would cut the lumen in two, has its middle within it (but for the prostate), in
 * a bone, or outside the skin. */
/* clang-format on */

/**
 * Builds the body: surfaces, placement of the bladder, volumes, cell table.
 *
 * @lift: [0, 1], how much of the pannus a free hand holds away; part of the body because it
 *   changes the layers.
 * @body: out; tarn_body_free () it.
 * @problem: out, may be NULL; names the structure or field at fault.
 *
 * Returns TARN_OK, TARN_OUT_OF_RANGE, TARN_IMPOSSIBLE (a structure cannot be where it is,
 * the bladder does not fit) or TARN_NO_MEMORY.
 */
TarnStatus tarn_body_new (const TarnPatient *patient, double lift, TarnBody **body,
                          TarnProblem *problem);
void tarn_body_free (TarnBody *body); /* NULL is allowed */

const TarnPatient *tarn_body_patient (const TarnBody *body); /* the body's own copy */
double tarn_body_lift (const TarnBody *body);
const TarnBones *tarn_body_bones (const TarnBody *body);

/* The skin above the origin, and the place on it that a pose means.  @above_mm, @left_mm: arc
 * lengths along the skin from the point in front of the origin, towards the head, then to the
 * patient's left.  @inward: unit, smoothed over a face of 12 mm half-width.
 * Returns false, and leaves the rest alone, where there is no torso. */
bool tarn_body_skin_at (const TarnBody *body, double above_mm, double left_mm,
                        TarnVec3 *point_mm, TarnVec3 *inward);

/* Signed, negative inside the body. */
double tarn_body_skin_distance_mm (const TarnBody *body, TarnVec3 p_mm);

/* The layers met by a ray from the skin, for contact and palpation: thicknesses along it. */
typedef struct
{
  double skin_mm, fat_mm, muscle_mm;
  double soft_mm;  /* all else up to bone or to reach_mm: bladder, gap, viscera */
  double fluid_mm; /* how much of soft_mm is fluid */
  double bone_mm;  /* from the skin to the first bone; INFINITY when none within reach */
  double crease;   /* [0, 1]: 1 in the depth of a skin crease, which traps air */
} TarnColumn;
void tarn_body_column (const TarnBody *body, TarnVec3 from_mm, TarnVec3 direction,
                       double reach_mm, TarnColumn *column);

/* What the point is made of: the truth, exact.  Fast enough for hot loops (tens of ns). */
TarnTissue tarn_body_tissue (const TarnBody *body, TarnVec3 p_mm);

/* The accelerator: cells of TARN_CELL_MM on a side.  A cell is of one tissue throughout, or
 * mixed, and then only the surfaces in `candidates` can matter in it. */
#define TARN_CELL_MM    4.0
#define TARN_CELL_MIXED 0xff
typedef struct
{
  uint8_t tissue;     /* TarnTissue, or TARN_CELL_MIXED */
  uint8_t background; /* for a mixed cell: the tissue where no candidate holds */
  uint8_t facets;     /* how many; 0 in a mixed cell: ask tarn_body_tissue_in_cell () */
  uint32_t candidates;
  uint32_t first_facet;
} TarnCell;

/* A border within a mixed cell, taken as flat: with q = p − the cell's middle, the first facet
 * of the cell for which normal·q + offset_mm < 0 gives the tissue, else the background does.
 * Within 0.3 mm of the exact border, 0.6 mm at thin bones. */
#define TARN_FACETS_MAX 8
typedef struct
{
  float normal[3]; /* unit */
  float offset_mm;
  uint8_t tissue;
} TarnFacet;
typedef struct
{
  TarnVec3 corner_mm;            /* of cell 0,0,0 */
  int cells_x, cells_y, cells_z; /* each even */
  const TarnCell *cell;          /* [z][y][x] */
  const TarnFacet *facet;        /* of all cells: from first_facet on */
} TarnCells;
/* Points outside the grid are TARN_TISSUE_AIR, or soft tissue where the torso goes on. */
const TarnCells *tarn_body_cells (const TarnBody *body);
/* As tarn_body_tissue (), for a point in a mixed cell. */
TarnTissue tarn_body_tissue_in_cell (const TarnBody *body, const TarnCell *cell, TarnVec3 p_mm);

/* Outward unit normal of the tissue surface nearest to @p_mm (any surface between two
 * tissues); @distance_mm: out, signed, may be NULL. */
TarnVec3 tarn_body_normal (const TarnBody *body, TarnVec3 p_mm, double *distance_mm);

/* The bladder. */
const TarnMesh *tarn_body_lumen_mesh (const TarnBody *body); /* closed; volume within 0.1 % */
double tarn_body_lumen_distance_mm (const TarnBody *body, TarnVec3 p_mm); /* signed */
/* The same for the lumen and the diverticula that count, with their necks, as one body; to
 * first order, exact on the surface. */
double tarn_body_urine_distance_mm (const TarnBody *body, TarnVec3 p_mm);
/* A box around all of that urine. */
void tarn_body_urine_box (const TarnBody *body, TarnVec3 *low_mm, TarnVec3 *high_mm);
/* What a perfect measurement would say: the urine, diverticula that count included, what
 * displaces urine left out. */
double tarn_body_true_volume_ml (const TarnBody *body);
/* The urine that balloon, clot and stone displace: without them the truth would be so much
 * more. */
double tarn_body_displaced_ml (const TarnBody *body);
/* The lumen's own extent, as calipers would take it: head-foot, left-right, front-back. */
void tarn_body_lumen_diameters_mm (const TarnBody *body, double *length, double *width,
                                   double *height);
TarnVec3 tarn_body_lumen_centre_mm (const TarnBody *body);

/* One closed mesh per part for printing and drawing: skin, symphysis, each bone, wall, lumen,
 * each structure.  Returns the number of parts; @name and @mesh describe part @index. */
int tarn_body_parts (const TarnBody *body);
TarnStatus tarn_body_part (const TarnBody *body, int index, const char **name, TarnMesh *mesh);
