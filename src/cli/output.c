/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/output.h"

#include <errno.h>
#include <fcntl.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

TarnExit
tarn_output_text (const char *text)
{
  if (fputs (text, stdout) == EOF || fflush (stdout) != 0)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "standard output: %s", g_strerror (errno));
  return TARN_EXIT_DONE;
}

/* False with errno set when not every byte could be written. */
static bool
write_all (int fd, const char *data, size_t size)
{
  while (size > 0)
    {
      ssize_t written = write (fd, data, size);
      if (written < 0 && errno == EINTR)
        continue;
      if (written < 0)
        return false;
      data += written;
      size -= (size_t)written;
    }
  return true;
}

/* Closes @fd whatever happened; errno tells of the first failure. */
static bool
write_and_close (int fd, const char *data, size_t size, bool to_disk)
{
  bool done = write_all (fd, data, size) && (!to_disk || fsync (fd) == 0);
  int problem = errno;
  if (close (fd) != 0 && done)
    return false;
  errno = problem;
  return done;
}

static bool
write_in_place (const char *path, const char *data, size_t size)
{
  int fd = g_open (path, O_WRONLY | O_CLOEXEC, 0);
  return fd >= 0 && write_and_close (fd, data, size, false);
}

static bool
write_beside (const char *path, const char *data, size_t size)
{
  char *beside = g_strconcat (path, ".XXXXXX", NULL);
  int fd = g_mkstemp_full (beside, O_WRONLY | O_CLOEXEC, 0666);
  bool done = fd >= 0 && write_and_close (fd, data, size, true) && g_rename (beside, path) == 0;
  int problem = errno;
  if (!done && fd >= 0)
    g_unlink (beside);
  g_free (beside);
  errno = problem;
  return done;
}

TarnExit
tarn_output_file (const char *path, const void *data, size_t size)
{
  GStatBuf there;
  bool exists = g_stat (path, &there) == 0;
  bool done;
  if (exists && !S_ISREG (there.st_mode))
    done = write_in_place (path, data, size);
  else
    {
      /* A link stays a link: what it points to is replaced. */
      char *target = exists ? realpath (path, NULL) : NULL;
      done = write_beside (target != NULL ? target : path, data, size);
      free (target);
    }
  if (!done)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", path, g_strerror (errno));
  return TARN_EXIT_DONE;
}
