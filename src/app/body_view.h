/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_view.h: the patient in three dimensions.
 *
 * Floor: app.  Draws with OpenGL, or without where there is none (or TARN_NO_GL is set in the
 * environment).  Looks only at what is in the pictures it is given.
 *
 * Signals, all on the main thread:
 *   grab-begin (double above_mm, double left_mm, GdkModifierType)
 *   grab-move (double dx, double dy, double above_mm, double left_mm, GdkModifierType)
 *     a drag of the primary button that began on the skin or on the probe: pixels since it
 *     began, and the place under the pointer.  A drag by the probe's handle gives the place
 *     under the probe, moved as the pointer moves.
 *   grab-end ()
 *   press-step (double steps): the wheel, away from the hand positive
 * Actions: view.bedside, view.above, view.feet, view.nearer, view.farther, view.orbit-left,
 *   -right, -up, -down.  Other drags turn the view; the wheel with Control, and two fingers,
 *   go nearer.
 * Property notice (string, may be NULL): why the picture is plainer than it could be. */
#pragma once

#include "app/scene_picture.h"

#include <gtk/gtk.h>

#define TARN_TYPE_BODY_VIEW (tarn_body_view_get_type ())
G_DECLARE_FINAL_TYPE (TarnBodyView, tarn_body_view, TARN, BODY_VIEW, GtkWidget)

GtkWidget *tarn_body_view_new (void);
/* @picture: NULL for an empty view; the view takes a reference of its own. */
void tarn_body_view_set_scene (TarnBodyView *view, TarnScenePicture *picture);
/* On a page that is read: every drag turns the view, and the wheel without Control is the
 * page's.  The corners are then the style sheet's. */
void tarn_body_view_set_turns (TarnBodyView *view, gboolean turns);
/* NULL where OpenGL draws. */
const char *tarn_body_view_get_notice (TarnBodyView *view);
