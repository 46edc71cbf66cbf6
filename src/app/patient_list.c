/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/patient_list.h"

#include <glib/gi18n.h>
#include <string.h>

#define ENDING     ".anatomy"
#define SETTLED_MS 250 /* a folder is read again once it has been quiet for so long */

enum
{
  PROP_0,
  PROP_CLASS_FOLDER,
  PROP_LOADING,
  PROP_PROBLEM,
  N_PROPS
};

enum
{
  INSTALLED,
  OF_CLASS,
  FOLDERS
};

struct _TarnPatientList
{
  GObject parent_instance;
  char *folder[FOLDERS]; /* "": none */
  GFileMonitor *monitor[FOLDERS];
  GPtrArray *items; /* TarnPatientItem */
  char *problem;
  gboolean loading, again;
  guint settling;
};

static void list_model_init (GListModelInterface *interface);

G_DEFINE_FINAL_TYPE_WITH_CODE (TarnPatientList, tarn_patient_list, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, list_model_init))

static GParamSpec *props[N_PROPS];

/* What the thread that reads takes along, and what it brings back. */
typedef struct
{
  char *folder[FOLDERS];
  GPtrArray *known; /* items as they were */
  GPtrArray *items;
  GString *problem;
} Reading;

static void
reading_free (gpointer data)
{
  Reading *reading = data;
  for (int i = 0; i < FOLDERS; i++)
    g_free (reading->folder[i]);
  g_ptr_array_unref (reading->known);
  g_ptr_array_unref (reading->items);
  g_string_free (reading->problem, TRUE);
  g_free (reading);
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *)a, *(const char *const *)b);
}

/* The names of a folder's patients, sorted.  A missing folder is a problem, not an end. */
static GPtrArray *
names_in (const char *folder, GString *problem)
{
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) dir = g_dir_open (folder, 0, &error);
  if (dir == NULL)
    {
      g_autofree char *shown = g_filename_display_name (folder);
      if (problem->len > 0)
        g_string_append_c (problem, '\n');
      g_string_append_printf (problem, _ ("The folder of patients “%s” cannot be read: %s"),
                              shown, error->message);
      return names;
    }
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (name, ENDING) && name[0] != '.')
      g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names);
  return names;
}

static TarnPatientItem *
known_at (GPtrArray *known, const char *path)
{
  for (guint i = 0; i < known->len; i++)
    if (g_str_equal (tarn_patient_item_path (known->pdata[i]), path))
      return known->pdata[i];
  return NULL;
}

static void
read_folder (Reading *reading, const char *folder)
{
  g_autoptr (GPtrArray) names = names_in (folder, reading->problem);
  for (guint i = 0; i < names->len; i++)
    {
      g_autofree char *path = g_build_filename (folder, names->pdata[i], NULL);
      TarnPatientItem *known = known_at (reading->known, path);
      if (known != NULL && tarn_patient_item_is_current (known))
        g_ptr_array_add (reading->items, g_object_ref (known));
      else
        g_ptr_array_add (reading->items, tarn_patient_item_load (path));
    }
}

static void
read_on_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Reading *reading = data;
  (void)source;
  (void)cancellable;
  for (int i = 0; i < FOLDERS; i++)
    if (reading->folder[i][0] != '\0')
      read_folder (reading, reading->folder[i]);
  g_task_return_boolean (task, TRUE);
}

/* Puts @items in place of what there is, and tells of as little change as there was. */
static void
replace_items (TarnPatientList *self, GPtrArray *items)
{
  GPtrArray *old = self->items;
  guint same = 0, same_end = 0;
  while (same < old->len && same < items->len && old->pdata[same] == items->pdata[same])
    same++;
  while (same_end < old->len - same && same_end < items->len - same
         && old->pdata[old->len - 1 - same_end] == items->pdata[items->len - 1 - same_end])
    same_end++;
  guint removed = old->len - same - same_end, added = items->len - same - same_end;

  for (guint i = same; i < same + added; i++)
    {
      TarnPatientItem *earlier = known_at (old, tarn_patient_item_path (items->pdata[i]));
      if (earlier != NULL && earlier != items->pdata[i])
        tarn_patient_item_take_attempts (items->pdata[i], earlier);
    }
  self->items = g_ptr_array_ref (items);
  if (removed > 0 || added > 0)
    g_list_model_items_changed (G_LIST_MODEL (self), same, removed, added);
  g_ptr_array_unref (old);
}

