/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>

const char *
tarn_status_text (TarnStatus status)
{
  switch (status)
    {
    case TARN_OK:
      return "done";
    case TARN_OUT_OF_RANGE:
      return "a number is out of range";
    case TARN_NO_MEMORY:
      return "out of memory";
    case TARN_IMPOSSIBLE:
      return "the numbers contradict one another";
    case TARN_OFF_BODY:
      return "the probe is off the body";
    }
  return "unknown status";
}

TarnStatus
tarn_problem_set (TarnProblem *problem, TarnStatus status, const char *key, const char *format,
                  ...)
{
  if (problem == NULL)
    return status;
  snprintf (problem->key, sizeof problem->key, "%s", key != NULL ? key : "");
  va_list arguments;
  va_start (arguments, format);
  vsnprintf (problem->text, sizeof problem->text, format, arguments);
  va_end (arguments);
  return status;
}
