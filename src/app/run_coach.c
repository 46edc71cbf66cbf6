/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The attempt's thread leaves how things stand; of several that come while the coach thinks
 *    only the last counts.
 * 2. A survey belongs to a body: it is made anew when the fold has moved.
 * 3. The coach takes no more than a tenth of a second's turn, and rests until the next. */
#include "app/run_coach.h"

#include "app/graphics.h"
#include "base/units.h"

#include <math.h>
#include <string.h>

#define TURN_US (G_USEC_PER_SEC / 12)

/* Within these the hand has not moved; a tremor is no move (own design values). */
#define SAME_MM  1.0
#define SAME_DEG 1.0
#define SAME_N   0.5
#define SAME_G   0.5

typedef struct
{
  const TarnBody *body;
  TarnPose pose;
  TarnGelFilm film;
  double depth_mm, lift, gel_g;
} Stand;

struct TarnRunCoach
{
  GThread *thread;
  GMutex lock;
  GCond wake;

  /* Under the lock. */
  gboolean stopping, waits, speaks, has_advice;
  Stand next;
  TarnAdvice advice;
  double turn_rad;

  /* The coach's own. */
  Stand now;
  gboolean has_now;
  TarnSurvey *survey, *lifted_survey;
  TarnBody *lifted;
};

/* ---- The coach's thread ---- */

static gboolean
same_pose (const TarnPose *a, const TarnPose *b)
{
  double angle_rad
      = fmax (fabs (a->tilt_rad - b->tilt_rad),
              fmax (fabs (a->lean_rad - b->lean_rad), fabs (a->turn_rad - b->turn_rad)));
  return fabs (a->above_mm - b->above_mm) < SAME_MM && fabs (a->left_mm - b->left_mm) < SAME_MM
         && tarn_deg_from_rad (angle_rad) < SAME_DEG && fabs (a->force_n - b->force_n) < SAME_N;
}

static gboolean
same_stand (const Stand *a, const Stand *b)
{
  return a->body == b->body && fabs (a->depth_mm - b->depth_mm) < 1e-9
         && fabs (a->gel_g - b->gel_g) < SAME_G && same_pose (&a->pose, &b->pose);
}

/* The patient with the fold away, once; and the body as it is. */
static TarnStatus
survey_body (TarnRunCoach *self, const TarnBody *body)
{
  const TarnPatient *patient = tarn_body_patient (body);
  if (self->survey != NULL && tarn_survey_body (self->survey) == body)
    return TARN_OK;
  g_clear_pointer (&self->survey, tarn_survey_free);
  if (patient->habitus.pannus_mm > 0 && self->lifted == NULL
      && tarn_body_new (patient, 1, &self->lifted, NULL) == TARN_OK)
    (void)tarn_survey_new (self->lifted, &self->lifted_survey);
  return tarn_survey_new (body, &self->survey);
}

static gboolean
think (TarnRunCoach *self, TarnAdvice *advice)
{
  const Stand *now = &self->now;
  if (survey_body (self, now->body) != TARN_OK)
    return FALSE;
  TarnStance stance = { .pose = now->pose,
                        .film = &now->film,
                        .depth_mm = now->depth_mm,
                        .lift = now->lift,
                        .lifted = now->lift < 1 ? self->lifted_survey : NULL };
  return tarn_advise (self->survey, &stance, NULL, advice, NULL) == TARN_OK;
}

/* Rests until the end of the turn that began at @began_us, or until the run ends. */
static void
rest (TarnRunCoach *self, gint64 began_us)
{
  while (!self->stopping && g_cond_wait_until (&self->wake, &self->lock, began_us + TURN_US))
    ;
}

static gpointer
coach (gpointer data)
{
  TarnRunCoach *self = data;
  tarn_graphics_step_back ();
  g_mutex_lock (&self->lock);
  while (!self->stopping)
    {
      if (!self->waits)
        {
          g_cond_wait (&self->wake, &self->lock);
          continue;
        }
      gint64 began_us = g_get_monotonic_time ();
      gboolean same = self->has_now && self->has_advice && same_stand (&self->now, &self->next);
      if (!same)
        self->now = self->next;
      self->has_now = TRUE;
      self->waits = FALSE;
      if (same)
        {
          rest (self, began_us);
          continue;
        }
      g_mutex_unlock (&self->lock);
      TarnAdvice advice;
      gboolean has_advice = think (self, &advice);
      g_mutex_lock (&self->lock);
      self->has_advice = has_advice;
      if (has_advice)
        self->advice = advice;
      self->turn_rad = self->now.pose.turn_rad;
      rest (self, began_us);
    }
  g_mutex_unlock (&self->lock);
  return NULL;
}

/* ---- The other threads' side ---- */

TarnRunCoach *
tarn_run_coach_new (void)
{
  TarnRunCoach *self = g_new0 (TarnRunCoach, 1);
  g_mutex_init (&self->lock);
  g_cond_init (&self->wake);
  self->thread = g_thread_new ("coach", coach, self);
  return self;
}

void
tarn_run_coach_free (TarnRunCoach *self)
{
  if (self == NULL)
    return;
  g_mutex_lock (&self->lock);
  self->stopping = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  g_thread_join (self->thread);
  tarn_survey_free (self->lifted_survey);
  tarn_survey_free (self->survey);
  tarn_body_free (self->lifted);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->wake);
  g_free (self);
}

void
tarn_run_coach_take (TarnRunCoach *self, const TarnAttempt *attempt)
{
  const TarnBedside *now = tarn_attempt_bedside (attempt);
  gboolean speaks = now->on_skin && !now->frozen && !now->sweeping && !now->finished;
  g_mutex_lock (&self->lock);
  if (speaks && !self->speaks)
    self->has_advice = FALSE;
  self->speaks = speaks;
  if (speaks)
    {
      self->next = (Stand){ .body = tarn_attempt_body (attempt),
                            .pose = now->pose,
                            .film = *tarn_attempt_film (attempt),
                            .depth_mm = now->depth_mm,
                            .gel_g = now->gel_g,
                            .lift = tarn_body_lift (tarn_attempt_body (attempt)) };
      self->waits = TRUE;
      g_cond_signal (&self->wake);
    }
  g_mutex_unlock (&self->lock);
}

gboolean
tarn_run_coach_advice (TarnRunCoach *self, TarnAdvice *advice, double *turn_rad)
{
  g_mutex_lock (&self->lock);
  gboolean has = self->speaks && self->has_advice;
  *advice = self->advice;
  *turn_rad = self->turn_rad;
  g_mutex_unlock (&self->lock);
  return has;
}
