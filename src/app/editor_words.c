/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of fields is the engine's, which knows no languages: its help, notes and sources
 * stand here once more, only so that they get into the translators' hands.  A test holds the
 * two together. */
#include "app/editor_words.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef struct
{
  TarnFieldGroup group;
  const char *key, *word;
} Label;

static const Label labels[] = {
  { TARN_GROUP_ANATOMY, "format", N_ ("Format") },
  { TARN_GROUP_ANATOMY, "id", N_ ("Short name") },
  { TARN_GROUP_ANATOMY, "title", N_ ("Title") },
  { TARN_GROUP_ANATOMY, "scenario", N_ ("Scenario") },
  { TARN_GROUP_ANATOMY, "objective", N_ ("Objective") },
  { TARN_GROUP_ANATOMY, "author", N_ ("Author") },
  { TARN_GROUP_ANATOMY, "license", N_ ("License") },
  { TARN_GROUP_ANATOMY, "seed", N_ ("Seed") },
  { TARN_GROUP_HABITUS, "sex", N_ ("Sex") },
  { TARN_GROUP_HABITUS, "age-years", N_ ("Age") },
  { TARN_GROUP_HABITUS, "complexion", N_ ("Complexion") },
  { TARN_GROUP_HABITUS, "torso-width-mm", N_ ("Torso width") },
  { TARN_GROUP_HABITUS, "torso-depth-mm", N_ ("Torso depth") },
  { TARN_GROUP_HABITUS, "skin-mm", N_ ("Skin") },
  { TARN_GROUP_HABITUS, "fat-mm", N_ ("Fat") },
  { TARN_GROUP_HABITUS, "muscle-mm", N_ ("Muscle") },
  { TARN_GROUP_HABITUS, "prevesical-mm", N_ ("Gap before the bladder") },
  { TARN_GROUP_HABITUS, "pannus-mm", N_ ("Pannus") },
  { TARN_GROUP_HABITUS, "pannus-reach-mm", N_ ("Reach of the pannus") },
  { TARN_GROUP_SYMPHYSIS, "height-mm", N_ ("Height") },
  { TARN_GROUP_SYMPHYSIS, "thickness-mm", N_ ("Thickness") },
  { TARN_GROUP_SYMPHYSIS, "inclination-deg", N_ ("Inclination") },
  { TARN_GROUP_SYMPHYSIS, "ramus-mm", N_ ("Rami") },
  { TARN_GROUP_BLADDER, "map", N_ ("Label map") },
  { TARN_GROUP_BLADDER, "map-sha256", N_ ("Hash of the label map") },
  { TARN_GROUP_BLADDER, "map-label", N_ ("Label of the lumen") },
  { TARN_GROUP_BLADDER, "volume-ml", N_ ("Volume") },
  { TARN_GROUP_BLADDER, "length-mm", N_ ("Length, head to foot") },
  { TARN_GROUP_BLADDER, "width-mm", N_ ("Width, left to right") },
  { TARN_GROUP_BLADDER, "height-mm", N_ ("Height, front to back") },
  { TARN_GROUP_BLADDER, "left-mm", N_ ("To the left") },
  { TARN_GROUP_BLADDER, "rise-mm", N_ ("Level") },
  { TARN_GROUP_BLADDER, "wall-mm", N_ ("Wall") },
  { TARN_GROUP_BLADDER, "pear", N_ ("Narrow neck") },
  { TARN_GROUP_BLADDER, "irregular", N_ ("Irregular wall") },
  { TARN_GROUP_BLADDER, "filling-ml-per-minute", N_ ("Filling") },
  { TARN_GROUP_STRUCTURE, "kind", N_ ("Kind") },
  { TARN_GROUP_STRUCTURE, "centre-mm", N_ ("Centre") },
  { TARN_GROUP_STRUCTURE, "radii-mm", N_ ("Half axes") },
  { TARN_GROUP_STRUCTURE, "turn-deg", N_ ("Turns") },
  { TARN_GROUP_STRUCTURE, "counts", N_ ("Counts as urine") },
  { TARN_GROUP_PATIENT, "breathing-mm", N_ ("Breathing, depth") },
  { TARN_GROUP_PATIENT, "breathing-per-minute", N_ ("Breathing, rate") },
  { TARN_GROUP_PATIENT, "restless", N_ ("Restlessness") },
  { TARN_GROUP_PATIENT, "comfort-n", N_ ("Comfort") },
  { TARN_GROUP_SITUATION, "identity", N_ ("Wristband") },
  { TARN_GROUP_SITUATION, "consent", N_ ("Consent") },
  { TARN_GROUP_SITUATION, "skin", N_ ("Skin") },
  { TARN_GROUP_SITUATION, "catheter", N_ ("Catheter") },
  { TARN_GROUP_SITUATION, "minutes-since-void", N_ ("Since the last void") },
  { TARN_GROUP_SITUATION, "start-pose", N_ ("Start of the probe") },
  { TARN_GROUP_SITUATION, "mark", N_ ("Index mark") },
  { TARN_GROUP_SITUATION, "stop", N_ ("Reason not to scan") },
  { TARN_GROUP_VARIATION, "volume-percent", N_ ("Volume, give or take") },
  { TARN_GROUP_VARIATION, "left-mm", N_ ("Place, give or take") },
  { TARN_GROUP_VARIATION, "fat-percent", N_ ("Fat, give or take") },
  { TARN_GROUP_VARIATION, "rise-mm", N_ ("Level, give or take") },
  { TARN_GROUP_PROBE, "mhz", N_ ("Frequency") },
  { TARN_GROUP_PROBE, "sector-deg", N_ ("Sector") },
  { TARN_GROUP_PROBE, "fan-deg", N_ ("Fan") },
  { TARN_GROUP_PROBE, "depth-mm", N_ ("Depth") },
  { TARN_GROUP_PROBE, "lines", N_ ("Lines") },
  { TARN_GROUP_PROBE, "samples", N_ ("Samples") },
  { TARN_GROUP_PROBE, "planes", N_ ("Planes") },
  { TARN_GROUP_PROBE, "face-radius-mm", N_ ("Radius of the face") },
  { TARN_GROUP_PROBE, "aperture-mm", N_ ("Aperture") },
  { TARN_GROUP_PROBE, "elevation-mm", N_ ("Width across") },
  { TARN_GROUP_PROBE, "elevation-focus-mm", N_ ("Focus across") },
  { TARN_GROUP_PASS, "tolerance-percent", N_ ("Tolerance, percent") },
  { TARN_GROUP_PASS, "tolerance-ml", N_ ("Tolerance, volume") },
  { TARN_GROUP_PASS, "must-not-miss", N_ ("Must not be missed") },
  { TARN_GROUP_TEXT, "briefing", N_ ("Briefing") },
  { TARN_GROUP_TEXT, "debrief", N_ ("Debrief") },
  { TARN_GROUP_TEXT, "local-policy", N_ ("Local policy") },
};

