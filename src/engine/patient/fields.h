/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fields.h: the one list of a patient's fields.  Parsing, ranges, defaults, saving, validation
 * and the manual all follow it; a field that is not here does not exist.
 *
 * Floor: engine.  Pure.
 *
 * 1. Rows stand in the order in which files are written.
 * 2. Columns: group, key, kind, member, unit, lowest, highest, default, help, source.
 *    - kind: REAL, PAIR, VECTOR (1, 2, 3 doubles in a row), INTEGER (int), SEED (uint64_t, up
 *      to 2^53, which every reader of numbers keeps), CHOICE (an enum), FLAG (a bool with two
 *      words), SET (bits of an unsigned), NAME (char[64]), TEXT and PROSE (in `prose`; PROSE
 *      takes locales).
 *    - lowest and highest: of each number; of the bytes of a NAME, TEXT or PROSE.
 *    - default: NEEDED (v): the file must say it, v is only what a new patient starts from;
 *      FIXED (v): the first number, others 0; BY (f, note): see defaults.h; SAID (v, note): a
 *      value outside the range that stands for something said in the note; NONE: no text.
 * 3. A default that is derived may depend only on rows without one. */
#pragma once

#include "base/status.h"
#include "engine/patient/patient.h"

#include <stddef.h>

/* clang-format off */
#define TARN_FIELD_LIST(X)                                                                     \
  X (ANATOMY, "format", INTEGER, format, "", 1, 1, NEEDED (1),                                 \
     "Version of this file format", "own")                                                     \
  X (ANATOMY, "id", NAME, id, "", 1, 63, NEEDED (0),                                           \
     "Short name in records: small letters, digits and hyphens", "own")                        \
  X (ANATOMY, "title", PROSE, prose, "", 1, 120, NEEDED (0),                                   \
     "What the learner sees in the list; says nothing of the trap", "own")                     \
  X (ANATOMY, "scenario", PROSE, prose, "", 1, 2000, NONE,                                     \
     "Who the patient is and why a scan was asked for", "own")                                 \
  X (ANATOMY, "objective", PROSE, prose, "", 1, 2000, NONE,                                    \
     "What the learner can do afterwards; shown before a guided attempt", "own")               \
  X (ANATOMY, "author", TEXT, prose, "", 1, 200, NONE,                                         \
     "Who wrote the patient", "own")                                                           \
  X (ANATOMY, "license", TEXT, prose, "", 1, 100, NONE,                                        \
     "License of this file, as an SPDX expression", "SPDX")                                    \
  X (ANATOMY, "seed", SEED, seed, "", 0, 9007199254740991, NEEDED (1),                         \
     "Where the tissue's texture and every other draw start", "own")                           \
                                                                                               \
  X (HABITUS, "sex", CHOICE (sex), habitus.sex, "", 0, 1, NEEDED (TARN_SEX_FEMALE),            \
     "Sex", "own")                                                                             \
  X (HABITUS, "age-years", REAL, habitus.age_years, "years", 0, 110, NEEDED (40),              \
     "Age", "own")                                                                             \
  X (HABITUS, "complexion", INTEGER, habitus.complexion, "", 1, 6, FIXED (3),                  \
     "Skin colour from fair, 1, to dark, 6; sound does not see it", "own")                     \
  X (HABITUS, "torso-width-mm", REAL, habitus.torso_width_mm, "mm", 80, 700,                   \
     BY (torso_width_mm, "by age; 300 for adults"),                                            \
     "Torso from side to side, pannus apart", "own")                                           \
  X (HABITUS, "torso-depth-mm", REAL, habitus.torso_depth_mm, "mm", 70, 600,                   \
     BY (torso_depth_mm, "by age; 200 for adults"),                                            \
     "Torso from front to back, pannus apart", "own")                                          \
  X (HABITUS, "skin-mm", REAL, habitus.skin_mm, "mm", 0.5, 5,                                  \
     BY (skin_mm, "by age; 2 for adults"),                                                     \
     "Thickness of the skin", "from memory")                                                   \
  X (HABITUS, "fat-mm", REAL, habitus.fat_mm, "mm", 2, 120, NEEDED (18),                       \
     "Fat under the skin above the symphysis, pannus apart",                                   \
     "own: slim 8, average 18, large 50")                                                      \
  X (HABITUS, "muscle-mm", REAL, habitus.muscle_mm, "mm", 1, 30,                               \
     BY (muscle_mm, "by age; 9 for adults"),                                                   \
     "Thickness of the straight abdominal muscle", "adults 8 to 10, from memory")              \
  X (HABITUS, "prevesical-mm", REAL, habitus.prevesical_mm, "mm", 1, 30,                       \
     BY (prevesical_mm, "by age; 5 for adults"),                                               \
     "Gap between muscle and bladder, filled with fat", "own")                                 \
  X (HABITUS, "pannus-mm", REAL, habitus.pannus_mm, "mm", 0, 120, FIXED (0),                   \
     "Fold of fat that hangs over the target when nobody lifts it", "own")                     \
  X (HABITUS, "pannus-reach-mm", REAL, habitus.pannus_reach_mm, "mm", 20, 300, FIXED (120),    \
     "How far above the symphysis the fold reaches", "own")                                    \
                                                                                               \
  X (SYMPHYSIS, "height-mm", REAL, symphysis.height_mm, "mm", 8, 60,                           \
     BY (symphysis_height_mm, "by age and sex; women 37, men 42"),                             \
     "Symphysis from head to feet, along the joint", "adults: published means")                \
  X (SYMPHYSIS, "thickness-mm", REAL, symphysis.thickness_mm, "mm", 4, 35,                     \
     BY (symphysis_thickness_mm, "by age and sex; women 15, men 19"),                          \
     "Symphysis from front to back, across the joint", "adults: published means")              \
  X (SYMPHYSIS, "inclination-deg", REAL, symphysis.inclination_deg, "°", 0, 80, FIXED (45),    \
     "How far the joint slopes backwards on its way to the feet", "own")                       \
  X (SYMPHYSIS, "ramus-mm", REAL, symphysis.ramus_mm, "mm", 3, 25,                             \
     BY (ramus_mm, "by age; 12 for adults"),                                                   \
     "Thickness of the bones that leave the joint sideways", "own")                            \
                                                                                               \
  X (BLADDER, "volume-ml", REAL, bladder.volume_ml, "mL", 0, 2000, NEEDED (300),               \
     "What the lumen holds", "own")                                                            \
  X (BLADDER, "length-mm", REAL, bladder.length_mm, "mm", 5, 400,                              \
     BY (length_mm, "by volume"),                                                              \
     "Head to foot; with the next two only the proportions count",                             \
     "own, after MRI of filling")                                                              \
  X (BLADDER, "width-mm", REAL, bladder.width_mm, "mm", 5, 400,                                \
     BY (width_mm, "by volume"),                                                               \
     "Left to right", "own, after MRI of filling")                                             \
  X (BLADDER, "height-mm", REAL, bladder.height_mm, "mm", 5, 400,                              \
     BY (height_mm, "by volume"),                                                              \
     "Front to back", "own, after MRI of filling")                                             \
  X (BLADDER, "left-mm", REAL, bladder.left_mm, "mm", -80, 80, FIXED (0),                      \
     "How far the bladder lies to the patient's left", "own")                                  \
  X (BLADDER, "rise-mm", REAL, bladder.rise_mm, "mm", -80, 120,                                \
     BY (rise_mm, "by age; -15 for adults"),                                                   \
     "Level of its lowest point above the symphysis' upper edge", "own")                       \
  X (BLADDER, "wall-mm", REAL, bladder.wall_mm, "mm", 0.5, 15,                                 \
     BY (wall_mm, "by volume and age; 2.76 empty, 1.55 full"),                                 \
     "Thickness of the wall", "published means")                                               \
  X (BLADDER, "pear", REAL, bladder.pear, "", 0, 1, FIXED (0.2),                               \
     "How much the neck is narrower than the dome", "own")                                     \
  X (BLADDER, "irregular", REAL, bladder.irregular, "", 0, 1, FIXED (0),                       \
     "How lumpy the wall is", "own")                                                           \
  X (BLADDER, "filling-ml-per-minute", REAL, bladder.filling_ml_per_minute, "mL/min", 0, 20,   \
     FIXED (1),                                                                                \
     "How fast urine arrives", "1 to 5, common practice, no source")                           \
  X (BLADDER, "map", TEXT, prose, "", 1, 200, NONE,                                            \
     "Label map beside this file that shows the lumen's shape", "own")                         \
  X (BLADDER, "map-sha256", TEXT, prose, "", 64, 64, NONE,                                     \
     "SHA-256 of the label map, small hexadecimal; needed with one", "FIPS 180-4")             \
  X (BLADDER, "map-label", INTEGER, bladder.map_label, "", 1, 65535, FIXED (1),                \
     "Which of the map's labels is the lumen", "own")                                          \
                                                                                               \
  X (STRUCTURE, "kind", CHOICE (structure), kind, "", 0, 12, NEEDED (TARN_STRUCTURE_CYST),     \
     "What it is", "own")                                                                      \
  X (STRUCTURE, "centre-mm", VECTOR, centre_mm, "mm", -400, 400, NEEDED (0),                   \
     "Centre: to the patient's left; to the back; to the head", "own")                         \
  X (STRUCTURE, "radii-mm", VECTOR, radii_mm, "mm", 0.5, 250, NEEDED (10),                     \
     "Half axes of the ellipsoid before turning: across; front to back; head to foot", "own")  \
  X (STRUCTURE, "turn-deg", VECTOR, turn_deg, "°", -180, 180, FIXED (0),                       \
     "Turns about the three axes, one after the other", "own")                                 \
  X (STRUCTURE, "counts", FLAG (no_yes), counts, "", 0, 1,                                     \
     BY (counts, "yes for a diverticulum, else no"),                                           \
     "Whether its fluid belongs to the true volume", "own")                                    \
                                                                                               \
  X (PATIENT, "breathing-mm", REAL, temper.breathing_mm, "mm", 0, 20, FIXED (2),               \
     "How far breathing moves the bladder, from end to end", "own")                            \
  X (PATIENT, "breathing-per-minute", REAL, temper.breathing_per_minute, "1/min", 4, 80,       \
     BY (breathing_per_minute, "by age; 14 for adults"),                                       \
     "Breaths", "from memory")                                                                 \
  X (PATIENT, "restless", REAL, temper.restless, "", 0, 1, FIXED (0),                          \
     "From still, 0, to never still, 1", "own")                                                \
  X (PATIENT, "comfort-n", REAL, temper.comfort_n, "N", 1, 60,                                 \
     BY (comfort_n, "by age; 20 for adults"),                                                  \
     "Force above which the patient says so and guards", "own")                                \
                                                                                               \
  X (SITUATION, "identity", FLAG (identity), situation.identity_matches, "", 0, 1, FIXED (1),  \
     "Whether wristband and request name the same person", "own")                              \
  X (SITUATION, "consent", FLAG (no_yes), situation.consents, "", 0, 1, FIXED (1),             \
     "Whether the patient agrees to be scanned", "own")                                        \
  X (SITUATION, "skin", CHOICE (skin), situation.skin, "", 0, 3, FIXED (TARN_SKIN_INTACT),     \
     "Skin where the probe would go", "own")                                                   \
  X (SITUATION, "catheter", CHOICE (catheter), situation.catheter, "", 0, 2,                   \
     FIXED (TARN_CATHETER_NONE),                                                               \
     "Catheter in the bladder", "own")                                                         \
  X (SITUATION, "minutes-since-void", REAL, situation.minutes_since_void, "min", 0, 10080,     \
     SAID (-1, "not known"),                                                                   \
     "Time since urine was last passed", "own")                                                \
  X (SITUATION, "start-pose", PAIR, situation.start_above_mm, "mm", -150, 300, FIXED (40),     \
     "Where the probe starts: above the symphysis; to the patient's left",                     \
     "2 to 4 cm above on the midline, common practice, no source")                             \
  X (SITUATION, "mark", FLAG (mark), situation.mark_reversed, "", 0, 1, FIXED (0),             \
     "Which way round the probe is handed to the learner", "own")                              \
  X (SITUATION, "stop", PROSE, prose, "", 1, 500, NONE,                                        \
     "What makes not scanning the right decision; absent when scanning is right", "own")       \
                                                                                               \
  X (VARIATION, "volume-percent", REAL, variation.volume_percent, "%", 0, 50, FIXED (0),       \
     "An attempt draws the volume within plus and minus this", "own")                          \
  X (VARIATION, "left-mm", REAL, variation.left_mm, "mm", 0, 30, FIXED (0),                    \
     "Likewise the bladder's place to the left", "own")                                        \
  X (VARIATION, "fat-percent", REAL, variation.fat_percent, "%", 0, 50, FIXED (0),             \
     "Likewise the fat", "own")                                                                \
  X (VARIATION, "rise-mm", REAL, variation.rise_mm, "mm", 0, 30, FIXED (0),                    \
     "Likewise the level of the lowest point", "own")                                          \
                                                                                               \
  X (PROBE, "mhz", REAL, probe.mhz, "MHz", 1, 10, FIXED (3),                                   \
     "Centre frequency", "common practice, no source")                                         \
  X (PROBE, "sector-deg", REAL, probe.sector_deg, "°", 20, 150, FIXED (80),                    \
     "Full angle of one plane", "own")                                                         \
  X (PROBE, "fan-deg", REAL, probe.fan_deg, "°", 10, 150, FIXED (70),                          \
     "Full angle of a sweep", "own")                                                           \
  X (PROBE, "depth-mm", REAL, probe.depth_mm, "mm", 40, 300, FIXED (180),                      \
     "Depth shown", "own")                                                                     \
  X (PROBE, "lines", INTEGER, probe.lines, "", 16, 512, FIXED (192),                           \
     "Lines in a plane", "own")                                                                \
  X (PROBE, "samples", INTEGER, probe.samples, "", 64, 1600, FIXED (640),                      \
     "Samples in a line", "own")                                                               \
  X (PROBE, "planes", INTEGER, probe.planes, "", 2, 64, FIXED (36),                            \
     "Planes in a sweep", "own")                                                               \
  X (PROBE, "face-radius-mm", REAL, probe.face_radius_mm, "mm", 10, 60, FIXED (15),            \
     "Radius of the convex face", "own")                                                       \
  X (PROBE, "aperture-mm", REAL, probe.aperture_mm, "mm", 2, 40, FIXED (12),                   \
     "Widest group of elements that one line uses", "own")                                     \
  X (PROBE, "elevation-mm", REAL, probe.elevation_mm, "mm", 2, 40, FIXED (12),                 \
     "Width of the face across the plane", "own")                                              \
  X (PROBE, "elevation-focus-mm", REAL, probe.elevation_focus_mm, "mm", 10, 300, FIXED (70),   \
     "Depth at which the plane is thinnest", "own")                                            \
                                                                                               \
  X (PASS, "tolerance-percent", REAL, pass.tolerance_percent, "%", 1, 50, FIXED (10),          \
     "A reading is accurate within this of the truth", "own; local policy decides")            \
  X (PASS, "tolerance-ml", REAL, pass.tolerance_ml, "mL", 1, 200, FIXED (10),                  \
     "Or within this, if that is more", "own; local policy decides")                           \
  X (PASS, "must-not-miss", SET (miss), pass.must_not_miss, "", 0, 127, FIXED (0),             \
     "Errors that fail the attempt whatever the score", "own")                                 \
                                                                                               \
  X (TEXT, "briefing", PROSE, prose, "", 1, 4000, NONE,                                        \
     "What the learner reads before the scan", "own")                                          \
  X (TEXT, "debrief", PROSE, prose, "", 1, 4000, NONE,                                         \
     "What the learner reads after it: the trap, the cue, the way out", "own")                 \
  X (TEXT, "local-policy", PROSE, prose, "", 1, 2000, NONE,                                    \
     "What local policy and a licensed practitioner decide", "own")
