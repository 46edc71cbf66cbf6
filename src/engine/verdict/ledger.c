/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The error ledger.
 *
 * With e (S) the error once the causes S are removed, a cause's entry is
 *   Σ over S without it of |S|! (n - |S| - 1)! / n! · (e (S) - e (S and it)),
 * which sums over causes to e (none) - e (all); the rest is e (all); so the entries sum to the
 * error.  A reading that is not seen enters as 0 mL.  Where nothing but urine is inside the
 * bladder, the truth is greater by what balloon, clot and stone displace. */
#include "engine/verdict/ledger.h"

#include "base/units.h"
#include "engine/measure/fan.h"
#include "engine/verdict/geometric.h"

#include <assert.h>
#include <math.h>

/* What is left around the bladder in a widened field. */
#define MARGIN_RAD 0.25
#define MARGIN_MM  35.0

const char *
tarn_cause_name (TarnCause cause)
{
  static const char *const name[TARN_CAUSES]
      = { "edge", "bone", "gas", "contact", "motion", "other_fluid", "rest" };
  assert (cause < TARN_CAUSES);
  return name[cause];
}

static int
size_of (unsigned set)
{
  int size = 0;
  for (; set != 0; set &= set - 1)
    size++;
  return size;
}

static double
factorial (int n)
{
  return n <= 1 ? 1 : n * factorial (n - 1);
}

TarnLedger
tarn_ledger_split (const double error_ml[TARN_LEDGER_SETS], unsigned acting)
{
  TarnLedger ledger = { .acting = acting };
  int causes = size_of (acting);
  assert (acting < TARN_LEDGER_SETS);

  for (int cause = 0; cause < TARN_CAUSE_REST; cause++)
    {
      unsigned its = 1u << cause;
      if (!(acting & its))
        continue;
      for (unsigned set = 0; set < TARN_LEDGER_SETS; set++)
        {
          if ((set & ~acting) != 0 || (set & its) != 0)
            continue;
          int size = size_of (set);
          double weight = factorial (size) * factorial (causes - size - 1) / factorial (causes);
          ledger.entry_ml[cause] += weight * (error_ml[set] - error_ml[set | its]);
        }
    }
  ledger.entry_ml[TARN_CAUSE_REST] = error_ml[acting];
  return ledger;
}

/* The ledger tries every set of causes, and the fan has room for so many variants. */
_Static_assert(TARN_LEDGER_SETS <= TARN_FAN_VARIANTS_MAX, "too many causes for the fan");

/* Causes that the simulator can leave out of a picture. */
static const struct
{
  TarnCause cause;
  unsigned without;
} in_picture[] = {
  { TARN_CAUSE_BONE, TARN_WITHOUT_BONE },
  { TARN_CAUSE_GAS, TARN_WITHOUT_GAS },
  { TARN_CAUSE_CONTACT, TARN_WITHOUT_DRY },
  { TARN_CAUSE_OTHER_FLUID, TARN_WITHOUT_OTHERS },
};
#define IN_PICTURE (sizeof in_picture / sizeof in_picture[0])

/* The ledger's causes for the simulator's. */
static unsigned
causes_from_picture (unsigned without)
{
  unsigned causes = 0;
  for (size_t k = 0; k < IN_PICTURE; k++)
    if (without & in_picture[k].without)
      causes |= 1u << in_picture[k].cause;
  return causes;
}

static TarnFanVariant
variant_without (unsigned set)
{
  TarnFanVariant variant
      = { .wide = (set >> TARN_CAUSE_EDGE) & 1, .still = (set >> TARN_CAUSE_MOTION) & 1 };
  for (size_t k = 0; k < IN_PICTURE; k++)
    if ((set >> in_picture[k].cause) & 1)
      variant.without |= in_picture[k].without;
  return variant;
}

