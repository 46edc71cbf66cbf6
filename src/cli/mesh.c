/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli mesh: the bodies as STL, text form: one named solid for each part, so that a
 * slicing program can tell skin from bone. */
#include "cli/command.h"
#include "cli/options.h"
#include "cli/subject.h"
#include "engine/body/body.h"
#include "store/stl.h"

#include <glib.h>
#include <string.h>

typedef struct
{
  const char *stl;
  const char *part;
  double lift_percent;
} Settings;

static const TarnOption options[] = {
  { .name = "stl",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, stl),
    .help = "File to write; needed",
    .fallback = "" },
  { .name = "part",
    .metavar = "NAME",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, part),
    .help = "Write this part alone, e.g. lumen",
    .fallback = "all parts" },
  { .name = "lift",
    .metavar = "PERCENT",
    .kind = TARN_OPTION_NUMBER,
    .offset = offsetof (Settings, lift_percent),
    .low = 0,
    .high = 100,
    .help = "How much of the pannus is held away" },
};

static const Settings defaults;

const TarnSyntax tarn_mesh_syntax = {
  .name = "mesh",
  .synopsis = "FILE --stl F [OPTION]...",
  .summary = "write the bodies for a 3-D printer",
  .about = "Writes the patient's bodies (skin, bones, bladder, structures) for a 3-D printer,\n"
           "in mm, as one STL file with a named solid for each part.",
  .own = options,
  .own_options = G_N_ELEMENTS (options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* The parts that are wanted, with the names that a solid may have. */
typedef struct
{
  int count;
  TarnStlBody *body;
  TarnMesh *mesh;
} Parts;

static Parts
parts_new (int most)
{
  return (Parts){ .body = g_new0 (TarnStlBody, (gsize)most),
                  .mesh = g_new0 (TarnMesh, (gsize)most) };
}

static void
parts_clear (Parts *parts)
{
  for (int k = 0; k < parts->count; k++)
    {
      g_free ((char *)parts->body[k].name);
      tarn_mesh_clear (&parts->mesh[k]);
    }
  g_free (parts->body);
  g_free (parts->mesh);
}

/* Gathers the wanted parts; tells and lists the parts when there is none of that name. */
static TarnExit
gather (Parts *parts, const char *file, const TarnBody *body, const char *wanted)
{
  g_autoptr (GString) names = g_string_new (NULL);
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh = { 0 };
      TarnStatus status = tarn_body_part (body, k, &name, &mesh);
      if (status != TARN_OK)
        return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", file, tarn_status_text (status));
      g_string_append_printf (names, "%s%s", k > 0 ? ", " : "", name);
      if (wanted != NULL && strcmp (name, wanted) != 0)
        {
          tarn_mesh_clear (&mesh);
          continue;
        }
      parts->mesh[parts->count] = mesh;
      parts->body[parts->count].name = g_strdelimit (g_strdup (name), " ", '-');
      parts->body[parts->count].mesh = &parts->mesh[parts->count];
      parts->count++;
    }
  if (parts->count == 0)
    return tarn_complain (TARN_EXIT_USAGE, "mesh: --part: no part \"%s\"; there are %s", wanted,
                          names->str);
  return TARN_EXIT_DONE;
}

static TarnExit
save (const char *path, const Parts *parts)
{
  g_autoptr (GError) error = NULL;
  if (tarn_stl_save (path, TARN_STL_TEXT, parts->body, (gsize)parts->count, &error))
    return TARN_EXIT_DONE;
  return tarn_complain (TARN_EXIT_BAD_INPUT, "%s", error->message);
}

TarnExit
tarn_command_mesh (int argc, char **argv)
{
  Settings settings = defaults;
  const char *file;
  int files;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_mesh_syntax, argc, argv, &settings, &file, &files, &outcome))
    return outcome;
  if (settings.stl == NULL)
    return tarn_complain (TARN_EXIT_USAGE, "mesh: --stl says where to write; it is needed");

  TarnSubject subject;
  outcome = tarn_subject_open (&subject, file);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  tarn_subject_note_lift (&subject, settings.lift_percent);
  const TarnBody *body;
  outcome = tarn_subject_body (&subject, settings.lift_percent / 100, &body);
  if (outcome == TARN_EXIT_DONE)
    {
      Parts parts = parts_new (tarn_body_parts (body));
      outcome = gather (&parts, file, body, settings.part);
      if (outcome == TARN_EXIT_DONE)
        outcome = save (settings.stl, &parts);
      parts_clear (&parts);
    }
  tarn_subject_close (&subject);
  return outcome;
}
