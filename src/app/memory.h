/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * memory.h: gives what is no longer needed back to the system.
 *
 * Floor: app.  Knows the C library by name; elsewhere nothing happens. */
#pragma once

/* Once, at the start: a program of few threads needs few pools. */
void tarn_memory_begin (void);
/* After something large is gone, as an attempt with its planes. */
void tarn_memory_settle (void);
