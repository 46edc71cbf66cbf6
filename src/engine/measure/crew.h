/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * crew.h: what each worker needs to shoot and outline planes, and how one plane of a sweep
 * is set up.  Private to measure/.
 *
 * Floor: engine. */
#pragma once

#include "engine/measure/sweep.h"

#define TARN_CREW_RANGE_DB 60 /* of the display */

typedef struct
{
  TarnPlaneWork *plane;
  TarnOutlineWork *outline;
  uint8_t *grey;     /* one picture; NULL unless asked for */
  TarnStatus status; /* the first failure among this worker's turns */
} TarnCrewMember;

typedef struct
{
  int members;
  TarnCrewMember *member;
} TarnCrew;

/* @grey_bytes: of each member's picture; 0 for none. */
TarnStatus tarn_crew_init (TarnCrew *crew, const TarnParallel *parallel, bool plain,
                           size_t grey_bytes);
void tarn_crew_clear (TarnCrew *crew);
void tarn_crew_blame (TarnCrewMember *member, TarnStatus status);
TarnStatus tarn_crew_status (const TarnCrew *crew);

/* Plane @index as it is really shot. */
TarnPlaneSetup tarn_crew_plane (const TarnSweepSetup *setup, const TarnShots *shots, int index,
                                bool still, const TarnImageGeometry *geometry);

/* What the outline may know of the instrument. */
TarnOutlineHints tarn_crew_hints (const TarnSweepSetup *setup);
