/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/threads.h"

#include <glib.h>

TarnThreadPool *
tarn_threads_open (int wanted)
{
  int threads = wanted > 0 ? wanted : (int)CLAMP (g_get_num_processors (), 1, TARN_THREADS_MAX);
  TarnThreadPool *pool = tarn_thread_pool_new (threads);
  if (pool == NULL)
    tarn_complain (TARN_EXIT_BAD_INPUT, "%d threads cannot be had", threads);
  return pool;
}
