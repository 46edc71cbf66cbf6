/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fuzz-patient.h: the entry that libFuzzer calls; the replay calls it too. */
#pragma once

#include <stddef.h>
#include <stdint.h>

/* Returns 0; aborts on a finding. */
int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);
