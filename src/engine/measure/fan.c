/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Variants of a sweep, plane by plane.
 *
 * 1. Pictures are never kept.  A plane's scatterers are gathered once (once more without
 *    other fluids, where there are any), then finished for each set of causes left out that
 *    some variant needs, then outlined for those variants.
 * 2. A cause that does not act in a plane leaves its picture alone, so variants that differ
 *    only by it share the picture; those whose chains came to the same neighbour share the
 *    outline.  A chain knows its neighbour by address: the same address, the same outline.
 * 3. A wide variant needs the wide picture; narrow ones see a crop of it, which is the narrow
 *    picture to the bit.
 * 4. Turns are planes while starts are sought, then the two ways out from the starts, apart
 *    for the variants in which nothing moves.
 *
 *      slot[variant][plane]: room for one outline     result[variant][plane]: which slot
 */
#include "engine/measure/fan.h"

#include "engine/measure/chain.h"
#include "engine/measure/crew.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define FINISH_MASK  (TARN_WITHOUT_BONE | TARN_WITHOUT_GAS | TARN_WITHOUT_DRY)
#define FINISH_KINDS (FINISH_MASK + 1)

typedef struct
{
  const TarnSweepSetup *setup;
  const TarnSweep *sweep;
  const TarnFanVariant *variant;
  int variants;
  TarnImageGeometry wide;
  int offset_lines;  /* of the narrow field in the wide one */
  int lowest, count; /* planes lowest … lowest + count - 1 */
  TarnCrew crew;
  TarnOutline *slot;
  const TarnOutline **result;
  TarnOutline *first; /* each variant's start, copied out of its slot */
  const TarnOutline *start[TARN_FAN_VARIANTS_MAX]; /* into first; NULL: none */
  int start_index[TARN_FAN_VARIANTS_MAX];
  int candidate[TARN_CHAIN_STARTS_MAX];
  uint64_t seeking; /* variants without a start yet */
} Fan;

/* One plane in hand. */
typedef struct
{
  Fan *fan;
  TarnCrewMember *member;
  int index;
  bool is_wide; /* the picture's field */
  TarnPlaneSetup plane;
  const TarnChain *chain;    /* one for each variant; NULL while starts are sought */
  const TarnOutline *narrow; /* of this picture's crop; NULL: none wanted */
} Shooting;

static size_t
place (const Fan *fan, int variant, int index)
{
  return (size_t)variant * (size_t)fan->count + (size_t)(index - fan->lowest);
}

static bool
covers (const Fan *fan, int variant, int index)
{
  return fan->variant[variant].wide || (index >= 0 && index < fan->sweep->planes);
}

static uint64_t
bit (int variant)
{
  return (uint64_t)1 << variant;
}

static bool
same_neighbour (const Shooting *shooting, int a, int b)
{
  const TarnFanVariant *variant = shooting->fan->variant;
  if (variant[a].wide != variant[b].wide)
    return false;
  return shooting->chain == NULL || shooting->chain[a].last == shooting->chain[b].last;
}

/* Outlines the picture in hand for one variant. */
static void
outline_one (const Shooting *shooting, int variant)
{
  Fan *fan = shooting->fan;
  bool wide = fan->variant[variant].wide;
  TarnOutlineHints hints = tarn_crew_hints (fan->setup);
  TarnImage image
      = { shooting->plane.geometry, shooting->member->grey, shooting->plane.geometry.samples };
  TarnOutline *slot = &fan->slot[place (fan, variant, shooting->index)];

  /* The narrow field lies in the wide one: skip lines, drop depth. */
  if (shooting->is_wide && !wide)
    {
      image.geometry = fan->sweep->geometry;
      image.grey += (size_t)fan->offset_lines * (size_t)image.stride;
    }
  if (shooting->chain != NULL)
    tarn_chain_hint (&shooting->chain[variant], shooting->index, fan->sweep->step_rad, &hints);
  else if (wide && shooting->narrow != NULL && shooting->narrow->found)
    hints.neighbour = shooting->narrow;
  tarn_crew_blame (shooting->member,
                   tarn_outline_find (shooting->member->outline, &image, &hints, slot));
  fan->result[place (fan, variant, shooting->index)] = slot;
}

