/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient.h: a synthetic person: body, bladder, situation, pass rule.
 *
 * Floor: engine.  Plain data: copied by assignment, except the texts, which TarnPatient owns.
 * Units are those of the patient file, and stand last in every name. */
#pragma once

#include "base/status.h"
#include "base/vec.h"
#include "engine/patient/shape.h"

#include <stdbool.h>
#include <stdint.h>

#define TARN_STRUCTURES_MAX 16
#define TARN_PROSES_MAX     256
#define TARN_STATED_WORDS   2 /* of 64 bits: which fields a file states (fields.h) */

typedef enum
{
  TARN_SEX_FEMALE,
  TARN_SEX_MALE,
} TarnSex;

typedef enum
{
  TARN_STRUCTURE_CYST,
  TARN_STRUCTURE_ASCITES,
  TARN_STRUCTURE_UTERUS,
  TARN_STRUCTURE_PROSTATE,
  TARN_STRUCTURE_GRAVID_UTERUS,
  TARN_STRUCTURE_DIVERTICULUM,
  TARN_STRUCTURE_BALLOON,
  TARN_STRUCTURE_CLOT,
  TARN_STRUCTURE_STONE,
  TARN_STRUCTURE_HAEMATOMA,
  TARN_STRUCTURE_BOWEL,
  TARN_STRUCTURE_BOWEL_GAS,
  TARN_STRUCTURE_SCAR,
  TARN_STRUCTURE_KINDS
} TarnStructureKind;

typedef struct
{
  TarnSex sex;
  double age_years;
  int complexion; /* 1..6 */
  double torso_width_mm, torso_depth_mm;
  double skin_mm, fat_mm, muscle_mm, prevesical_mm;
  double pannus_mm, pannus_reach_mm;
} TarnHabitus;

typedef struct
{
  double height_mm;       /* along the joint, head to feet */
  double thickness_mm;    /* across it, front to back */
  double inclination_deg; /* of the joint's axis below the horizontal plane of the supine
                             patient */
  double ramus_mm;        /* thickness of the superior rami */
} TarnSymphysis;

typedef struct
{
  double volume_ml;                      /* what the lumen holds */
  double length_mm, width_mm, height_mm; /* head-foot, left-right, front-back: proportions */
  double left_mm, rise_mm, wall_mm;
  double pear;      /* 0..1, narrows the neck */
  double irregular; /* 0..1, low lumps */
  double filling_ml_per_minute;
  int map_label; /* of the bladder in the label map that the text "map" names */
} TarnBladder;

typedef struct
{
  TarnStructureKind kind;
  TarnVec3 centre_mm, radii_mm, turn_deg; /* turned about x, then y, then z */
  bool counts;                            /* its volume belongs to the truth */
  uint64_t stated[TARN_STATED_WORDS];
} TarnStructure;

typedef struct
{
  double mhz, sector_deg, fan_deg, depth_mm; /* sector and fan: full angles */
  int lines, samples, planes;
  double face_radius_mm, aperture_mm, elevation_mm, elevation_focus_mm;
} TarnProbe;

typedef struct
{
  double breathing_mm; /* peak to peak */
  double breathing_per_minute;
  double restless; /* 0..1 */
  double comfort_n;
} TarnTemper;

typedef enum
{
  TARN_SKIN_INTACT,
  TARN_SKIN_SCAR,
  TARN_SKIN_DRESSING,
  TARN_SKIN_WOUND,
} TarnSkinState;

typedef enum
{
  TARN_CATHETER_NONE,
  TARN_CATHETER_DRAINING,
  TARN_CATHETER_BLOCKED,
} TarnCatheter;

typedef struct
{
  bool identity_matches, consents;
  TarnSkinState skin;
  TarnCatheter catheter;
  double minutes_since_void; /* negative: not known */
  double start_above_mm, start_left_mm;
  bool mark_reversed;
  bool stop; /* something makes *not scanning* right: the text "stop" says what */
} TarnSituation;

/* Half-widths of the ranges that the attempt's seed draws from. */
typedef struct
{
  double volume_percent, left_mm, fat_percent, rise_mm;
} TarnVariation;

typedef enum
{
  TARN_MISS_SCANNED_AGAINST_STOP = 1 << 0,
  TARN_MISS_WRONG_PATIENT = 1 << 1,
  TARN_MISS_WRONG_FLUID_RECORDED = 1 << 2,
  TARN_MISS_MISSED_RETENTION = 1 << 3,
  TARN_MISS_INVENTED_VOLUME = 1 << 4,
  TARN_MISS_BLOCKED_CATHETER_MISSED = 1 << 5,
  TARN_MISS_FALSE_EXACT_NUMBER = 1 << 6,
} TarnMustNotMiss;

