/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Each change of the draft, the pose, the cuts or the size is a wish; the thread behind answers
 * the newest. */
#include "app/editor_views.h"

#include "app/chosen_units.h"
#include "app/editor_section.h"
#include "app/plane_words.h"
#include "app/words.h"
#include "engine/acoustic/plane.h"
#include "report/capacity.h"
#include "report/palette.h"

#include <glib/gi18n.h>
#include <math.h>

#define SLIDE_MM 2.0
#define TURN_RAD (5 * G_PI / 180)
#define SHOWN_MM 300.0 /* of an adult's length in a section, at least */
#define FIGURES  4

struct _TarnEditorViews
{
  GtkWidget parent_instance;
  TarnEditorDraft *draft;
  TarnEditorLive *live;
  TarnEditorShot *shot; /* the newest */
  GtkWidget *grid, *plane, *plane_word, *caption, *figures, *figure[FIGURES];
  TarnEditorSection *section[TARN_SECTIONS];
  TarnPose pose;
  double lift;
  guint64 seed;
  TarnVec3 cut_mm;
  gboolean has_cut; /* else through the bladder */
  int chosen;
};

G_DEFINE_FINAL_TYPE (TarnEditorViews, tarn_editor_views, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_SHOT,
  SIGNAL_CHOSEN,
  SIGNAL_POSED,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- Wishes ---- */

/* The torso from front to back and the pelvis from foot to head, in the smallest section. */
static void
frame (TarnEditorViews *self, TarnEditorWish *wish)
{
  const TarnHabitus *habitus = &wish->patient.habitus;
  double deep_mm = habitus->torso_depth_mm + habitus->pannus_mm;
  double front_mm = -(habitus->skin_mm + habitus->fat_mm + habitus->pannus_mm + 26);
  double long_mm = SHOWN_MM * fmin (1, habitus->torso_depth_mm / 200);
  double least = INFINITY;
  for (int k = 0; k < TARN_SECTIONS; k++)
    {
      double wide_mm = k == TARN_SECTION_SAGITTAL ? long_mm : habitus->torso_width_mm * 0.9;
      double high_mm = k == TARN_SECTION_CORONAL ? long_mm * 0.7 : deep_mm * 0.95;
      least = fmin (least,
                    fmin (wish->section_width[k] / wide_mm, wish->section_height[k] / high_mm));
    }
  wish->px_per_mm = isfinite (least) && least > 0 ? least : 1;
  wish->frame_mm = tarn_vec3 (0, front_mm + deep_mm * 0.475, long_mm * 0.22);
  (void)self;
}

static void
wish (TarnEditorViews *self)
{
  TarnEditorWish wish = { .patient = *tarn_editor_draft_patient (self->draft),
                          .state = tarn_editor_draft_state (self->draft),
                          .seed = self->seed,
                          .lift = self->lift,
                          .pose = self->pose,
                          .plane_text_size = gtk_widget_get_scale_factor (self->plane) };
  for (int k = 0; k < TARN_SECTIONS; k++)
    tarn_editor_section_size (self->section[k], &wish.section_width[k],
                              &wish.section_height[k]);
  int scale = gtk_widget_get_scale_factor (self->plane);
  wish.plane_width = gtk_widget_get_width (self->plane) * scale;
  wish.plane_height = gtk_widget_get_height (self->plane) * scale;
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)) || wish.plane_width <= 0)
    return;
  frame (self, &wish);
  wish.cut_mm = self->cut_mm;
  if (!self->has_cut)
    wish.cut_mm = self->shot != NULL && self->shot->body != NULL ? self->shot->lumen_centre_mm
                                                                 : tarn_vec3 (0, 50, 40);
  tarn_editor_live_wish (self->live, &wish);
}

/* ---- What comes ---- */

static void
set_figure (TarnEditorViews *self, int index, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->figure[index]), text);
  gtk_widget_set_visible (self->figure[index], text[0] != '\0');
}

