/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane_words.h: a plane's caption in the learner's language.
 *
 * Floor: app.  Threads: any. */
#pragma once

#include "base/image.h"
#include "engine/attempt/input.h"
#include "engine/contact/contact.h"

/* "Transverse, mark to the patient's right. Depth 18 cm."  Free it. */
char *tarn_plane_caption (const TarnPose *pose, const TarnImageGeometry *geometry);

/* "Width"; @which: TARN_CALIPER_….  Never NULL. */
const char *tarn_diameter_word (int which);

/* From here on it is hard (own design value: see tarn_contact_palpate_n_mm () over a plain
 * adult). */
#define TARN_FELT_BONE_N_MM 4.0

/* What a fingertip feels, by the stiffness of the column under it, N/mm.  Free it. */
char *tarn_felt_words (double stiffness_n_mm);
