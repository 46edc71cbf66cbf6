/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * nrrd.h: segmented volumes as NRRD files, the format that tools for medical images share
 * (its definition: "Definition of NRRD File Format", Teem project).
 *
 * Floor: store.  Read are three-dimensional files of whole numbers, 8 to 64 bits, values 0 to
 * 65535, either byte order; encodings raw and gzip; the data in the same file or in one beside
 * it; spacings, or space directions in left-posterior-superior, right-anterior-superior or
 * left-anterior-superior space.  All else is refused with a sentence, and so is a file that
 * claims more than it can hold, before memory is taken for it.
 * Threads: any. */
#pragma once

#include "base/label_map.h"

#include <gio/gio.h>

#define TARN_NRRD_ERROR (tarn_nrrd_error_quark ())
typedef enum
{
  TARN_NRRD_ERROR_READ,    /* the system would not let it be read */
  TARN_NRRD_ERROR_INVALID, /* no such file, or not one that is read here */
  TARN_NRRD_ERROR_MEMORY,
  TARN_NRRD_ERROR_WRITE,
} TarnNrrdError;
GQuark tarn_nrrd_error_quark (void);

#define TARN_NRRD_VOXELS_MAX (384u << 20) /* a cube of 738 */

/**
 * Reads the header alone: size, place and how many bytes the data are.
 *
 * @map: out; no codes.  Returns FALSE and sets @error: FILE:LINE: what is wrong.
 */
gboolean tarn_nrrd_read_header (const char *path, TarnLabelMap *map, GError **error);

/* The whole of it.  @map: out; tarn_label_map_clear () it.  A file without placement stands
 * with its middle at the origin. */
gboolean tarn_nrrd_load (const char *path, TarnLabelMap *map, GCancellable *cancellable,
                         GError **error);
void tarn_label_map_clear (TarnLabelMap *map); /* a zeroed one is allowed */

/* Writes @map with attached header, gzip encoding, left-posterior-superior space; 8 bits where
 * that is enough.  @comment: text for the header, further lines begin with "# "; or NULL. */
gboolean tarn_nrrd_save (const TarnLabelMap *map, const char *path, const char *comment,
                         GError **error);
