/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. GTK's own "gtk-application-prefer-dark-theme" is the one truth: windows follow it.
 * 2. What the system wants is what that property said before we touched it, a theme whose name
 *    says dark, or the desktop portal's "color-scheme", which GTK 4.8 does not ask for.
 * 3. The same holds for "gtk-enable-animations". */
#include "app/style.h"

#define PORTAL_NAME     "org.freedesktop.portal.Desktop"
#define PORTAL_PATH     "/org/freedesktop/portal/desktop"
#define PORTAL_SETTINGS "org.freedesktop.portal.Settings"
#define APPEARANCE      "org.freedesktop.appearance"

typedef struct
{
  TarnSettings *settings;
  gboolean system_prefers_dark, system_moves;
  gboolean portal_prefers_dark;
  GDBusProxy *portal;
} Style;

/* One for the process, as GtkSettings is. */
static Style style;

static void
apply (void)
{
  GtkSettings *toolkit = gtk_settings_get_default ();
  gboolean dark = style.system_prefers_dark || style.portal_prefers_dark;
  if (tarn_settings_theme (style.settings) != TARN_THEME_SYSTEM)
    dark = tarn_settings_theme (style.settings) == TARN_THEME_DARK;
  gboolean moves = style.system_moves && !tarn_settings_reduce_motion (style.settings);
  /* Setting what already holds would load the theme again. */
  if (dark != tarn_style_is_dark ())
    g_object_set (toolkit, "gtk-application-prefer-dark-theme", dark, NULL);
  if (moves != tarn_style_moves ())
    g_object_set (toolkit, "gtk-enable-animations", moves, NULL);
}

/* 1 is "prefer dark" in the portal's terms.  The value may come wrapped twice. */
static void
take_scheme (GVariant *value)
{
  g_autoptr (GVariant) inner = g_variant_ref (value);
  while (g_variant_is_of_type (inner, G_VARIANT_TYPE_VARIANT))
    {
      GVariant *within = g_variant_get_variant (inner);
      g_variant_unref (inner);
      inner = within;
    }
  if (!g_variant_is_of_type (inner, G_VARIANT_TYPE_UINT32))
    return;
  style.portal_prefers_dark = g_variant_get_uint32 (inner) == 1;
  apply ();
}

static void
on_scheme_read (GObject *source, GAsyncResult *result, gpointer data)
{
  (void)data;
  g_autoptr (GVariant) answer = g_dbus_proxy_call_finish (G_DBUS_PROXY (source), result, NULL);
  if (answer == NULL || !g_variant_is_of_type (answer, G_VARIANT_TYPE ("(v)")))
    return;
  g_autoptr (GVariant) value = g_variant_get_child_value (answer, 0);
  take_scheme (value);
}

static void
on_portal_signal (GDBusProxy *proxy, const char *sender, const char *signal, GVariant *args)
{
  (void)proxy;
  (void)sender;
  if (!g_str_equal (signal, "SettingChanged")
      || !g_variant_is_of_type (args, G_VARIANT_TYPE ("(ssv)")))
    return;
  const char *group, *key;
  g_autoptr (GVariant) value = NULL;
  g_variant_get (args, "(&s&sv)", &group, &key, &value);
  if (g_str_equal (group, APPEARANCE) && g_str_equal (key, "color-scheme"))
    take_scheme (value);
}

/* Without a bus or a portal nothing happens, and that is all right. */
static void
on_portal (GObject *source, GAsyncResult *result, gpointer data)
{
  (void)source;
  (void)data;
  style.portal = g_dbus_proxy_new_for_bus_finish (result, NULL);
  if (style.portal == NULL)
    return;
  g_signal_connect (style.portal, "g-signal", G_CALLBACK (on_portal_signal), NULL);
  g_autofree char *owner = g_dbus_proxy_get_name_owner (style.portal);
  if (owner == NULL)
    return;
  g_dbus_proxy_call (style.portal, "Read", g_variant_new ("(ss)", APPEARANCE, "color-scheme"),
                     G_DBUS_CALL_FLAGS_NO_AUTO_START, 1000, NULL, on_scheme_read, NULL);
}

void
tarn_style_start (TarnSettings *settings)
{
  g_return_if_fail (TARN_IS_SETTINGS (settings));
  g_return_if_fail (style.settings == NULL);
  GtkSettings *toolkit = gtk_settings_get_default ();
  g_autofree char *theme = NULL;
  style.settings = g_object_ref (settings);
  g_object_get (toolkit, "gtk-application-prefer-dark-theme", &style.system_prefers_dark,
                "gtk-enable-animations", &style.system_moves, "gtk-theme-name", &theme, NULL);
  if (theme != NULL && g_str_has_suffix (theme, "-dark"))
    style.system_prefers_dark = TRUE;

  g_autoptr (GtkCssProvider) sheet = gtk_css_provider_new ();
  gtk_css_provider_load_from_resource (sheet, "/org/tarn/Tarn/style.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (),
                                              GTK_STYLE_PROVIDER (sheet),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  g_signal_connect (settings, "notify::theme", G_CALLBACK (apply), NULL);
  g_signal_connect (settings, "notify::reduce-motion", G_CALLBACK (apply), NULL);
  apply ();
  g_dbus_proxy_new_for_bus (
      G_BUS_TYPE_SESSION,
      G_DBUS_PROXY_FLAGS_DO_NOT_LOAD_PROPERTIES | G_DBUS_PROXY_FLAGS_DO_NOT_AUTO_START, NULL,
      PORTAL_NAME, PORTAL_PATH, PORTAL_SETTINGS, NULL, on_portal, NULL);
}

static void
follow_theme (GtkWidget *window)
{
  if (tarn_style_is_dark ())
    gtk_widget_add_css_class (window, "dark");
  else
    gtk_widget_remove_css_class (window, "dark");
}

void
tarn_style_adopt (GtkWindow *window)
{
  g_return_if_fail (GTK_IS_WINDOW (window));
  gtk_widget_add_css_class (GTK_WIDGET (window), "tarn");
  g_signal_connect_object (gtk_settings_get_default (),
                           "notify::gtk-application-prefer-dark-theme",
                           G_CALLBACK (follow_theme), window, G_CONNECT_SWAPPED);
  follow_theme (GTK_WIDGET (window));
}

gboolean
tarn_style_is_dark (void)
{
  gboolean dark = FALSE;
  g_object_get (gtk_settings_get_default (), "gtk-application-prefer-dark-theme", &dark, NULL);
  return dark;
}

gboolean
tarn_style_moves (void)
{
  gboolean moves = TRUE;
  g_object_get (gtk_settings_get_default (), "gtk-enable-animations", &moves, NULL);
  return moves;
}