/* Outlines the picture in hand for those of @wanted that see one field, equal ones once. */
static void
outline_alike (Shooting *shooting, uint64_t wanted, bool wide)
{
  Fan *fan = shooting->fan;
  for (int v = 0; v < fan->variants; v++)
    {
      if (!(wanted & bit (v)) || fan->variant[v].wide != wide)
        continue;
      int twin = 0;
      while (twin < v && !((wanted & bit (twin)) && same_neighbour (shooting, twin, v)))
        twin++;
      if (twin < v)
        fan->result[place (fan, v, shooting->index)]
            = fan->result[place (fan, twin, shooting->index)];
      else
        outline_one (shooting, v);
      if (!wide)
        shooting->narrow = fan->result[place (fan, v, shooting->index)];
    }
}

/* While starts are sought, the wide field's outline starts from the narrow field's. */
static void
outline_all (Shooting *shooting, uint64_t wanted)
{
  shooting->narrow = NULL;
  outline_alike (shooting, wanted, false);
  outline_alike (shooting, wanted, true);
}

/* Of @wanted, those whose causes left out come down to @without where only @acting act. */
static uint64_t
alike (const Fan *fan, uint64_t wanted, unsigned acting, unsigned without)
{
  uint64_t those = 0;
  for (int v = 0; v < fan->variants; v++)
    if ((wanted & bit (v)) && (fan->variant[v].without & acting) == without)
      those |= bit (v);
  return those;
}

/* All causes that some of @wanted leave out. */
static unsigned
left_out (const Fan *fan, uint64_t wanted)
{
  unsigned without = 0;
  for (int v = 0; v < fan->variants; v++)
    if (wanted & bit (v))
      without |= fan->variant[v].without;
  return without;
}

/* Finishes the plane last gathered and outlines it for @wanted. */
static TarnStatus
finish_all (Shooting *shooting, uint64_t wanted, unsigned others)
{
  TarnCrewMember *member = shooting->member;
  TarnStatus status = TARN_OK;
  unsigned acting = tarn_plane_acting (member->plane) & FINISH_MASK;
  for (unsigned without = 0; without < FINISH_KINDS && status == TARN_OK; without++)
    {
      uint64_t those = alike (shooting->fan, wanted, acting, without);
      if (those == 0)
        continue;
      status
          = tarn_plane_finish (member->plane, &shooting->plane, without | others, member->grey);
      if (status == TARN_OK)
        outline_all (shooting, those);
    }
  return status;
}

/* Gathers the plane in hand, once more without other fluids where that makes a difference. */
static TarnStatus
gather_all (Shooting *shooting, uint64_t wanted)
{
  TarnPlaneWork *work = shooting->member->plane;
  unsigned later = left_out (shooting->fan, wanted) & ~(unsigned)TARN_WITHOUT_OTHERS;
  TarnStatus status = tarn_plane_gather (work, &shooting->plane, later);
  if (status != TARN_OK)
    return status;

  uint64_t with = wanted;
  if (tarn_plane_acting (work) & TARN_WITHOUT_OTHERS)
    with = alike (shooting->fan, wanted, TARN_WITHOUT_OTHERS, 0);
  status = finish_all (shooting, with, 0);
  if (with == wanted || status != TARN_OK)
    return status;
  status = tarn_plane_gather (work, &shooting->plane, later | TARN_WITHOUT_OTHERS);
  return status == TARN_OK ? finish_all (shooting, wanted & ~with, TARN_WITHOUT_OTHERS)
                           : status;
}

/* Shoots plane @index for the variants @wanted, all still or all not. */
static void
shoot (Fan *fan, int index, bool still, uint64_t wanted, const TarnChain *chain, int worker)
{
  Shooting shooting
      = { .fan = fan, .member = &fan->crew.member[worker], .index = index, .chain = chain };
  for (int v = 0; v < fan->variants; v++)
    if (wanted & bit (v))
      shooting.is_wide |= fan->variant[v].wide;
  shooting.plane = tarn_crew_plane (fan->setup, &fan->sweep->shots, index, still,
                                    shooting.is_wide ? &fan->wide : &fan->sweep->geometry);
  tarn_crew_blame (shooting.member, gather_all (&shooting, wanted));
}

