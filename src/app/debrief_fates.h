/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_fates.h: the bladder in 3-D made on a thread, so that the page never waits for it.
 *
 * Floor: app.  Main thread.  Of several wishes that come while one is made only the last
 * counts. */
#pragma once

#include "app/debrief.h"
#include "app/scene_picture.h"
#include "engine/scene/fates.h"

typedef struct TarnFatesMaker TarnFatesMaker;

/* @picture: NULL when there is nothing to show; belongs to the maker. */
typedef void (*TarnFatesDone) (TarnScenePicture *picture, const double ml[TARN_FATES_PARTS],
                               gpointer data);

/* @debrief: of a sweep; kept.  @keeps: what the debrief points into; kept too. */
TarnFatesMaker *tarn_fates_maker_new (TarnDebrief *debrief, GObject *keeps, TarnFatesDone done,
                                      gpointer data);
/* @done is not called any more.  NULL is allowed. */
void tarn_fates_maker_free (TarnFatesMaker *maker);

/* @hidden: parts left out, a bit each. */
void tarn_fates_maker_wish (TarnFatesMaker *maker, unsigned hidden, gboolean skin,
                            gboolean bones, gboolean fan);
