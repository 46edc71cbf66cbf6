/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kinds of input: their names and how many values each has. */
#include "engine/attempt/input.h"

#include <assert.h>

static const struct
{
  const char *name;
  int values;
} kinds[TARN_INPUTS] = {
  [TARN_INPUT_HAND] = { "hand", 6 },       [TARN_INPUT_LIFT] = { "lift", 1 },
  [TARN_INPUT_GEL] = { "gel", 1 },         [TARN_INPUT_WIPE] = { "wipe", 0 },
  [TARN_INPUT_DEPTH] = { "depth", 1 },     [TARN_INPUT_GAIN] = { "gain", 1 },
  [TARN_INPUT_FREEZE] = { "freeze", 0 },   [TARN_INPUT_PALPATE] = { "palpate", 2 },
  [TARN_INPUT_DEED] = { "deed", 0 },       [TARN_INPUT_SWEEP] = { "sweep", 0 },
  [TARN_INPUT_ABANDON] = { "abandon", 0 }, [TARN_INPUT_CALIPER] = { "caliper", 4 },
  [TARN_INPUT_MEASURE] = { "measure", 1 }, [TARN_INPUT_JUDGE] = { "judge", 0 },
  [TARN_INPUT_RECORD] = { "record", 1 },   [TARN_INPUT_FINISH] = { "finish", 0 },
};

const char *
tarn_input_kind_name (TarnInputKind kind)
{
  assert (kind < TARN_INPUTS);
  return kinds[kind].name;
}

int
tarn_input_values (TarnInputKind kind)
{
  assert (kind < TARN_INPUTS);
  return kinds[kind].values;
}
