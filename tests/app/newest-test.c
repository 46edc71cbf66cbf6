/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wishes are numbers; the result of one is the number itself.  The thread stops at a gate, so
 * that it is known what has come while it worked. */
#include "app/newest.h"

static GAsyncQueue *begun, *gate;
static int freed_wishes, unreferenced;

static void
work (TarnNewest *newest, gpointer bench, gconstpointer wish)
{
  (void)bench;
  g_async_queue_push (begun, GINT_TO_POINTER (*(const int *)wish));
  g_async_queue_pop (gate);
  tarn_newest_tell (newest, g_memdup2 (wish, sizeof (int)));
}

static void
wish_free (gpointer wish)
{
  g_atomic_int_inc (&freed_wishes);
  g_free (wish);
}

static gpointer
result_ref (gpointer result)
{
  return g_memdup2 (result, sizeof (int));
}

static void
result_unref (gpointer result)
{
  g_atomic_int_inc (&unreferenced);
  g_free (result);
}

static gboolean
count_news (gpointer data)
{
  ++*(int *)data;
  return G_SOURCE_REMOVE;
}

static const TarnNewestWork every = { .name = "numbers",
                                      .work = work,
                                      .wish_free = wish_free,
                                      .result_ref = result_ref,
                                      .result_unref = result_unref };
static const TarnNewestWork fresh = { .name = "numbers",
                                      .only_fresh = TRUE,
                                      .work = work,
                                      .wish_free = wish_free,
                                      .result_ref = result_ref,
                                      .result_unref = result_unref };

static void
wish (TarnNewest *newest, int number)
{
  tarn_newest_wish (newest, g_memdup2 (&number, sizeof number), 0);
}

static int
begun_next (void)
{
  return GPOINTER_TO_INT (g_async_queue_pop (begun));
}

static void
open_gate (void)
{
  g_async_queue_push (gate, GINT_TO_POINTER (1));
}

static void
wait_for_news (const int *news, int wanted)
{
  while (*news < wanted)
    g_main_context_iteration (NULL, TRUE);
}

static int
result_of (TarnNewest *newest)
{
  g_autofree int *result = tarn_newest_result (newest);
  return result != NULL ? *result : 0;
}

/* 1 is under way while 2, 3 and 4 come: 4 follows it, the others never begin. */
static void
only_the_last_wish_counts (void)
{
  int news = 0;
  TarnNewest *newest = tarn_newest_new (&every, count_news, &news);
  g_assert_null (tarn_newest_result (newest));
  wish (newest, 1);
  g_assert_cmpint (begun_next (), ==, 1);
  for (int number = 2; number <= 4; number++)
    wish (newest, number);
  open_gate ();
  g_assert_cmpint (begun_next (), ==, 4);
  wait_for_news (&news, 1);
  g_assert_cmpint (result_of (newest), ==, 1);
  open_gate ();
  wait_for_news (&news, 2);
  g_assert_cmpint (result_of (newest), ==, 4);
  tarn_newest_free (newest);
  g_assert_cmpint (g_async_queue_length (begun), ==, 0);
}

static void
what_was_overtaken_is_not_told (void)
{
  int news = 0;
  TarnNewest *newest = tarn_newest_new (&fresh, count_news, &news);
  wish (newest, 1);
  g_assert_cmpint (begun_next (), ==, 1);
  g_assert_false (tarn_newest_overtaken (newest));
  wish (newest, 2);
  g_assert_true (tarn_newest_overtaken (newest));
  open_gate ();
  g_assert_cmpint (begun_next (), ==, 2);
  g_assert_null (tarn_newest_result (newest));
  open_gate ();
  wait_for_news (&news, 1);
  g_assert_cmpint (result_of (newest), ==, 2);
  tarn_newest_rest (newest);
  g_assert_true (tarn_newest_overtaken (newest));
  g_assert_cmpint (result_of (newest), ==, 2);
  tarn_newest_free (newest);
}

/* Nothing is begun any more, no news comes, and nothing is left behind. */
static void
ends_at_any_time (void)
{
  int news = 0;
  g_atomic_int_set (&freed_wishes, 0);
  g_atomic_int_set (&unreferenced, 0);
  TarnNewest *newest = tarn_newest_new (&every, count_news, &news);
  wish (newest, 1);
  g_assert_cmpint (begun_next (), ==, 1);
  wish (newest, 2);
  open_gate ();
  g_assert_cmpint (begun_next (), ==, 2);
  tarn_newest_wish (newest, g_memdup2 (&(int){ 3 }, sizeof (int)), G_TIME_SPAN_HOUR);
  open_gate ();
  tarn_newest_free (newest);
  g_assert_cmpint (g_atomic_int_get (&freed_wishes), ==, 3);
  g_assert_cmpint (g_atomic_int_get (&unreferenced), ==, 2);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_cmpint (news, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  begun = g_async_queue_new ();
  gate = g_async_queue_new ();
  g_test_add_func ("/newest/only-the-last-wish-counts", only_the_last_wish_counts);
  g_test_add_func ("/newest/what-was-overtaken-is-not-told", what_was_overtaken_is_not_told);
  g_test_add_func ("/newest/ends-at-any-time", ends_at_any_time);
  int status = g_test_run ();
  g_async_queue_unref (begun);
  g_async_queue_unref (gate);
  return status;
}
