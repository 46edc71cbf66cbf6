/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * newest.h: a thread that always works on the newest wish, and whoever looks sees the newest
 * result: how a view follows a hand that does not wait.
 *
 * Floor: app.  Of several wishes that come while it works only the last counts; of several
 * results that come before the main thread looks, likewise. */
#pragma once

#include <glib.h>

typedef struct TarnNewest TarnNewest;

/* What one such thread does.  Must stay; all but name, work, wish_free, result_ref and
 * result_unref may be NULL. */
typedef struct
{
  const char *name;             /* of the thread */
  gboolean steps_back;          /* with a lower priority than what the hand waits for */
  gboolean only_fresh;          /* no result of a wish that another has overtaken */
  gpointer (*bench_new) (void); /* what the thread keeps from wish to wish */
  void (*bench_free) (gpointer bench);
  /* On the thread; tells results with tarn_newest_tell (). */
  void (*work) (TarnNewest *newest, gpointer bench, gconstpointer wish);
  void (*wish_free) (gpointer wish);
  gpointer (*result_ref) (gpointer result); /* any thread */
  void (*result_unref) (gpointer result);
} TarnNewestWork;

/* ---- The main thread's side ---- */

/* @done: called on the main thread when there is a new result. */
TarnNewest *tarn_newest_new (const TarnNewestWork *work, GSourceFunc done, gpointer data);
/* Waits for what is under way.  NULL is allowed. */
void tarn_newest_free (TarnNewest *newest);
/* @wish: taken over.  @calm_us: how long no other may come before it is begun. */
void tarn_newest_wish (TarnNewest *newest, gpointer wish, gint64 calm_us);
/* Nothing is wanted any more; the newest result stays. */
void tarn_newest_rest (TarnNewest *newest);
/* A new reference, NULL before the first. */
gpointer tarn_newest_result (TarnNewest *newest);

/* ---- The thread's side ---- */

/* @result: a reference, taken over. */
void tarn_newest_tell (TarnNewest *newest, gpointer result);
/* What is under way is not wanted any more. */
gboolean tarn_newest_overtaken (TarnNewest *newest);
