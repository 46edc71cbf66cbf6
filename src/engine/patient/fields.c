/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fields.c: the list as a table, and how its rows reach into a patient. */
#include "engine/patient/fields.h"

#include "engine/patient/defaults.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define COUNT(array) ((int)(sizeof (array) / sizeof (array)[0]))

static const char *const sex_words[] = { "female", "male" };
static const char *const structure_words[]
    = { "cyst", "ascites", "uterus",    "prostate", "gravid-uterus", "diverticulum", "balloon",
        "clot", "stone",   "haematoma", "bowel",    "bowel-gas",     "scar" };
static const char *const no_yes_words[] = { "no", "yes" };
static const char *const identity_words[] = { "mismatch", "match" };
static const char *const mark_words[] = { "right", "reversed" };
static const char *const skin_words[] = { "intact", "scar", "dressing", "wound" };
static const char *const catheter_words[] = { "none", "draining", "blocked" };
static const char *const miss_words[]
    = { "scanned-against-stop", "wrong-patient",   "wrong-fluid-recorded",
        "missed-retention",     "invented-volume", "blocked-catheter-missed",
        "false-exact-number" };

_Static_assert(COUNT (structure_words) == TARN_STRUCTURE_KINDS, "a word for each kind");
_Static_assert(sizeof (TarnSex) == sizeof (int) && sizeof (TarnStructureKind) == sizeof (int)
                   && sizeof (TarnSkinState) == sizeof (int)
                   && sizeof (TarnCatheter) == sizeof (int),
               "choices are read and written as int");
_Static_assert(offsetof (TarnSituation, start_left_mm)
                   == offsetof (TarnSituation, start_above_mm) + sizeof (double),
               "a pair is two doubles in a row");

/* From the columns of the list to the members of TarnField. */
#define KIND_REAL         .kind = TARN_FIELD_REAL
#define KIND_PAIR         .kind = TARN_FIELD_PAIR
#define KIND_VECTOR       .kind = TARN_FIELD_VECTOR
#define KIND_INTEGER      .kind = TARN_FIELD_INTEGER
#define KIND_SEED         .kind = TARN_FIELD_SEED
#define KIND_NAME         .kind = TARN_FIELD_NAME
#define KIND_TEXT         .kind = TARN_FIELD_TEXT
#define KIND_PROSE        .kind = TARN_FIELD_PROSE
#define WORDS(name)       .word = name##_words, .words = COUNT (name##_words)
#define KIND_CHOICE(name) .kind = TARN_FIELD_CHOICE, WORDS (name)
#define KIND_FLAG(name)   .kind = TARN_FIELD_FLAG, WORDS (name)
#define KIND_SET(name)    .kind = TARN_FIELD_SET, WORDS (name)

#define DEFAULT_NEEDED(value)       .required = true, .fixed = value
#define DEFAULT_FIXED(value)        .fixed = value
#define DEFAULT_SAID(value, words)  .fixed = value, .note = words
#define DEFAULT_BY(function, words) .derive = tarn_default_##function, .note = words
#define DEFAULT_NONE                .note = "none"

#define OWNER_ANATOMY   TarnPatient
#define OWNER_HABITUS   TarnPatient
#define OWNER_SYMPHYSIS TarnPatient
#define OWNER_BLADDER   TarnPatient
#define OWNER_STRUCTURE TarnStructure
#define OWNER_PATIENT   TarnPatient
#define OWNER_SITUATION TarnPatient
#define OWNER_VARIATION TarnPatient
#define OWNER_PROBE     TarnPatient
#define OWNER_PASS      TarnPatient
#define OWNER_TEXT      TarnPatient

