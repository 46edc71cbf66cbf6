/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_bladder.h"

#include "app/body_view.h"
#include "app/debrief_fates.h"
#include "app/ledger_view.h"
#include "app/words_debrief.h"
#include "base/units.h"

#include <glib/gi18n.h>

#define LEAST_ML 0.05 /* a smaller part has no entry */

struct _TarnBladderCard
{
  GtkBox parent;

  GtkWidget *place, *waiting, *legend;
  GtkToggleButton *skin, *bones, *fan;
  TarnBodyView *view;
  GtkToggleButton *part[TARN_FATES_PARTS]; /* NULL: not in this body */

  TarnFatesMaker *maker; /* NULL: nothing is shown */
  TarnUnits units;
};

G_DEFINE_FINAL_TYPE (TarnBladderCard, tarn_bladder_card, GTK_TYPE_BOX)

static TarnMark
mark_of_part (int part)
{
  static const TarnMark mark[TARN_FATES_PARTS] = {
    [TARN_FATE_CAPTURED] = TARN_MARK_MEASURED, [TARN_FATE_EDGE] = TARN_MARK_EDGE,
    [TARN_FATE_BONE] = TARN_MARK_SHADOW,       [TARN_FATE_GAS] = TARN_MARK_SHADOW,
    [TARN_FATE_CONTACT] = TARN_MARK_CONTACT,   [TARN_FATES_OTHER_FLUID] = TARN_MARK_OTHER_FLUID,
  };
  return mark[part];
}

/* ---- What is wished to be seen ---- */

static void
wish (TarnBladderCard *self)
{
  unsigned hidden = 0;
  if (self->maker == NULL)
    return;
  for (int k = 0; k < TARN_FATES_PARTS; k++)
    if (self->part[k] != NULL && !gtk_toggle_button_get_active (self->part[k]))
      hidden |= 1u << k;
  tarn_fates_maker_wish (self->maker, hidden, gtk_toggle_button_get_active (self->skin),
                         gtk_toggle_button_get_active (self->bones),
                         gtk_toggle_button_get_active (self->fan));
}

/* ---- The legend ---- */

/* Light rings, as on the surface: gas is told from bone. */
static void
draw_rings (cairo_t *cr, int width, int height)
{
  cairo_rectangle (cr, 0.5, 0.5, width - 1, height - 1);
  cairo_set_source_rgb (cr, 0xCC / 255.0, 0x79 / 255.0, 0xA7 / 255.0);
  cairo_fill (cr);
  cairo_set_source_rgb (cr, 0xFF / 255.0, 0xE9 / 255.0, 0xF5 / 255.0);
  cairo_set_line_width (cr, 1.25);
  for (int k = 0; k < 3; k++)
    {
      cairo_new_sub_path (cr);
      cairo_arc (cr, width * (2 * k + 1) / 6.0, height / 2.0, 3, 0, 2 * TARN_PI);
    }
  cairo_stroke (cr);
}

/* As in the picture, which is dark in both themes. */
static void
draw_swatch (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const TarnPaper paper = { .dark = true };
  int part = GPOINTER_TO_INT (data);
  (void)area;
  if (part == TARN_FATE_GAS)
    {
      draw_rings (cr, width, height);
      return;
    }
  cairo_rectangle (cr, 0.5, 0.5, width - 1, height - 1);
  tarn_paper_fill_mark (cr, &paper, mark_of_part (part));
}

static void
add_part (TarnBladderCard *self, int place, int part, double ml)
{
  const char *word = tarn_words_part (part);
  GtkWidget *button = gtk_toggle_button_new (), *swatch = gtk_drawing_area_new ();
  GtkWidget *label = gtk_label_new (word), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  g_autofree char *volume = tarn_words_volume (ml, &self->units);
  GtkWidget *number = gtk_label_new (volume);
  /* Translators: a part of the bladder, or other fluid, and its volume. */
  g_autofree char *name = g_strdup_printf (C_ ("part", "%s: %s"), word, volume);

  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (swatch), 30);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (swatch), 18);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (swatch), draw_swatch,
                                  GINT_TO_POINTER (part), NULL);
  gtk_widget_set_valign (swatch, GTK_ALIGN_CENTER);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (number, "tarn-figures");
  gtk_box_append (GTK_BOX (box), swatch);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), number);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "tarn-part");
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  gtk_widget_set_tooltip_text (button, _ ("Show or hide this part (Space)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  g_signal_connect_object (button, "toggled", G_CALLBACK (wish), self, G_CONNECT_SWAPPED);
  self->part[part] = GTK_TOGGLE_BUTTON (button);
  gtk_grid_attach (GTK_GRID (self->legend), button, place % 2, place / 2, 1, 1);
}

static void
empty_legend (TarnBladderCard *self)
{
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (self->legend)) != NULL)
    gtk_grid_remove (GTK_GRID (self->legend), child);
  for (int k = 0; k < TARN_FATES_PARTS; k++)
    self->part[k] = NULL;
}

