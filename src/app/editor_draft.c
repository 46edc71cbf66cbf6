/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Steps are whole patients: small, and nothing can go astray on the way back.  What is large,
 * texts and a shape taken from a label map, stands apart, counted. */
#include "app/editor_draft.h"

#include <string.h>

/* A patient that is there for its texts and its shape. */
typedef struct
{
  grefcount references;
  TarnPatient of;
} Texts;

/* What an edit is about, so that the next one can belong to it. */
typedef struct
{
  const TarnField *field; /* NULL: structures, or the whole patient */
  int structure;
  char locale[32];
} Target;

/* What stands before the shape and after it. */
#define BEFORE offsetof (TarnPatient, shape)
#define AFTER  (BEFORE + sizeof (TarnShape))
#define REST   (sizeof (TarnPatient) - AFTER)

typedef struct
{
  Texts *texts;
  Target target; /* of the edit that led here */
  guint64 state;
  guint8 plain[]; /* of BEFORE + REST bytes: the patient without shape */
} Step;

struct _TarnEditorDraft
{
  GObject parent_instance;
  GPtrArray *steps;
  TarnPatient now; /* the present step's; its texts belong to the step */
  guint at;        /* the present one */
  gboolean open;   /* edits of the same thing still belong to it */
  guint64 states, saved;
};

G_DEFINE_FINAL_TYPE (TarnEditorDraft, tarn_editor_draft, G_TYPE_OBJECT)

static guint changed_signal;

/* ---- Steps ---- */

static Texts *
texts_of (const TarnPatient *patient)
{
  Texts *texts = g_new0 (Texts, 1);
  g_ref_count_init (&texts->references);
  if (tarn_patient_copy (patient, &texts->of) != TARN_OK)
    g_error ("no memory for a patient's texts");
  return texts;
}

static Texts *
texts_ref (Texts *texts)
{
  g_ref_count_inc (&texts->references);
  return texts;
}

static void
texts_unref (Texts *texts)
{
  if (!g_ref_count_dec (&texts->references))
    return;
  tarn_patient_clear (&texts->of);
  g_free (texts);
}

static void
step_free (gpointer data)
{
  Step *step = data;
  texts_unref (step->texts);
  g_free (step);
}

static Step *
present (TarnEditorDraft *self)
{
  return g_ptr_array_index (self->steps, self->at);
}

/* Puts the present step's patient together. */
static void
unpack (TarnEditorDraft *self)
{
  const Step *step = present (self);
  guint8 *now = (guint8 *)&self->now;
  memcpy (now, step->plain, BEFORE);
  memcpy (now + AFTER, step->plain + BEFORE, REST);
  self->now.shape = step->texts->of.shape;
  self->now.proses = step->texts->of.proses;
  self->now.prose = step->texts->of.prose;
}

/* A step to @patient, whose texts and shape are those of @texts, a reference that is taken
 * over. */
static Step *
step_new (TarnEditorDraft *self, const TarnPatient *patient, Texts *texts)
{
  Step *step = g_malloc0 (sizeof (Step) + BEFORE + REST);
  memcpy (step->plain, patient, BEFORE);
  memcpy (step->plain + BEFORE, (const guint8 *)patient + AFTER, REST);
  step->texts = texts;
  step->state = ++self->states;
  return step;
}

static bool
target_equal (const Target *a, const Target *b)
{
  return a->field != NULL && a->field == b->field && a->structure == b->structure
         && strcmp (a->locale, b->locale) == 0;
}

/* Takes @patient, whose texts are those of @texts, a reference that is taken over. */
static void
take (TarnEditorDraft *self, const TarnPatient *patient, Texts *texts, const Target *target)
{
  Step *step = step_new (self, patient, texts);
  step->target = *target;

  bool same = self->open && self->at > 0 && self->at + 1 == self->steps->len
              && target_equal (&present (self)->target, target);
  guint keep = same ? self->at : self->at + 1;
  if (self->steps->len > keep)
    g_ptr_array_remove_range (self->steps, keep, self->steps->len - keep);
  g_ptr_array_add (self->steps, step);
  self->at = keep;
  self->open = target->field != NULL;
  unpack (self);
  g_signal_emit (self, changed_signal, 0);
}

/* What a file must say is said; what is not said stands at its default. */
static void
settle (TarnPatient *patient)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (!field->required || tarn_field_is_text (field))
        continue;
      if (field->group != TARN_GROUP_STRUCTURE)
        tarn_field_state (field, patient, NULL, true);
      else
        for (int s = 0; s < patient->structures; s++)
          tarn_field_state (field, patient, &patient->structure[s], true);
    }
  tarn_patient_fill_defaults (patient);
}

static void
edit (TarnEditorDraft *self, TarnPatient *patient, const Target *target)
{
  settle (patient);
  take (self, patient, texts_ref (present (self)->texts), target);
}

static void
begin (TarnEditorDraft *self, const TarnPatient *patient)
{
  Texts *texts = texts_of (patient);
  TarnPatient settled = *patient;
  settle (&settled);
  g_ptr_array_set_size (self->steps, 0);
  g_ptr_array_add (self->steps, step_new (self, &settled, texts));
  self->at = 0;
  self->open = FALSE;
  unpack (self);
}