/* clang-format off */
static const char *const of_the_list[] = {
  N_ ("Version of this file format"),
  N_ ("Short name in records: small letters, digits and hyphens"),
  N_ ("What the learner sees in the list; says nothing of the trap"),
  N_ ("Who the patient is and why a scan was asked for"),
  N_ ("What the learner can do afterwards; shown before a guided attempt"),
  N_ ("Who wrote the patient"),
  N_ ("License of this file, as an SPDX expression"),
  N_ ("Where the tissue's texture and every other draw start"),
  N_ ("Sex"),
  N_ ("Age"),
  N_ ("Skin colour from fair, 1, to dark, 6; sound does not see it"),
  N_ ("Torso from side to side, pannus apart"),
  N_ ("by age; 300 for adults"),
  N_ ("Torso from front to back, pannus apart"),
  N_ ("by age; 200 for adults"),
  N_ ("Thickness of the skin"),
  N_ ("by age; 2 for adults"),
  N_ ("Fat under the skin above the symphysis, pannus apart"),
  N_ ("Thickness of the straight abdominal muscle"),
  N_ ("by age; 9 for adults"),
  N_ ("Gap between muscle and bladder, filled with fat"),
  N_ ("by age; 5 for adults"),
  N_ ("Fold of fat that hangs over the target when nobody lifts it"),
  N_ ("How far above the symphysis the fold reaches"),
  N_ ("Symphysis from head to feet, along the joint"),
  N_ ("by age and sex; women 37, men 42"),
  N_ ("Symphysis from front to back, across the joint"),
  N_ ("by age and sex; women 15, men 19"),
  N_ ("How far the joint slopes backwards on its way to the feet"),
  N_ ("Thickness of the bones that leave the joint sideways"),
  N_ ("by age; 12 for adults"),
  N_ ("What the lumen holds"),
  N_ ("Head to foot; with the next two only the proportions count"),
  N_ ("by volume"),
  N_ ("Left to right"),
  N_ ("Front to back"),
  N_ ("Label map beside this file that shows the lumen's shape"),
  N_ ("SHA-256 of the label map, small hexadecimal; needed with one"),
  N_ ("FIPS 180-4"),
  N_ ("Which of the map's labels is the lumen"),
  N_ ("How far the bladder lies to the patient's left"),
  N_ ("Level of its lowest point above the symphysis' upper edge"),
  N_ ("by age; -15 for adults"),
  N_ ("Thickness of the wall"),
  N_ ("by volume and age; 2.76 empty, 1.55 full"),
  N_ ("How much the neck is narrower than the dome"),
  N_ ("How lumpy the wall is"),
  N_ ("How fast urine arrives"),
  N_ ("What it is"),
  N_ ("Centre: to the patient's left; to the back; to the head"),
  N_ ("Half axes of the ellipsoid before turning: across; front to back; head to foot"),
  N_ ("Turns about the three axes, one after the other"),
  N_ ("Whether its fluid belongs to the true volume"),
  N_ ("yes for a diverticulum, else no"),
  N_ ("How far breathing moves the bladder, from end to end"),
  N_ ("Breaths"),
  N_ ("by age; 14 for adults"),
  N_ ("From still, 0, to never still, 1"),
  N_ ("Force above which the patient says so and guards"),
  N_ ("by age; 20 for adults"),
  N_ ("Whether wristband and request name the same person"),
  N_ ("Whether the patient agrees to be scanned"),
  N_ ("Skin where the probe would go"),
  N_ ("Catheter in the bladder"),
  N_ ("Time since urine was last passed"),
  N_ ("not known"),
  N_ ("Where the probe starts: above the symphysis; to the patient's left"),
  N_ ("Which way round the probe is handed to the learner"),
  N_ ("What makes not scanning the right decision; absent when scanning is right"),
  N_ ("An attempt draws the volume within plus and minus this"),
  N_ ("Likewise the bladder's place to the left"),
  N_ ("Likewise the fat"),
  N_ ("Likewise the level of the lowest point"),
  N_ ("Centre frequency"),
  N_ ("Full angle of one plane"),
  N_ ("Full angle of a sweep"),
  N_ ("Depth shown"),
  N_ ("Lines in a plane"),
  N_ ("Samples in a line"),
  N_ ("Planes in a sweep"),
  N_ ("Radius of the convex face"),
  N_ ("Widest group of elements that one line uses"),
  N_ ("Width of the face across the plane"),
  N_ ("Depth at which the plane is thinnest"),
  N_ ("A reading is accurate within this of the truth"),
  N_ ("Or within this, if that is more"),
  N_ ("Errors that fail the attempt whatever the score"),
  N_ ("What the learner reads before the scan"),
  N_ ("What the learner reads after it: the trap, the cue, the way out"),
  N_ ("What local policy and a licensed practitioner decide"),
  N_ ("own"),
  N_ ("SPDX"),
  N_ ("from memory"),
  N_ ("own: slim 8, average 18, large 50"),
  N_ ("adults 8 to 10, from memory"),
  N_ ("adults: published means"),
  N_ ("own, after MRI of filling"),
  N_ ("published means"),
  N_ ("1 to 5, common practice, no source"),
  N_ ("2 to 4 cm above on the midline, common practice, no source"),
  N_ ("common practice, no source"),
  N_ ("own; local policy decides"),
};
/* clang-format on */