typedef struct
{
  double tolerance_percent, tolerance_ml; /* the larger counts */
  unsigned must_not_miss;                 /* of TarnMustNotMiss */
} TarnPass;

/* A text in one language; locale "" is the untranslated one. */
typedef struct
{
  const char *key; /* the file's: "title", "briefing" …; owned by the list of fields */
  char *locale;
  char *value;
} TarnProse;

typedef struct
{
  int format;
  char id[64];
  uint64_t seed;
  TarnHabitus habitus;
  TarnSymphysis symphysis;
  TarnBladder bladder;
  int structures;
  TarnStructure structure[TARN_STRUCTURES_MAX];
  TarnTemper temper;
  TarnSituation situation;
  TarnVariation variation;
  TarnProbe probe;
  TarnPass pass;
  uint64_t stated[TARN_STATED_WORDS];
  TarnShape shape; /* of the lumen, from its label map; what [Bladder] says stretches it */
  int proses;
  TarnProse *prose; /* owned, in the order of saving; a body's copy of the patient has none */
} TarnPatient;

/* Everything optional at its documented default for an adult of average build (female, 40
 * years, fat 18 mm, bladder 300 mL); sizes that depend on age, sex or volume included.  The
 * id is "plain"; there are no texts. */
TarnPatient tarn_patient_default (void);

/* Frees the texts and zeroes everything.  A zeroed patient is allowed. */
void tarn_patient_clear (TarnPatient *patient);

/* A copy that owns its texts.  Returns TARN_OK, or TARN_NO_MEMORY with @copy zeroed. */
TarnStatus tarn_patient_copy (const TarnPatient *patient, TarnPatient *copy);

/**
 * Sets, replaces or, with NULL, takes away one text.
 *
 * @key: of a text in the list of fields ("title", "stop", "briefing" …; fields.h).
 * @locale: "" for the untranslated text, else as in "es" or "pt_BR".
 * @value: UTF-8; copied.  Its length is not checked here, but by tarn_patient_validate ().
 *
 * Keeps situation.stop in step with the untranslated "stop".
 * Returns TARN_OK, TARN_OUT_OF_RANGE (no such text, or TARN_PROSES_MAX reached) or
 * TARN_NO_MEMORY; the patient is then as before.
 */
TarnStatus tarn_patient_set_prose (TarnPatient *patient, const char *key, const char *locale,
                                   const char *value);

/* The text in @locale ("es_MX.UTF-8"), else in its language ("es"), else untranslated; NULL
 * when there is none.  Belongs to the patient. */
const char *tarn_patient_prose (const TarnPatient *patient, const char *key,
                                const char *locale);

/**
 * Whether this can be a patient: every number in its range, texts of a bearable length, and
 * what the fields say together possible.  Whether structures overlap is for the body to say.
 *
 * @problem: out, may be NULL; the first problem, `key` as in "[Habitus] fat-mm" or
 *   "[Structure 2] radii-mm".
 *
 * Returns TARN_OK, TARN_OUT_OF_RANGE or TARN_IMPOSSIBLE.  Threads: safe.
 */
TarnStatus tarn_patient_validate (const TarnPatient *patient, TarnProblem *problem);

/* For who edits a patient: not the first problem alone but the first of each kind (a field's
 * range, texts, torso, bladder, structures, probe, situation).  @problem: out, @most of them.
 * Returns how many; 0 for a patient that tarn_patient_validate () takes.  Threads: safe. */
int tarn_patient_problems (const TarnPatient *patient, TarnProblem *problem, int most);

/**
 * Draws volume, place to the left, fat and level within [Variation], so that a number cannot
 * be learnt by heart.  Sizes that the file does not state follow the new volume.
 *
 * @attempt_seed: 0 leaves the patient as written; the same seed always draws the same.
 *
 * Draws are kept within the fields' ranges.  A drawn patient has no variation any more.
 */
void tarn_patient_vary (TarnPatient *patient, uint64_t attempt_seed);

/* max (tolerance_percent of @truth_ml, tolerance_ml) */
double tarn_pass_tolerance_ml (const TarnPass *pass, double truth_ml);

/* As in the file: "bowel-gas". */
const char *tarn_structure_kind_name (TarnStructureKind kind);
/* Balloon, clot and stone lie within the lumen and displace urine. */
bool tarn_structure_is_inside (TarnStructureKind kind);
