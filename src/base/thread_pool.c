/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one file that knows threads.
 *
 * A loop is published under the lock as (turn, context, count) with a fresh generation; each
 * worker then takes indices from one atomic counter until none is left.  The caller works
 * too, as worker 0, and waits until every worker has reported the loop's end, so no turn is
 * running when tarn_parallel_for returns. */
#include "base/parallel.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>

typedef struct
{
  TarnThreadPool *pool;
  pthread_t thread;
  int worker;
} Worker;

struct TarnThreadPool
{
  TarnParallel parallel;
  pthread_mutex_t lock;
  pthread_cond_t start, end;
  unsigned generation; /* counts loops; a worker that sees it change begins */
  int busy;            /* workers that have not finished this loop */
  bool quit;
  int started; /* threads that run, the caller's not counted */
  TarnTurn turn;
  void *context;
  int count;
  atomic_int next;
  Worker workers[TARN_THREADS_MAX];
};

static void
take_turns (TarnThreadPool *pool, int worker)
{
  for (;;)
    {
      int index = atomic_fetch_add (&pool->next, 1);
      if (index >= pool->count)
        return;
      pool->turn (pool->context, index, worker);
    }
}

static void *
worker_main (void *data)
{
  Worker *self = data;
  TarnThreadPool *pool = self->pool;
  unsigned seen = 0;

  pthread_mutex_lock (&pool->lock);
  for (;;)
    {
      while (!pool->quit && pool->generation == seen)
        pthread_cond_wait (&pool->start, &pool->lock);
      if (pool->quit)
        break;
      seen = pool->generation;
      pthread_mutex_unlock (&pool->lock);
      take_turns (pool, self->worker);
      pthread_mutex_lock (&pool->lock);
      if (--pool->busy == 0)
        pthread_cond_signal (&pool->end);
    }
  pthread_mutex_unlock (&pool->lock);
  return NULL;
}

static void
pool_run (void *data, int count, TarnTurn turn, void *context)
{
  TarnThreadPool *pool = data;

  pthread_mutex_lock (&pool->lock);
  pool->turn = turn;
  pool->context = context;
  pool->count = count;
  atomic_store (&pool->next, 0);
  pool->busy = pool->started;
  pool->generation++;
  pthread_cond_broadcast (&pool->start);
  pthread_mutex_unlock (&pool->lock);

  take_turns (pool, 0);

  pthread_mutex_lock (&pool->lock);
  while (pool->busy > 0)
    pthread_cond_wait (&pool->end, &pool->lock);
  pthread_mutex_unlock (&pool->lock);
}

TarnThreadPool *
tarn_thread_pool_new (int threads)
{
  if (threads < 1 || threads > TARN_THREADS_MAX)
    return NULL;
  TarnThreadPool *pool = calloc (1, sizeof *pool);
  if (pool == NULL)
    return NULL;
  pthread_mutex_init (&pool->lock, NULL);
  pthread_cond_init (&pool->start, NULL);
  pthread_cond_init (&pool->end, NULL);
  for (int k = 1; k < threads; k++)
    {
      Worker *worker = &pool->workers[k];
      worker->pool = pool;
      worker->worker = k;
      if (pthread_create (&worker->thread, NULL, worker_main, worker) != 0)
        {
          tarn_thread_pool_free (pool);
          return NULL;
        }
      pool->started++;
    }
  pool->parallel = (TarnParallel){ .workers = threads, .run = pool_run, .pool = pool };
  return pool;
}

void
tarn_thread_pool_free (TarnThreadPool *pool)
{
  if (pool == NULL)
    return;
  pthread_mutex_lock (&pool->lock);
  pool->quit = true;
  pthread_cond_broadcast (&pool->start);
  pthread_mutex_unlock (&pool->lock);
  for (int k = 1; k <= pool->started; k++)
    pthread_join (pool->workers[k].thread, NULL);
  pthread_cond_destroy (&pool->end);
  pthread_cond_destroy (&pool->start);
  pthread_mutex_destroy (&pool->lock);
  free (pool);
}

const TarnParallel *
tarn_thread_pool_parallel (const TarnThreadPool *pool)
{
  return pool != NULL ? &pool->parallel : NULL;
}

int
tarn_parallel_workers (const TarnParallel *parallel)
{
  return parallel != NULL ? parallel->workers : 1;
}

void
tarn_parallel_for (const TarnParallel *parallel, int count, TarnTurn turn, void *context)
{
  if (parallel != NULL && parallel->workers > 1 && count > 1)
    {
      parallel->run (parallel->pool, count, turn, context);
      return;
    }
  for (int index = 0; index < count; index++)
    turn (context, index, 0);
}
