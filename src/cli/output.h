/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * output.h: what leaves the program, whole or not at all.
 *
 * Floor: cli.  Failures are told on standard error here; the outcome is the exit code. */
#pragma once

#include "cli/command.h"

#include <stddef.h>

/* Writes @text to standard output and flushes it, so that a full disk is noticed. */
TarnExit tarn_output_text (const char *text);

/* Writes a file beside @path and renames it over @path once it is safely on the disk; a
 * device or pipe that stands there is written to as it is. */
TarnExit tarn_output_file (const char *path, const void *data, size_t size);