static void start_reading (TarnPatientList *self);

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  TarnPatientList *self = TARN_PATIENT_LIST (source);
  Reading *reading = g_task_get_task_data (G_TASK (result));
  (void)data;
  self->loading = FALSE;
  if (self->again)
    {
      start_reading (self);
      return;
    }
  replace_items (self, reading->items);
  const char *problem = reading->problem->len > 0 ? reading->problem->str : NULL;
  if (g_strcmp0 (problem, self->problem) != 0)
    {
      g_free (self->problem);
      self->problem = g_strdup (problem);
      g_object_notify_by_pspec (G_OBJECT (self), props[PROP_PROBLEM]);
    }
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_LOADING]);
}

static void
start_reading (TarnPatientList *self)
{
  self->again = self->loading;
  if (self->loading)
    return;
  Reading *reading = g_new0 (Reading, 1);
  for (int i = 0; i < FOLDERS; i++)
    reading->folder[i] = g_strdup (self->folder[i]);
  reading->known = g_ptr_array_ref (self->items);
  reading->items = g_ptr_array_new_with_free_func (g_object_unref);
  reading->problem = g_string_new (NULL);
  self->loading = TRUE;
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_LOADING]);

  g_autoptr (GTask) task = g_task_new (self, NULL, on_read, NULL);
  g_task_set_task_data (task, reading, reading_free);
  g_task_run_in_thread (task, read_on_thread);
}

static gboolean
on_settled (gpointer data)
{
  TarnPatientList *self = data;
  self->settling = 0;
  start_reading (self);
  return G_SOURCE_REMOVE;
}

static void
on_folder_changed (TarnPatientList *self)
{
  g_clear_handle_id (&self->settling, g_source_remove);
  self->settling = g_timeout_add (SETTLED_MS, on_settled, self);
}

static void
stop_watching (TarnPatientList *self, int which)
{
  if (self->monitor[which] == NULL)
    return;
  g_signal_handlers_disconnect_by_data (self->monitor[which], self);
  g_file_monitor_cancel (self->monitor[which]);
  g_clear_object (&self->monitor[which]);
}

/* A folder that cannot be watched is still read. */
static void
watch (TarnPatientList *self, int which)
{
  stop_watching (self, which);
  if (self->folder[which][0] == '\0')
    return;
  g_autoptr (GFile) file = g_file_new_for_path (self->folder[which]);
  self->monitor[which]
      = g_file_monitor_directory (file, G_FILE_MONITOR_WATCH_MOVES, NULL, NULL);
  if (self->monitor[which] != NULL)
    g_signal_connect_swapped (self->monitor[which], "changed", G_CALLBACK (on_folder_changed),
                              self);
}

char *
tarn_patient_list_installed_folder (void)
{
  const char *set = g_getenv ("TARN_ANATOMIES");
  if (set != NULL && set[0] != '\0')
    return g_strdup (set);
  /* Where the system does not tell a program's own place, it counts as installed. */
  g_autofree char *program = g_file_read_link ("/proc/self/exe", NULL);
  if (program != NULL && g_str_has_prefix (program, TARN_BUILD_ROOT "/"))
    return g_build_filename (TARN_SOURCE_ROOT, "anatomies", NULL);
  return g_build_filename (TARN_DATADIR, "tarn", "anatomies", NULL);
}

TarnPatientList *
tarn_patient_list_new (const char *installed_folder)
{
  TarnPatientList *self = g_object_new (TARN_TYPE_PATIENT_LIST, NULL);
  g_free (self->folder[INSTALLED]);
  self->folder[INSTALLED] = installed_folder != NULL ? g_strdup (installed_folder)
                                                     : tarn_patient_list_installed_folder ();
  watch (self, INSTALLED);
  start_reading (self);
  return self;
}

void
tarn_patient_list_set_class_folder (TarnPatientList *self, const char *folder)
{
  g_return_if_fail (TARN_IS_PATIENT_LIST (self));
  if (folder == NULL)
    folder = "";
  if (g_str_equal (folder, self->folder[OF_CLASS]))
    return;
  g_free (self->folder[OF_CLASS]);
  self->folder[OF_CLASS] = g_strdup (folder);
  watch (self, OF_CLASS);
  start_reading (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_CLASS_FOLDER]);
}

