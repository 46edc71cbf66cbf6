/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * judge_form.h: what the learner says of a reading, what goes into the note, and what is done
 * afterwards.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/judge_view.h"

#include <gtk/gtk.h>

/* Signal "input" (const TarnInput *): the learner has said or done something. */
#define TARN_TYPE_JUDGE_FORM (tarn_judge_form_get_type ())
G_DECLARE_FINAL_TYPE (TarnJudgeForm, tarn_judge_form, TARN, JUDGE_FORM, GtkWidget)

/* Shows @view as it stands; emits nothing. */
void tarn_judge_form_show (TarnJudgeForm *self, const TarnJudgeView *view,
                           const TarnUnits *units);
/* Takes over a number that is being typed. */
void tarn_judge_form_commit (TarnJudgeForm *self);