/* ---- Groups ---- */

const char *
tarn_editor_group_word (TarnFieldGroup group)
{
  static const char *const word[TARN_GROUPS] = {
    [TARN_GROUP_ANATOMY] = N_ ("Title and story"),
    [TARN_GROUP_HABITUS] = N_ ("Build"),
    [TARN_GROUP_SYMPHYSIS] = N_ ("Symphysis"),
    [TARN_GROUP_BLADDER] = N_ ("Bladder"),
    [TARN_GROUP_STRUCTURE] = N_ ("Structures"),
    [TARN_GROUP_PATIENT] = N_ ("Behaviour"),
    [TARN_GROUP_SITUATION] = N_ ("Situation"),
    [TARN_GROUP_VARIATION] = N_ ("Variation"),
    [TARN_GROUP_PROBE] = N_ ("Probe"),
    [TARN_GROUP_PASS] = N_ ("Pass rule"),
    [TARN_GROUP_TEXT] = N_ ("Texts"),
  };
  g_return_val_if_fail (group < TARN_GROUPS, "");
  return _ (word[group]);
}

const char *
tarn_editor_group_hint (TarnFieldGroup group)
{
  static const char *const hint[TARN_GROUPS] = {
    [TARN_GROUP_ANATOMY] = N_ ("What the library shows, and whose work this is."),
    [TARN_GROUP_HABITUS] = N_ ("Sex and age set most sizes; state only what is special."),
    [TARN_GROUP_SYMPHYSIS] = N_ ("The bone that the probe stands above, and that shadows."),
    [TARN_GROUP_BLADDER] = N_ ("The volume is exact; the three lengths set its proportions."),
    [TARN_GROUP_STRUCTURE] = N_ ("What else lies there: fluid, organs, gas, things inside."),
    [TARN_GROUP_PATIENT] = N_ ("How the patient breathes, moves and bears pressure."),
    [TARN_GROUP_SITUATION] = N_ ("What the learner has to notice before the probe goes down."),
    [TARN_GROUP_VARIATION] = N_ ("What differs from attempt to attempt."),
    [TARN_GROUP_PROBE] = N_ ("For special purposes: a patient normally says nothing of it."),
    [TARN_GROUP_PASS] = N_ ("How near a reading must be, and what fails an attempt."),
    [TARN_GROUP_TEXT] = N_ ("What the learner reads before and after."),
  };
  g_return_val_if_fail (group < TARN_GROUPS, "");
  return _ (hint[group]);
}

