/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scene.h: what to draw in 3-D, as plain triangles.
 *
 * Floor: engine.  No GL: who draws is not known here.  Frame: patient, +x left, +y back,
 * +z head, mm.  Threads: one at a time for each scene. */
#pragma once

#include "base/image.h"
#include "base/status.h"
#include "base/vec.h"
#include "engine/body/body.h"
#include "engine/contact/contact.h"
#include "engine/deform/deform.h"
#include "engine/scene/camera.h"

#include <stdbool.h>
#include <stdint.h>

typedef enum
{
  TARN_MATERIAL_SKIN,
  TARN_MATERIAL_LINEN, /* bed and sheet */
  TARN_MATERIAL_DRAPE,
  TARN_MATERIAL_MARKS, /* on the skin: scar, wound, navel's shade */
  TARN_MATERIAL_DRESSING,
  TARN_MATERIAL_TUBE, /* catheter */
  TARN_MATERIAL_PROBE,
  TARN_MATERIAL_RIDGE,   /* the probe's index mark */
  TARN_MATERIAL_BONE,    /* inside, as glass */
  TARN_MATERIAL_BLADDER, /* likewise */
  TARN_MATERIAL_FLUID,   /* beside it, in the debrief */
  TARN_MATERIAL_GEL,
  TARN_MATERIAL_SECTOR, /* the plane's own light, guided mode only */
  TARN_MATERIAL_FINGER, /* a fingertip that palpates */
  TARN_MATERIALS
} TarnMaterial;

/* Whether triangles of @material let through what is behind them: drawn with blending, without
 * covering what comes later. */
static inline bool
tarn_material_blends (TarnMaterial material)
{
  return material == TARN_MATERIAL_MARKS || material == TARN_MATERIAL_GEL
         || material == TARN_MATERIAL_FLUID || material == TARN_MATERIAL_SECTOR
         || material == TARN_MATERIAL_FINGER;
}

/* Whether it lies on another surface, so that it is drawn a hair nearer to the eye. */
static inline bool
tarn_material_lies_on (TarnMaterial material)
{
  return material == TARN_MATERIAL_MARKS || material == TARN_MATERIAL_GEL
         || material == TARN_MATERIAL_DRESSING || material == TARN_MATERIAL_FINGER;
}

/* Light within the body: seen whatever is before it of the parts drawn so far; both faces. */
static inline bool
tarn_material_shines_through (TarnMaterial material)
{
  return material == TARN_MATERIAL_SECTOR;
}

typedef struct
{
  float position_mm[3], normal[3];
  uint8_t colour[4]; /* sRGB and opacity, not multiplied */
  uint8_t shade;     /* of the key light that comes through: 255 all */
  uint8_t shine;     /* highlight: 0 none */
  uint8_t dim; /* how far it is lost in the dusk: 0 not, 255 as dark as what is behind all */
  uint8_t unused;
} TarnSceneVertex;

/* Triangles of one material: indices first … first + count - 1.  Parts come in the order in
 * which they are drawn; see tarn_material_blends () and tarn_material_shines_through (). */
typedef struct
{
  TarnMaterial material;
  int first, count;
} TarnScenePart;

#define TARN_SCENE_PARTS_MAX 24

/* A view on the scene's memory, valid until its next update. */
typedef struct
{
  int vertices, indices, parts;
  const TarnSceneVertex *vertex;
  const uint32_t *index; /* three for each triangle, counter-clockwise seen from outside */
  TarnScenePart part[TARN_SCENE_PARTS_MAX];
  int skin_vertices;            /* vertices 0 … skin_vertices - 1 are the skin's */
  const float (*skin_place)[2]; /* above and left of each of them, mm */
  bool glass;                   /* skin and drapes are glass: they blend too */
  bool has_probe;
  TarnVec3 probe_skin_mm, probe_outward;  /* the skin below the probe, as shown; unit */
  double probe_above_mm, probe_left_mm;   /* that place, within 3 mm */
  TarnCamera preset[TARN_CAMERA_PRESETS]; /* for this body */
} TarnSceneMesh;

/* What to show.  All pointers are only looked at during the call. */
typedef struct
{
  const TarnBody *body;
  const TarnContact *contact; /* NULL: the probe is put away */
  const TarnDeform *deform;   /* of that contact */
  bool on_skin;               /* else the probe hovers */
  const TarnGelFilm *film;    /* NULL: none */
  TarnImageGeometry geometry; /* of the plane's light */
  double fan_rad;
  TarnVec3 body_mm; /* the body moved by breath and unrest */
  double breath;    /* -1 … 1: the belly rises a little */
  bool uncovered;   /* the drape is folded down to show the skin */
  bool show_sector; /* guided mode only */
  bool show_inside; /* skin as glass, bones and bladder (guided mode, debrief) */
  bool finger;      /* a fingertip palpates */
  double finger_above_mm, finger_left_mm;
} TarnSceneView;

typedef struct TarnScene TarnScene;
TarnScene *tarn_scene_new (void);        /* NULL when memory runs out */
void tarn_scene_free (TarnScene *scene); /* NULL is allowed */

/* Makes the triangles, what depends on the body alone only when the body is another.
 * Returns TARN_OK or TARN_NO_MEMORY, which leaves the scene as it was. */
TarnStatus tarn_scene_update (TarnScene *scene, const TarnSceneView *view);
TarnSceneMesh tarn_scene_mesh (const TarnScene *scene);

/* The skin that a ray meets, as places of a pose.  Returns false where it meets none. */
bool tarn_scene_pick (const TarnScene *scene, TarnVec3 from_mm, TarnVec3 direction,
                      double *above_mm, double *left_mm);
/* The same for a mesh or a copy of one; triangles of @material, whose places are 0 but for the
 * skin's.  Safe from any thread. */
bool tarn_scene_pick_mesh (const TarnSceneMesh *mesh, TarnMaterial material, TarnVec3 from_mm,
                           TarnVec3 direction, double *above_mm, double *left_mm);
