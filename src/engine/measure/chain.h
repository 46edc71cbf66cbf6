/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * chain.h: in which order the planes of a sweep are outlined, and which outlines belong
 * together.
 *
 * Floor: engine.  Pure.  These rules are kept in one place so that a sweep and its variants
 * in the error ledger follow the same ones to the bit:
 * 1. Five planes spread over the middle half of the fan are outlined without a neighbour; the
 *    one of most merit is the start.  When that one is not sure, every second plane of the
 *    fan is tried too, and the best of all is the start.
 * 2. From the start outwards, both ways, each plane is outlined with the last found outline
 *    as its neighbour.
 * 3. An outline that does not lie over its neighbour is another thing, and counts as none.
 * 4. Three planes without an outline end the chain: what lies beyond is not connected.
 * 5. A single outline with nothing in the planes on either side, and no sure start, is none. */
#pragma once

#include "engine/outline/outline.h"

#include <stdbool.h>

#define TARN_CHAIN_MISSES_MAX 3
#define TARN_CHAIN_TIERS      2
#define TARN_CHAIN_STARTS_MAX 128

/* The planes that may be the start, rule 1, each in one tier only.  @tier: 0, then 1.  Returns
 * how many; @index: out, room for @planes. */
int tarn_chain_starts (int planes, int tier, int *index);

/* How good a start is; 0 when nothing was found. */
double tarn_chain_merit (const TarnOutline *outline);

/* Whether a start needs no second opinion: its far wall is seen, and it is no sliver. */
bool tarn_chain_sure (const TarnOutline *outline);

/* One way out from the start. */
typedef struct
{
  const TarnOutline *last; /* found; NULL: the chain never began */
  int last_index;
  int misses;
} TarnChain;

/* Whether a further plane may still belong to it: begun, and not missed too often. */
bool tarn_chain_alive (const TarnChain *chain);

/* The hints for plane @index, without the instrument's part. */
void tarn_chain_hint (const TarnChain *chain, int index, double step_rad,
                      TarnOutlineHints *hints);

/* Takes the outline of plane @index into the chain; false when it does not belong to it. */
bool tarn_chain_take (TarnChain *chain, int index, const TarnOutline *outline);

/* Rule 5: the index of such an outline among @planes, of which any may be NULL; or -1. */
int tarn_chain_lone (const TarnOutline *const *outline, int planes);