/* ---- Fields ---- */

const char *
tarn_editor_field_word (const TarnField *field)
{
  for (gsize k = 0; k < G_N_ELEMENTS (labels); k++)
    if (labels[k].group == field->group && strcmp (labels[k].key, field->key) == 0)
      return _ (labels[k].word);
  return field->key;
}

const char *
tarn_editor_field_help (const TarnField *field)
{
  return _ (field->help);
}

const char *
tarn_editor_field_source (const TarnField *field)
{
  return _ (field->source);
}

const char *
tarn_editor_component_word (const TarnField *field, int component)
{
  static const char *const centre[3] = { N_ ("To the left"), N_ ("Back"), N_ ("Head") };
  static const char *const radii[3]
      = { N_ ("Across"), N_ ("Front to back"), N_ ("Head to foot") };
  static const char *const turn[3]
      = { N_ ("About left"), N_ ("About back"), N_ ("About head") };
  static const char *const pair[2] = { N_ ("Above the bone"), N_ ("To the left") };
  if (field->kind == TARN_FIELD_PAIR)
    return _ (pair[component]);
  if (field->kind != TARN_FIELD_VECTOR)
    return NULL;
  if (strcmp (field->key, "centre-mm") == 0)
    return _ (centre[component]);
  return _ (strcmp (field->key, "radii-mm") == 0 ? radii[component] : turn[component]);
}

