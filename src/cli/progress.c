/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/progress.h"

#include <glib.h>
#include <stdio.h>
#include <unistd.h>

#define PATIENCE_US (1 * G_USEC_PER_SEC)
#define REFRESH_US  (G_USEC_PER_SEC / 4)

struct TarnProgress
{
  const char *what;
  int total;
  gint done;       /* atomic */
  GThread *thread; /* NULL: nobody would see it */
  GMutex lock;
  GCond changed;
  gboolean over;
};

static void *
watch (void *data)
{
  TarnProgress *progress = data;
  gint64 start_us = g_get_monotonic_time (), next_us = start_us + PATIENCE_US;
  gboolean shown = FALSE;

  g_mutex_lock (&progress->lock);
  while (!progress->over)
    {
      if (g_cond_wait_until (&progress->changed, &progress->lock, next_us))
        continue;
      fprintf (stderr, "\r%s: %d of %d, %.0f s", progress->what,
               g_atomic_int_get (&progress->done), progress->total,
               (double)(next_us - start_us) / G_USEC_PER_SEC);
      fflush (stderr);
      shown = TRUE;
      next_us += REFRESH_US;
    }
  g_mutex_unlock (&progress->lock);

  /* Blanks rather than a terminal's own command: every terminal knows them. */
  if (shown)
    fprintf (stderr, "\r%60s\r", "");
  return NULL;
}

TarnProgress *
tarn_progress_start (const char *what, int total)
{
  TarnProgress *progress = g_new0 (TarnProgress, 1);
  progress->what = what;
  progress->total = total;
  g_mutex_init (&progress->lock);
  g_cond_init (&progress->changed);
  if (total > 0 && isatty (STDERR_FILENO))
    progress->thread = g_thread_try_new ("progress", watch, progress, NULL);
  return progress;
}

void
tarn_progress_step (TarnProgress *progress)
{
  g_atomic_int_inc (&progress->done);
}

void
tarn_progress_stop (TarnProgress *progress)
{
  g_mutex_lock (&progress->lock);
  progress->over = TRUE;
  g_cond_signal (&progress->changed);
  g_mutex_unlock (&progress->lock);
  if (progress->thread != NULL)
    g_thread_join (progress->thread);
  g_mutex_clear (&progress->lock);
  g_cond_clear (&progress->changed);
  g_free (progress);
}