#define ROW(group_, key_, kind_, member_, unit_, low_, high_, default_, help_, source_)        \
  { .group = TARN_GROUP_##group_,                                                              \
    .key = key_,                                                                               \
    KIND_##kind_,                                                                              \
    .member = #member_,                                                                        \
    .offset = offsetof (OWNER_##group_, member_),                                              \
    .unit = unit_,                                                                             \
    .low = low_,                                                                               \
    .high = high_,                                                                             \
    DEFAULT_##default_,                                                                        \
    .help = help_,                                                                             \
    .source = source_ },

static const TarnField table[] = { TARN_FIELD_LIST (ROW) };

_Static_assert(COUNT (table) <= 64 * TARN_STATED_WORDS, "a bit for each field");

static const char *const group_names[] = {
  "Anatomy",   "Habitus",   "Symphysis", "Bladder", "Structure", "Patient",
  "Situation", "Variation", "Probe",     "Pass",    "Text",
};

_Static_assert(COUNT (group_names) == TARN_GROUPS, "a name for each group");

int
tarn_field_count (void)
{
  return COUNT (table);
}

const TarnField *
tarn_field_at (int index)
{
  assert (index >= 0 && index < COUNT (table));
  return &table[index];
}

int
tarn_field_index (const TarnField *field)
{
  assert (field >= table && field < table + COUNT (table));
  return (int)(field - table);
}

const TarnField *
tarn_field_find (TarnFieldGroup group, const char *key)
{
  for (int k = 0; k < COUNT (table); k++)
    if (table[k].group == group && strcmp (table[k].key, key) == 0)
      return &table[k];
  return NULL;
}

const char *
tarn_field_group_name (TarnFieldGroup group)
{
  assert (group < TARN_GROUPS);
  return group_names[group];
}

bool
tarn_field_is_text (const TarnField *field)
{
  return field->kind == TARN_FIELD_TEXT || field->kind == TARN_FIELD_PROSE;
}

int
tarn_field_components (const TarnField *field)
{
  switch (field->kind)
    {
    case TARN_FIELD_NAME:
    case TARN_FIELD_TEXT:
    case TARN_FIELD_PROSE:
      return 0;
    case TARN_FIELD_PAIR:
      return 2;
    case TARN_FIELD_VECTOR:
      return 3;
    default:
      return 1;
    }
}

double
tarn_field_get (const TarnField *field, const void *owner, int component)
{
  assert (component >= 0 && component < tarn_field_components (field));
  const void *at = (const char *)owner + field->offset;
  switch (field->kind)
    {
    case TARN_FIELD_SEED:
      return (double)*(const uint64_t *)at;
    case TARN_FIELD_FLAG:
      return *(const bool *)at;
    case TARN_FIELD_SET:
      return *(const unsigned *)at;
    case TARN_FIELD_INTEGER:
    case TARN_FIELD_CHOICE:
      return *(const int *)at;
    default:
      return ((const double *)at)[component];
    }
}

void
tarn_field_set (const TarnField *field, void *owner, int component, double value)
{
  assert (component >= 0 && component < tarn_field_components (field));
  void *at = (char *)owner + field->offset;
  switch (field->kind)
    {
    case TARN_FIELD_SEED:
      *(uint64_t *)at = (uint64_t)value;
      break;
    case TARN_FIELD_FLAG:
      *(bool *)at = value != 0;
      break;
    case TARN_FIELD_SET:
      *(unsigned *)at = (unsigned)value;
      break;
    case TARN_FIELD_INTEGER:
    case TARN_FIELD_CHOICE:
      *(int *)at = (int)value;
      break;
    default:
      ((double *)at)[component] = value;
    }
}

static bool
is_whole (const TarnField *field)
{
  return field->kind != TARN_FIELD_REAL && field->kind != TARN_FIELD_PAIR
         && field->kind != TARN_FIELD_VECTOR;
}

bool
tarn_field_holds (const TarnField *field, double value)
{
  if (!(value >= field->low && value <= field->high))
    return false;
  return !is_whole (field) || value == floor (value);
}

double
tarn_field_default (const TarnField *field, const TarnPatient *patient,
                    const TarnStructure *structure, int component)
{
  if (field->derive != NULL)
    return field->derive (patient, structure);
  return component == 0 ? field->fixed : 0;
}

bool
tarn_field_is_default (const TarnField *field, const TarnPatient *patient,
                       const TarnStructure *structure)
{
  const void *owner = field->group == TARN_GROUP_STRUCTURE ? (const void *)structure : patient;
  for (int k = 0; k < tarn_field_components (field); k++)
    if (tarn_field_get (field, owner, k) != tarn_field_default (field, patient, structure, k))
      return false;
  return true;
}

bool
tarn_field_is_stated (const TarnField *field, const TarnPatient *patient,
                      const TarnStructure *structure)
{
  int index = tarn_field_index (field);
  const uint64_t *stated
      = field->group == TARN_GROUP_STRUCTURE ? structure->stated : patient->stated;
  return stated[index / 64] >> (index % 64) & 1;
}

void
tarn_field_state (const TarnField *field, TarnPatient *patient, TarnStructure *structure,
                  bool stated)
{
  int index = tarn_field_index (field);
  uint64_t *word = field->group == TARN_GROUP_STRUCTURE ? structure->stated : patient->stated;
  uint64_t bit = (uint64_t)1 << (index % 64);
  word[index / 64] = stated ? word[index / 64] | bit : word[index / 64] & ~bit;
}

static void
fill_default (const TarnField *field, TarnPatient *patient, TarnStructure *structure)
{
  void *owner = structure != NULL ? (void *)structure : patient;
  if (tarn_field_is_stated (field, patient, structure))
    return;
  for (int k = 0; k < tarn_field_components (field); k++)
    tarn_field_set (field, owner, k, tarn_field_default (field, patient, structure, k));
}

void
tarn_patient_fill_defaults (TarnPatient *patient)
{
  /* What others derive from comes first. */
  for (int derived = 0; derived <= 1; derived++)
    for (int k = 0; k < COUNT (table); k++)
      if ((table[k].derive != NULL) == derived)
        {
          if (table[k].group != TARN_GROUP_STRUCTURE)
            fill_default (&table[k], patient, NULL);
          else
            for (int s = 0; s < patient->structures; s++)
              fill_default (&table[k], patient, &patient->structure[s]);
        }
}