static bool
touches_edge (const TarnSweep *sweep)
{
  for (int k = 0; k < sweep->planes; k++)
    if (sweep->plane[k].outline.found && sweep->plane[k].outline.at_edge > 0)
      return true;
  return sweep->plane[0].outline.found || sweep->plane[sweep->planes - 1].outline.found;
}

/* The causes that can act in the sweep. */
static unsigned
acting_causes (const TarnSweep *sweep, const TarnGeometricLoss *loss)
{
  unsigned causes = causes_from_picture (sweep->acting);
  if (touches_edge (sweep))
    causes |= 1u << TARN_CAUSE_EDGE;
  /* What hides urine beyond the edge, or behind bone, acts once these are gone. */
  for (int cause = TARN_CAUSE_EDGE; cause <= TARN_CAUSE_CONTACT; cause++)
    if (loss->hidden_ml[cause] > 0)
      causes |= 1u << cause;
  if (sweep->shots.moving)
    causes |= 1u << TARN_CAUSE_MOTION;
  return causes;
}

/* A field that holds the bladder and a margin is as good as the widest, and much cheaper; as
 * long as what is outlined with every cause removed, the last variant, stays inside it. */
static TarnStatus
run_variants (const TarnSweepSetup *setup, const TarnSweep *sweep,
              const TarnGeometricLoss *loss, const TarnFanVariant *variant, int variants,
              TarnReading *reading)
{
  TarnFanField field = { fmin (loss->half_sector_rad + MARGIN_RAD, TARN_WIDE_HALF_SECTOR_RAD),
                         fmin (loss->depth_mm + MARGIN_MM, TARN_WIDE_DEPTH_MM) };
  TarnStatus status = tarn_fan_run (setup, sweep, variant, variants, &field, reading);
  bool least = field.half_sector_rad < TARN_WIDE_HALF_SECTOR_RAD
               || field.depth_mm < TARN_WIDE_DEPTH_MM;
  bool cut
      = variant[variants - 1].wide && reading[variants - 1].kind == TARN_READING_LOWER_BOUND;
  if (status == TARN_OK && least && cut)
    status = tarn_fan_run (setup, sweep, variant, variants, NULL, reading);
  return status;
}

TarnStatus
tarn_ledger_run (const TarnSweepSetup *setup, const TarnSweep *sweep, TarnLedger *ledger,
                 double reading_ml[TARN_LEDGER_SETS])
{
  TarnView view = tarn_view_of_sweep (sweep);
  TarnGeometricLoss loss;
  TarnStatus status = tarn_geometric_loss (setup->body, &view, &loss);
  if (status != TARN_OK)
    return status;
  unsigned acting = acting_causes (sweep, &loss);

  /* Every subset of the acting causes is a variant. */
  TarnFanVariant variant[TARN_LEDGER_SETS];
  unsigned removed[TARN_LEDGER_SETS];
  int variants = 0;
  for (unsigned set = 0; set < TARN_LEDGER_SETS; set++)
    if ((set & ~acting) == 0)
      {
        removed[variants] = set;
        variant[variants++] = variant_without (set);
      }
  TarnReading reading[TARN_LEDGER_SETS] = { 0 };
  status = run_variants (setup, sweep, &loss, variant, variants, reading);
  if (status != TARN_OK)
    return status;

  double truth_ml = tarn_body_true_volume_ml (setup->body);
  double displaced_ml = tarn_body_displaced_ml (setup->body);
  double error_ml[TARN_LEDGER_SETS] = { 0 };
  for (int k = 0; k < variants; k++)
    {
      bool alone = (removed[k] >> TARN_CAUSE_OTHER_FLUID) & 1;
      error_ml[removed[k]] = reading[k].volume_ml - truth_ml - (alone ? displaced_ml : 0);
    }
  *ledger = tarn_ledger_split (error_ml, acting);
  for (int k = 0; reading_ml != NULL && k < variants; k++)
    reading_ml[removed[k]] = reading[k].volume_ml;
  return TARN_OK;
}
