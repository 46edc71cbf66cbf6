/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * threads.h: how many threads a command may use.
 *
 * Floor: cli. */
#pragma once

#include "base/parallel.h"
#include "cli/options.h"

/* The option, for a command whose `Settings` have an int `threads`, 0 by default. */
#define TARN_OPTION_THREADS                                                                    \
  {                                                                                            \
    .name = "threads", .metavar = "N", .kind = TARN_OPTION_INTEGER,                            \
    .offset = offsetof (Settings, threads), .low = 1, .high = TARN_THREADS_MAX,                \
    .help = "Threads; the result does not depend on it", .fallback = "one for each processor"  \
  }

/* @wanted: 0 for one for each processor.  tarn_thread_pool_free () it; NULL when they cannot be
 * had, which is told on standard error. */
TarnThreadPool *tarn_threads_open (int wanted);
