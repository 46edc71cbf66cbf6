/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * people.h: the bodies on which properties are tested, and short ways to scan them. */
#pragma once

#include "engine/verdict/scan.h"

/* A patient of default build whose bladder holds @volume_ml in the proportions that go with
 * it. */
TarnPatient person_plain (double volume_ml);
/* Fat 8 mm, muscle 8 mm, a narrow torso. */
TarnPatient person_slim (double volume_ml);
/* Fat 50 mm and a pannus of 50 mm on a large torso.  With one of 35 mm a light hand still sees
 * through, 85 mm of fat in all. */
TarnPatient person_large (double volume_ml);

/* Gives the bladder another volume, with the default proportions and wall for it. */
void person_set_volume (TarnPatient *patient, double volume_ml);

TarnStructure *person_add (TarnPatient *patient, TarnStructureKind kind, TarnVec3 centre_mm,
                           TarnVec3 radii_mm);

/* Never fails: a body that cannot be built fails the test. */
TarnBody *person_body (const TarnPatient *patient, double lift);

/* Half the planes of the probe, which read as well, and all of them. */
#define HALF_PLANES  18
#define PROBE_PLANES (-1)

/* What a test asks of a pose; degrees and newtons as on the command line. */
typedef struct
{
  double above_mm, left_mm, tilt_deg, lean_deg, turn_deg, force_n;
  double gel_g, tremor_mm, depth_mm;
  uint64_t seed;
  int planes;        /* of the sweep; 0: HALF_PLANES; PROBE_PLANES: the probe's own */
  TarnGelFilm *film; /* what is on the skin before; NULL: nothing */
} Pose;

/* With the first as initializer, with the second as a value. */
#define POSE_OF(...)                                                                           \
  {                                                                                            \
    .above_mm = 40, .tilt_deg = 5, .force_n = 5, .gel_g = 20, __VA_ARGS__                      \
  }
#define POSE(...) ((Pose)POSE_OF (__VA_ARGS__))

TarnScanOptions pose_options (Pose pose);

/* What a test looks at. */
typedef struct
{
  TarnReading reading;
  double truth_ml, error_ml, tolerance_ml;
  TarnVerdict verdict;
  bool by_luck, has_ledger;
  TarnLedger ledger;
  TarnContents contents;
  double wet_fraction, indentation_mm;
  double middle_mm2, largest_mm2; /* sections: of the middle planes, mean; of the largest */
} Outcome;

/* With a ledger only where the reading is not accurate: most of a test's poses are. */
Outcome scan (const TarnBody *body, Pose pose);
Outcome scan_without_ledger (const TarnBody *body, Pose pose);
Outcome scan_with_ledger (const TarnBody *body, Pose pose);

/* Prints one line for the log. */
void say (const char *what, Pose pose, const Outcome *outcome);

/* What straight rays say that a still sweep at this pose loses. */
TarnGeometricLoss lose (const TarnBody *body, Pose pose);

/* Two threads, shared by all scans of a program. */
const TarnParallel *two_threads (void);
