/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/bytes.h"

#include <stdlib.h>
#include <string.h>

cairo_status_t
tarn_bytes_append (void *closure, const unsigned char *data, unsigned count)
{
  TarnBytes *bytes = closure;
  if (bytes->size + count > bytes->room)
    {
      size_t room = 2 * bytes->room + count + 4096;
      uint8_t *grown = realloc (bytes->data, room);
      if (grown == NULL)
        return CAIRO_STATUS_NO_MEMORY;
      bytes->data = grown;
      bytes->room = room;
    }
  memcpy (bytes->data + bytes->size, data, count);
  bytes->size += count;
  return CAIRO_STATUS_SUCCESS;
}

TarnStatus
tarn_bytes_take (TarnBytes *bytes, cairo_status_t status, uint8_t **data, size_t *size)
{
  if (status != CAIRO_STATUS_SUCCESS)
    {
      free (bytes->data);
      return TARN_NO_MEMORY;
    }
  *data = bytes->data;
  *size = bytes->size;
  return TARN_OK;
}
