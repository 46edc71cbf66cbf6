/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/difficulty.h"

#include "app/patient_item.h"

#include "engine/coach/window.h"

/* A coarse map will do to put patients in order. */
#define POSES 700

/* Another figure for the same file, another number. */
#define CACHE_GROUP "difficulty 2"

struct _TarnDifficulty
{
  GObject parent_instance;
  GListModel *patients;
  char *cache_file;
  GKeyFile *cache;
  gboolean allowed;
  GCancellable *cancellable; /* of the work under way; NULL: none */
};

G_DEFINE_FINAL_TYPE (TarnDifficulty, tarn_difficulty, G_TYPE_OBJECT)

static guint done_signal;

/* The cache.  What cannot be read or kept is worked out again. */

static double
remembered (TarnDifficulty *self, TarnPatientItem *item)
{
  g_autoptr (GError) error = NULL;
  double figure = g_key_file_get_double (self->cache, CACHE_GROUP,
                                         tarn_patient_item_sha256 (item), &error);
  return error == NULL && figure >= 0 && figure <= 100 ? figure : -1;
}

static void
remember (TarnDifficulty *self, TarnPatientItem *item, double figure)
{
  g_autofree char *folder = g_path_get_dirname (self->cache_file);
  g_key_file_set_double (self->cache, CACHE_GROUP, tarn_patient_item_sha256 (item), figure);
  if (g_mkdir_with_parents (folder, 0700) == 0)
    g_key_file_save_to_file (self->cache, self->cache_file, NULL);
}

/* Work */

static bool
is_cancelled (void *cancellable)
{
  return g_cancellable_is_cancelled (cancellable);
}

static void
map_on_thread (GTask *task, gpointer source, gpointer item, GCancellable *cancellable)
{
  TarnWindowOptions options
      = { .poses_wanted = POSES, .cancelled = is_cancelled, .context = cancellable };
  g_autofree TarnAcousticWindow *window = g_new0 (TarnAcousticWindow, 1);
  (void)source;
  TarnStatus status
      = tarn_window_map (tarn_patient_item_patient (item), &options, window, NULL);
  g_task_return_int (task, status == TARN_OK ? (gssize)(window->difficulty * 1000) : -1);
}

static void work_on (TarnDifficulty *self);

/* A body that cannot be built has no figure; it is not tried again. */
static void
on_mapped (GObject *source, GAsyncResult *result, gpointer data)
{
  TarnDifficulty *self = TARN_DIFFICULTY (source);
  GTask *task = G_TASK (result);
  TarnPatientItem *item = g_task_get_task_data (task);
  gssize thousandths = g_task_propagate_int (task, NULL);
  (void)data;
  bool stopped = g_cancellable_is_cancelled (g_task_get_cancellable (task));
  g_clear_object (&self->cancellable);
  if (thousandths >= 0)
    remember (self, item, (double)thousandths / 1000);
  if (thousandths >= 0 || !stopped)
    tarn_patient_item_set_difficulty (item, thousandths >= 0 ? (double)thousandths / 1000
                                                             : TARN_DIFFICULTY_NONE);
  work_on (self);
}

/* The first patient without a figure, a new reference; those that are remembered are told on
 * the way.  NULL: there is none. */
static TarnPatientItem *
next_patient (TarnDifficulty *self)
{
  for (guint k = 0; k < g_list_model_get_n_items (self->patients); k++)
    {
      g_autoptr (TarnPatientItem) item = g_list_model_get_item (self->patients, k);
      if (tarn_patient_item_patient (item) == NULL
          || tarn_patient_item_difficulty (item) != TARN_DIFFICULTY_UNKNOWN)
        continue;
      double figure = remembered (self, item);
      if (figure < 0)
        return g_steal_pointer (&item);
      tarn_patient_item_set_difficulty (item, figure);
    }
  return NULL;
}

static void
work_on (TarnDifficulty *self)
{
  if (self->cancellable != NULL || self->patients == NULL)
    return;
  g_autoptr (TarnPatientItem) item = next_patient (self);
  if (item == NULL)
    {
      g_signal_emit (self, done_signal, 0);
      return;
    }
  if (!self->allowed)
    return;
  self->cancellable = g_cancellable_new ();
  g_autoptr (GTask) task = g_task_new (self, self->cancellable, on_mapped, NULL);
  g_task_set_check_cancellable (task, FALSE);
  g_task_set_task_data (task, g_object_ref (item), g_object_unref);
  g_task_run_in_thread (task, map_on_thread);
}

void
tarn_difficulty_set_working (TarnDifficulty *self, gboolean working)
{
  g_return_if_fail (TARN_IS_DIFFICULTY (self));
  self->allowed = working;
  if (working)
    work_on (self);
  else if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
}

gboolean
tarn_difficulty_is_done (TarnDifficulty *self)
{
  g_autoptr (TarnPatientItem) item = next_patient (self);
  return item == NULL;
}

TarnDifficulty *
tarn_difficulty_new (GListModel *patients, const char *cache_file)
{
  TarnDifficulty *self = g_object_new (TARN_TYPE_DIFFICULTY, NULL);
  self->patients = g_object_ref (patients);
  self->cache_file = cache_file != NULL ? g_strdup (cache_file)
                                        : g_build_filename (g_get_user_cache_dir (), "tarn",
                                                            "difficulty.ini", NULL);
  g_key_file_load_from_file (self->cache, self->cache_file, G_KEY_FILE_NONE, NULL);
  g_signal_connect_object (patients, "items-changed", G_CALLBACK (work_on), self,
                           G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  return self;
}

static void
tarn_difficulty_dispose (GObject *object)
{
  TarnDifficulty *self = TARN_DIFFICULTY (object);
  g_clear_object (&self->patients);
  g_clear_object (&self->cancellable);
  G_OBJECT_CLASS (tarn_difficulty_parent_class)->dispose (object);
}

static void
tarn_difficulty_finalize (GObject *object)
{
  TarnDifficulty *self = TARN_DIFFICULTY (object);
  g_key_file_unref (self->cache);
  g_free (self->cache_file);
  G_OBJECT_CLASS (tarn_difficulty_parent_class)->finalize (object);
}

static void
tarn_difficulty_class_init (TarnDifficultyClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  object_class->dispose = tarn_difficulty_dispose;
  object_class->finalize = tarn_difficulty_finalize;
  done_signal = g_signal_new ("done", TARN_TYPE_DIFFICULTY, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                              NULL, G_TYPE_NONE, 0);
}

static void
tarn_difficulty_init (TarnDifficulty *self)
{
  self->cache = g_key_file_new ();
}
