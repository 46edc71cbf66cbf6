/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_view.h"

#include "app/debrief_aim.h"
#include "app/debrief_bladder.h"
#include "app/debrief_calipers.h"
#include "app/debrief_coach.h"
#include "app/debrief_pair.h"
#include "app/fan_grid.h"
#include "app/ledger_view.h"
#include "app/words_debrief.h"

#include <glib/gi18n.h>

struct _TarnDebriefView
{
  GtkBox parent;

  GtkWidget *first_pair, *right_column, *ledger_card, *ledger_hint, *planes_card, *legend_place;
  GtkGrid *calipers;
  TarnBladderCard *bladder;
  TarnLedgerView *ledger;
  TarnFanGrid *fan_grid;
  TarnCoachCard *coach;
  TarnAimCard *aim;
  GtkDropDown *which;
  GtkToggleButton *enlarge;
  GtkLabel *plane_label;
  GtkWidget *border_toggle;

  TarnTruth truth;
  TarnUnits units;
  int planes;
  int cause[TARN_CAUSES + 1], causes; /* of the rows of "which"; -1: all */
  gboolean setting;
};

G_DEFINE_FINAL_TYPE (TarnDebriefView, tarn_debrief_view, GTK_TYPE_BOX)

/* ---- Which planes ---- */

static void
add_which (TarnDebriefView *self, GtkStringList *names, int cause, int planes)
{
  g_autofree char *name = g_strdup_printf (
      _ ("%s (%d)"), tarn_words_planes_of (cause < 0 ? TARN_CAUSE_REST : cause), planes);
  gtk_string_list_append (names, name);
  self->cause[self->causes++] = cause;
}

static void
fill_which (TarnDebriefView *self, const TarnDebrief *debrief)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  self->causes = 0;
  add_which (self, names, -1, self->planes);
  for (int cause = 0; debrief != NULL && cause < TARN_CAUSE_REST; cause++)
    {
      int planes = 0;
      for (int k = 0; k < debrief->planes; k++)
        planes += (debrief->plane[k].loss.acts & 1u << cause) != 0;
      if (planes > 0)
        add_which (self, names, cause, planes);
    }
  self->setting = TRUE;
  gtk_drop_down_set_model (self->which, G_LIST_MODEL (names));
  gtk_drop_down_set_selected (self->which, 0);
  self->setting = FALSE;
  gtk_widget_set_sensitive (GTK_WIDGET (self->which), self->causes > 1);
}

static void
on_which (TarnDebriefView *self)
{
  guint row = gtk_drop_down_get_selected (self->which);
  if (!self->setting && row < (guint)self->causes)
    tarn_fan_grid_set_cause (self->fan_grid, self->cause[row]);
}

/* The planes come to the top of what is seen of the page, and have the focus. */
static void
go_to_planes (TarnDebriefView *self)
{
  GtkWidget *scroll = gtk_widget_get_ancestor (GTK_WIDGET (self), GTK_TYPE_SCROLLED_WINDOW);
  graphene_point_t corner;
  if (scroll == NULL)
    {
      gtk_widget_grab_focus (GTK_WIDGET (self->fan_grid));
      return;
    }
  GtkViewport *port
      = GTK_VIEWPORT (gtk_scrolled_window_get_child (GTK_SCROLLED_WINDOW (scroll)));
  GtkAdjustment *at = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scroll));
  gtk_viewport_set_scroll_to_focus (port, FALSE);
  gtk_widget_grab_focus (GTK_WIDGET (self->fan_grid));
  if (gtk_widget_compute_point (self->planes_card, scroll, &GRAPHENE_POINT_INIT (0, 0),
                                &corner))
    gtk_adjustment_set_value (at, gtk_adjustment_get_value (at) + corner.y - 6);
  gtk_viewport_set_scroll_to_focus (port, TRUE);
}

void
tarn_debrief_view_open (TarnDebriefView *self, int cause)
{
  g_return_if_fail (TARN_IS_DEBRIEF_VIEW (self));
  for (int row = 0; row < self->causes; row++)
    if (self->cause[row] == cause)
      {
        gtk_drop_down_set_selected (self->which, (guint)row);
        tarn_fan_grid_set_cause (self->fan_grid, cause);
        go_to_planes (self);
        return;
      }
}

static void
on_cause (TarnLedgerView *ledger, int cause, TarnDebriefView *self)
{
  (void)ledger;
  tarn_debrief_view_open (self, cause);
}

/* ---- Telling ---- */

static void
tell_planes (TarnDebriefView *self, const TarnRunReading *reading)
{
  TarnFan fan = { 0 };
  self->planes = reading != NULL ? reading->planes : 0;
  if (self->planes > 0)
    fan = (TarnFan){ .planes = reading->planes,
                     .turn_rad = reading->pose.turn_rad,
                     .geometry = reading->geometry,
                     .grey = reading->grey,
                     .plane = reading->plane };
  tarn_fan_grid_set_fan (self->fan_grid, self->planes > 0 ? &fan : NULL, &self->units);
  fill_which (self, NULL);
  gtk_widget_set_visible (self->border_toggle, FALSE);
  gtk_widget_set_visible (self->planes_card, self->planes > 0);
}

