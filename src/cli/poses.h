/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * poses.h: a table of poses: CSV (RFC 4180) whose header names options of a scan.
 *
 * Floor: cli. */
#pragma once

#include "cli/request.h"

#define TARN_POSES_MAX       100000
#define TARN_POSES_BYTES_MAX (16 * 1024 * 1024)

typedef struct
{
  char *name; /* for messages: the path, or "standard input" */
  int count;
  TarnRequest *request;
  int *line; /* where each stands in the file, from 1 */
} TarnPoses;

/**
 * Reads the whole table before anything is scanned, so that a slip in the last row costs no
 * time.  What a row does not name is as in @fallback.
 *
 * @path: "-" for standard input.
 * @poses: out; tarn_poses_clear () it.
 *
 * Returns TARN_EXIT_DONE, or TARN_EXIT_BAD_INPUT after telling "FILE:LINE: column: problem".
 */
TarnExit tarn_poses_read (const char *path, const TarnRequest *fallback, TarnPoses *poses);
void tarn_poses_clear (TarnPoses *poses);
