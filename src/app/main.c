/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn: the window. */
#include "app/application.h"
#include "app/graphics.h"
#include "app/memory.h"

#include <glib/gi18n.h>
#include <locale.h>

int
main (int argc, char **argv)
{
  const char *words = g_getenv ("TARN_LOCALE_DIR");

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, words != NULL ? words : TARN_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_application_name ("Tarn");
  tarn_memory_begin ();
  tarn_graphics_choose ();

  g_autoptr (TarnApplication) application = tarn_application_new (G_APPLICATION_DEFAULT_FLAGS);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