/* Koff, Hjälmås and Kaefer, or the formula for infants: by their names. */
static char *
capacity_text (const TarnPatient *patient)
{
  double age = patient->habitus.age_years;
  if (!isnan (tarn_capacity_infant_ml (age)))
    return g_strdup_printf (_ ("Expected capacity at this age: %.0f mL (38 + 2.5 a month), "
                               "%.0f mL (Koff)"),
                            tarn_capacity_infant_ml (age), tarn_capacity_koff_ml (age));
  if (isnan (tarn_capacity_koff_ml (age)))
    return g_strdup ("");
  return g_strdup_printf (_ ("Expected capacity at this age: %.0f mL (Koff), %.0f mL "
                             "(Hjälmås), %.0f mL (Kaefer)"),
                          tarn_capacity_koff_ml (age), tarn_capacity_hjalmas_ml (age),
                          tarn_capacity_kaefer_ml (age));
}

static void
show_figures (TarnEditorViews *self, const TarnEditorShot *shot)
{
  const TarnUnits units = tarn_chosen_units ();
  g_autofree char *capacity = capacity_text (&shot->wish.patient);
  set_figure (self, 3, capacity);
  if (shot->body == NULL)
    {
      set_figure (self, 0, _ ("There is no such body yet"));
      set_figure (self, 1, "");
      set_figure (self, 2, "");
      return;
    }
  g_autofree char *volume = tarn_words_volume (shot->true_ml, &units);
  g_autofree char *held = g_strdup_printf (_ ("True volume %s"), volume);
  g_autofree char *length = tarn_words_length (shot->length_mm, &units);
  g_autofree char *width = tarn_words_length (shot->width_mm, &units);
  g_autofree char *height = tarn_words_length (shot->height_mm, &units);
  g_autofree char *lengths
      /* Translators: length, width and height of the bladder. */
      = g_strdup_printf (_ ("%s × %s × %s (length, width, height)"), length, width, height);
  double box_ml = shot->length_mm * shot->width_mm * shot->height_mm / 1000;
  g_autofree char *shape
      = box_ml > 0 ? g_strdup_printf (_ ("Shape coefficient V / LWH %.2f (an ellipsoid: 0.52)"),
                                      shot->lumen_ml / box_ml)
                   : g_strdup ("");
  set_figure (self, 0, held);
  set_figure (self, 1, lengths);
  set_figure (self, 2, shape);
}

/* How the plane lies, in its corner as in the sections'. */
static void
show_caption (TarnEditorViews *self)
{
  const TarnEditorWish *wish = &self->shot->wish;
  TarnImageGeometry geometry = tarn_plane_geometry (&wish->patient.probe, 0);
  g_autofree char *caption = tarn_plane_caption (&wish->pose, &geometry);
  gtk_label_set_text (GTK_LABEL (self->caption), caption);
}

static void
show_plane (TarnEditorViews *self)
{
  const TarnEditorShot *shot = self->shot;
  const char *text = "";
  if (shot->body == NULL)
    text = _ ("No plane: there is no such body yet.");
  else if (shot->plane_status != TARN_OK)
    text = _ ("No plane: the probe does not meet the body there.");
  else if (shot->over_comfort)
    text = _ ("This pressure hurts.");
  gtk_label_set_text (GTK_LABEL (self->plane_word), text);
  gtk_widget_set_visible (self->plane_word, text[0] != '\0');
  show_caption (self);
  gtk_widget_queue_draw (self->plane);
}