const char *
tarn_editor_choice_word (const TarnField *field, int choice)
{
  static const char *const word[][2] = {
    { "female", N_ ("Female") },
    { "male", N_ ("Male") },
    { "cyst", N_ ("Cyst") },
    { "ascites", N_ ("Ascites") },
    { "uterus", N_ ("Uterus") },
    { "prostate", N_ ("Prostate") },
    { "gravid-uterus", N_ ("Pregnant uterus") },
    { "diverticulum", N_ ("Diverticulum") },
    { "balloon", N_ ("Catheter balloon") },
    { "clot", N_ ("Clot") },
    { "stone", N_ ("Stone") },
    { "haematoma", N_ ("Haematoma") },
    { "bowel", N_ ("Bowel") },
    { "bowel-gas", N_ ("Bowel gas") },
    { "scar", N_ ("Scar") },
    { "no", N_ ("No") },
    { "yes", N_ ("Yes") },
    { "mismatch", N_ ("Names another person") },
    { "match", N_ ("Names this person") },
    { "right", N_ ("The right way round") },
    { "reversed", N_ ("Reversed") },
    { "intact", N_ ("Intact") },
    { "dressing", N_ ("Dressing") },
    { "wound", N_ ("Open wound") },
    { "none", N_ ("None") },
    { "draining", N_ ("Draining") },
    { "blocked", N_ ("Blocked") },
    { "scanned-against-stop", N_ ("Scanned although there was a reason not to") },
    { "wrong-patient", N_ ("Scanned the wrong person") },
    { "wrong-fluid-recorded", N_ ("Recorded other fluid as urine") },
    { "missed-retention", N_ ("Missed retention") },
    { "invented-volume", N_ ("Recorded a volume that was not read") },
    { "blocked-catheter-missed", N_ ("Missed a blocked catheter") },
    { "false-exact-number", N_ ("Recorded a lower bound as an exact number") },
  };
  g_return_val_if_fail (choice >= 0 && choice < field->words, "");
  for (gsize k = 0; k < G_N_ELEMENTS (word); k++)
    if (strcmp (word[k][0], field->word[choice]) == 0)
      return _ (word[k][1]);
  return field->word[choice];
}

char *
tarn_editor_structure_word (const TarnPatient *patient, int structure)
{
  const TarnField *kind = tarn_field_find (TARN_GROUP_STRUCTURE, "kind");
  g_return_val_if_fail (structure >= 0 && structure < patient->structures, NULL);
  return g_strdup_printf ("%d. %s", structure + 1,
                          tarn_editor_choice_word (kind, patient->structure[structure].kind));
}

const char *
tarn_editor_tissue_word (TarnTissue tissue)
{
  static const char *const word[TARN_TISSUES] = {
    [TARN_TISSUE_AIR] = N_ ("Outside the body"),
    [TARN_TISSUE_SKIN] = N_ ("Skin"),
    [TARN_TISSUE_FAT] = N_ ("Fat"),
    [TARN_TISSUE_MUSCLE] = N_ ("Muscle"),
    [TARN_TISSUE_SOFT] = N_ ("Soft tissue"),
    [TARN_TISSUE_WALL] = N_ ("Wall"),
    [TARN_TISSUE_URINE] = N_ ("Urine"),
    [TARN_TISSUE_BONE] = N_ ("Bone"),
    [TARN_TISSUE_GAS] = N_ ("Gas"),
    [TARN_TISSUE_BOWEL] = N_ ("Bowel"),
    [TARN_TISSUE_ORGAN] = N_ ("Organ"),
    [TARN_TISSUE_FLUID] = N_ ("Fluid that is not urine"),
    [TARN_TISSUE_HAEMATOMA] = N_ ("Haematoma"),
    [TARN_TISSUE_CLOT] = N_ ("Clot"),
    [TARN_TISSUE_BALLOON] = N_ ("Water of the balloon"),
    [TARN_TISSUE_STONE] = N_ ("Stone"),
    [TARN_TISSUE_SCAR] = N_ ("Scar"),
  };
  g_return_val_if_fail (tissue < TARN_TISSUES, "");
  return _ (word[tissue]);
}

/* ---- Numbers ---- */

int
tarn_editor_field_digits (const TarnField *field)
{
  if (field->kind != TARN_FIELD_REAL && field->kind != TARN_FIELD_PAIR
      && field->kind != TARN_FIELD_VECTOR)
    return 0;
  return field->high - field->low <= 20 ? 2 : 1;
}

