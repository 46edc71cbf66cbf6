/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * region.h: a body as a list of regions, of which the first that holds a point wins.
 *
 * Floor: engine.  Internal to body/.
 *
 * Order: air, scars (which lie in skin and fat only), skin, bones, what lies in the lumen,
 * lumen, diverticula, wall, haematomas, the back's muscle (which goes to the skin), fat,
 * muscle, all other structures, the gap's fat; soft tissue where nothing else is.  So
 * structures of the belly end at the muscles, bone is never displaced, and a haematoma may lie
 * anywhere. */
#pragma once

#include "base/mesh.h"
#include "engine/body/body.h"
#include "engine/body/lumen.h"
#include "engine/body/skeleton.h"
#include "engine/body/solid.h"
#include "engine/body/torso.h"

#define TARN_REGIONS_MAX 32

typedef enum
{
  TARN_REGION_LAYER, /* outside a border: index is a TarnLayer */
  TARN_REGION_SCAR,  /* a structure, in skin and fat only */
  TARN_REGION_SYMPHYSIS,
  TARN_REGION_RAMI,
  TARN_REGION_SPINE,
  TARN_REGION_LUMEN,
  TARN_REGION_WALL,
  TARN_REGION_SOLID, /* index of a structure */
  TARN_REGION_BACK,  /* the muscle beside and behind the spine */
} TarnRegionKind;

typedef struct
{
  TarnRegionKind kind;
  int index;
  TarnTissue tissue; /* but for structures, which know their own */
} TarnRegion;

struct TarnBody
{
  TarnPatient patient;
  double lift;
  TarnTorso torso;
  TarnBones bones;
  TarnBox front_bones, back_bones; /* around symphysis and rami; around sacrum and spine */
  double back_mm; /* y of the back's muscle on the midline; it comes forward to the sides */
  TarnLumen lumen;
  int solids;
  TarnSolid solid[TARN_STRUCTURES_MAX];
  int regions;
  TarnRegion region[TARN_REGIONS_MAX];
  uint32_t wall_bit; /* of the wall's region */
  TarnCells cells;
  TarnCell *cell;   /* what cells.cell shows */
  TarnFacet *facet; /* likewise */
  TarnMesh lumen_mesh, wall_mesh;
  double true_volume_ml, displaced_ml;
  TarnVec3 lumen_centre_mm, lumen_size_mm;
};

/* Lists the regions, once all surfaces have their places. */
void tarn_region_list (TarnBody *body);

/* TARN_TISSUES where the region does not hold the point. */
TarnTissue tarn_region_tissue (const TarnBody *body, const TarnRegion *region, TarnVec3 p_mm);

/* Over a block: -1 all of it lies in the region, as *@tissue; +1 none of it; 0 not known. */
int tarn_region_side (const TarnBody *body, const TarnRegion *region, const TarnBox *box,
                      TarnTissue *tissue);

/* The region's surfaces: signed distance to the nearest, to first order, and its outward unit
 * normal.  A region has one or two; returns how many. */
int tarn_region_surfaces (const TarnBody *body, const TarnRegion *region, TarnVec3 p_mm,
                          double distance_mm[2], TarnVec3 normal[2]);