static gboolean
on_shot (gpointer data)
{
  TarnEditorViews *self = data;
  TarnEditorShot *shot = tarn_editor_live_shot (self->live);
  gboolean first = self->shot == NULL || self->shot->body == NULL;
  if (shot == NULL)
    return G_SOURCE_REMOVE;
  g_debug ("%s %.1f ms after the edit (body %.1f, plane %.1f, sections %.1f ms)",
           shot->section[0] != NULL ? "sections" : "plane",
           (double)(g_get_monotonic_time () - shot->wish.wished_us) / 1000,
           (double)shot->body_us / 1000, (double)shot->plane_us / 1000,
           (double)shot->sections_us / 1000);
  /* Pictures of a moment ago stand until there are new ones. */
  if (shot->section[0] != NULL || shot->body == NULL)
    for (int k = 0; k < TARN_SECTIONS; k++)
      if (shot->body != NULL)
        tarn_editor_section_set_shot (self->section[k], shot);
  for (int k = 0; k < TARN_SECTIONS; k++) /* what stands there is not the draft any more */
    gtk_widget_set_opacity (GTK_WIDGET (self->section[k]), shot->body != NULL ? 1 : 0.4);
  g_clear_pointer (&self->shot, tarn_editor_shot_unref);
  self->shot = shot;
  show_plane (self);
  show_figures (self, shot);
  if (first && shot->body != NULL && !self->has_cut)
    wish (self);
  g_signal_emit (self, signals[SIGNAL_SHOT], 0);
  return G_SOURCE_REMOVE;
}

static void
draw_plane (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  TarnEditorViews *self = data;
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (area));
  (void)width, (void)height;
  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  if (self->shot == NULL || self->shot->plane == NULL)
    return;
  cairo_scale (cr, 1.0 / scale, 1.0 / scale);
  cairo_set_source_surface (cr, self->shot->plane, 0, 0);
  cairo_paint (cr);
}

/* ---- What is done here ---- */

static void
move (TarnEditorViews *self, const TarnPose *pose)
{
  self->pose = *pose;
  wish (self);
  g_signal_emit (self, signals[SIGNAL_POSED], 0);
}

static gboolean
on_plane_key (GtkEventControllerKey *keys, guint key, guint code, GdkModifierType state,
              TarnEditorViews *self)
{
  TarnPose pose = self->pose;
  bool tilts = (state & GDK_CONTROL_MASK) != 0;
  (void)keys, (void)code;
  if ((state & GDK_ALT_MASK) != 0)
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Up:
      *(tilts ? &pose.tilt_rad : &pose.above_mm) += tilts ? -TURN_RAD : SLIDE_MM;
      break;
    case GDK_KEY_Down:
      *(tilts ? &pose.tilt_rad : &pose.above_mm) += tilts ? TURN_RAD : -SLIDE_MM;
      break;
    case GDK_KEY_Left:
      *(tilts ? &pose.lean_rad : &pose.left_mm) += tilts ? -TURN_RAD : -SLIDE_MM;
      break;
    case GDK_KEY_Right:
      *(tilts ? &pose.lean_rad : &pose.left_mm) += tilts ? TURN_RAD : SLIDE_MM;
      break;
    case GDK_KEY_t:
      pose.turn_rad = pose.turn_rad > G_PI / 4 ? 0 : G_PI / 2;
      break;
    default:
      return FALSE;
    }
  pose.tilt_rad = CLAMP (pose.tilt_rad, -1.2, 1.2);
  pose.lean_rad = CLAMP (pose.lean_rad, -1.2, 1.2);
  move (self, &pose);
  return TRUE;
}

static void
on_cut (TarnEditorSection *section, double x, double y, double z, TarnEditorViews *self)
{
  (void)section;
  self->cut_mm = tarn_vec3 (CLAMP (x, -350, 350), CLAMP (y, -150, 500), CLAMP (z, -150, 330));
  self->has_cut = TRUE;
  wish (self);
}

static void
on_chosen (TarnEditorSection *section, int structure, TarnEditorViews *self)
{
  (void)section;
  tarn_editor_views_choose (self, structure);
  g_signal_emit (self, signals[SIGNAL_CHOSEN], 0, structure);
}

/* ---- For others ---- */

const TarnPose *
tarn_editor_views_pose (TarnEditorViews *self)
{
  return &self->pose;
}

double
tarn_editor_views_lift (TarnEditorViews *self)
{
  return self->lift;
}