double
tarn_editor_field_step (const TarnField *field)
{
  if (tarn_editor_field_digits (field) < 2)
    return 1;
  return field->high - field->low <= 1 ? 0.05 : 0.1;
}

/* Numbers follow the desktop's language here; files do not. */
static char *
plain_text (const TarnField *field, double value)
{
  int digits = tarn_editor_field_digits (field);
  for (double tens = pow (10, digits - 1);
       digits > 0 && fabs (value * tens - round (value * tens)) < 1e-9; tens /= 10)
    digits--;
  return g_strdup_printf ("%s%.*f", value < 0 ? "−" : "", digits, fabs (value));
}

static char *
number_text (const TarnField *field, double value)
{
  const char *space = field->unit[0] == '\0' || strcmp (field->unit, "°") == 0 ? "" : " ";
  g_autofree char *number = plain_text (field, value);
  return g_strconcat (number, space, field->unit, NULL);
}

static char *
value_text (const TarnField *field, double value)
{
  if (field->derive == NULL && field->note != NULL && value == field->fixed
      && !tarn_field_holds (field, value))
    return g_strdup (_ (field->note));
  if (field->kind == TARN_FIELD_CHOICE || field->kind == TARN_FIELD_FLAG)
    return g_strdup (tarn_editor_choice_word (field, (int)value));
  return number_text (field, value);
}

char *
tarn_editor_field_value (const TarnField *field, const TarnPatient *patient, int structure)
{
  const void *owner = field->group == TARN_GROUP_STRUCTURE
                          ? (const void *)&patient->structure[structure]
                          : patient;
  if (tarn_field_components (field) == 0)
    return g_strdup ("");
  return value_text (field, tarn_field_get (field, owner, 0));
}

static char *
default_text (const TarnField *field, const TarnPatient *patient, int structure)
{
  const TarnStructure *part
      = field->group == TARN_GROUP_STRUCTURE ? &patient->structure[structure] : NULL;
  if (field->kind == TARN_FIELD_SET || tarn_field_components (field) == 0)
    return g_strdup (_ ("none"));
  return value_text (field, tarn_field_default (field, patient, part, 0));
}

char *
tarn_editor_field_facts (const TarnField *field, const TarnPatient *patient, int structure)
{
  g_autoptr (GString) facts = g_string_new (NULL);
  if (tarn_field_components (field) == 0)
    g_string_append_printf (facts, _ ("Up to %.0f bytes."), field->high);
  else if (field->words == 0)
    {
      g_autofree char *low = plain_text (field, field->low);
      g_autofree char *high = number_text (field, field->high);
      /* Translators: lowest and highest value. */
      g_string_append_printf (facts, _ ("%s to %s."), low, high);
    }
  if (!field->required)
    {
      g_autofree char *fallback = default_text (field, patient, structure);
      g_string_append (facts, facts->len > 0 ? " " : "");
      g_string_append_printf (facts, _ ("Default: %s."), fallback);
    }
  if (strcmp (field->source, "own") != 0)
    {
      g_string_append (facts, facts->len > 0 ? " " : "");
      /* Translators: where a range or default comes from. */
      g_string_append_printf (facts, _ ("Source: %s."), tarn_editor_field_source (field));
    }
  return g_string_free (g_steal_pointer (&facts), FALSE);
}

/* ---- For tests ---- */

static gboolean
is_here (const char *text)
{
  for (gsize k = 0; k < G_N_ELEMENTS (of_the_list); k++)
    if (strcmp (of_the_list[k], text) == 0)
      return TRUE;
  return FALSE;
}

const char *
tarn_editor_words_missing (void)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (tarn_editor_field_word (field) == field->key)
        return field->key;
      if (!is_here (field->help))
        return field->help;
      if (!is_here (field->source))
        return field->source;
      if (field->note != NULL && !is_here (field->note) && strcmp (field->note, "none") != 0)
        return field->note;
      for (int w = 0; w < field->words; w++)
        if (tarn_editor_choice_word (field, w) == field->word[w])
          return field->word[w];
    }
  return NULL;
}