/* clang-format on */

typedef enum
{
  TARN_GROUP_ANATOMY,
  TARN_GROUP_HABITUS,
  TARN_GROUP_SYMPHYSIS,
  TARN_GROUP_BLADDER,
  TARN_GROUP_STRUCTURE, /* once for each structure: [Structure 1], [Structure 2] … */
  TARN_GROUP_PATIENT,
  TARN_GROUP_SITUATION,
  TARN_GROUP_VARIATION,
  TARN_GROUP_PROBE,
  TARN_GROUP_PASS,
  TARN_GROUP_TEXT,
  TARN_GROUPS
} TarnFieldGroup;

typedef enum
{
  TARN_FIELD_REAL,
  TARN_FIELD_PAIR,
  TARN_FIELD_VECTOR,
  TARN_FIELD_INTEGER,
  TARN_FIELD_SEED,
  TARN_FIELD_CHOICE,
  TARN_FIELD_FLAG,
  TARN_FIELD_SET,
  TARN_FIELD_NAME,
  TARN_FIELD_TEXT,
  TARN_FIELD_PROSE,
} TarnFieldKind;

typedef struct
{
  TarnFieldGroup group;
  const char *key;
  TarnFieldKind kind;
  const char *member; /* as written in the list */
  size_t offset;      /* in TarnStructure for its group, else in TarnPatient */
  const char *unit;   /* "" for none */
  double low, high;
  const char *const *word; /* of a CHOICE, FLAG or SET: value k is word[k] (a SET's: bit k) */
  int words;
  bool required;
  double fixed; /* the default, unless `derive` is there */
  double (*derive) (const TarnPatient *patient, const TarnStructure *structure);
  const char *note; /* the default in words, or NULL */
  const char *help, *source;
} TarnField;

