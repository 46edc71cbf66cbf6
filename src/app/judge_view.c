/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/judge_view.h"

#include <glib/gi18n.h>

static gboolean
anything_judged (const TarnJudgeView *view)
{
  if (view->situation.kind != TARN_JUDGEMENT_NONE)
    return TRUE;
  for (int k = 0; k < view->readings; k++)
    if (view->reading[k].judgement.kind != TARN_JUDGEMENT_NONE)
      return TRUE;
  return FALSE;
}

char *
tarn_judge_view_missing (const TarnJudgeView *view)
{
  if (!anything_judged (view))
    return g_strdup (view->readings > 0
                         ? _ ("First judge a reading, or say that none should be made.")
                         : _ ("First say what you judge at the right."));
  if (view->record != TARN_RECORD_NONE && view->recorded >= 0 && view->recorded < view->readings
      && view->reading[view->recorded].judgement.kind == TARN_JUDGEMENT_NONE)
    return g_strdup_printf (_ ("Judge reading %d as well: it is in the note."),
                            view->recorded + 1);
  return NULL;
}

gboolean
tarn_judge_view_own_number (const TarnJudgeView *view)
{
  return view->recorded < 0
         && (view->record == TARN_RECORD_EXACT || view->record == TARN_RECORD_AT_LEAST);
}

TarnJudgement
tarn_judge_view_judgement (const TarnJudgeView *view)
{
  return view->chosen < 0 ? view->situation : view->reading[view->chosen].judgement;
}

static void
take_judgement (TarnJudgeView *view, const TarnInput *input)
{
  const TarnJudgement judgement = { (TarnJudgementKind)input->code, (TarnVerdict)input->cause };
  if (input->reading < 0)
    view->situation = judgement;
  else if (input->reading < view->readings)
    view->reading[input->reading].judgement = judgement;
}

void
tarn_judge_view_take (TarnJudgeView *view, const TarnInput *input)
{
  switch ((TarnInputKind)input->kind)
    {
    case TARN_INPUT_JUDGE:
      take_judgement (view, input);
      break;
    case TARN_INPUT_RECORD:
      view->record = (TarnRecordKind)input->code;
      view->recorded = input->reading;
      view->recorded_ml = input->reading < 0 ? input->value[0] : 0;
      break;
    case TARN_INPUT_DEED:
      view->deeds |= 1u << input->code;
      break;
    default:
      break;
    }
}
