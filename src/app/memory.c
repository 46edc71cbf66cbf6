/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * glibc keeps a pool for each thread and what was freed in it; the planes of an attempt's
 * sweeps would stay there for the next attempt's, and more besides. */
#include "app/memory.h"

#include <stdlib.h>

#ifdef __GLIBC__
#include <malloc.h>

#define POOLS 2

void
tarn_memory_begin (void)
{
  (void)mallopt (M_ARENA_MAX, POOLS);
}

void
tarn_memory_settle (void)
{
  (void)malloc_trim (0);
}

#else

void
tarn_memory_begin (void)
{
}

void
tarn_memory_settle (void)
{
}

#endif
