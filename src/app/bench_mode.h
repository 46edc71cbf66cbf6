/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench_mode.h: measures the frames of a running window.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/window.h"

/* Begins an attempt in @window, moves the probe for some seconds as a hand would, writes a
 * table of frame times to @path (CSV) and closes the window.  What goes wrong is said on
 * stderr. */
void tarn_bench_mode_start (TarnWindow *window, const char *path);