/* The variants in which nothing moves, or the others. */
static uint64_t
class_of (const Fan *fan, bool still)
{
  uint64_t those = 0;
  for (int v = 0; v < fan->variants; v++)
    if (fan->variant[v].still == still)
      those |= bit (v);
  return those;
}

static void
start_turn (void *context, int turn, int worker)
{
  Fan *fan = context;
  bool still = turn % 2;
  int index = fan->candidate[turn / 2];
  uint64_t wanted = class_of (fan, still) & fan->seeking;
  for (int v = 0; v < fan->variants; v++)
    if (!covers (fan, v, index))
      wanted &= ~bit (v);
  if (wanted != 0)
    shoot (fan, index, still, wanted, NULL, worker);
}

/* Copies the starts out of their slots, which the chains write over; variants with the same
 * one share the copy, and so have the same neighbour. */
static void
copy_starts (Fan *fan)
{
  const TarnOutline *slot[TARN_FAN_VARIANTS_MAX];
  memcpy (slot, fan->start, sizeof slot);
  for (int v = 0; v < fan->variants; v++)
    {
      if (slot[v] == NULL)
        continue;
      int twin = 0;
      while (slot[twin] != slot[v])
        twin++;
      if (twin == v)
        fan->first[v] = *slot[v];
      fan->start[v] = &fan->first[twin];
    }
}

/* Every second plane beyond the fan, where only wide variants look. */
static int
starts_beyond (const Fan *fan, int *index)
{
  int count = 0;
  for (int k = 2; - k >= fan->lowest; k += 2)
    {
      index[count++] = -k;
      index[count++] = fan->sweep->planes - 1 + k;
    }
  return count;
}

/* Takes the best candidate of a variant for its start if it is better than what it has. */
static void
choose_among (Fan *fan, int variant, int candidates, double *merit)
{
  for (int k = 0; k < candidates; k++)
    {
      int index = fan->candidate[k];
      if (!covers (fan, variant, index))
        continue;
      const TarnOutline *its = fan->result[place (fan, variant, index)];
      if (tarn_chain_merit (its) <= *merit)
        continue;
      *merit = tarn_chain_merit (its);
      fan->start[variant] = its;
      fan->start_index[variant] = index;
    }
}

/* Whether all narrow variants have a start that they are sure of. */
static bool
narrow_sure (const Fan *fan)
{
  for (int v = 0; v < fan->variants; v++)
    if (!fan->variant[v].wide && (fan->start[v] == NULL || !tarn_chain_sure (fan->start[v])))
      return false;
  return true;
}

/* One round of candidates for all variants that still seek. */
static void
try_candidates (Fan *fan, int candidates, double merit[TARN_FAN_VARIANTS_MAX])
{
  tarn_parallel_for (fan->setup->parallel, 2 * candidates, start_turn, fan);
  for (int v = 0; v < fan->variants && tarn_crew_status (&fan->crew) == TARN_OK; v++)
    if (fan->seeking & bit (v))
      {
        choose_among (fan, v, candidates, &merit[v]);
        if (fan->start[v] != NULL && tarn_chain_sure (fan->start[v]))
          fan->seeking &= ~bit (v);
      }
}

/* Rule 1 of chain.h for every variant.  Where that leaves a narrow one in doubt, the wide ones
 * also look beyond the fan. */
static void
choose_starts (Fan *fan)
{
  double merit[TARN_FAN_VARIANTS_MAX] = { 0 };
  fan->seeking = class_of (fan, false) | class_of (fan, true);
  for (int tier = 0; tier < TARN_CHAIN_TIERS && fan->seeking != 0; tier++)
    try_candidates (fan, tarn_chain_starts (fan->sweep->planes, tier, fan->candidate), merit);
  if (!narrow_sure (fan))
    {
      fan->seeking = 0;
      for (int v = 0; v < fan->variants; v++)
        fan->seeking |= fan->variant[v].wide ? bit (v) : 0;
      try_candidates (fan, starts_beyond (fan, fan->candidate), merit);
    }
  copy_starts (fan);
}

