/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * label_shape.h: what a patient takes from a label map: the lumen's shape, and an ellipsoid for
 * each other label.
 *
 * Floor: store.  The lumen is told as one distance from its middle in each direction, that
 * which holds as much of the label: bays and pouches are smoothed, the volume is kept.  The
 * patient's other lengths stretch that shape, volume-ml scales it, left-mm and rise-mm place
 * it. */
#pragma once

#include "base/label_map.h"
#include "store/patient_file.h"

#include <gio/gio.h>

/* Where something lies in a map. */
typedef struct
{
  uint16_t label;
  double volume_ml; /* of its voxels */
  TarnVec3 low_mm, high_mm, centre_mm;
  /* The ellipsoid of the same moments, as a structure has it. */
  TarnVec3 radii_mm, turn_deg;
} TarnLabelPart;

/* The part of @label, which must be in @map; its moments are those of a box's worth of voxels.
 * Returns FALSE when the label is not there. */
gboolean tarn_label_part (const TarnLabelMap *map, uint16_t label, TarnLabelPart *part);

/**
 * The shape of a label.
 *
 * @agreement: out, may be NULL; Dice's coefficient of shape and label, 1 when they are the
 * same.
 */
void tarn_label_shape (const TarnLabelMap *map, const TarnLabelPart *part, TarnShape *shape,
                       double *agreement);

/* What importing makes of a map. */
typedef struct
{
  const char *map_path; /* where the map is */
  const char *map_copy; /* where its part that matters goes, beside the patient */
  uint16_t bladder;     /* label */
  int structures;       /* 0 … TARN_STRUCTURES_MAX */
  uint16_t structure[TARN_STRUCTURES_MAX]; /* labels */
  TarnStructureKind kind[TARN_STRUCTURES_MAX];
} TarnLabelImport;

/**
 * Gives @patient the lumen and structures of a map, and writes a copy of the map, cut down to
 * what is used.  Structures keep their place against the bladder; what @patient had is
 * replaced.
 *
 * @agreement: out, may be NULL.
 * Returns FALSE with @error set; @patient is then as before.
 */
gboolean tarn_label_import (const TarnLabelImport *import, TarnPatient *patient,
                            double *agreement, GCancellable *cancellable, GError **error);

/* Takes the shape from the map that @patient names, which lies in @folder and must have the
 * hash that is named with it; nothing happens when none is named.
 * Returns FALSE with @problem, said of the key at fault. */
gboolean tarn_label_shape_attach (TarnPatient *patient, const char *folder,
                                  TarnProblem *problem);
