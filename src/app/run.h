/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * run.h: an attempt that runs on a thread of its own, and what the window sees of it.
 *
 * Floor: app.  A TarnRun belongs to the main thread; the thread behind it alone touches the
 * attempt.  Each frame the window gives the thread its inputs and takes the newest
 * TarnRunFrame, which never changes once published.  Signals come on the main thread. */
#pragma once

#include "app/debrief.h"
#include "app/scene_picture.h"
#include "engine/attempt/replay.h"

#include <cairo.h>
#include <gio/gio.h>

/* One moment of the attempt.  Immutable, reference-counted, any thread. */
typedef struct
{
  gatomicrefcount references;
  TarnBedside bedside;
  uint64_t plane_number;      /* another number, another plane */
  TarnImageGeometry geometry; /* of the plane */
  TarnPose plane_pose;        /* from which the plane was shot */
  GBytes *grey;               /* lines x samples; NULL before the first */
  cairo_surface_t *sector;    /* the plane on paper, RGB24; NULL before the view has a size */
  TarnScenePicture *scene;    /* NULL where the 3-D view is not wanted */
  gboolean has_advice;        /* wanted, and there is some */
  TarnAdvice advice;
  double advice_turn_rad; /* of the pose it is for */
} TarnRunFrame;

TarnRunFrame *tarn_run_frame_ref (TarnRunFrame *frame);
void tarn_run_frame_unref (TarnRunFrame *frame);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnRunFrame, tarn_run_frame_unref)

/* A reading as the window needs it: what a learner may see, and the sweep's planes. */
typedef struct
{
  int index;
  TarnReadingSource source;
  TarnReading reading;
  TarnJudgement judgement;
  uint32_t tick;
  TarnPose pose;
  int planes; /* 0 for calipers */
  double step_rad;
  TarnImageGeometry geometry;
  GBytes *grey;                /* planes x lines x samples */
  const TarnSweepPlane *plane; /* planes of them; owned by the attempt, which never changes them
                                  once the reading stands */
  TarnDiameters diameters;
  double coefficient;
} TarnRunReading;

#define TARN_TYPE_RUN (tarn_run_get_type ())
G_DECLARE_FINAL_TYPE (TarnRun, tarn_run, TARN, RUN, GObject)

/**
 * Begins an attempt and its thread.  The body is built here (some tens of ms).
 *
 * Returns NULL and sets @error (G_IO_ERROR) with the engine's problem.
 */
TarnRun *tarn_run_new (const TarnPatient *patient, const TarnAttemptSetup *setup,
                       GError **error);
/* The same, but first all of @inputs (an array of TarnInput, from tarn_run_log ()) passes
 * again, on the thread. */
TarnRun *tarn_run_new_again (const TarnPatient *patient, const TarnAttemptSetup *setup,
                             GArray *inputs, GError **error);
/* Whether all that was handed over, and all that passes again, is done. */
gboolean tarn_run_is_rested (TarnRun *self);
/* Ends the thread and waits for it; also done by disposing. */
void tarn_run_stop (TarnRun *self);

/* Where its patient's file is, and the file's sha256, for its log; NULL until they are set. */
void tarn_run_set_origin (TarnRun *self, const char *patient_path, const char *sha256);
const char *tarn_run_patient_path (TarnRun *self);
const char *tarn_run_patient_sha256 (TarnRun *self);

const TarnPatient *tarn_run_patient (TarnRun *self); /* as drawn, with texts */
TarnMode tarn_run_mode (TarnRun *self);
uint64_t tarn_run_seed (TarnRun *self);

/* Hands over an input; it is taken with the next frame.  Of several TARN_INPUT_HAND the last
 * counts. */
void tarn_run_input (TarnRun *self, const TarnInput *input);
/* Short ways. */
void tarn_run_hand (TarnRun *self, const TarnPose *wanted);
void tarn_run_do (TarnRun *self, TarnInputKind kind, int code, double value);

/* Lets the attempt's time go on to @time_us (the frame clock's) and a plane be shot; called
 * once a frame.  Time stands still while it is not called. */
void tarn_run_advance (TarnRun *self, gint64 time_us);
/* Time has stood still since the last advance: the next one starts anew. */
void tarn_run_pause (TarnRun *self);
/* Lets the same time pass at once, one tick after another, without planes; for tests. */
void tarn_run_advance_ticks (TarnRun *self, int ticks);
/* The newest frame; never NULL.  @returns: a new reference. */
TarnRunFrame *tarn_run_frame (TarnRun *self);

/* The paper on which planes are painted. */
typedef struct
{
  int width, height; /* device pixels; 0 x 0: none is wanted */
  double text_size;  /* 1; 1.5: half as large again */
  bool millimetres;  /* numbers beside the depth scale; else cm */
} TarnRunPaper;
void tarn_run_set_paper (TarnRun *self, const TarnRunPaper *paper);
/* What the 3-D view shows beyond the state: bits. */
enum
{
  TARN_RUN_SCENE = 1 << 0,     /* the 3-D view is wanted at all */
  TARN_RUN_UNCOVERED = 1 << 1, /* the drape folded down */
  TARN_RUN_SECTOR = 1 << 2,    /* the plane's light */
  TARN_RUN_INSIDE = 1 << 3,    /* bones and bladder as glass */
  TARN_RUN_FINGER = 1 << 4,    /* palpating */
  TARN_RUN_ADVICE = 1 << 5,    /* beside it: what the hand should do next (guided mode) */
  TARN_RUN_EXACT = 1 << 5,     /* of each frame's very moment, however little has changed */
};
void tarn_run_set_scene (TarnRun *self, unsigned wanted);

/* The attempt's readings so far.  @reading: filled in; its bytes belong to the run. */
int tarn_run_readings (TarnRun *self);
void tarn_run_reading (TarnRun *self, int index, TarnRunReading *reading);

/* The truth of a finished attempt (TARN_INPUT_FINISH), worked out on the thread. */
void tarn_run_truth_async (TarnRun *self, GCancellable *cancellable,
                           GAsyncReadyCallback callback, gpointer data);
/* Belongs to the run.  NULL with @error set when it failed. */
const TarnTruth *tarn_run_truth_finish (TarnRun *self, GAsyncResult *result, GError **error);

/* What more there is to tell of reading @index (-1: none), worked out on the thread when the
 * truth is known. */
void tarn_run_debrief_async (TarnRun *self, int index, GCancellable *cancellable,
                             GAsyncReadyCallback callback, gpointer data);
/* A reference of the caller's own, not to be kept longer than the run.  NULL with @error set
 * when it failed. */
TarnDebrief *tarn_run_debrief_finish (TarnRun *self, GAsyncResult *result, GError **error);

/* A replay of the attempt, which is finished; made on the thread. */
void tarn_run_replay_async (TarnRun *self, GAsyncReadyCallback callback, gpointer data);
/* The caller's own, to be freed before the run.  NULL with @error set when it failed. */
TarnReplay *tarn_run_replay_finish (TarnRun *self, GAsyncResult *result, GError **error);

/* The log so far, for the file that survives a crash; a new array of TarnInput. */
GArray *tarn_run_log (TarnRun *self);
/* The attempt's digest, once all that was handed over is done; waits for it.  For tests. */
uint64_t tarn_run_digest (TarnRun *self);

/* Signals: "reading" (int index): one has been finished; "refused" (TarnInputKind, TarnStatus):
 * an input could not be taken now; "voice" (TarnVoice); "answer" (TarnDeed, TarnAnswer). */