/* The variants of a class whose chains want plane @index on their way. */
static uint64_t
wanting (const Fan *fan, uint64_t class, const TarnChain *chain, int index, int way)
{
  uint64_t those = 0;
  for (int v = 0; v < fan->variants; v++)
    if ((class & bit (v)) && tarn_chain_alive (&chain[v]) && covers (fan, v, index)
        && (index - fan->start_index[v]) * way > 0)
      those |= bit (v);
  return those;
}

static void
chain_turn (void *context, int turn, int worker)
{
  Fan *fan = context;
  bool still = turn / 2;
  int way = turn % 2 ? -1 : 1;
  uint64_t class = class_of (fan, still);
  TarnChain chain[TARN_FAN_VARIANTS_MAX];

  for (int v = 0; v < fan->variants; v++)
    chain[v] = (TarnChain){ .last = fan->start[v], .last_index = fan->start_index[v] };
  for (int k = 0; k < fan->count; k++)
    {
      int index = way > 0 ? fan->lowest + k : fan->lowest + fan->count - 1 - k;
      uint64_t wanted = wanting (fan, class, chain, index, way);
      if (wanted == 0)
        continue;
      shoot (fan, index, still, wanted, chain, worker);
      if (fan->crew.member[worker].status != TARN_OK)
        return;
      for (int v = 0; v < fan->variants; v++)
        {
          const TarnOutline **result = &fan->result[place (fan, v, index)];
          if ((wanted & bit (v)) && !tarn_chain_take (&chain[v], index, *result))
            *result = NULL;
        }
    }
}

static TarnStatus
fan_init (Fan *fan, const TarnFanField *field)
{
  const TarnSweep *sweep = fan->sweep;
  bool wide = false;
  for (int v = 0; v < fan->variants; v++)
    wide |= fan->variant[v].wide;

  int beyond = wide ? sweep->shots.beyond : 0;
  fan->lowest = -beyond;
  fan->count = sweep->planes + 2 * beyond;
  fan->wide = tarn_plane_geometry_widened (
      &sweep->geometry, field != NULL ? field->half_sector_rad : TARN_WIDE_HALF_SECTOR_RAD,
      field != NULL ? field->depth_mm : TARN_WIDE_DEPTH_MM, &fan->offset_lines);

  const TarnImageGeometry *largest = wide ? &fan->wide : &sweep->geometry;
  size_t slots = (size_t)fan->variants * (size_t)fan->count;
  fan->slot = calloc (slots, sizeof *fan->slot);
  fan->result = calloc (slots, sizeof *fan->result);
  fan->first = calloc ((size_t)fan->variants, sizeof *fan->first);
  if (fan->slot == NULL || fan->result == NULL || fan->first == NULL)
    return TARN_NO_MEMORY;
  return tarn_crew_init (&fan->crew, fan->setup->parallel, fan->setup->plain,
                         (size_t)largest->lines * (size_t)largest->samples);
}

static void
fan_clear (Fan *fan)
{
  tarn_crew_clear (&fan->crew);
  free (fan->slot);
  free (fan->result);
  free (fan->first);
}

TarnStatus
tarn_fan_run (const TarnSweepSetup *setup, const TarnSweep *sweep,
              const TarnFanVariant *variant, int variants, const TarnFanField *wide,
              TarnReading *reading)
{
  assert (variants >= 1 && variants <= TARN_FAN_VARIANTS_MAX);
  Fan fan = { .setup = setup, .sweep = sweep, .variant = variant, .variants = variants };
  TarnStatus status = fan_init (&fan, wide);
  if (status == TARN_OK)
    {
      choose_starts (&fan);
      memset (fan.result, 0, (size_t)variants * (size_t)fan.count * sizeof *fan.result);
      for (int v = 0; v < variants; v++)
        if (fan.start[v] != NULL)
          fan.result[place (&fan, v, fan.start_index[v])] = fan.start[v];
      if (tarn_crew_status (&fan.crew) == TARN_OK)
        tarn_parallel_for (setup->parallel, 4, chain_turn, &fan);
      status = tarn_crew_status (&fan.crew);
    }
  for (int v = 0; v < variants && status == TARN_OK; v++)
    {
      bool whole = variant[v].wide;
      reading[v] = tarn_fan_reading (&fan.result[place (&fan, v, whole ? fan.lowest : 0)],
                                     whole ? fan.count : sweep->planes, sweep->step_rad);
    }
  fan_clear (&fan);
  return status;
}
