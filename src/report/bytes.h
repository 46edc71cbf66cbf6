/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bytes.h: a file that cairo writes into memory.  Private to report/.
 *
 * Floor: report. */
#pragma once

#include "base/status.h"

#include <cairo.h>
#include <stddef.h>
#include <stdint.h>

/* Zeroed: empty. */
typedef struct
{
  uint8_t *data;
  size_t size, room;
} TarnBytes;

/* A cairo_write_func_t; @bytes: a TarnBytes. */
cairo_status_t tarn_bytes_append (void *bytes, const unsigned char *data, unsigned count);
/* Hands the file over, or frees it where @status is no success.  Returns TARN_OK or
 * TARN_NO_MEMORY, and then leaves @data and @size alone. */
TarnStatus tarn_bytes_take (TarnBytes *bytes, cairo_status_t status, uint8_t **data,
                            size_t *size);
