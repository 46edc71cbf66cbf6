/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * pose.h: poses as directions.  Private to contact/. */
#pragma once

#include "engine/contact/contact.h"

/* Whether every number of @pose is one, and in the range that contact.h and contact.c give. */
bool tarn_pose_is_valid (const TarnPose *pose);
