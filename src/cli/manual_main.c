/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Prints a manual page while the program is built: manual 1 or manual 5. */
#include "cli/manual.h"
#include "store/patient_manual.h"

#include <stdio.h>
#include <string.h>

int
main (int argc, char **argv)
{
  GString *page = g_string_new (NULL);
  if (argc == 2 && strcmp (argv[1], "1") == 0)
    tarn_cli_write_manual (page);
  else if (argc == 2 && strcmp (argv[1], "5") == 0)
    tarn_fields_write_manual (page, TARN_VERSION);
  else
    {
      fprintf (stderr, "usage: %s 1|5\n", argv[0]);
      return 2;
    }
  tarn_manual_wrap (page);
  int failed = fputs (page->str, stdout) == EOF || fflush (stdout) != 0;
  g_string_free (page, TRUE);
  return failed;
}
