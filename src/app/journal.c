/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/journal.h"

struct TarnJournal
{
  TarnRun *run;
};

TarnJournal *
tarn_journal_open (TarnRun *run, const char *patient_path, const char *sha256, GError **error)
{
  (void)patient_path;
  (void)sha256;
  (void)error;
  TarnJournal *journal = g_new0 (TarnJournal, 1);
  journal->run = g_object_ref (run);
  return journal;
}

void
tarn_journal_close (TarnJournal *journal)
{
  g_object_unref (journal->run);
  g_free (journal);
}
