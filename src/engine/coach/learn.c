/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Many novices.  Starts run side by side, each on one thread, and are added up in order. */
#include "engine/coach/novice.h"

#include "base/random.h"

#include <stdlib.h>

typedef struct
{
  TarnStatus status;
  TarnProblem problem;
  bool success[TARN_NOVICES];
  int sweeps[TARN_NOVICES];
} Turn;

typedef struct
{
  const TarnPatient *patient;
  const TarnLearnOptions *options;
  unsigned kinds;
  Turn *turn;
} Learning;

static void
learn_one (void *context, int index, int worker)
{
  const Learning *learning = context;
  const TarnLearnOptions *options = learning->options;
  Turn *turn = &learning->turn[index];
  TarnNoviceStart *start;
  (void)worker;
  turn->status = tarn_novice_start_new (
      learning->patient, tarn_hash_at (options->seed, (uint64_t)index), &start, &turn->problem);
  if (turn->status != TARN_OK)
    return;
  for (int kind = 0; turn->status == TARN_OK && kind < TARN_NOVICES; kind++)
    {
      TarnNoviceRun run;
      if ((learning->kinds & (1u << kind)) == 0)
        continue;
      turn->status = tarn_novice_run (start, (TarnNoviceKind)kind, options->planes, &run);
      turn->success[kind] = run.success;
      turn->sweeps[kind] = run.sweeps;
      if (turn->status == TARN_OK && options->done != NULL)
        options->done (options->context, index, (TarnNoviceKind)kind, &run);
    }
  tarn_novice_start_free (start);
}

static TarnStatus
add_up (const Turn *turn, int starts, TarnLearned learned[TARN_NOVICES], TarnProblem *problem)
{
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    learned[kind] = (TarnLearned){ 0 };
  for (int k = 0; k < starts; k++)
    {
      if (turn[k].status != TARN_OK)
        {
          if (problem != NULL)
            *problem = turn[k].problem;
          return turn[k].status;
        }
      for (int kind = 0; kind < TARN_NOVICES; kind++)
        {
          learned[kind].success += turn[k].success[kind];
          learned[kind].sweeps += turn[k].sweeps[kind];
        }
    }
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    {
      learned[kind].success /= starts;
      learned[kind].sweeps /= starts;
    }
  return TARN_OK;
}

TarnStatus
tarn_learn (const TarnPatient *patient, const TarnLearnOptions *options,
            TarnLearned learned[TARN_NOVICES], TarnProblem *problem)
{
  Learning learning = { .patient = patient,
                        .options = options,
                        .kinds = options->kinds != 0 ? options->kinds : ~0u,
                        .turn = calloc ((size_t)options->starts, sizeof *learning.turn) };
  if (learning.turn == NULL)
    return tarn_problem_set (problem, TARN_NO_MEMORY, "", "out of memory");
  tarn_parallel_for (options->parallel, options->starts, learn_one, &learning);
  TarnStatus status = add_up (learning.turn, options->starts, learned, problem);
  free (learning.turn);
  return status;
}
