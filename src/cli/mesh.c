/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli mesh: the bodies as STL, text form: one named solid for each part, so that a
 * slicing program can tell skin from bone. */
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/subject.h"
#include "engine/body/body.h"

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

static void
append_solid (GString *stl, const char *name, const TarnMesh *mesh)
{
  char *solid = g_strdelimit (g_strdup (name), " ", '-');
  g_string_append_printf (stl, "solid %s\n", solid);
  for (int k = 0; k < mesh->triangles; k++)
    {
      const int *corner = mesh->corner[k];
      TarnVec3 a = mesh->vertex_mm[corner[0]], b = mesh->vertex_mm[corner[1]],
               c = mesh->vertex_mm[corner[2]];
      TarnVec3 n = tarn_normalize (tarn_cross (tarn_sub (b, a), tarn_sub (c, a)));
      g_string_append_printf (stl, "facet normal %.3f %.3f %.3f\nouter loop\n", n.x, n.y, n.z);
      const TarnVec3 vertex[3] = { a, b, c };
      for (int j = 0; j < 3; j++)
        g_string_append_printf (stl, "vertex %.3f %.3f %.3f\n", vertex[j].x, vertex[j].y,
                                vertex[j].z);
      g_string_append (stl, "endloop\nendfacet\n");
    }
  g_string_append_printf (stl, "endsolid %s\n", solid);
  g_free (solid);
}

/* Appends the wanted parts; tells and lists the parts when there is none of that name. */
static TarnExit
append_parts (GString *stl, const char *file, const TarnBody *body, const char *wanted)
{
  GString *names = g_string_new (NULL);
  bool any = false;
  TarnExit outcome = TARN_EXIT_DONE;
  for (int k = 0; k < tarn_body_parts (body) && outcome == TARN_EXIT_DONE; k++)
    {
      const char *name;
      TarnMesh mesh = { 0 };
      TarnStatus status = tarn_body_part (body, k, &name, &mesh);
      if (status != TARN_OK)
        {
          outcome
              = tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", file, tarn_status_text (status));
          break;
        }
      g_string_append_printf (names, "%s%s", k > 0 ? ", " : "", name);
      if (wanted == NULL || strcmp (name, wanted) == 0)
        {
          append_solid (stl, name, &mesh);
          any = true;
        }
      tarn_mesh_clear (&mesh);
    }
  if (outcome == TARN_EXIT_DONE && !any)
    outcome = tarn_complain (TARN_EXIT_USAGE, "mesh: --part: no part \"%s\"; there are %s",
                             wanted, names->str);
  g_string_free (names, TRUE);
  return outcome;
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
      GString *stl = g_string_new (NULL);
      outcome = append_parts (stl, file, body, settings.part);
      if (outcome == TARN_EXIT_DONE)
        outcome = tarn_output_file (settings.stl, stl->str, stl->len);
      g_string_free (stl, TRUE);
    }
  tarn_subject_close (&subject);
  return outcome;
}