void
tarn_editor_views_set_pose (TarnEditorViews *self, const TarnPose *pose, double lift)
{
  g_return_if_fail (TARN_IS_EDITOR_VIEWS (self));
  self->pose = *pose;
  self->lift = lift;
  wish (self);
}

void
tarn_editor_views_set_seed (TarnEditorViews *self, guint64 seed)
{
  g_return_if_fail (TARN_IS_EDITOR_VIEWS (self));
  self->seed = seed;
  wish (self);
}

void
tarn_editor_views_choose (TarnEditorViews *self, int structure)
{
  g_return_if_fail (TARN_IS_EDITOR_VIEWS (self));
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  for (int k = 0; k < TARN_SECTIONS; k++)
    tarn_editor_section_choose (self->section[k], structure);
  /* A structure that is chosen from the list is cut through. */
  if (structure != self->chosen && structure >= 0 && structure < patient->structures)
    {
      self->cut_mm = patient->structure[structure].centre_mm;
      self->has_cut = TRUE;
      wish (self);
    }
  self->chosen = structure;
}

TarnEditorShot *
tarn_editor_views_shot (TarnEditorViews *self)
{
  return self->shot;
}

/* ---- The widget ---- */

static void
add_plane (TarnEditorViews *self)
{
  GtkWidget *overlay = gtk_overlay_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();
  self->plane = gtk_drawing_area_new ();
  self->plane_word = gtk_label_new ("");
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->plane), draw_plane, self, NULL);
  gtk_widget_set_focusable (self->plane, TRUE);
  gtk_widget_set_hexpand (self->plane, TRUE);
  gtk_widget_set_vexpand (self->plane, TRUE);
  gtk_widget_add_css_class (self->plane, "tarn-view");
  gtk_widget_set_overflow (self->plane, GTK_OVERFLOW_HIDDEN);
  gtk_widget_set_tooltip_text (self->plane,
                               _ ("The plane at the test pose: arrows slide the probe, with "
                                  "Ctrl they tilt it, T turns it"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->plane), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Plane at the test pose"), -1);
  gtk_widget_add_css_class (self->plane_word, "tarn-notice");
  gtk_widget_set_valign (self->plane_word, GTK_ALIGN_END);
  gtk_widget_set_margin_bottom (self->plane_word, 12);
  gtk_widget_set_halign (self->plane_word, GTK_ALIGN_CENTER);
  gtk_label_set_wrap (GTK_LABEL (self->plane_word), TRUE);
  gtk_widget_set_visible (self->plane_word, FALSE);
  gtk_overlay_set_child (GTK_OVERLAY (overlay), self->plane);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->plane_word);
  self->caption = gtk_label_new ("");
  gtk_label_set_wrap (GTK_LABEL (self->caption), TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->caption), 0);
  gtk_widget_add_css_class (self->caption, "tarn-plane-caption");
  gtk_widget_set_halign (self->caption, GTK_ALIGN_START);
  gtk_widget_set_valign (self->caption, GTK_ALIGN_START);
  gtk_widget_set_can_target (self->caption, FALSE);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->caption);
  gtk_grid_attach (GTK_GRID (self->grid), overlay, 1, 1, 1, 1);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_plane_key), self);
  gtk_widget_add_controller (self->plane, keys);
  g_signal_connect_swapped (self->plane, "resize", G_CALLBACK (wish), self);
}

