/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_page_private.h: the replay page, shared by its own files alone: replay_page.c (time
 * and what shows it), replay_page_files.c (with what it is compared, opening and saving).
 *
 * Floor: app. */
#pragma once

#include "app/replay_history.h"
#include "app/replay_line.h"
#include "app/replay_page.h"
#include "app/replay_side.h"

struct _TarnReplayPage
{
  GtkWidget parent;

  GtkWidget *scroll, *content, *problem, *play, *alone, *patients, *save, *stack, *row_b,
      *letter_a;
  GtkDropDown *speed, *align;
  GtkMenuButton *compare;
  GtkLabel *time;
  GtkListBox *list;
  GtkGrid *differences;
  TarnReplaySide *side_a, *side_b;
  TarnReplayLine *line_a, *line_b;

  TarnRun *run;
  TarnReplayHistory *history;
  TarnReplayKnown known_a, known_b;
  double now_s;       /* of attempt A */
  gboolean following; /* the list is being moved, not the time */
  guint tick_id;      /* playing */
  gint64 played_us;   /* the frame clock's, of the last step; 0: none */
  GtkFileChooserNative *chooser;
};

/* Beside the attempt shown; @log is taken over.  NULL: alone again. */
void tarn_replay_page_set_other (TarnReplayPage *self, TarnAttemptLog *log, const char *path);
/* NULL: nothing is wrong. */
void tarn_replay_page_say (TarnReplayPage *self, const char *problem);

/* replay_page_files.c */
void tarn_replay_page_fill_menu (TarnReplayPage *self);
void tarn_replay_page_install_files (GtkWidgetClass *widget_class);
