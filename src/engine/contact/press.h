/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * press.h: the layers' law behind contact and palpation.  Private to contact/. */
#pragma once

#include "engine/contact/contact.h"

#define TARN_FACE_CONTACT_MM 15.0 /* of the flat punch that stands for the face */

/* How far a punch of @radius_mm goes into @column for @force_n > 0; the muscle tenses beyond
 * @comfort_n: INFINITY for never, -INFINITY for tensed from the start. */
double tarn_press_depth_mm (const TarnColumn *column, double radius_mm, double force_n,
                            double comfort_n);

/* How far the face goes in at @contact, whose place and frame are set; @force_n > 0. */
double tarn_indent_mm (const TarnBody *body, const TarnContact *contact, double force_n,
                       double comfort_n);
