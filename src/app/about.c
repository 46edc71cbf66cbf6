/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/about.h"

#include "app/cautions.h"
#include "app/style.h"

#include <glib/gi18n.h>

void
tarn_about_show (GtkWindow *parent)
{
  static const char *const authors[] = { "The Tarn authors", NULL };
  /* Translators: your names, one to a line; they are shown in About. */
  const char *translators = _ ("translator-credits");
  gboolean translated = !g_str_equal (translators, "translator-credits");
  g_autofree char *comments = g_strdup_printf (
      "%s\n\n%s", _ ("Measuring bladder volume with ultrasound, to learn at the bedside."),
      tarn_cautions_text ());
  GtkWidget *about = g_object_new (
      GTK_TYPE_ABOUT_DIALOG, "program-name", "Tarn", "version", TARN_VERSION, "logo-icon-name",
      "org.tarn.Tarn", "comments", comments, "authors", authors, "copyright",
      "© 2026 The Tarn authors", "license-type", GTK_LICENSE_GPL_3_0, "translator-credits",
      translated ? translators : NULL, "transient-for", parent, "modal", parent != NULL, NULL);
  tarn_style_adopt (GTK_WINDOW (about));
  gtk_window_present (GTK_WINDOW (about));
}
