/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The engine knows no languages: it says one of these, with its gaps filled.  What fills them
 * are numbers, kinds of structures and the two sexes. */
#include "app/words_problem.h"

#include "app/editor_words.h"

#include <glib/gi18n.h>
#include <string.h>

static const char *const sentences[] = {
  N_ ("out of range (%s … %s)"),
  N_ ("at most %s structures"),
  N_ ("small letters, digits and hyphens only (1 … 63 of them)"),
  N_ ("%s bytes long (range %s … %s bytes)"),
  N_ ("translated, but the untranslated text is missing"),
  N_ ("too little for a symphysis behind %s mm of fat: at least %s mm"),
  N_ ("too little for a torso so deep: at least %s mm"),
  N_ ("length, width and height differ by more than tenfold"),
  N_ ("no %s in a %s patient"),
  N_ ("only a diverticulum holds the bladder's urine, a %s does not"),
  N_ ("with this %s %s mL lie inside a lumen of %s mL: at most nine tenths"),
  N_ ("too many for so small a sector: at most %s"),
  N_ ("too many for so small a depth: at most %s"),
  N_ ("too many for so small a fan: at most %s"),
  N_ ("a patient who does not consent needs a stop"),
  N_ ("scanned-against-stop can only happen where there is a stop"),
  N_ ("blocked-catheter-missed can only happen with catheter=blocked"),
  N_ ("a bladder of these proportions does not fit into the torso"),
  N_ ("no place behind the bone keeps the bladder clear of it"),
  N_ ("the bladder is too deep for this torso"),
  N_ ("the %s lies outside the body"),
  N_ ("the %s has its middle in a bone"),
  N_ ("the %s does not lie within the bladder's lumen"),
  N_ ("the %s has its middle within the bladder or no bladder to join"),
  N_ ("the %s has its middle within the bladder"),
  N_ ("the %s lies too deep in the bladder to float aside"),
  N_ ("the %s overlaps the bladder and its wall"),
  N_ ("the %s overlaps the empty bladder"),
  N_ ("the %s lies wholly within the bladder"),
  N_ ("the %s would take more than half of the bladder's room"),
  N_ ("the %s leaves the bladder no room in the torso"),
  N_ ("the %s leaves the bladder no room that it can fill"),
  N_ ("the %s would cut the bladder in two"),
};

/* As the sentence runs on: "cyst", not "Cyst". */
static char *
gap_word (const char *text)
{
  static const struct
  {
    TarnFieldGroup group;
    const char *key;
  } lists[] = { { TARN_GROUP_STRUCTURE, "kind" }, { TARN_GROUP_HABITUS, "sex" } };
  for (gsize k = 0; k < G_N_ELEMENTS (lists); k++)
    {
      const TarnField *field = tarn_field_find (lists[k].group, lists[k].key);
      for (int word = 0; word < field->words; word++)
        if (strcmp (field->word[word], text) == 0)
          return g_utf8_strdown (tarn_editor_choice_word (field, word), -1);
    }
  return g_strdup (text);
}

/* What fills the gaps of @pattern in @text; NULL when it does not say that. */
static GStrv
gaps_of (const char *pattern, const char *text)
{
  g_auto (GStrv) between = g_strsplit (pattern, "%s", -1);
  g_autoptr (GStrvBuilder) gaps = g_strv_builder_new ();
  if (!g_str_has_prefix (text, between[0]))
    return NULL;
  text += strlen (between[0]);
  for (int k = 1; between[k] != NULL; k++)
    {
      const char *end = strstr (text, between[k]);
      if (between[k + 1] == NULL) /* the last runs to the end */
        end = g_str_has_suffix (text, between[k]) ? text + strlen (text) - strlen (between[k])
                                                  : NULL;
      if (end == NULL || end == text)
        return NULL;
      g_autofree char *gap = g_strndup (text, (gsize)(end - text));
      g_strv_builder_add (gaps, gap);
      text = end + strlen (between[k]);
    }
  return *text == '\0' ? g_strv_builder_end (gaps) : NULL;
}

static char *
fill (const char *pattern, GStrv gaps)
{
  g_auto (GStrv) between = g_strsplit (pattern, "%s", -1);
  GString *filled = g_string_new (between[0]);
  for (int k = 1; between[k] != NULL; k++)
    {
      g_autofree char *word = gap_word (gaps[k - 1]);
      g_string_append (filled, word);
      g_string_append (filled, between[k]);
    }
  return g_string_free (filled, FALSE);
}

char *
tarn_words_problem (const char *text)
{
  for (gsize k = 0; k < G_N_ELEMENTS (sentences); k++)
    {
      g_auto (GStrv) gaps = gaps_of (sentences[k], text);
      if (gaps != NULL)
        return fill (_ (sentences[k]), gaps);
    }
  return g_strdup (text);
}

gboolean
tarn_words_problem_is_known (const char *text)
{
  for (gsize k = 0; k < G_N_ELEMENTS (sentences); k++)
    {
      g_auto (GStrv) gaps = gaps_of (sentences[k], text);
      if (gaps != NULL)
        return TRUE;
    }
  return FALSE;
}