/* Rows of the list, in its order.  @index: 0 … tarn_field_count () - 1. */
int tarn_field_count (void);
const TarnField *tarn_field_at (int index);
int tarn_field_index (const TarnField *field);
/* NULL when the group has no such key. */
const TarnField *tarn_field_find (TarnFieldGroup group, const char *key);
/* "Anatomy", "Habitus" … */
const char *tarn_field_group_name (TarnFieldGroup group);

/* TEXT and PROSE: not numbers, and not kept in a member. */
bool tarn_field_is_text (const TarnField *field);
/* How many numbers the field has: 0 for names and texts. */
int tarn_field_components (const TarnField *field);

/* The field's numbers in @owner, a TarnPatient or a TarnStructure; a choice is its index, a
 * flag 0 or 1, a set its bits.  @component: 0 … tarn_field_components () - 1.
 * tarn_field_set () takes only what tarn_field_holds (). */
double tarn_field_get (const TarnField *field, const void *owner, int component);
void tarn_field_set (const TarnField *field, void *owner, int component, double value);
/* Within the range, whole where it must be, and a number at all. */
bool tarn_field_holds (const TarnField *field, double value);

/* What the field is when a file does not say it.  @structure: NULL but for its group. */
double tarn_field_default (const TarnField *field, const TarnPatient *patient,
                           const TarnStructure *structure, int component);
bool tarn_field_is_default (const TarnField *field, const TarnPatient *patient,
                            const TarnStructure *structure);

/* Whether the file says it in so many words.  Saving keeps what was said, even where it equals
 * the default.  Not for texts: those are said when they are there. */
bool tarn_field_is_stated (const TarnField *field, const TarnPatient *patient,
                           const TarnStructure *structure);
void tarn_field_state (const TarnField *field, TarnPatient *patient, TarnStructure *structure,
                       bool stated);

/* Puts the default into every field that is not stated. */
void tarn_patient_fill_defaults (TarnPatient *patient);
