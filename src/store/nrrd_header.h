/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * nrrd_header.h: what the head of an NRRD file says.  Private to store/.
 *
 * Floor: store. */
#pragma once

#include "store/nrrd.h"

typedef struct
{
  int bytes; /* of a number: 1, 2, 4, 8 */
  gboolean is_signed, big_endian, gzip;
  char *data_file; /* beside the header; NULL: attached */
  goffset data_at; /* where the data begin in the header's file; attached only */
  int line_skip;
  gint64 byte_skip; /* -1: the data are the file's last bytes */
  TarnLabelMap map; /* size and place */
} TarnNrrdHeader;

/**
 * Parses a header from the first bytes of a file.
 *
 * @name: stands for the file in messages.  Returns FALSE and sets @error with the line at
 * fault; @header then needs no clearing.
 */
gboolean tarn_nrrd_parse_header (const char *bytes, gsize length, const char *name,
                                 TarnNrrdHeader *header, GError **error);
void tarn_nrrd_header_clear (TarnNrrdHeader *header);

guint64 tarn_nrrd_voxels (const TarnNrrdHeader *header);
