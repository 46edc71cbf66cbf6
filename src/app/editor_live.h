/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_live.h: the draft's body, plane and sections, made on a thread of their own.
 *
 * Floor: app.  All calls on the main thread.  Of several wishes that come while it works only
 * the last counts. */
#pragma once

#include "app/newest.h"
#include "engine/contact/contact.h"
#include "report/section_picture.h"

#include <cairo.h>
#include <glib.h>

/* A body that outlives the draft it was made of.  Any thread. */
typedef struct
{
  gatomicrefcount references;
  TarnBody *body;
} TarnEditorBody;
TarnEditorBody *tarn_editor_body_ref (TarnEditorBody *body);
void tarn_editor_body_unref (TarnEditorBody *body);

typedef struct
{
  TarnPatient patient; /* its texts are not looked at */
  guint64 state;       /* of the draft; the same, the same patient */
  guint64 seed;        /* the attempt that is drawn; 0: as written */
  double lift;         /* of the pannus, 0..1 */
  TarnPose pose;
  TarnVec3 frame_mm; /* what lies in the middle of the sections' papers */
  TarnVec3 cut_mm;   /* where all three cut */
  double px_per_mm;  /* of sections, device pixels */
  int section_width[TARN_SECTIONS], section_height[TARN_SECTIONS]; /* 0: none is wanted */
  int plane_width, plane_height;                                   /* likewise */
  double plane_text_size;
  gint64 wished_us; /* when; set by tarn_editor_live_wish () */
} TarnEditorWish;

/* What came of a wish.  Never changes; counted, main thread. */
typedef struct
{
  gatomicrefcount references;
  TarnEditorWish wish;  /* the patient without texts */
  TarnEditorBody *body; /* NULL: there can be none */
  TarnProblem problem;  /* why */
  double lumen_ml, true_ml, displaced_ml;
  double length_mm, width_mm, height_mm; /* of the lumen, as calipers would take them */
  TarnVec3 lumen_centre_mm;
  TarnStatus plane_status; /* TARN_OFF_BODY … : there is no plane */
  double wet_fraction, indentation_mm;
  bool over_comfort;
  cairo_surface_t *plane;                  /* NULL: none */
  cairo_surface_t *section[TARN_SECTIONS]; /* NULL: not yet, or none */
  TarnSection cut[TARN_SECTIONS];
  gint64 body_us, plane_us, sections_us; /* what they took */
} TarnEditorShot;

TarnEditorShot *tarn_editor_shot_ref (TarnEditorShot *shot);
void tarn_editor_shot_unref (TarnEditorShot *shot);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnEditorShot, tarn_editor_shot_unref)

/* One of a wish's sections on a paper of @width x @height, on which a millimetre has
 * @px_per_mm. */
TarnSection tarn_editor_cut (const TarnEditorWish *wish, TarnSectionKind kind, int width,
                             int height, double px_per_mm);

typedef TarnNewest TarnEditorLive;

/* @done: called on the main thread when there is a new shot: once with body and plane, once
 * more with the sections. */
TarnEditorLive *tarn_editor_live_new (GSourceFunc done, gpointer data);
/* Waits for what is under way.  NULL is allowed. */
void tarn_editor_live_free (TarnEditorLive *live);
void tarn_editor_live_wish (TarnEditorLive *live, const TarnEditorWish *wish);
/* The newest; a new reference, NULL before the first. */
TarnEditorShot *tarn_editor_live_shot (TarnEditorLive *live);
