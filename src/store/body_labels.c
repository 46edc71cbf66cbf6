/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/body_labels.h"

#include "store/nrrd.h"

#include <math.h>
#include <string.h>

#define LEGEND       "synthetic anatomy, for training only; labels are tissues:"
#define HEADER_BYTES 4096

typedef struct
{
  const TarnBody *body;
  TarnLabelMap *map;
  guint8 *tissue; /* of every voxel */
} Sampling;

/* The box of the cells that hold anything, as whole voxels. */
static void
place (const TarnBody *body, double pitch_mm, TarnLabelMap *map)
{
  const TarnCells *cells = tarn_body_cells (body);
  const int count[3] = { cells->cells_x, cells->cells_y, cells->cells_z };
  for (int k = 0; k < 3; k++)
    map->size[k] = (int)ceil (count[k] * TARN_CELL_MM / pitch_mm);
  map->step_mm[0] = tarn_vec3 (pitch_mm, 0, 0);
  map->step_mm[1] = tarn_vec3 (0, pitch_mm, 0);
  map->step_mm[2] = tarn_vec3 (0, 0, pitch_mm);
  map->origin_mm
      = tarn_add (cells->corner_mm, tarn_vec3 (pitch_mm / 2, pitch_mm / 2, pitch_mm / 2));
}

static void
sample_slice (void *context, int slice, int worker)
{
  Sampling *sampling = context;
  const TarnLabelMap *map = sampling->map;
  gsize at = (gsize)slice * (gsize)map->size[0] * (gsize)map->size[1];
  (void)worker;
  for (int j = 0; j < map->size[1]; j++)
    for (int i = 0; i < map->size[0]; i++)
      sampling->tissue[at++]
          = (guint8)tarn_body_tissue (sampling->body, tarn_label_map_point (map, i, j, slice));
}

/* From tissues to codes: those in use, in order. */
static void
number (TarnLabelMap *map, gsize voxels)
{
  guint8 code[TARN_TISSUES] = { 0 };
  guint64 count[TARN_TISSUES] = { 0 };
  for (gsize k = 0; k < voxels; k++)
    count[map->code[k]]++;
  for (int tissue = 0; tissue < TARN_TISSUES; tissue++)
    {
      bool outside = tissue == TARN_TISSUE_AIR;
      if (count[tissue] == 0 && !outside)
        continue;
      code[tissue] = outside ? 0 : (guint8)++map->labels;
      map->value[code[tissue]] = (guint16)tissue;
      map->voxels[code[tissue]] = count[tissue];
    }
  for (gsize k = 0; k < voxels; k++)
    map->code[k] = code[map->code[k]];
}

gboolean
tarn_body_labels (const TarnBody *body, double pitch_mm, const TarnParallel *parallel,
                  TarnLabelMap *map)
{
  g_return_val_if_fail (pitch_mm >= TARN_BODY_LABELS_PITCH_MIN_MM && pitch_mm <= 20, FALSE);
  *map = (TarnLabelMap){ 0 };
  place (body, pitch_mm, map);
  gsize voxels = (gsize)map->size[0] * (gsize)map->size[1] * (gsize)map->size[2];
  map->code = voxels <= TARN_NRRD_VOXELS_MAX ? g_try_malloc (voxels) : NULL;
  if (map->code == NULL)
    return FALSE;
  Sampling sampling = { body, map, map->code };
  tarn_parallel_for (parallel, map->size[2], sample_slice, &sampling);
  number (map, voxels);
  return TRUE;
}

char *
tarn_body_labels_legend (const TarnLabelMap *map)
{
  GString *text = g_string_new (LEGEND);
  for (int code = 1; code <= map->labels; code++)
    g_string_append_printf (text, "\n# %u %s", map->value[code],
                            tarn_tissue_name ((TarnTissue)map->value[code]));
  return g_string_free (text, FALSE);
}

gboolean
tarn_body_labels_are_tissues (const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInputStream) stream = g_file_read (file, NULL, NULL);
  char head[HEADER_BYTES + 1] = { 0 };
  gsize size = 0;
  return stream != NULL
         && g_input_stream_read_all (G_INPUT_STREAM (stream), head, HEADER_BYTES, &size, NULL,
                                     NULL)
         && g_str_has_prefix (head, "NRRD") && strstr (head, LEGEND) != NULL;
}