TarnEditorDraft *
tarn_editor_draft_new (const TarnPatient *patient)
{
  TarnEditorDraft *self = g_object_new (TARN_TYPE_EDITOR_DRAFT, NULL);
  begin (self, patient);
  return self;
}

void
tarn_editor_draft_restart (TarnEditorDraft *self, const TarnPatient *patient)
{
  g_return_if_fail (TARN_IS_EDITOR_DRAFT (self));
  begin (self, patient);
  g_signal_emit (self, changed_signal, 0);
}

const TarnPatient *
tarn_editor_draft_patient (TarnEditorDraft *self)
{
  return &self->now;
}

guint64
tarn_editor_draft_state (TarnEditorDraft *self)
{
  return present (self)->state;
}

/* ---- Edits ---- */

/* Where a field's numbers are in @patient; NULL when there is no such structure. */
static void *
owner_of (const TarnField *field, TarnPatient *patient, int structure)
{
  if (field->group != TARN_GROUP_STRUCTURE)
    return patient;
  return structure >= 0 && structure < patient->structures ? &patient->structure[structure]
                                                           : NULL;
}

static TarnStructure *
structure_of (const TarnField *field, TarnPatient *patient, int structure)
{
  return field->group == TARN_GROUP_STRUCTURE ? &patient->structure[structure] : NULL;
}

static Target
target_of (const TarnField *field, int structure)
{
  return (Target){ .field = field,
                   .structure = field->group == TARN_GROUP_STRUCTURE ? structure : -1 };
}

static gboolean
set_numbers (TarnEditorDraft *self, const TarnField *field, int structure, const double *value,
             int first, int count)
{
  TarnPatient patient = self->now;
  void *owner = owner_of (field, &patient, structure);
  Target target = target_of (field, structure);
  bool other = false;

  if (owner == NULL || first < 0 || first + count > tarn_field_components (field))
    return FALSE;
  for (int k = 0; k < count; k++)
    if (!tarn_field_holds (field, value[k])
        && !(field->derive == NULL && field->note != NULL && value[k] == field->fixed))
      return FALSE;
  for (int k = 0; k < count; k++)
    {
      other |= tarn_field_get (field, owner, first + k) != value[k];
      tarn_field_set (field, owner, first + k, value[k]);
    }
  if (!other)
    return TRUE;
  tarn_field_state (field, &patient, structure_of (field, &patient, structure), true);
  edit (self, &patient, &target);
  return TRUE;
}

gboolean
tarn_editor_draft_set_number (TarnEditorDraft *self, const TarnField *field, int structure,
                              int component, double value)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  return set_numbers (self, field, structure, &value, component, 1);
}

gboolean
tarn_editor_draft_set_vector (TarnEditorDraft *self, const TarnField *field, int structure,
                              TarnVec3 value)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  g_return_val_if_fail (field->kind == TARN_FIELD_VECTOR, FALSE);
  const double number[3] = { value.x, value.y, value.z };
  return set_numbers (self, field, structure, number, 0, 3);
}

gboolean
tarn_editor_draft_set_id (TarnEditorDraft *self, const char *id)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  TarnPatient patient = self->now;
  Target target = target_of (tarn_field_find (TARN_GROUP_ANATOMY, "id"), -1);
  if (strlen (id) >= sizeof patient.id || !g_utf8_validate (id, -1, NULL))
    return FALSE;
  if (strcmp (patient.id, id) == 0)
    return TRUE;
  memset (patient.id, 0, sizeof patient.id);
  g_strlcpy (patient.id, id, sizeof patient.id);
  edit (self, &patient, &target);
  return TRUE;
}

gboolean
tarn_editor_draft_set_text (TarnEditorDraft *self, const TarnField *field, const char *locale,
                            const char *text)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  g_return_val_if_fail (tarn_field_is_text (field), FALSE);
  Target target = target_of (field, -1);
  g_strlcpy (target.locale, locale, sizeof target.locale);
  const char *value = text[0] != '\0' ? text : NULL;
  if (!g_utf8_validate (text, -1, NULL))
    return FALSE;

  Texts *texts = texts_of (&self->now);
  TarnPatient *of = &texts->of;
  const char *before = NULL;
  for (int k = 0; k < of->proses; k++)
    if (strcmp (of->prose[k].key, field->key) == 0 && strcmp (of->prose[k].locale, locale) == 0)
      before = of->prose[k].value;
  bool same = g_strcmp0 (before, value) == 0;
  if (same || tarn_patient_set_prose (of, field->key, locale, value) != TARN_OK)
    {
      texts_unref (texts);
      return same;
    }
  TarnPatient patient = *of;
  take (self, &patient, texts, &target);
  return TRUE;
}

