/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * run_painter.h: from the state of an attempt to the frame that the window shows.  Private to
 * the run; the attempt's thread alone calls it.
 *
 * Floor: app. */
#pragma once

#include "app/run.h"

/* What the window looks at. */
typedef struct
{
  TarnRunPaper paper;
  unsigned scene; /* TARN_RUN_… */
} TarnRunView;

typedef struct TarnRunPainter TarnRunPainter;

TarnRunPainter *tarn_run_painter_new (bool plain);    /* NULL when memory runs out */
void tarn_run_painter_free (TarnRunPainter *painter); /* NULL is allowed */

/* A new frame of @attempt as it is now; what has not changed is shared with the one before. */
TarnRunFrame *tarn_run_painter_frame (TarnRunPainter *painter, const TarnAttempt *attempt,
                                      const TarnRunView *view);
