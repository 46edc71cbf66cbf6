/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_keys.h: which key a mistyped one may have meant.
 *
 * Private to store/. */
#pragma once

#include "engine/patient/fields.h"

/* The key of the group that is one or two letters away (Levenshtein 1966), or that @key is with
 * its unit left out, as "fat" for "fat-mm"; NULL when no key is so near. */
const TarnField *tarn_key_nearest (TarnFieldGroup group, const char *key);
