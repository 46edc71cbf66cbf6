/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli import: a patient from a label map; or, without a place to write to, what labels
 * there are. */
#include "base/units.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "store/label_shape.h"
#include "store/nrrd.h"

#include <gio/gio.h>
#include <stddef.h>
#include <string.h>

typedef struct
{
  int bladder;
  const char *structures, *like, *title, *output;
} Settings;

static const TarnOption options[] = {
  { .name = "bladder",
    .metavar = "LABEL",
    .kind = TARN_OPTION_INTEGER,
    .offset = offsetof (Settings, bladder),
    .low = 1,
    .high = 65535,
    .help = "The label of the urine in the bladder" },
  { .name = "structures",
    .metavar = "LIST",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, structures),
    .help = "Other labels and what they are, as 2=uterus,5=cyst",
    .fallback = "none" },
  { .name = "like",
    .metavar = "FILE",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, like),
    .help = "A patient to take all else from",
    .fallback = "an adult of average build" },
  { .name = "title",
    .metavar = "TEXT",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, title),
    .help = "What the learner sees in the list",
    .fallback = "the map's name" },
  { .name = "output",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, output),
    .help = "Patient file to write; the part of the map that is used goes beside it",
    .fallback = "none: only lists the labels" },
};

static const Settings defaults = { .bladder = 1 };

const TarnSyntax tarn_import_syntax = {
  .name = "import",
  .synopsis = "MAP [OPTION]...",
  .summary = "make a patient from a label map",
  .about
  = "Reads a segmented volume (NRRD) and makes a patient of it: one label becomes the\n"
    "bladder, others ellipsoids of the same size and place.  Without --output it lists the\n"
    "labels with their volumes.  Only maps of synthetic or consented, nameless data belong\n"
    "into a class: local policy decides.",
  .own = options,
  .own_options = G_N_ELEMENTS (options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

static TarnExit
list_labels (const char *path)
{
  g_autoptr (GError) error = NULL;
  TarnLabelMap map;
  if (!tarn_nrrd_load (path, &map, NULL, &error))
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s", error->message);
  g_autoptr (GString) text = g_string_new (NULL);
  g_string_append_printf (text, "%d x %d x %d voxels of %.3g mm³\n", map.size[0], map.size[1],
                          map.size[2], tarn_label_map_voxel_mm3 (&map));
  for (int label = 1; label <= UINT16_MAX; label++)
    for (int code = 1; code <= map.labels; code++)
      if (map.value[code] == label)
        g_string_append_printf (text, "label %d: %.1f mL\n", label,
                                (double)map.voxels[code] * tarn_label_map_voxel_mm3 (&map)
                                    / TARN_MM3_PER_ML);
  if (map.labels == 0)
    g_string_append (text, "no labels: every voxel is 0\n");
  tarn_label_map_clear (&map);
  return tarn_output_text (text->str);
}

static bool
kind_of (const char *name, TarnStructureKind *kind)
{
  for (int k = 0; k < TARN_STRUCTURE_KINDS; k++)
    if (strcmp (name, tarn_structure_kind_name ((TarnStructureKind)k)) == 0)
      {
        *kind = (TarnStructureKind)k;
        return true;
      }
  return false;
}

/* "2=uterus,5=cyst" */
static TarnExit
read_structures (const char *list, TarnLabelImport *import)
{
  g_auto (GStrv) items = g_strsplit (list, ",", -1);
  for (char **item = items; *item != NULL; item++)
    {
      guint64 label;
      char *equals = strchr (*item, '=');
      if (import->structures == TARN_STRUCTURES_MAX)
        return tarn_complain (TARN_EXIT_USAGE, "import: --structures: at most %d",
                              TARN_STRUCTURES_MAX);
      if (equals != NULL)
        *equals = '\0';
      if (equals == NULL || !g_ascii_string_to_unsigned (*item, 10, 1, 65535, &label, NULL)
          || !kind_of (equals + 1, &import->kind[import->structures]))
        return tarn_complain (TARN_EXIT_USAGE,
                              "import: --structures %s: wanted is LABEL=KIND, as 2=uterus; the "
                              "kinds stand in tarn-anatomy(5)",
                              list);
      import->structure[import->structures++] = (uint16_t)label;
    }
  return TARN_EXIT_DONE;
}

/* The patient that all else is taken from. */
static TarnExit
begin (const Settings *settings, const char *map, TarnPatient *patient)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *name = g_path_get_basename (map);
  if (settings->like != NULL)
    {
      g_autoptr (TarnPatientFile) file = tarn_patient_file_load (settings->like, &error);
      if (file == NULL)
        return tarn_complain (TARN_EXIT_BAD_INPUT, "%s", error->message);
      if (tarn_patient_copy (&file->patient, patient) != TARN_OK)
        return tarn_complain (TARN_EXIT_BAD_INPUT, "there is no memory for a patient");
    }
  else
    *patient = tarn_patient_default ();
  const char *title = settings->title != NULL  ? settings->title
                      : settings->like != NULL ? NULL
                                               : name;
  if (title != NULL && tarn_patient_set_prose (patient, "title", "", title) != TARN_OK)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "there is no memory for a title");
  return TARN_EXIT_DONE;
}

static char *
beside (const char *output)
{
  g_autofree char *stem = g_str_has_suffix (output, ".anatomy")
                              ? g_strndup (output, strlen (output) - strlen (".anatomy"))
                              : g_strdup (output);
  return g_strconcat (stem, ".nrrd", NULL);
}

static TarnExit
make_patient (const Settings *settings, TarnLabelImport *import, TarnPatient *patient)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) from = g_file_new_for_path (import->map_path);
  g_autoptr (GFile) to = g_file_new_for_path (import->map_copy);
  double agreement;
  if (g_file_equal (from, to))
    return tarn_complain (TARN_EXIT_USAGE,
                          "import: --output %s: the map beside it would be written over",
                          settings->output);
  if (!tarn_label_import (import, patient, &agreement, NULL, &error)
      || !tarn_patient_file_save (patient, settings->output, &error))
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s", error->message);
  g_autofree char *text = g_strdup_printf (
      "%s: the bladder holds %.0f mL; its shape agrees with the label by %.1f %% (Dice).\n"
      "Structures: %d.  tarn-cli check %s says whether the body can be built.\n"
      "Training only; not for clinical use.\n",
      settings->output, patient->bladder.volume_ml, 100 * agreement, patient->structures,
      settings->output);
  return tarn_output_text (text);
}

TarnExit
tarn_command_import (int argc, char **argv)
{
  Settings settings = defaults;
  const char *map;
  int maps;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_import_syntax, argc, argv, &settings, &map, &maps, &outcome))
    return outcome;
  if (settings.output == NULL)
    return list_labels (map);

  g_autofree char *copy = beside (settings.output);
  TarnLabelImport import
      = { .map_path = map, .map_copy = copy, .bladder = (uint16_t)settings.bladder };
  TarnPatient patient = { 0 };
  if (settings.structures != NULL)
    outcome = read_structures (settings.structures, &import);
  if (outcome == TARN_EXIT_DONE)
    outcome = begin (&settings, map, &patient);
  if (outcome == TARN_EXIT_DONE)
    outcome = make_patient (&settings, &import, &patient);
  tarn_patient_clear (&patient);
  return outcome;
}
