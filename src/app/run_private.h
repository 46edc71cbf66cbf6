/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * run_private.h: the run, shared by its own files alone: run.c (the thread and its frames),
 * run_truth.c (what is worked out on it once the attempt is over), run_inputs.c.
 *
 * Floor: app. */
#pragma once

#include "app/run_coach.h"
#include "app/run_painter.h"

struct _TarnRun
{
  GObject parent;

  /* Set before the thread starts, constant afterwards. */
  TarnAttemptSetup setup;
  TarnThreadPool *pool;
  GThread *thread;
  const TarnPatient *patient; /* the attempt's */
  GArray *past;               /* of TarnInput, to pass again first; NULL: nothing */

  /* The thread's own. */
  TarnAttempt *attempt;
  TarnRunPainter *painter;
  TarnBedside last;    /* as of the frame before, for events */
  TarnRunCoach *coach; /* NULL until advice is wanted */
  GPtrArray *films;    /* of TarnGelFilm: the gel when each reading was made */

  /* Under the lock. */
  GMutex lock;
  GCond wake, rested;
  GArray *inputs; /* of TarnInput, waiting */
  int ticks;      /* waiting */
  gboolean look;  /* what is looked at has changed: paint anew */
  gboolean busy, stopping;
  TarnRunView view;
  TarnRunFrame *newest;
  GArray *readings; /* of TarnRunReading */
  GArray *log;      /* of TarnInput */
  GQueue works;     /* of what is to be done on the thread beside */

  /* The main thread's own. */
  TarnTruth truth;
  gint64 time_us; /* of the last advance; 0: none */
  double carry;   /* part of a tick */
};

/* Work on the attempt's thread, which alone may touch @attempt; returns what it makes through
 * @task. */
typedef void (*TarnRunWork) (TarnRun *run, TarnAttempt *attempt, GTask *task);

/* Hands @task over to the thread, which does works in order.  Returns FALSE, and takes nothing,
 * when the same work waits already. */
gboolean tarn_run_work (TarnRun *self, GTask *task, TarnRunWork work);
