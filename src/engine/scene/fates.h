/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fates.h: the bladder in 3-D, its surface marked by what became of the urine behind it:
 * captured, or why not.
 *
 * Floor: engine.  No GL.  Frame: patient.  Each fate has a colour and a pattern of its own on
 * the surface: captured plain, edge 45° stripes, shadow dots, contact short dashes. */
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

/* What to show: the sweep, at its nominal pose. */
typedef struct
{
  const TarnBody *body;
  TarnView view;   /* tarn_view_of_sweep () */
  unsigned hidden; /* fates left out, a bit each: to look behind them */
  bool skin, bones, fan;
} TarnFatesView;

typedef struct TarnFatesScene TarnFatesScene;
TarnFatesScene *tarn_fates_scene_new (void);
void tarn_fates_scene_free (TarnFatesScene *scene);
/* About 50 ms at first.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_fates_scene_update (TarnFatesScene *scene, const TarnFatesView *view);
TarnSceneMesh tarn_fates_scene_mesh (const TarnFatesScene *scene);
/* Urine of each fate, mL; hidden by several causes: shared among them. */
void tarn_fates_scene_volumes (const TarnFatesScene *scene, double ml[TARN_FATES]);
