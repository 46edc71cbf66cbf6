/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * settings.h: what a person or a lab has chosen, as one object whose properties can be bound.
 *
 * Floor: app.  Main thread.  Kept by GSettings (schema org.tarn.Tarn).  Where the schema is not
 * installed, or nothing can be written, the same properties hold until the program ends, and
 * "problem" is a sentence that says so. */
#pragma once

#include <gio/gio.h>

/* In the order of the schema's enumerations. */
typedef enum
{
  TARN_VOLUME_ML,
  TARN_VOLUME_CM3,
} TarnVolumeUnit;

typedef enum
{
  TARN_LENGTH_CM,
  TARN_LENGTH_MM,
} TarnLengthUnit;

typedef enum
{
  TARN_THEME_SYSTEM,
  TARN_THEME_LIGHT,
  TARN_THEME_DARK,
} TarnTheme;

typedef enum
{
  TARN_HAND_RIGHT,
  TARN_HAND_LEFT,
} TarnHandedness;

/* Properties, each named as its key: "volume-unit", "length-unit", "theme", "handedness" (uint,
 * the enumerations above), "reduce-motion", "cautions-accepted",
 * "window-maximized" (boolean), "window-width", "window-height" (int, 0…32767 px),
 * "class-folder" (string, "" for none); and "problem" (string, read only, NULL when all is
 * well).  Setting one keeps it. */
#define TARN_TYPE_SETTINGS (tarn_settings_get_type ())
G_DECLARE_FINAL_TYPE (TarnSettings, tarn_settings, TARN, SETTINGS, GObject)

/* The program's own; made at first use.  Belongs to the program. */
TarnSettings *tarn_settings (void);

/* For tests: @source may be NULL, as where no schema at all is installed. */
TarnSettings *tarn_settings_new (GSettingsSchemaSource *source);

TarnVolumeUnit tarn_settings_volume_unit (TarnSettings *self);
TarnLengthUnit tarn_settings_length_unit (TarnSettings *self);
TarnTheme tarn_settings_theme (TarnSettings *self);
TarnHandedness tarn_settings_handedness (TarnSettings *self);
gboolean tarn_settings_reduce_motion (TarnSettings *self); /* the key alone; see style.h */
gboolean tarn_settings_cautions_accepted (TarnSettings *self);
const char *tarn_settings_class_folder (TarnSettings *self); /* never NULL */

/* Whether whoever looks after the PC has fixed the key, so that setting it has no effect. */
gboolean tarn_settings_is_fixed (TarnSettings *self, const char *key);
/* One translated sentence, or NULL when settings are kept. */
const char *tarn_settings_problem (TarnSettings *self);
