/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_labels.h: a body as a label map, one label for each tissue.
 *
 * Floor: store. */
#pragma once

#include "base/label_map.h"
#include "base/parallel.h"
#include "engine/body/body.h"

#include <glib.h>

#define TARN_BODY_LABELS_PITCH_MIN_MM 0.4

/**
 * Samples the body at the middles of voxels of @pitch_mm, axis by axis as the patient lies.
 * A voxel's value is its TarnTissue; outside the skin it is 0.
 *
 * @pitch_mm: [TARN_BODY_LABELS_PITCH_MIN_MM, 20].  @map: out; tarn_label_map_clear () it.
 *
 * Returns FALSE when there is no memory for so many voxels.
 */
gboolean tarn_body_labels (const TarnBody *body, double pitch_mm, const TarnParallel *parallel,
                           TarnLabelMap *map);

/* What the values mean, as lines for the header's comment: "# 6 urine".  Free it. */
char *tarn_body_labels_legend (const TarnLabelMap *map);
/* Whether the file's header says so: then its labels are TarnTissue.  FALSE also where it
 * cannot be read. */
gboolean tarn_body_labels_are_tissues (const char *path);
