/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * attempt_log_text.h: what the two halves of attempt_log.h share.  Private to store/.
 *
 * Floor: store. */
#pragma once

#include "store/attempt_log.h"

#define TARN_LOG_FIRST_WORD "tarn-attempt "
#define TARN_LOG_VERSION    2
#define TARN_LOG_FIRST_LINE TARN_LOG_FIRST_WORD "2"

/* Appends the lines of @count inputs; they lean on nothing before them. */
void tarn_log_append_inputs (GString *out, int version, const TarnInput *input, gsize count);
/* How much of @data there is up to the last newline; what follows was torn. */
gsize tarn_log_whole_lines (const char *data, gsize length);
