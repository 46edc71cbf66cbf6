/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * timeline.h: an attempt along its time: what was done, by marks that each have a shape; when
 * the probe was on the skin, sweeping, frozen; force, gel and stillness.
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "engine/attempt/replay.h"
#include "report/paper.h"

typedef struct
{
  double from_s, to_s; /* the stretch that is shown; may reach beyond the attempt */
  double last_s;       /* where the attempt ends */
  double ready_s;      /* beyond it, nothing is known yet */
  double now_s;
  int marks;
  const TarnReplayMark *mark;
  const char *const *word; /* of each mark, short; may be left out where there is no room */
  int chosen;              /* a mark that is told apart; -1: none */
  int samples;
  double sample_s; /* between samples */
  const TarnReplaySample *sample;
  double comfort_n; /* a line in the force's lane; 0: none */
  bool compact;     /* without stillness and breath */
  /* At the lanes' left. */
  const char *skin_name, *force_name, *gel_name, *still_name, *breath_name;
  /* On bands that are wide enough, and on the line. */
  const char *sweep_word, *frozen_word, *comfort_word;
  const char *waiting; /* where nothing is known yet: "getting ready…" */
} TarnTimelinePicture;

/* The height that everything needs. */
double tarn_timeline_height (const TarnTimelinePicture *picture, const TarnPaper *paper);
void tarn_timeline_draw (cairo_t *cr, double width, double height,
                         const TarnTimelinePicture *picture, const TarnPaper *paper);

/* Where a moment is, and which moment is where, in the same drawing. */
double tarn_timeline_x (const TarnTimelinePicture *picture, double width, double seconds,
                        const TarnPaper *paper);
double tarn_timeline_seconds (const TarnTimelinePicture *picture, double width, double x,
                              const TarnPaper *paper);
/* The mark under a place; -1: none. */
int tarn_timeline_mark_at (const TarnTimelinePicture *picture, double width, double x, double y,
                           const TarnPaper *paper);

/* A mark's shape alone, about a place, @size high. */
void tarn_timeline_glyph (cairo_t *cr, double x, double y, double size, TarnReplayKind kind,
                          const TarnPaper *paper);
