/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/coach/window.h"

TarnStatus
tarn_window_map (const TarnPatient *patient, const TarnWindowOptions *options,
                 TarnWindow *window, TarnProblem *problem)
{
  (void)patient, (void)options, (void)window, (void)problem;
  return TARN_IMPOSSIBLE;
}
