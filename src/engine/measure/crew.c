/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Scratch memory for workers, and the set-up of one plane. */
#include "engine/measure/crew.h"

#include "base/random.h"

#include <stdlib.h>

#define NOISE_STREAM 0x6e6f697365

TarnStatus
tarn_crew_init (TarnCrew *crew, const TarnParallel *parallel, bool plain, size_t grey_bytes)
{
  crew->members = tarn_parallel_workers (parallel);
  crew->member = calloc ((size_t)crew->members, sizeof *crew->member);
  if (crew->member == NULL)
    return TARN_NO_MEMORY;
  for (int k = 0; k < crew->members; k++)
    {
      TarnCrewMember *member = &crew->member[k];
      member->plane = tarn_plane_work_new (plain);
      member->outline = plain ? tarn_outline_work_new_plain () : tarn_outline_work_new ();
      member->grey = grey_bytes > 0 ? malloc (grey_bytes) : NULL;
      if (member->plane == NULL || member->outline == NULL
          || (grey_bytes > 0 && member->grey == NULL))
        {
          tarn_crew_clear (crew);
          return TARN_NO_MEMORY;
        }
    }
  return TARN_OK;
}

void
tarn_crew_clear (TarnCrew *crew)
{
  for (int k = 0; crew->member != NULL && k < crew->members; k++)
    {
      tarn_plane_work_free (crew->member[k].plane);
      tarn_outline_work_free (crew->member[k].outline);
      free (crew->member[k].grey);
    }
  free (crew->member);
  *crew = (TarnCrew){ 0 };
}

void
tarn_crew_blame (TarnCrewMember *member, TarnStatus status)
{
  if (member->status == TARN_OK)
    member->status = status;
}

TarnStatus
tarn_crew_status (const TarnCrew *crew)
{
  for (int k = 0; k < crew->members; k++)
    if (crew->member[k].status != TARN_OK)
      return crew->member[k].status;
  return TARN_OK;
}

TarnPlaneSetup
tarn_crew_plane (const TarnSweepSetup *setup, const TarnShots *shots, int index, bool still,
                 const TarnImageGeometry *geometry)
{
  const TarnShot *shot = tarn_shots_at (shots, index, still);
  return (TarnPlaneSetup){
    .body = setup->body,
    .deform = &shot->deform,
    .contact = &shot->contact,
    .frame = tarn_plane_frame (&shot->contact, tarn_shots_fan_rad (shots, index)),
    .geometry = *geometry,
    .gain_db = setup->gain_db,
    .range_db = TARN_CREW_RANGE_DB,
    .noise_seed = tarn_hash_at (setup->motion.seed ^ NOISE_STREAM, (uint64_t)(index + 4096)),
  };
}

TarnOutlineHints
tarn_crew_hints (const TarnSweepSetup *setup)
{
  const TarnProbe *probe = &tarn_body_patient (setup->body)->probe;
  return (TarnOutlineHints){
    .mhz = probe->mhz,
    .aperture_mm = probe->aperture_mm,
    .range_db = TARN_CREW_RANGE_DB,
    .ring_mm = TARN_DRY_BAND_MM,
  };
}
