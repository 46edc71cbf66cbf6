/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The guide of the first patient, fed with states of a bedside: each step waits for its own
 * deed, shows for a moment at least, and whoever sends the guide away is left alone. */
#include "app/guide.h"

#include "app/plane_words.h"
#include "base/units.h"

#include <gtk/gtk.h>

#define STEPS 10

typedef struct
{
  GtkWidget *window;
  TarnGuide *guide;
  TarnBedside now;
  int finished;
} Room;

static void
count (int *times)
{
  (*times)++;
}

static void
room_init (Room *room)
{
  *room = (Room){ .window = gtk_window_new () };
  room->guide = TARN_GUIDE (tarn_guide_new ());
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->guide));
  g_signal_connect_swapped (room->guide, "finished", G_CALLBACK (count), &room->finished);
}

static void
room_clear (Room *room)
{
  gtk_window_destroy (GTK_WINDOW (room->window));
}

/* A moment later. */
static int
later (Room *room)
{
  room->now.tick += TARN_TICKS_PER_SECOND;
  tarn_guide_take (room->guide, &room->now);
  return tarn_guide_step (room->guide);
}

/* What the present step asks for, and no more. */
static void
do_step (TarnBedside *now, int step)
{
  switch (step)
    {
    case 0:
      now->deeds |= 1u << TARN_DEED_HANDS | 1u << TARN_DEED_IDENTITY | 1u << TARN_DEED_CONSENT;
      break;
    case 1:
      now->finger_n_mm = TARN_FELT_BONE_N_MM;
      break;
    case 2:
      now->gel_laid_g = 20;
      break;
    case 3:
      now->on_skin = true;
      break;
    case 4:
      now->hand.above_mm = now->pose.above_mm = 50;
      break;
    case 5:
      now->hand.tilt_rad = now->pose.tilt_rad = tarn_rad_from_deg (-10);
      break;
    case 6:
      now->pose.turn_rad = tarn_rad_from_deg (90);
      break;
    case 7:
      now->pose.turn_rad = 0;
      break;
    case 8:
      now->readings = 2;
      break;
    default:
      now->finished = true;
      break;
    }
}

static GtkWidget *
find (GtkWidget *from, GType type)
{
  if (g_type_is_a (G_OBJECT_TYPE (from), type))
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static const char *
count_text (Room *room)
{
  return gtk_label_get_text (GTK_LABEL (find (GTK_WIDGET (room->guide), GTK_TYPE_LABEL)));
}

/* Nothing is shown before the start, and what is done then is not told. */
static void
test_waits_for_start (void)
{
  Room room;
  room_init (&room);
  do_step (&room.now, 0);
  g_assert_cmpint (later (&room), ==, -1);
  g_assert_false (gtk_widget_get_visible (GTK_WIDGET (room.guide)));
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  g_assert_cmpint (tarn_guide_step (room.guide), ==, 0);
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (room.guide)));
  g_assert_cmpstr (count_text (&room), ==, "Step 1 of 10");
  room_clear (&room);
}

/* Each step stays until its own deed is done; the last one ends the guide. */
static void
test_steps (void)
{
  Room room;
  room_init (&room);
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  for (int step = 0; step < STEPS; step++)
    {
      g_autofree char *expected = g_strdup_printf ("Step %d of %d", step + 1, STEPS);
      g_assert_cmpstr (count_text (&room), ==, expected);
      g_assert_cmpint (later (&room), ==, step);
      g_assert_cmpint (room.finished, ==, 0);
      do_step (&room.now, step);
      g_assert_cmpint (later (&room), ==, step + 1 < STEPS ? step + 1 : -1);
    }
  g_assert_cmpint (room.finished, ==, 1);
  g_assert_false (gtk_widget_get_visible (GTK_WIDGET (room.guide)));
  room_clear (&room);
}

/* Whoever is ahead is not held up, but can read each step for a second. */
static void
test_ahead (void)
{
  Room room;
  room_init (&room);
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  for (int step = 0; step < 6; step++)
    do_step (&room.now, step);
  for (int step = 1; step <= 6; step++)
    {
      room.now.tick += TARN_TICKS_PER_SECOND - 1;
      tarn_guide_take (room.guide, &room.now);
      g_assert_cmpint (tarn_guide_step (room.guide), ==, step - 1);
      room.now.tick++;
      tarn_guide_take (room.guide, &room.now);
      g_assert_cmpint (tarn_guide_step (room.guide), ==, step);
    }
  g_assert_cmpint (later (&room), ==, 6);
  room_clear (&room);
}

/* A probe in the air shows no plane to slide, tilt or turn to. */
static void
test_needs_skin (void)
{
  Room room;
  room_init (&room);
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  for (int step = 0; step < 5; step++)
    {
      do_step (&room.now, step);
      later (&room);
    }
  g_assert_cmpint (tarn_guide_step (room.guide), ==, 5);
  do_step (&room.now, 5);
  room.now.on_skin = false;
  g_assert_cmpint (later (&room), ==, 5);
  room.now.on_skin = true;
  g_assert_cmpint (later (&room), ==, 6);
  room_clear (&room);
}

static void
test_go_on_alone (void)
{
  Room room;
  room_init (&room);
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  do_step (&room.now, 0);
  g_assert_cmpint (later (&room), ==, 1);
  GtkWidget *leave = find (GTK_WIDGET (room.guide), GTK_TYPE_BUTTON);
  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (leave)), ==, "Go on alone");
  g_signal_emit_by_name (leave, "clicked");
  g_assert_cmpint (room.finished, ==, 1);
  g_assert_cmpint (tarn_guide_step (room.guide), ==, -1);
  g_assert_false (gtk_widget_get_visible (GTK_WIDGET (room.guide)));
  do_step (&room.now, 1);
  g_assert_cmpint (later (&room), ==, -1);
  g_assert_cmpint (room.finished, ==, 1);

  /* Another first patient begins at the beginning. */
  tarn_guide_start (room.guide, &(TarnBedside){ 0 });
  g_assert_cmpstr (count_text (&room), ==, "Step 1 of 10");
  room_clear (&room);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/guide/waits-for-start", test_waits_for_start);
  g_test_add_func ("/guide/steps", test_steps);
  g_test_add_func ("/guide/ahead", test_ahead);
  g_test_add_func ("/guide/needs-skin", test_needs_skin);
  g_test_add_func ("/guide/go-on-alone", test_go_on_alone);
  return g_test_run ();
}
