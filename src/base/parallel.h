/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * parallel.h: a loop whose turns may run side by side.
 *
 * Floor: base.  The engine asks for a loop and never sees a thread.  A turn may write only
 * what belongs to its @index or to its @worker, so results cannot depend on thread counts. */
#pragma once

typedef void (*TarnTurn) (void *context, int index, int worker);

/* How to run a loop.  `workers` counts the distinct values of @worker that turns may see. */
typedef struct
{
  int workers; /* >= 1 */
  void (*run) (void *pool, int count, TarnTurn turn, void *context);
  void *pool;
} TarnParallel;

/* Runs @turn for 0 … @count - 1 and returns when all are done; in order when @parallel is
 * NULL or has one worker. */
void tarn_parallel_for (const TarnParallel *parallel, int count, TarnTurn turn, void *context);

/* 1 for NULL. */
int tarn_parallel_workers (const TarnParallel *parallel);

/* Threads (POSIX; only thread_pool.c knows). */
typedef struct TarnThreadPool TarnThreadPool;

#define TARN_THREADS_MAX 64

/* @threads: 1..TARN_THREADS_MAX, the caller's own included.  NULL if threads cannot be had. */
TarnThreadPool *tarn_thread_pool_new (int threads);
void tarn_thread_pool_free (TarnThreadPool *pool); /* NULL is allowed */
/* Valid as long as @pool; one loop at a time. */
const TarnParallel *tarn_thread_pool_parallel (const TarnThreadPool *pool);
