/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief.h"

#include <math.h>

/* The planes of a sweep: where the border really ran, and what each lost. */
static void
add_planes (TarnDebrief *self, const TarnScan *scan, GCancellable *cancellable)
{
  const TarnSweep *sweep = &scan->sweep;
  g_autofree TarnPlaneLoss *loss = g_new (TarnPlaneLoss, (gsize)sweep->planes);
  self->plane = g_new0 (TarnDebriefPlane, (gsize)sweep->planes);
  self->planes = sweep->planes;
  tarn_plane_losses (self->body, sweep, loss);
  for (int k = 0; k < sweep->planes; k++)
    {
      self->plane[k].loss = loss[k];
      if (!g_cancellable_is_cancelled (cancellable))
        (void)tarn_border_of_sweep (self->body, sweep, k, &self->plane[k].border);
    }
}

/* The same patient with the pannus quite away; NULL: there is none, or it is away. */
static TarnSurvey *
lifted_survey (const TarnBody *body, TarnBody **lifted)
{
  const TarnPatient *patient = tarn_body_patient (body);
  TarnSurvey *survey = NULL;
  if (patient->habitus.pannus_mm > 0 && tarn_body_lift (body) < 1
      && tarn_body_new (patient, 1, lifted, NULL) == TARN_OK)
    (void)tarn_survey_new (*lifted, &survey);
  return survey;
}

static void
add_coach (TarnDebrief *self, const TarnAttemptReading *reading, const TarnGelFilm *film,
           const TarnParallel *parallel)
{
  TarnBody *lifted_body = NULL;
  TarnSurvey *survey = NULL;
  if (tarn_survey_new (self->body, &survey) != TARN_OK)
    return;
  TarnSurvey *lifted = lifted_survey (self->body, &lifted_body);
  TarnStance stance = { .pose = reading->pose,
                        .film = film,
                        .depth_mm = tarn_image_depth_limit_mm (&self->view.geometry),
                        .lift = tarn_body_lift (self->body),
                        .lifted = lifted };
  self->has_advice = tarn_advise (survey, &stance, parallel, &self->advice, NULL) == TARN_OK;
  self->has_aim
      = tarn_aim_profile (survey, &reading->pose, film, stance.depth_mm, &self->aim) == TARN_OK;
  tarn_survey_free (lifted);
  tarn_body_free (lifted_body);
  tarn_survey_free (survey);
}

static void
add_image_coach (TarnDebrief *self, const TarnAttemptReading *reading)
{
  const TarnPatient *patient = tarn_body_patient (self->body);
  const TarnSweep *sweep = &reading->scan->sweep;
  bool spoke = reading->force_most_n > patient->temper.comfort_n;
  TarnSweepSeen seen = { .pose = reading->pose,
                         .plane = sweep->plane,
                         .planes = sweep->planes,
                         .geometry = sweep->geometry,
                         .reading = reading->reading,
                         .wet_fraction = sweep->contact.wet_fraction,
                         .comfort_n = spoke ? patient->temper.comfort_n : INFINITY,
                         .has_pannus = patient->habitus.pannus_mm > 0,
                         .lift = tarn_body_lift (self->body),
                         .wander_mm = reading->wander_mm };
  self->by_image = tarn_advise_by_image (&seen);
}

static void
add_diameters (TarnDebrief *self, const TarnAttempt *attempt, const TarnAttemptReading *reading)
{
  TarnDiameters *true_mm = &self->true_diameters;
  tarn_body_lumen_diameters_mm (tarn_attempt_body (attempt), &true_mm->length_mm,
                                &true_mm->width_mm, &true_mm->height_mm);
  self->diameters = reading->diameters;
  self->has_diameters = TRUE;
}

TarnDebrief *
tarn_debrief_new (const TarnAttempt *attempt, int index, const TarnGelFilm *film,
                  const TarnParallel *parallel, GCancellable *cancellable)
{
  TarnDebrief *self = g_new0 (TarnDebrief, 1);
  g_atomic_ref_count_init (&self->references);
  if (index < 0)
    return self;
  const TarnAttemptReading *reading = tarn_attempt_reading (attempt, index);
  self->turn_rad = reading->pose.turn_rad;
  if (reading->scan == NULL)
    {
      add_diameters (self, attempt, reading);
      return self;
    }
  self->body = reading->scan->setup.body;
  self->view = tarn_view_of_sweep (&reading->scan->sweep);
  add_planes (self, reading->scan, cancellable);
  add_image_coach (self, reading);
  if (!g_cancellable_is_cancelled (cancellable))
    add_coach (self, reading, film, parallel);
  return self;
}

TarnDebrief *
tarn_debrief_ref (TarnDebrief *self)
{
  g_atomic_ref_count_inc (&self->references);
  return self;
}

void
tarn_debrief_unref (TarnDebrief *self)
{
  if (!g_atomic_ref_count_dec (&self->references))
    return;
  g_free (self->plane);
  g_free (self);
}

unsigned
tarn_debrief_causes (const TarnDebrief *self)
{
  unsigned causes = 0;
  for (int k = 0; k < self->planes; k++)
    causes |= self->plane[k].loss.acts;
  return causes;
}
