/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/letter_column.h"

struct _TarnLetterColumn
{
  GtkWidget parent;
  GtkWidget *child;
};

static void tarn_letter_column_buildable (GtkBuildableIface *iface);
static GtkBuildableIface *parent_buildable;

G_DEFINE_FINAL_TYPE_WITH_CODE (TarnLetterColumn, tarn_letter_column, GTK_TYPE_WIDGET,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_BUILDABLE,
                                                      tarn_letter_column_buildable))

static void
add_child (GtkBuildable *buildable, GtkBuilder *builder, GObject *child, const char *type)
{
  TarnLetterColumn *self = TARN_LETTER_COLUMN (buildable);
  if (!GTK_IS_WIDGET (child))
    {
      parent_buildable->add_child (buildable, builder, child, type);
      return;
    }
  g_return_if_fail (self->child == NULL);
  self->child = GTK_WIDGET (child);
  gtk_widget_set_parent (self->child, GTK_WIDGET (self));
}

static void
tarn_letter_column_buildable (GtkBuildableIface *iface)
{
  parent_buildable = g_type_interface_peek_parent (iface);
  iface->add_child = add_child;
}

static void
tarn_letter_column_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                            int *minimum, int *natural, int *minimum_baseline,
                            int *natural_baseline)
{
  TarnLetterColumn *self = TARN_LETTER_COLUMN (widget);
  *minimum = *natural = 0;
  *minimum_baseline = *natural_baseline = -1;
  if (self->child == NULL)
    return;
  if (orientation == GTK_ORIENTATION_VERTICAL && for_size > TARN_LETTER_WIDTH)
    for_size = TARN_LETTER_WIDTH;
  gtk_widget_measure (self->child, orientation, for_size, minimum, natural, NULL, NULL);
}

static void
tarn_letter_column_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  TarnLetterColumn *self = TARN_LETTER_COLUMN (widget);
  if (self->child == NULL)
    return;
  int wide = MIN (width, TARN_LETTER_WIDTH);
  gtk_widget_size_allocate (self->child,
                            &(GtkAllocation){ (width - wide) / 2, 0, wide, height }, baseline);
}

static GtkSizeRequestMode
tarn_letter_column_get_request_mode (GtkWidget *widget)
{
  (void)widget;
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
tarn_letter_column_dispose (GObject *object)
{
  TarnLetterColumn *self = TARN_LETTER_COLUMN (object);
  g_clear_pointer (&self->child, gtk_widget_unparent);
  G_OBJECT_CLASS (tarn_letter_column_parent_class)->dispose (object);
}

static void
tarn_letter_column_class_init (TarnLetterColumnClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_letter_column_dispose;
  widget_class->measure = tarn_letter_column_measure;
  widget_class->size_allocate = tarn_letter_column_size_allocate;
  widget_class->get_request_mode = tarn_letter_column_get_request_mode;
}

static void
tarn_letter_column_init (TarnLetterColumn *self)
{
  (void)self;
}
