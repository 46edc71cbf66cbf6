/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * attempt_patient.h: the patient with whom a logged attempt was made.
 *
 * Floor: store.  An attempt plays again only with the very file it was made with, so a patient
 * is known by its file's sha256, wherever it lies by now. */
#pragma once

#include "store/attempt_log.h"
#include "store/patient_file.h"

/**
 * Looks for the patient's file: @given alone where it is not NULL; else where the log says,
 * beside the log, and in @folders.
 *
 * @log_path: may be NULL.  @folders: ends with NULL; may be NULL.
 *
 * Returns NULL and sets @error (TARN_ATTEMPT_LOG_ERROR_PATIENT, or the patient file's own) when
 * there is none with the log's hash, or it cannot be loaded.
 */
TarnPatientFile *tarn_attempt_log_find_patient (const TarnAttemptLog *log, const char *log_path,
                                                const char *given, const char *const *folders,
                                                GError **error);
