/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench.h: how benchmarks tell what they measured: CSV on standard output, with the name of
 * the processor, one row for each thing.  They never fail on time. */
#pragma once

#include <glib.h>

/* What the processor calls itself, "unknown" where the system does not tell. */
const char *bench_processor (void);

/* A clock that only goes forwards. */
double bench_now_ms (void);

/* The header: processor,what,unit,median,best,worst,bar. */
void bench_header (void);

/* One row.  @values: @count measurements, sorted in place.  @bar: what was promised, as text;
 * "" for none. */
void bench_row (const char *what, const char *unit, double *values, int count, const char *bar);
