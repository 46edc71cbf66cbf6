/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window_map.h: a patient's acoustic window as two maps through its best pose: place above the
 * bone against place beside the midline, and against tilt.
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "base/status.h"
#include "engine/coach/window.h"
#include "report/paper.h"

#include <stddef.h>

/* NULL where a word is not needed: a verdict that no pose has, a start that is not shown. */
typedef struct
{
  const TarnAcousticWindow *window;
  const char *title;                  /* "plain-adult: from where a reading is accurate" */
  const char *open;                   /* "accurate", or "rightly at least" */
  const char *verdict[TARN_VERDICTS]; /* "clipped" … */
  const char *above;                  /* "mm above the bone" */
  const char *left;                   /* "mm from the midline" */
  const char *right_end, *left_end;   /* at the ends: "patient's right", "patient's left" */
  const char *tilt;                   /* "degrees of tilt" */
  const char *head_end, *feet_end;    /* "to the head", "to the feet" */
  const char *by_place, *by_tilt;     /* above each map: what is held: "tilt 15°, 8 N" */
  const char *best, *start, *here;    /* on the marks: "best", "start", "test pose" */
  double start_above_mm, start_left_mm;
  TarnPose here_pose;
  const char *footer; /* "Training only, synthetic anatomy" */
} TarnWindowMap;

#define TARN_WINDOW_MAP_WIDTH  1080
#define TARN_WINDOW_MAP_HEIGHT 620
/* The ground is left alone. */
void tarn_window_map_draw (cairo_t *cr, double width, double height, const TarnWindowMap *map,
                           const TarnPaper *paper);
/* The pose that a map so drawn shows at a place: in what it holds still, the best one.  Returns
 * false, and leaves @pose alone, beside both maps. */
bool tarn_window_map_pose_at (double width, double height, const TarnWindowMap *map,
                              const TarnPaper *paper, double x, double y, TarnPose *pose);
/* On a light ground.  @png: out, free () it.  Returns TARN_OK or TARN_NO_MEMORY, and then
 * leaves @png and @size alone. */
TarnStatus tarn_window_map_png (const TarnWindowMap *map, uint8_t **png, size_t *size);