static void
add_figures (TarnEditorViews *self)
{
  self->figures = gtk_flow_box_new ();
  gtk_flow_box_set_selection_mode (GTK_FLOW_BOX (self->figures), GTK_SELECTION_NONE);
  gtk_flow_box_set_column_spacing (GTK_FLOW_BOX (self->figures), 18);
  gtk_flow_box_set_max_children_per_line (GTK_FLOW_BOX (self->figures), FIGURES);
  /* Room for two lines, so that nothing jumps when there are fewer. */
  gtk_widget_set_size_request (self->figures, -1, 48);
  /* With nothing in it that takes the focus, Tab would end here. */
  gtk_widget_set_can_focus (self->figures, FALSE);
  gtk_widget_set_valign (self->figures, GTK_ALIGN_START);
  gtk_widget_set_parent (self->figures, GTK_WIDGET (self));
  for (int k = 0; k < FIGURES; k++)
    {
      GtkWidget *child = gtk_flow_box_child_new ();
      self->figure[k] = gtk_label_new ("");
      gtk_label_set_xalign (GTK_LABEL (self->figure[k]), 0);
      gtk_widget_add_css_class (self->figure[k], "tarn-figures");
      if (k == 0)
        gtk_widget_add_css_class (self->figure[k], "tarn-heading");
      gtk_flow_box_child_set_child (GTK_FLOW_BOX_CHILD (child), self->figure[k]);
      gtk_widget_set_focusable (child, FALSE);
      g_object_bind_property (self->figure[k], "visible", child, "visible",
                              G_BINDING_SYNC_CREATE);
      gtk_flow_box_append (GTK_FLOW_BOX (self->figures), child);
    }
}

GtkWidget *
tarn_editor_views_new (TarnEditorDraft *draft)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorViews *self = g_object_new (TARN_TYPE_EDITOR_VIEWS, NULL);
  static const int place[TARN_SECTIONS][2] = { { 0, 0 }, { 1, 0 }, { 0, 1 } };
  self->draft = g_object_ref (draft);
  self->grid = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 6);
  gtk_grid_set_row_homogeneous (GTK_GRID (self->grid), TRUE);
  gtk_grid_set_column_homogeneous (GTK_GRID (self->grid), TRUE);
  gtk_widget_set_vexpand (self->grid, TRUE);
  gtk_widget_set_parent (self->grid, GTK_WIDGET (self));
  for (int k = 0; k < TARN_SECTIONS; k++)
    {
      GtkWidget *section = tarn_editor_section_new (draft, (TarnSectionKind)k);
      self->section[k] = TARN_EDITOR_SECTION (section);
      gtk_widget_set_size_request (section, 220, 150);
      gtk_grid_attach (GTK_GRID (self->grid), section, place[k][0], place[k][1], 1, 1);
      g_signal_connect (section, "cut", G_CALLBACK (on_cut), self);
      g_signal_connect (section, "chosen", G_CALLBACK (on_chosen), self);
    }
  add_plane (self);
  add_figures (self);
  self->live = tarn_editor_live_new (on_shot, self);
  g_signal_connect_object (draft, "changed", G_CALLBACK (wish), self, G_CONNECT_SWAPPED);
  g_signal_connect (self, "map", G_CALLBACK (wish), NULL);
  return GTK_WIDGET (self);
}

static void
tarn_editor_views_dispose (GObject *object)
{
  TarnEditorViews *self = TARN_EDITOR_VIEWS (object);
  g_clear_pointer (&self->live, tarn_editor_live_free);
  g_clear_pointer (&self->shot, tarn_editor_shot_unref);
  g_clear_pointer (&self->grid, gtk_widget_unparent);
  g_clear_pointer (&self->figures, gtk_widget_unparent);
  g_clear_object (&self->draft);
  G_OBJECT_CLASS (tarn_editor_views_parent_class)->dispose (object);
}

static void
tarn_editor_views_class_init (TarnEditorViewsClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_views_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  signals[SIGNAL_SHOT] = g_signal_new ("shot", TARN_TYPE_EDITOR_VIEWS, G_SIGNAL_RUN_LAST, 0,
                                       NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CHOSEN] = g_signal_new ("chosen", TARN_TYPE_EDITOR_VIEWS, G_SIGNAL_RUN_LAST, 0,
                                         NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  signals[SIGNAL_POSED] = g_signal_new ("posed", TARN_TYPE_EDITOR_VIEWS, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
tarn_editor_views_init (TarnEditorViews *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 6);
  self->chosen = -1;
  self->pose = (TarnPose){ .above_mm = 40, .tilt_rad = 5 * G_PI / 180, .force_n = 5 };
}