static void
fill_legend (TarnBladderCard *self, const double ml[TARN_FATES_PARTS])
{
  g_autofree char *text = tarn_words_fates (ml, &self->units);
  int place = 0;
  for (int k = 0; k < TARN_FATES_PARTS; k++)
    if (ml[k] >= LEAST_ML)
      add_part (self, place++, k, ml[k]);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

static void
on_made (TarnScenePicture *picture, const double ml[TARN_FATES_PARTS], gpointer data)
{
  TarnBladderCard *self = data;
  tarn_body_view_set_scene (self->view, picture);
  gtk_widget_set_visible (self->waiting, FALSE);
  if (gtk_widget_get_first_child (self->legend) == NULL)
    fill_legend (self, ml);
}

/* ---- Showing ---- */

void
tarn_bladder_card_clear (TarnBladderCard *self)
{
  g_return_if_fail (TARN_IS_BLADDER_CARD (self));
  g_clear_pointer (&self->maker, tarn_fates_maker_free);
  tarn_body_view_set_scene (self->view, NULL);
  empty_legend (self);
}

void
tarn_bladder_card_wait (TarnBladderCard *self)
{
  tarn_bladder_card_clear (self);
  gtk_widget_set_visible (self->waiting, TRUE);
}

void
tarn_bladder_card_show (TarnBladderCard *self, TarnDebrief *debrief, GObject *keeps,
                        const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_BLADDER_CARD (self));
  tarn_bladder_card_wait (self);
  if (debrief->body == NULL)
    return;
  self->units = *units;
  self->maker = tarn_fates_maker_new (debrief, keeps, on_made, self);
  wish (self);
}

/* ---- Keys and buttons ---- */

static void
act_turn (GtkWidget *widget, const char *action, GVariant *target)
{
  (void)action;
  gtk_widget_activate_action (GTK_WIDGET (TARN_BLADDER_CARD (widget)->view),
                              g_variant_get_string (target, NULL), NULL);
}

static void
flip (GtkToggleButton *button)
{
  gtk_toggle_button_set_active (button, !gtk_toggle_button_get_active (button));
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode,
             GdkModifierType state, gpointer data)
{
  static const struct
  {
    guint keyval;
    const char *action;
  } turns[] = {
    { GDK_KEY_Left, "view.orbit-left" },
    { GDK_KEY_Right, "view.orbit-right" },
    { GDK_KEY_Up, "view.orbit-up" },
    { GDK_KEY_Down, "view.orbit-down" },
    { GDK_KEY_plus, "view.nearer" },
    { GDK_KEY_equal, "view.nearer" },
    { GDK_KEY_KP_Add, "view.nearer" },
    { GDK_KEY_minus, "view.farther" },
    { GDK_KEY_KP_Subtract, "view.farther" },
    { GDK_KEY_1, "view.bedside" },
    { GDK_KEY_2, "view.above" },
    { GDK_KEY_3, "view.feet" },
  };
  TarnBladderCard *self = data;
  (void)controller;
  (void)keycode;
  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  for (gsize k = 0; k < G_N_ELEMENTS (turns); k++)
    if (keyval == turns[k].keyval)
      {
        gtk_widget_activate_action (GTK_WIDGET (self->view), turns[k].action, NULL);
        return GDK_EVENT_STOP;
      }
  GtkToggleButton *toggle = keyval == GDK_KEY_s   ? self->skin
                            : keyval == GDK_KEY_b ? self->bones
                            : keyval == GDK_KEY_f ? self->fan
                                                  : NULL;
  if (toggle == NULL)
    return GDK_EVENT_PROPAGATE;
  flip (toggle);
  return GDK_EVENT_STOP;
}

/* ---- The class ---- */

static void
tarn_bladder_card_dispose (GObject *object)
{
  TarnBladderCard *self = TARN_BLADDER_CARD (object);
  g_clear_pointer (&self->maker, tarn_fates_maker_free);
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_BLADDER_CARD);
  G_OBJECT_CLASS (tarn_bladder_card_parent_class)->dispose (object);
}

static void
tarn_bladder_card_class_init (TarnBladderCardClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_bladder_card_dispose;
  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/tarn/Tarn/debrief-bladder.ui");
#define CHILD(name) gtk_widget_class_bind_template_child (widget_class, TarnBladderCard, name)
  CHILD (place);
  CHILD (waiting);
  CHILD (legend);
  CHILD (skin);
  CHILD (bones);
  CHILD (fan);
#undef CHILD
  gtk_widget_class_install_action (widget_class, "bladder.turn", "s", act_turn);
}

static void
tarn_bladder_card_init (TarnBladderCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  GtkWidget *view = tarn_body_view_new ();
  self->view = TARN_BODY_VIEW (view);
  tarn_body_view_set_turns (self->view, TRUE);
  gtk_overlay_set_child (GTK_OVERLAY (self->place), view);
  gtk_widget_set_tooltip_text (
      view, _ ("Drag to turn; arrows turn it too, + and − go nearer and away"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("The bladder in three dimensions"), -1);
  GtkEventController *keys = gtk_event_controller_key_new ();
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (view, keys);
  GtkToggleButton *const around[] = { self->skin, self->bones, self->fan };
  for (gsize k = 0; k < G_N_ELEMENTS (around); k++)
    g_signal_connect_object (around[k], "toggled", G_CALLBACK (wish), self, G_CONNECT_SWAPPED);
}