void
tarn_debrief_view_tell (TarnDebriefView *self, const TarnRunReading *reading,
                        const TarnTruth *truth, const TarnUnits *units, gboolean more)
{
  g_return_if_fail (TARN_IS_DEBRIEF_VIEW (self));
  gboolean sweep = reading != NULL && reading->planes > 0;
  gboolean has_split = tarn_words_split (truth).has_split;
  self->truth = *truth;
  self->units = *units;
  tarn_ledger_view_set_truth (self->ledger, truth, units);
  tarn_calipers_fill (self->calipers, truth, NULL, units);
  tell_planes (self, reading);
  tarn_bladder_card_wait (self->bladder);
  tarn_coach_card_wait (self->coach);
  tarn_aim_card_wait (self->aim);
  gtk_label_set_text (GTK_LABEL (self->ledger_hint), " ");
  gtk_widget_set_visible (self->ledger_hint, sweep && more);
  gtk_widget_set_visible (self->ledger_card, has_split);
  gtk_widget_set_visible (GTK_WIDGET (self->bladder), sweep && more);
  gtk_widget_set_visible (self->first_pair, has_split || (sweep && more));
  gtk_widget_set_visible (GTK_WIDGET (self), has_split || sweep);
  gtk_widget_set_visible (GTK_WIDGET (self->aim), sweep && more);
  gtk_widget_set_visible (self->right_column, has_split || (sweep && more));
  gtk_widget_set_visible (GTK_WIDGET (self->coach), sweep && more);
}

void
tarn_debrief_view_fill (TarnDebriefView *self, TarnDebrief *debrief, GObject *keeps)
{
  g_return_if_fail (TARN_IS_DEBRIEF_VIEW (self));
  if (debrief == NULL)
    {
      gtk_widget_set_visible (GTK_WIDGET (self->bladder), FALSE);
      gtk_widget_set_visible (GTK_WIDGET (self->aim), FALSE);
      gtk_widget_set_visible (GTK_WIDGET (self->coach), FALSE);
      return;
    }
  tarn_calipers_fill (self->calipers, &self->truth, debrief, &self->units);
  if (self->planes == 0 || debrief->planes != self->planes)
    return;
  unsigned causes = tarn_debrief_causes (debrief);
  tarn_bladder_card_show (self->bladder, debrief, keeps, &self->units);
  tarn_ledger_view_set_open (self->ledger, causes);
  gtk_label_set_text (GTK_LABEL (self->ledger_hint),
                      tarn_ledger_view_has_bars (self->ledger)
                          ? _ ("Press a bar to see the planes that show it.")
                          : " ");
  tarn_fan_grid_set_debrief (self->fan_grid, debrief);
  fill_which (self, debrief);
  gtk_widget_set_visible (self->border_toggle, TRUE);
  tarn_coach_card_show (self->coach, debrief, &self->units);
  tarn_aim_card_show (self->aim, debrief, &self->units);
}

/* ---- The class ---- */

static void
tarn_debrief_view_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_DEBRIEF_VIEW);
  G_OBJECT_CLASS (tarn_debrief_view_parent_class)->dispose (object);
}

static void
tarn_debrief_view_class_init (TarnDebriefViewClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_debrief_view_dispose;
  g_type_ensure (TARN_TYPE_PAIR);
  g_type_ensure (TARN_TYPE_BLADDER_CARD);
  g_type_ensure (TARN_TYPE_LEDGER_VIEW);
  g_type_ensure (TARN_TYPE_FAN_GRID);
  g_type_ensure (TARN_TYPE_COACH_CARD);
  g_type_ensure (TARN_TYPE_AIM_CARD);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/debrief-view.ui");
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnDebriefView, name)
  CHILD (first_pair);
  CHILD (right_column);
  CHILD (bladder);
  CHILD (ledger_card);
  CHILD (ledger);
  CHILD (ledger_hint);
  CHILD (calipers);
  CHILD (planes_card);
  CHILD (plane_label);
  CHILD (which);
  CHILD (enlarge);
  CHILD (fan_grid);
  CHILD (legend_place);
  CHILD (coach);
  CHILD (aim);
#undef CHILD
}

static void
tarn_debrief_view_init (TarnDebriefView *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  self->border_toggle = tarn_fan_border_toggle_new (self->fan_grid);
  gtk_box_append (GTK_BOX (self->legend_place), tarn_fan_legend_new ());
  gtk_box_append (GTK_BOX (self->legend_place), self->border_toggle);
  g_object_bind_property (self->fan_grid, "enlarged", self->enlarge, "active",
                          G_BINDING_BIDIRECTIONAL | G_BINDING_SYNC_CREATE);
  g_object_bind_property (self->fan_grid, "text", self->plane_label, "label",
                          G_BINDING_SYNC_CREATE);
  g_object_bind_property (self->fan_grid, "text", self->plane_label, "tooltip-text",
                          G_BINDING_SYNC_CREATE);
  g_signal_connect_object (self->which, "notify::selected", G_CALLBACK (on_which), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->ledger, "cause-chosen", G_CALLBACK (on_cause), self, 0);
}
