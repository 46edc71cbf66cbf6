/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fates.h: the bladder in 3-D, its surface marked by what became of the urine behind it:
 * captured, or why not; and fluid beside it that can be taken for urine.
 *
 * Floor: engine.  No GL.  Frame: patient.  Each fate has a colour and a pattern of its own on
 * the surface: captured plain, edge 45° stripes, bone dark dots, gas light rings, contact short
 * dashes; a dark line runs where two meet.  Other fluid is grey, with waves.  Threads: one at a
 * time for each scene. */
#pragma once

#include "engine/coach/coverage.h"
#include "engine/scene/scene.h"

typedef enum
{
  TARN_FATE_CAPTURED,
  TARN_FATE_EDGE,
  TARN_FATE_BONE,
  TARN_FATE_GAS,
  TARN_FATE_CONTACT,
  TARN_FATES
} TarnFate;

/* The parts of the picture: those of the bladder, by fate, and the other fluid. */
#define TARN_FATES_OTHER_FLUID TARN_FATES
#define TARN_FATES_PARTS       (TARN_FATES + 1)

/* What to show: the sweep, at its nominal pose.  Where the surface shows several causes at
 * once, it is the first in the causes' order. */
typedef struct
{
  const TarnBody *body;
  TarnView view;   /* tarn_view_of_sweep () */
  unsigned hidden; /* parts left out, a bit each: to look behind them */
  bool skin, bones, fan;
} TarnFatesView;

typedef struct TarnFatesScene TarnFatesScene;
TarnFatesScene *tarn_fates_scene_new (void);        /* NULL when memory runs out */
void tarn_fates_scene_free (TarnFatesScene *scene); /* NULL is allowed */
/* About 50 ms for another body or view, 10 ms to show other parts of the same.  Up to 25,000
 * triangles.  Returns TARN_OK or TARN_NO_MEMORY, which leaves the mesh empty. */
TarnStatus tarn_fates_scene_update (TarnFatesScene *scene, const TarnFatesView *view);
/* Valid until the next update.  Its cameras look at the bladder; its skin has no places. */
TarnSceneMesh tarn_fates_scene_mesh (const TarnFatesScene *scene);
/* Urine of each fate, mL, together the true volume; hidden by several causes: shared among
 * them.  Last the other fluid, shown or not. */
void tarn_fates_scene_volumes (const TarnFatesScene *scene, double ml[TARN_FATES_PARTS]);
