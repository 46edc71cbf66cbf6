/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * wait.h: lets a program's main loop run until something has come about.
 *
 * Asleep between events, so that the threads that are waited for, and whatever else runs on the
 * machine, have the processor.  A test that holds never waits for long; the patience is for
 * loaded machines, and for instrumented code, which the quick run is for. */
#pragma once

#include <glib.h>

#define WAIT_TICK_MS 10

static inline gint64
wait_end_us (void)
{
  int patience_s = g_getenv ("TARN_TEST_QUICK") != NULL ? 600 : 100;
  return g_get_monotonic_time () + patience_s * G_USEC_PER_SEC;
}

static inline gboolean
wait_tick (gpointer data)
{
  (void)data;
  return G_SOURCE_CONTINUE;
}

#define WAIT(until)                                                                            \
  G_STMT_START                                                                                 \
  {                                                                                            \
    gint64 end_us = wait_end_us ();                                                            \
    guint tick = g_timeout_add (WAIT_TICK_MS, wait_tick, NULL);                                \
    while (!(until) && g_get_monotonic_time () < end_us)                                       \
      g_main_context_iteration (NULL, TRUE);                                                   \
    g_source_remove (tick);                                                                    \
    g_assert_true (until);                                                                     \
  }                                                                                            \
  G_STMT_END
