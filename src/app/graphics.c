/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The choice of what draws. */
#include "app/graphics.h"

#ifdef __linux__
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>
#endif

#define STEP_BACK 5          /* of 19 */
#define CARDS     "/dev/dri" /* Linux: a node for each card that can render */

static gboolean
has_card (void)
{
#ifdef __linux__
  const char *name;
  gboolean found = FALSE;
  if (g_strcmp0 (g_getenv ("LIBGL_ALWAYS_SOFTWARE"), "1") == 0)
    return FALSE;
  GDir *folder = g_dir_open (CARDS, 0, NULL);
  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL)
    found = found || g_str_has_prefix (name, "render");
  g_clear_pointer (&folder, g_dir_close);
  return found || g_file_test ("/dev/nvidiactl", G_FILE_TEST_EXISTS);
#else
  return TRUE;
#endif
}

void
tarn_graphics_choose (void)
{
  if (g_getenv ("GSK_RENDERER") == NULL && !has_card ())
    {
      /* Not even looked for: the processor's OpenGL alone takes 50 MB and half a second. */
      g_setenv ("GSK_RENDERER", "cairo", TRUE);
      g_setenv ("GDK_DEBUG", "gl-disable", FALSE);
      g_setenv ("TARN_NO_GL", "1", FALSE);
    }
}

gboolean
tarn_graphics_plain (void)
{
  return g_getenv ("TARN_NO_GL") != NULL;
}

void
tarn_graphics_step_back (void)
{
#ifdef __linux__
  /* There a thread has a priority of its own. */
  (void)setpriority (PRIO_PROCESS, (id_t)syscall (SYS_gettid), STEP_BACK);
#endif
}