gboolean
tarn_editor_draft_reset (TarnEditorDraft *self, const TarnField *field, int structure)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  TarnPatient patient = self->now;
  Target target = target_of (field, structure);
  if (tarn_field_is_text (field) || field->required
      || owner_of (field, &patient, structure) == NULL)
    return FALSE;
  TarnStructure *part = structure_of (field, &patient, structure);
  if (!tarn_field_is_stated (field, &patient, part))
    return TRUE;
  tarn_editor_draft_seal (self);
  tarn_field_state (field, &patient, part, false);
  edit (self, &patient, &target);
  tarn_editor_draft_seal (self);
  return TRUE;
}

/* ---- Structures ---- */

static const Target whole = { .field = NULL, .structure = -1 };

int
tarn_editor_draft_add_structure (TarnEditorDraft *self, TarnStructureKind kind,
                                 TarnVec3 centre_mm, TarnVec3 radii_mm)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), -1);
  TarnPatient patient = self->now;
  if (patient.structures == TARN_STRUCTURES_MAX)
    return -1;
  int index = patient.structures++;
  TarnStructure structure = { .kind = kind, .centre_mm = centre_mm, .radii_mm = radii_mm };
  memset (&patient.structure[index], 0, sizeof structure);
  patient.structure[index] = structure;
  edit (self, &patient, &whole);
  return index;
}

/* Beside the first, so that it can be seen and taken hold of. */
int
tarn_editor_draft_duplicate_structure (TarnEditorDraft *self, int structure)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), -1);
  TarnPatient patient = self->now;
  const TarnField *place = tarn_field_find (TARN_GROUP_STRUCTURE, "centre-mm");
  if (patient.structures == TARN_STRUCTURES_MAX || structure < 0
      || structure >= patient.structures)
    return -1;
  int index = patient.structures++;
  TarnStructure *copy = &patient.structure[index];
  *copy = patient.structure[structure];
  double aside = copy->centre_mm.x + 2 * copy->radii_mm.x;
  copy->centre_mm.x = aside <= place->high ? aside : copy->centre_mm.x;
  edit (self, &patient, &whole);
  return index;
}

gboolean
tarn_editor_draft_remove_structure (TarnEditorDraft *self, int structure)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  TarnPatient patient = self->now;
  if (structure < 0 || structure >= patient.structures)
    return FALSE;
  for (int k = structure; k + 1 < patient.structures; k++)
    patient.structure[k] = patient.structure[k + 1];
  patient.structures--;
  memset (&patient.structure[patient.structures], 0, sizeof (TarnStructure));
  edit (self, &patient, &whole);
  return TRUE;
}

void
tarn_editor_draft_replace (TarnEditorDraft *self, const TarnPatient *patient)
{
  g_return_if_fail (TARN_IS_EDITOR_DRAFT (self));
  Texts *texts = texts_of (patient);
  TarnPatient settled = *patient;
  settle (&settled);
  take (self, &settled, texts, &whole);
}

/* ---- Back and forth ---- */

void
tarn_editor_draft_seal (TarnEditorDraft *self)
{
  g_return_if_fail (TARN_IS_EDITOR_DRAFT (self));
  self->open = FALSE;
}

gboolean
tarn_editor_draft_can_undo (TarnEditorDraft *self, const TarnField **field)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  if (self->at == 0)
    return FALSE;
  if (field != NULL)
    *field = present (self)->target.field;
  return TRUE;
}

gboolean
tarn_editor_draft_can_redo (TarnEditorDraft *self, const TarnField **field)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  if (self->at + 1 >= self->steps->len)
    return FALSE;
  if (field != NULL)
    *field = ((Step *)g_ptr_array_index (self->steps, self->at + 1))->target.field;
  return TRUE;
}

void
tarn_editor_draft_undo (TarnEditorDraft *self)
{
  if (!tarn_editor_draft_can_undo (self, NULL))
    return;
  self->at--;
  self->open = FALSE;
  unpack (self);
  g_signal_emit (self, changed_signal, 0);
}

void
tarn_editor_draft_redo (TarnEditorDraft *self)
{
  if (!tarn_editor_draft_can_redo (self, NULL))
    return;
  self->at++;
  self->open = FALSE;
  unpack (self);
  g_signal_emit (self, changed_signal, 0);
}

void
tarn_editor_draft_note_saved (TarnEditorDraft *self)
{
  g_return_if_fail (TARN_IS_EDITOR_DRAFT (self));
  self->saved = present (self)->state;
  self->open = FALSE;
  g_signal_emit (self, changed_signal, 0);
}

gboolean
tarn_editor_draft_is_saved (TarnEditorDraft *self)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (self), FALSE);
  return self->saved == present (self)->state;
}

/* ---- The object ---- */

static void
tarn_editor_draft_finalize (GObject *object)
{
  g_ptr_array_unref (TARN_EDITOR_DRAFT (object)->steps);
  G_OBJECT_CLASS (tarn_editor_draft_parent_class)->finalize (object);
}

static void
tarn_editor_draft_class_init (TarnEditorDraftClass *class)
{
  G_OBJECT_CLASS (class)->finalize = tarn_editor_draft_finalize;
  changed_signal = g_signal_new ("changed", TARN_TYPE_EDITOR_DRAFT, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void
tarn_editor_draft_init (TarnEditorDraft *self)
{
  self->steps = g_ptr_array_new_with_free_func (step_free);
}
