/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_pair.h"

#include "app/ledger_view.h"

#define GAP 12

struct _TarnPair
{
  GtkWidget parent;
};

static GtkBuildableIface *parent_buildable;

static void
add_child (GtkBuildable *buildable, GtkBuilder *builder, GObject *child, const char *type)
{
  if (GTK_IS_WIDGET (child))
    gtk_widget_set_parent (GTK_WIDGET (child), GTK_WIDGET (buildable));
  else
    parent_buildable->add_child (buildable, builder, child, type);
}

static void
tarn_pair_buildable (GtkBuildableIface *iface)
{
  parent_buildable = g_type_interface_peek_parent (iface);
  iface->add_child = add_child;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (TarnPair, tarn_pair, GTK_TYPE_WIDGET,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_BUILDABLE, tarn_pair_buildable))

/* Those that are shown, up to two. */
static int
shown (GtkWidget *widget, GtkWidget *child[2])
{
  int count = 0;
  for (GtkWidget *each = gtk_widget_get_first_child (widget); each != NULL && count < 2;
       each = gtk_widget_get_next_sibling (each))
    if (gtk_widget_should_layout (each))
      child[count++] = each;
  return count;
}

static gboolean
is_wide (GtkWidget *widget, int width)
{
  return width >= TARN_PAIR_WIDTH * tarn_paper_of_widget (widget).text_size;
}

static void
measure_width (GtkWidget *const child[2], int count, int *minimum, int *natural)
{
  int least[2] = { 0 }, wanted[2] = { 0 };
  for (int k = 0; k < count; k++)
    gtk_widget_measure (child[k], GTK_ORIENTATION_HORIZONTAL, -1, &least[k], &wanted[k], NULL,
                        NULL);
  *minimum = MAX (least[0], least[1]);
  *natural = count < 2 ? MAX (wanted[0], wanted[1]) : 2 * MAX (wanted[0], wanted[1]) + GAP;
}

static int
least_height (GtkWidget *child, int width)
{
  int least = 0;
  gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL, width, &least, NULL, NULL, NULL);
  return least;
}

static int
height_for (GtkWidget *widget, GtkWidget *const child[2], int count, int width)
{
  if (count == 0)
    return 0;
  if (count == 1)
    return least_height (child[0], width);
  if (width >= 0 && !is_wide (widget, width))
    return least_height (child[0], width) + GAP + least_height (child[1], width);
  int half = width < 0 ? -1 : (width - GAP) / 2;
  return MAX (least_height (child[0], half), least_height (child[1], half));
}

static void
tarn_pair_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                   int *natural, int *minimum_baseline, int *natural_baseline)
{
  GtkWidget *child[2];
  int count = shown (widget, child);
  *minimum_baseline = *natural_baseline = -1;
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    measure_width (child, count, minimum, natural);
  else
    *minimum = *natural = height_for (widget, child, count, for_size);
}

static void
tarn_pair_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  GtkWidget *child[2];
  int count = shown (widget, child);
  (void)baseline;
  if (count == 1)
    gtk_widget_size_allocate (child[0], &(GtkAllocation){ 0, 0, width, height }, -1);
  if (count < 2)
    return;
  if (is_wide (widget, width))
    {
      int half = (width - GAP) / 2;
      gtk_widget_size_allocate (child[0], &(GtkAllocation){ 0, 0, half, height }, -1);
      gtk_widget_size_allocate (
          child[1], &(GtkAllocation){ half + GAP, 0, width - half - GAP, height }, -1);
      return;
    }
  int first = least_height (child[0], width);
  gtk_widget_size_allocate (child[0], &(GtkAllocation){ 0, 0, width, first }, -1);
  gtk_widget_size_allocate (
      child[1], &(GtkAllocation){ 0, first + GAP, width, MAX (height - first - GAP, 0) }, -1);
}

static GtkSizeRequestMode
tarn_pair_get_request_mode (GtkWidget *widget)
{
  (void)widget;
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
tarn_pair_dispose (GObject *object)
{
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (tarn_pair_parent_class)->dispose (object);
}

static void
tarn_pair_class_init (TarnPairClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_pair_dispose;
  widget_class->measure = tarn_pair_measure;
  widget_class->size_allocate = tarn_pair_size_allocate;
  widget_class->get_request_mode = tarn_pair_get_request_mode;
}

static void
tarn_pair_init (TarnPair *self)
{
  (void)self;
}
