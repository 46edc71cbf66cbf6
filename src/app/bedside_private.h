/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bedside_private.h: the bedside page, shared by its own files alone: bedside_page.c (the page
 * and its frames), bedside_keys.c (what the hands can do, by key or button), bedside_drag.c
 * (the same by pointer).
 *
 * Floor: app. */
#pragma once

#include "app/bedside_page.h"
#include "app/body_view.h"
#include "app/coach_line.h"
#include "app/contact_strip.h"
#include "app/guide.h"
#include "app/plane_view.h"
#include "base/units.h"

#include <gtk/gtk.h>
#include <math.h>

/* How far a hand goes; the engine's own ranges are wider. */
#define TARN_HAND_ANGLE_DEG 60.0
#define TARN_HAND_FORCE_N   40.0

static inline double
tarn_hand_angle (double angle_rad)
{
  double most = tarn_rad_from_deg (TARN_HAND_ANGLE_DEG);
  return CLAMP (angle_rad, -most, most);
}

static inline double
tarn_hand_force (double force_n)
{
  return CLAMP (force_n, 0, TARN_HAND_FORCE_N);
}

/* Within half a circle either way. */
static inline double
tarn_hand_turn (double turn_rad)
{
  return remainder (turn_rad, 2 * TARN_PI);
}

/* What a drag on the skin moves. */
typedef enum
{
  TARN_GRAB_NONE,
  TARN_GRAB_SLIDE,
  TARN_GRAB_SWING, /* tilt and lean */
  TARN_GRAB_TURN,
  TARN_GRAB_FEEL,
} TarnGrab;

/* The sliders of the hand, in the order of a pose. */
enum
{
  TARN_SLIDER_ABOVE,
  TARN_SLIDER_LEFT,
  TARN_SLIDER_TILT,
  TARN_SLIDER_LEAN,
  TARN_SLIDER_TURN,
  TARN_SLIDER_FORCE,
  TARN_SLIDERS
};

struct _TarnBedsidePage
{
  GtkWidget parent;

  /* The template's. */
  GtkWidget *content, *views, *grid, *lines;
  GtkStack *pose_stack, *right_stack;
  GtkLabel *pose_label, *patient_label;
  GtkProgressBar *sweep_bar;
  GtkMenuButton *care_button, *hand_button;
  GtkToggleButton *feel_button, *uncover_button, *freeze_button, *outline_button, *more_button;
  GtkToggleButton *diameter[TARN_CALIPERS];
  GtkButton *down_button, *sweep_button, *judge_button, *measure_button;
  GtkDropDown *coefficient_drop;
  GtkCheckButton *inside_button, *advice_button; /* guided mode only */
  GtkWidget *fold_box, *strip_box;
  GtkAdjustment *fold_adjustment, *depth_adjustment, *gain_adjustment;

  TarnPlaneView *plane_view;
  TarnBodyView *body_view;
  TarnContactStrip *strip;
  TarnGuide *guide;
  TarnCoachLine *coach_line;
  GtkAdjustment *slider[TARN_SLIDERS];
  gboolean narrow;

  TarnRun *run;
  TarnRunFrame *frame; /* the newest shown */
  TarnPose wanted;     /* where the learner wants the probe */
  double down_force_n; /* with which the probe goes down */
  double finger_above_mm, finger_left_mm;
  gboolean setting;     /* controls follow the state: not the other way round */
  gint64 said_until_us; /* what stands in the patient's line stays up to then */

  guint tick_id, idle_id;
  gint64 busy_until_us; /* frames at full rate up to then */
  int shown;            /* frames */

  TarnGrab grab;
  TarnPose grab_pose;
  double grab_above_mm, grab_left_mm;

  TarnFrameWatch watch;
  gpointer watch_data;
};

/* Sends the wanted pose, and lets the page be lively for a while. */
void tarn_bedside_send_hand (TarnBedsidePage *self);
void tarn_bedside_wake (TarnBedsidePage *self);
/* Sliders and buttons from the wanted pose. */
void tarn_bedside_show_hand (TarnBedsidePage *self);
void tarn_bedside_feel (TarnBedsidePage *self, double above_mm, double left_mm);

/* bedside_controls.c: what the controls ask for, and what they show. */
void tarn_bedside_set_scene (TarnBedsidePage *self);
void tarn_bedside_set_paper (TarnBedsidePage *self);
void tarn_bedside_show_controls (TarnBedsidePage *self, const TarnBedside *now);
void tarn_bedside_reset_controls (TarnBedsidePage *self, const TarnBedside *now);
void tarn_bedside_connect_controls (TarnBedsidePage *self);

void tarn_bedside_install_actions (GtkWidgetClass *class);
void tarn_bedside_connect_drags (TarnBedsidePage *self);
GtkWidget *tarn_bedside_hand_sliders (TarnBedsidePage *self);
