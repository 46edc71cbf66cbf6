/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/scan_json.h"

#include "base/units.h"
#include "cli/json_text.h"

static void
write_reading (GString *json, const TarnSweep *sweep)
{
  tarn_json_open (json, "reading", '{');
  tarn_json_text (json, "kind", tarn_reading_kind_name (sweep->reading.kind));
  tarn_json_number (json, "volume_ml", sweep->reading.volume_ml, 4);
  tarn_json_open (json, "planes", '[');
  for (int k = 0; k < sweep->planes; k++)
    {
      const TarnSweepPlane *plane = &sweep->plane[k];
      tarn_json_open (json, NULL, '{');
      tarn_json_number (json, "angle_deg", tarn_deg_from_rad (plane->fan_rad), 4);
      tarn_json_number (json, "area_mm2", plane->outline.area_mm2, 2);
      tarn_json_number (json, "seen", plane->outline.seen, 4);
      tarn_json_number (json, "bridged", plane->outline.bridged, 4);
      tarn_json_number (json, "at_edge", plane->outline.at_edge, 4);
      tarn_json_close (json, '}');
    }
  tarn_json_close (json, ']');
  tarn_json_close (json, '}');
}

static void
write_ledger (GString *json, const TarnScan *scan)
{
  if (!scan->has_ledger)
    {
      tarn_json_null (json, "ledger_ml");
      return;
    }
  tarn_json_open (json, "ledger_ml", '{');
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    tarn_json_number (json, tarn_cause_name ((TarnCause)cause), scan->ledger.entry_ml[cause],
                      4);
  tarn_json_close (json, '}');
}

void
tarn_scan_write_json (GString *json, const TarnScanReport *report)
{
  const TarnSubject *subject = report->subject;
  const TarnScan *scan = report->scan;

  g_string_append_c (json, '{');
  tarn_json_text (json, "schema", "tarn.scan/1");
  tarn_json_open (json, "patient", '{');
  tarn_json_text (json, "id", subject->file->patient.id);
  tarn_json_text (json, "sha256", subject->file->sha256);
  tarn_json_close (json, '}');
  tarn_request_write_json (json, report->request, &scan->sweep.geometry);

  tarn_json_open (json, "contact", '{');
  tarn_json_number (json, "indentation_mm", scan->sweep.contact.indentation_mm, 3);
  tarn_json_number (json, "wet_fraction", scan->sweep.contact.wet_fraction, 4);
  tarn_json_close (json, '}');
  write_reading (json, &scan->sweep);
  tarn_json_open (json, "truth", '{');
  tarn_json_number (json, "volume_ml", scan->truth_ml, 4);
  tarn_json_number (json, "pressed_volume_ml", scan->pressed_volume_ml, 4);
  tarn_json_close (json, '}');

  tarn_json_open (json, "contents", '{');
  tarn_json_number (json, "urine", scan->contents.urine, 4);
  tarn_json_number (json, "other", scan->contents.other, 4);
  tarn_json_close (json, '}');
  tarn_json_number (json, "error_ml", scan->error_ml, 4);
  tarn_json_number (json, "tolerance_ml", scan->tolerance_ml, 4);
  tarn_json_text (json, "verdict", tarn_verdict_name (scan->verdict));
  tarn_json_bool (json, "by_luck", scan->by_luck);
  write_ledger (json, scan);
  tarn_json_open (json, "timing_ms", '{');
  tarn_json_number (json, "body", subject->body_ms, 2);
  tarn_json_number (json, "plane", scan->plane_ms, 2);
  tarn_json_number (json, "sweep", scan->sweep_ms, 2);
  tarn_json_number (json, "ledger", scan->ledger_ms, 2);
  tarn_json_close (json, '}');
  g_string_append (json, "}\n");
}
