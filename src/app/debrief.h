/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief.h: what is worked out about the reading that counts, once the truth may be known.
 *
 * Floor: app.  Made on the attempt's thread; immutable afterwards, reference-counted, any
 * thread.  Points into the attempt, which must outlive it. */
#pragma once

#include "engine/attempt/attempt.h"
#include "engine/coach/advice.h"
#include "engine/coach/aim.h"
#include "engine/verdict/border.h"
#include "engine/verdict/plane_loss.h"

#include <gio/gio.h>

typedef struct
{
  TarnPlaneLoss loss;
  TarnBorder border; /* in truth */
} TarnDebriefPlane;

typedef struct
{
  gatomicrefcount references;
  double turn_rad; /* of the reading's pose */

  /* Of a sweep. */
  int planes; /* 0: of calipers, or there is no reading */
  TarnDebriefPlane *plane;
  const TarnBody *body;
  TarnView view;
  gboolean has_aim, has_advice;
  TarnAimProfile aim;
  TarnAdvice advice;   /* of who knows the body */
  TarnAdvice by_image; /* of who saw the picture alone */

  /* Of calipers. */
  gboolean has_diameters;
  TarnDiameters diameters, true_diameters;
} TarnDebrief;

/**
 * Works it out; some hundred ms.
 *
 * @index: of the reading; -1: none.  @film: the gel as it was then; NULL: wet all over.
 * @cancellable: NULL: never.  What had no time is then left out.
 */
TarnDebrief *tarn_debrief_new (const TarnAttempt *attempt, int index, const TarnGelFilm *film,
                               const TarnParallel *parallel, GCancellable *cancellable);
TarnDebrief *tarn_debrief_ref (TarnDebrief *debrief);
void tarn_debrief_unref (TarnDebrief *debrief);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnDebrief, tarn_debrief_unref)

/* The causes that show in some plane, a bit for each. */
unsigned tarn_debrief_causes (const TarnDebrief *debrief);
