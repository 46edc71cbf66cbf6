/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli labels: a body as a label map for other programs. */
#include "base/parallel.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/subject.h"
#include "cli/threads.h"
#include "store/body_labels.h"
#include "store/nrrd.h"

#include <glib.h>
#include <stddef.h>

typedef struct
{
  const char *nrrd;
  double pitch_mm, lift_percent;
} Settings;

static const TarnOption options[] = {
  { .name = "nrrd",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, nrrd),
    .help = "File to write; needed",
    .fallback = "" },
  { .name = "pitch",
    .metavar = "MM",
    .kind = TARN_OPTION_NUMBER,
    .offset = offsetof (Settings, pitch_mm),
    .low = TARN_BODY_LABELS_PITCH_MIN_MM,
    .high = 20,
    .help = "Edge of a voxel" },
  { .name = "lift",
    .metavar = "PERCENT",
    .kind = TARN_OPTION_NUMBER,
    .offset = offsetof (Settings, lift_percent),
    .low = 0,
    .high = 100,
    .help = "How much of the pannus is held away" },
};

static const Settings defaults = { .pitch_mm = 1.5 };

const TarnSyntax tarn_labels_syntax = {
  .name = "labels",
  .synopsis = "FILE --nrrd F [OPTION]...",
  .summary = "write the body as a label map",
  .about
  = "Writes the patient's body as a segmented volume, one label for each tissue, named in\n"
    "the header: NRRD, gzip, left-posterior-superior space.",
  .own = options,
  .own_options = G_N_ELEMENTS (options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

static TarnExit
write_labels (const TarnBody *body, const Settings *settings)
{
  TarnLabelMap map;
  TarnThreadPool *pool = tarn_threads_open (0);
  if (pool == NULL)
    return TARN_EXIT_BAD_INPUT;
  gboolean sampled
      = tarn_body_labels (body, settings->pitch_mm, tarn_thread_pool_parallel (pool), &map);
  tarn_thread_pool_free (pool);
  if (!sampled)
    return tarn_complain (TARN_EXIT_BAD_INPUT,
                          "labels: --pitch %g: there is no memory for so many voxels",
                          settings->pitch_mm);
  g_autoptr (GError) error = NULL;
  g_autofree char *legend = tarn_body_labels_legend (&map);
  gboolean saved = tarn_nrrd_save (&map, settings->nrrd, legend, &error);
  tarn_label_map_clear (&map);
  return saved ? TARN_EXIT_DONE : tarn_complain (TARN_EXIT_BAD_INPUT, "%s", error->message);
}

TarnExit
tarn_command_labels (int argc, char **argv)
{
  Settings settings = defaults;
  const char *file;
  int files;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_labels_syntax, argc, argv, &settings, &file, &files, &outcome))
    return outcome;
  if (settings.nrrd == NULL)
    return tarn_complain (TARN_EXIT_USAGE, "labels: --nrrd says where to write; it is needed");
  TarnSubject subject;
  outcome = tarn_subject_open (&subject, file);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  tarn_subject_note_lift (&subject, settings.lift_percent);
  const TarnBody *body;
  outcome = tarn_subject_body (&subject, settings.lift_percent / 100, &body);
  if (outcome == TARN_EXIT_DONE)
    outcome = write_labels (body, &settings);
  tarn_subject_close (&subject);
  return outcome;
}
