/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * judge_page.h: readings and judgement: what has been measured, what the learner says of it,
 * what goes into the note, what is done afterwards.  Nothing on it tells the truth.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/judge_view.h"

#include <gtk/gtk.h>

/* Signals: "back" to the patient; "finished": the learner wants the truth (who hears it ends
 * the attempt); "cancel": not now after all; "input" (const TarnInput *): said or done here,
 * and given to the run if there is one. */
#define TARN_TYPE_JUDGE_PAGE (tarn_judge_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnJudgePage, tarn_judge_page, TARN, JUDGE_PAGE, GtkWidget)

GtkWidget *tarn_judge_page_new (void);

/* Whose readings are judged; NULL: nobody's. */
void tarn_judge_page_set_run (TarnJudgePage *self, TarnRun *run);
/* Takes over what is new in the run; the newest reading is then looked at. */
void tarn_judge_page_refresh (TarnJudgePage *self);

/* From an enlarged plane to all of them.  Returns whether there was one. */
gboolean tarn_judge_page_step_back (TarnJudgePage *self);

/* While the truth is worked out: a spinner, and nothing can be pressed but “Cancel”. Afterwards
 * the run has ended: it can be told again, and nothing else can be changed. */
void tarn_judge_page_set_busy (TarnJudgePage *self, gboolean busy);

/* Shows plain data instead of a run's. */
void tarn_judge_page_show (TarnJudgePage *self, const TarnJudgeView *view,
                           const TarnUnits *units);
const TarnJudgeView *tarn_judge_page_view (TarnJudgePage *self);
/* Looks at reading @index. */
void tarn_judge_page_choose (TarnJudgePage *self, int index);
