/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_file.h: patients as `.anatomy` files: reading, checking, saving.
 *
 * Floor: store.  A file is read whole or not at all; what is wrong with it is said for every
 * problem in a line of its own, with the line of the file, key, value and range.
 * Threads: any, one at a time for each object. */
#pragma once

#include "engine/patient/patient.h"

#include <glib.h>

#define TARN_PATIENT_FILE_ERROR (tarn_patient_file_error_quark ())
typedef enum
{
  TARN_PATIENT_FILE_ERROR_READ,    /* the system would not let it be read */
  TARN_PATIENT_FILE_ERROR_INVALID, /* read, but not a patient; or a patient not fit to save */
  TARN_PATIENT_FILE_ERROR_WRITE,   /* could not be written; what stood there still stands */
} TarnPatientFileError;
GQuark tarn_patient_file_error_quark (void);

/* A loaded file. */
typedef struct
{
  TarnPatient patient;
  char *name;          /* of the file, as shown to people */
  char sha256[64 + 1]; /* of the file's bytes, small hexadecimal */
  struct _TarnLines *lines;
} TarnPatientFile;

/**
 * Reads and validates a patient.
 *
 * Returns NULL and sets @error when the file cannot be read or has any problem; the message
 * then has one line for each (at most 20, and how many more):
 *   FILE:LINE: [Group] key = value: what is wrong (range a … b unit)
 */
TarnPatientFile *tarn_patient_file_load (const char *path, GError **error);
/* The same from memory.  @name stands for the file in messages. */
TarnPatientFile *tarn_patient_file_parse (const char *data, gsize length, const char *name,
                                          GError **error);
/* The same for a patient that is still being written: each value must be one, but what is
 * missing takes its default, and what does not fit together is not asked. */
TarnPatientFile *tarn_patient_file_parse_draft (const char *data, gsize length,
                                                const char *name, GError **error);
void tarn_patient_file_free (TarnPatientFile *file); /* NULL is allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnPatientFile, tarn_patient_file_free)

/* A problem that only shows later, as when the body is built, as a line of the same form.
 * @problem: its key as "[Group] key", "[Group]" or "key"; else it is said of the whole file. */
char *tarn_patient_file_describe (const TarnPatientFile *file, const TarnProblem *problem);

/**
 * The bytes of a patient's file, in canonical order: what the patient states, and what differs
 * from its default.  Loading and saving a canonical file gives the same bytes.
 *
 * @patient: valid.  @length: out, may be NULL.  The result also ends in NUL.
 */
char *tarn_patient_file_format (const TarnPatient *patient, gsize *length);

/**
 * Validates and saves: written beside the place, flushed, then renamed into it, so that there
 * is never half a file.
 *
 * Returns FALSE and sets @error when the patient is not valid (nothing is touched) or the
 * system refuses (full disk, no permission …).
 */
gboolean tarn_patient_file_save (const TarnPatient *patient, const char *path, GError **error);
