/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * stl.h: meshes as a file for a 3-D printer.
 *
 * Floor: store.  Lengths are millimetres, as printing programs take them. */
#pragma once

#include "base/mesh.h"

#include <glib.h>

typedef enum
{
  TARN_STL_TEXT,   /* one `solid NAME` for each body: names survive, and anyone can read it */
  TARN_STL_BINARY, /* a fifth of the size; has no names, so the bodies follow one another */
} TarnStlFormat;

/* One closed mesh, facing outwards, and what to call it: letters, digits, hyphens. */
typedef struct
{
  const char *name;
  const TarnMesh *mesh;
} TarnStlBody;

/**
 * Writes @bodies to @path: beside it first, then renamed into place, so that no half file is
 * ever there.  What is no plain file (a device, a pipe) is written to directly.
 *
 * Returns FALSE with @error set (G_FILE_ERROR: no such folder, no permission, disk full …).
 * Threads: safe for distinct paths.
 */
gboolean tarn_stl_save (const char *path, TarnStlFormat format, const TarnStlBody *bodies,
                        gsize count, GError **error);
