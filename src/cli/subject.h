/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * subject.h: the patient of a command, read from its file, and the body last built of it.
 *
 * Floor: cli.  Problems are told on standard error as "FILE:LINE: …" or "FILE: …". */
#pragma once

#include "cli/command.h"
#include "engine/body/body.h"
#include "store/patient_file.h"

typedef struct
{
  TarnPatientFile *file;
  TarnBody *body; /* NULL until asked for */
  double body_ms; /* what building it took */
} TarnSubject;

TarnExit tarn_subject_open (TarnSubject *subject, const char *path);
/* The body with this much of the pannus held away, [0, 1]; built anew only when @lift changes.
 * @body: out, the subject's. */
TarnExit tarn_subject_body (TarnSubject *subject, double lift, const TarnBody **body);
/* "This situation says not to scan: …", or NULL; g_free () it. */
char *tarn_subject_stop (const TarnSubject *subject);
/* One line on standard error when @lift_percent > 0 and there is no fold to lift. */
void tarn_subject_note_lift (const TarnSubject *subject, double lift_percent);
void tarn_subject_close (TarnSubject *subject);