gboolean
tarn_patient_list_loading (TarnPatientList *self)
{
  return self->loading;
}

const char *
tarn_patient_list_problem (TarnPatientList *self)
{
  return self->problem;
}

TarnPatientItem *
tarn_patient_list_find (TarnPatientList *self, const char *id)
{
  for (guint i = 0; i < self->items->len; i++)
    if (g_str_equal (tarn_patient_item_id (self->items->pdata[i]), id))
      return self->items->pdata[i];
  return NULL;
}

static GType
get_item_type (GListModel *model)
{
  (void)model;
  return TARN_TYPE_PATIENT_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return TARN_PATIENT_LIST (model)->items->len;
}

static gpointer
get_item (GListModel *model, guint position)
{
  TarnPatientList *self = TARN_PATIENT_LIST (model);
  return position < self->items->len ? g_object_ref (self->items->pdata[position]) : NULL;
}

static void
list_model_init (GListModelInterface *interface)
{
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
  interface->get_item = get_item;
}

static void
tarn_patient_list_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TarnPatientList *self = TARN_PATIENT_LIST (object);
  switch (id)
    {
    case PROP_CLASS_FOLDER:
      g_value_set_string (value, self->folder[OF_CLASS]);
      break;
    case PROP_LOADING:
      g_value_set_boolean (value, self->loading);
      break;
    case PROP_PROBLEM:
      g_value_set_string (value, self->problem);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
tarn_patient_list_set_property (GObject *object, guint id, const GValue *value,
                                GParamSpec *pspec)
{
  if (id == PROP_CLASS_FOLDER)
    tarn_patient_list_set_class_folder (TARN_PATIENT_LIST (object), g_value_get_string (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_patient_list_finalize (GObject *object)
{
  TarnPatientList *self = TARN_PATIENT_LIST (object);
  g_clear_handle_id (&self->settling, g_source_remove);
  for (int i = 0; i < FOLDERS; i++)
    {
      stop_watching (self, i);
      g_free (self->folder[i]);
    }
  g_ptr_array_unref (self->items);
  g_free (self->problem);
  G_OBJECT_CLASS (tarn_patient_list_parent_class)->finalize (object);
}

static void
tarn_patient_list_class_init (TarnPatientListClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  object_class->get_property = tarn_patient_list_get_property;
  object_class->set_property = tarn_patient_list_set_property;
  object_class->finalize = tarn_patient_list_finalize;
  props[PROP_CLASS_FOLDER] = g_param_spec_string ("class-folder", NULL, NULL, "",
                                                  G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY
                                                      | G_PARAM_STATIC_STRINGS);
  props[PROP_LOADING] = g_param_spec_boolean ("loading", NULL, NULL, FALSE,
                                              G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  props[PROP_PROBLEM] = g_param_spec_string ("problem", NULL, NULL, NULL,
                                             G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
tarn_patient_list_init (TarnPatientList *self)
{
  for (int i = 0; i < FOLDERS; i++)
    self->folder[i] = g_strdup ("");
  self->items = g_ptr_array_new_with_free_func (g_object_unref);
}

TarnPatientItem *
tarn_patient_list_at (TarnPatientList *self, const char *path)
{
  GListModel *model = G_LIST_MODEL (self);
  for (guint k = 0; k < g_list_model_get_n_items (model); k++)
    {
      g_autoptr (TarnPatientItem) item = g_list_model_get_item (model, k);
      if (g_strcmp0 (tarn_patient_item_path (item), path) == 0)
        return g_steal_pointer (&item);
    }
  return tarn_patient_item_load (path);
}

TarnPatientItem *
tarn_patient_list_after (TarnPatientList *self, const char *path)
{
  GListModel *model = G_LIST_MODEL (self);
  bool reached = false;
  for (guint k = 0; k < g_list_model_get_n_items (model); k++)
    {
      g_autoptr (TarnPatientItem) item = g_list_model_get_item (model, k);
      if (reached && tarn_patient_item_problem (item) == NULL)
        return g_steal_pointer (&item);
      reached = reached || g_strcmp0 (tarn_patient_item_path (item), path) == 0;
    }
  return NULL;
}
