/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/settings.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>

#define SCHEMA_ID "org.tarn.Tarn"

enum
{
  PROP_0,
  PROP_VOLUME_UNIT,
  PROP_LENGTH_UNIT,
  PROP_THEME,
  PROP_HANDEDNESS,
  PROP_REDUCE_MOTION,
  PROP_CAUTIONS_ACCEPTED,
  PROP_WINDOW_MAXIMIZED,
  PROP_WINDOW_WIDTH,
  PROP_WINDOW_HEIGHT,
  PROP_CLASS_FOLDER,
  N_KEYS,
  PROP_PROBLEM = N_KEYS,
  N_PROPS
};

struct _TarnSettings
{
  GObject parent_instance;
  GSettings *kept;       /* NULL without a schema */
  gboolean writes;       /* FALSE: values are read from `kept`, but never written */
  GValue values[N_KEYS]; /* [0] unused */
  char *problem;
};

G_DEFINE_FINAL_TYPE (TarnSettings, tarn_settings, G_TYPE_OBJECT)

static GParamSpec *props[N_PROPS];

/* From what is kept into our own value. */
static void
read_key (TarnSettings *self, int id)
{
  GValue *value = &self->values[id];
  const char *key = props[id]->name;
  switch (G_VALUE_TYPE (value))
    {
    case G_TYPE_UINT:
      g_value_set_uint (value, (guint)g_settings_get_enum (self->kept, key));
      break;
    case G_TYPE_BOOLEAN:
      g_value_set_boolean (value, g_settings_get_boolean (self->kept, key));
      break;
    case G_TYPE_INT:
      g_value_set_int (value, g_settings_get_int (self->kept, key));
      break;
    default:
      g_value_take_string (value, g_settings_get_string (self->kept, key));
    }
}

static void
write_key (TarnSettings *self, int id)
{
  const GValue *value = &self->values[id];
  const char *key = props[id]->name;
  switch (G_VALUE_TYPE (value))
    {
    case G_TYPE_UINT:
      g_settings_set_enum (self->kept, key, (int)g_value_get_uint (value));
      break;
    case G_TYPE_BOOLEAN:
      g_settings_set_boolean (self->kept, key, g_value_get_boolean (value));
      break;
    case G_TYPE_INT:
      g_settings_set_int (self->kept, key, g_value_get_int (value));
      break;
    default:
      g_settings_set_string (self->kept, key, g_value_get_string (value));
    }
}

/* Somebody else changed it: another window of ours, or whoever looks after the PC. */
static void
on_changed (TarnSettings *self, const char *key)
{
  for (int id = 1; id < N_KEYS; id++)
    if (g_str_equal (props[id]->name, key))
      {
        g_auto (GValue) before = G_VALUE_INIT;
        g_value_init (&before, G_VALUE_TYPE (&self->values[id]));
        g_value_copy (&self->values[id], &before);
        read_key (self, id);
        if (g_param_values_cmp (props[id], &before, &self->values[id]) != 0)
          g_object_notify_by_pspec (G_OBJECT (self), props[id]);
      }
}

/* A schema of another version may lack a key, and asking for it would end the program. */
static gboolean
has_all_keys (GSettingsSchema *schema)
{
  for (int id = 1; id < N_KEYS; id++)
    if (!g_settings_schema_has_key (schema, props[id]->name))
      return FALSE;
  return TRUE;
}

TarnSettings *
tarn_settings_new (GSettingsSchemaSource *source)
{
  TarnSettings *self = g_object_new (TARN_TYPE_SETTINGS, NULL);
  g_autoptr (GSettingsSchema) schema = NULL;
  if (source != NULL)
    schema = g_settings_schema_source_lookup (source, SCHEMA_ID, TRUE);
  if (schema == NULL || !has_all_keys (schema))
    {
      self->problem = g_strdup (_ ("Settings cannot be kept, because their description is not "
                                   "installed. They hold until Tarn is closed."));
      return self;
    }

  self->kept = g_settings_new_full (schema, NULL, NULL);
  for (int id = 1; id < N_KEYS; id++)
    read_key (self, id);
  g_signal_connect_object (self->kept, "changed", G_CALLBACK (on_changed), self,
                           G_CONNECT_SWAPPED);

  const char *folder = g_get_user_config_dir ();
  self->writes = g_mkdir_with_parents (folder, 0700) == 0 && g_access (folder, W_OK) == 0;
  if (!self->writes)
    self->problem = g_strdup_printf (_ ("Settings cannot be kept, because the folder “%s” "
                                        "cannot be written to. They hold until "
                                        "Tarn is closed."),
                                     folder);
  return self;
}

TarnSettings *
tarn_settings (void)
{
  static TarnSettings *self = NULL;
  if (self == NULL)
    self = tarn_settings_new (g_settings_schema_source_get_default ());
  return self;
}

static void
tarn_settings_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TarnSettings *self = TARN_SETTINGS (object);
  if (id == PROP_PROBLEM)
    g_value_set_string (value, self->problem);
  else if (id > 0 && id < N_KEYS)
    g_value_copy (&self->values[id], value);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_settings_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TarnSettings *self = TARN_SETTINGS (object);
  if (id == 0 || id >= N_KEYS)
    {
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
      return;
    }
  if (g_param_values_cmp (pspec, &self->values[id], value) == 0
      || tarn_settings_is_fixed (self, pspec->name))
    return;
  g_value_copy (value, &self->values[id]);
  if (id == PROP_CLASS_FOLDER && g_value_get_string (value) == NULL)
    g_value_set_static_string (&self->values[id], "");
  g_object_notify_by_pspec (object, pspec);
  if (self->writes)
    write_key (self, (int)id);
}

static void
tarn_settings_finalize (GObject *object)
{
  TarnSettings *self = TARN_SETTINGS (object);
  g_clear_object (&self->kept);
  for (int id = 1; id < N_KEYS; id++)
    g_value_unset (&self->values[id]);
  g_free (self->problem);
  G_OBJECT_CLASS (tarn_settings_parent_class)->finalize (object);
}

static void
tarn_settings_class_init (TarnSettingsClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GParamFlags flags = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;
  object_class->get_property = tarn_settings_get_property;
  object_class->set_property = tarn_settings_set_property;
  object_class->finalize = tarn_settings_finalize;

  /* The same defaults as the schema's; a test compares them. */
  props[PROP_VOLUME_UNIT] = g_param_spec_uint ("volume-unit", NULL, NULL, 0, 1, 0, flags);
  props[PROP_LENGTH_UNIT] = g_param_spec_uint ("length-unit", NULL, NULL, 0, 1, 0, flags);
  props[PROP_THEME] = g_param_spec_uint ("theme", NULL, NULL, 0, 2, 0, flags);
  props[PROP_HANDEDNESS] = g_param_spec_uint ("handedness", NULL, NULL, 0, 1, 0, flags);
  props[PROP_REDUCE_MOTION] = g_param_spec_boolean ("reduce-motion", NULL, NULL, FALSE, flags);
  props[PROP_CAUTIONS_ACCEPTED]
      = g_param_spec_boolean ("cautions-accepted", NULL, NULL, FALSE, flags);
  props[PROP_WINDOW_MAXIMIZED]
      = g_param_spec_boolean ("window-maximized", NULL, NULL, FALSE, flags);
  props[PROP_WINDOW_WIDTH]
      = g_param_spec_int ("window-width", NULL, NULL, 0, 32767, 1280, flags);
  props[PROP_WINDOW_HEIGHT]
      = g_param_spec_int ("window-height", NULL, NULL, 0, 32767, 800, flags);
  props[PROP_CLASS_FOLDER] = g_param_spec_string ("class-folder", NULL, NULL, "", flags);
  props[PROP_PROBLEM] = g_param_spec_string ("problem", NULL, NULL, NULL,
                                             G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
tarn_settings_init (TarnSettings *self)
{
  for (int id = 1; id < N_KEYS; id++)
    {
      g_value_init (&self->values[id], props[id]->value_type);
      g_param_value_set_default (props[id], &self->values[id]);
    }
}

TarnVolumeUnit
tarn_settings_volume_unit (TarnSettings *self)
{
  return (TarnVolumeUnit)g_value_get_uint (&self->values[PROP_VOLUME_UNIT]);
}

TarnLengthUnit
tarn_settings_length_unit (TarnSettings *self)
{
  return (TarnLengthUnit)g_value_get_uint (&self->values[PROP_LENGTH_UNIT]);
}

TarnTheme
tarn_settings_theme (TarnSettings *self)
{
  return (TarnTheme)g_value_get_uint (&self->values[PROP_THEME]);
}

TarnHandedness
tarn_settings_handedness (TarnSettings *self)
{
  return (TarnHandedness)g_value_get_uint (&self->values[PROP_HANDEDNESS]);
}

gboolean
tarn_settings_reduce_motion (TarnSettings *self)
{
  return g_value_get_boolean (&self->values[PROP_REDUCE_MOTION]);
}

gboolean
tarn_settings_cautions_accepted (TarnSettings *self)
{
  return g_value_get_boolean (&self->values[PROP_CAUTIONS_ACCEPTED]);
}

const char *
tarn_settings_class_folder (TarnSettings *self)
{
  return g_value_get_string (&self->values[PROP_CLASS_FOLDER]);
}

gboolean
tarn_settings_is_fixed (TarnSettings *self, const char *key)
{
  return self->writes && !g_settings_is_writable (self->kept, key);
}

const char *
tarn_settings_problem (TarnSettings *self)
{
  return self->problem;
}
