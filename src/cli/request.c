/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/request.h"

#include "base/units.h"
#include "cli/json_text.h"

#define NUMBER(option, unit, member, from, to, text)                                           \
  {                                                                                            \
    .name = option, .metavar = unit, .kind = TARN_OPTION_NUMBER,                               \
    .offset = offsetof (TarnRequest, member), .low = from, .high = to, .help = text            \
  }

const TarnOption tarn_request_option[TARN_REQUEST_OPTIONS] = {
  NUMBER ("above", "MM", above_mm, -200, 600, "Along the skin from the bone towards the head"),
  NUMBER ("left", "MM", left_mm, -400, 400, "Along the skin towards the patient's left"),
  NUMBER ("tilt", "DEG", tilt_deg, -80, 80, "Turns the beam towards the feet"),
  NUMBER ("lean", "DEG", lean_deg, -80, 80, "Turns the beam to the patient's left"),
  NUMBER ("force", "N", force_n, 0, 60, "How hard the probe is pressed"),
  NUMBER ("gel", "G", gel_g, 0, 100, "Coupling gel laid under the probe"),
  NUMBER ("lift", "PERCENT", lift_percent, 0, 100, "How much of the pannus is held away"),
  { .name = "depth",
    .metavar = "MM",
    .kind = TARN_OPTION_NUMBER,
    .offset = offsetof (TarnRequest, depth_mm),
    .low = 40,
    .high = 300,
    .help = "Depth of the picture",
    .fallback = "the probe's own" },
  NUMBER ("gain", "DB", gain_db, -40, 40, "Brightness of the picture"),
  { .name = "seed",
    .metavar = "N",
    .kind = TARN_OPTION_SEED,
    .offset = offsetof (TarnRequest, seed),
    .help = "Draws the noise, and in a sweep all movement" },
  /* From here on what only a sweep has. */
  NUMBER ("turn", "DEG", turn_deg, -360, 360, "0 transverse, 90 sagittal, mark to the head"),
  NUMBER ("tremor", "MM", tremor_mm, 0, 50, "Wander of the hand during the sweep, RMS"),
  { .name = "planes",
    .metavar = "N",
    .kind = TARN_OPTION_INTEGER,
    .offset = offsetof (TarnRequest, planes),
    .low = 2,
    .high = 64,
    .help = "Planes in the fan",
    .fallback = "the probe's own" },
};

TarnPose
tarn_request_pose (const TarnRequest *request)
{
  return (TarnPose){
    .above_mm = request->above_mm,
    .left_mm = request->left_mm,
    .tilt_rad = tarn_rad_from_deg (request->tilt_deg),
    .lean_rad = tarn_rad_from_deg (request->lean_deg),
    .turn_rad = tarn_rad_from_deg (request->turn_deg),
    .force_n = request->force_n,
  };
}

void
tarn_request_write_json (GString *json, const TarnRequest *request,
                         const TarnImageGeometry *geometry)
{
  tarn_json_open (json, "pose", '{');
  tarn_json_number (json, "above_mm", request->above_mm, 6);
  tarn_json_number (json, "left_mm", request->left_mm, 6);
  tarn_json_number (json, "tilt_deg", request->tilt_deg, 6);
  tarn_json_number (json, "lean_deg", request->lean_deg, 6);
  tarn_json_number (json, "turn_deg", request->turn_deg, 6);
  tarn_json_number (json, "force_n", request->force_n, 6);
  tarn_json_number (json, "gel_g", request->gel_g, 6);
  tarn_json_number (json, "lift_percent", request->lift_percent, 6);
  tarn_json_number (json, "depth_mm", tarn_image_depth_limit_mm (geometry), 6);
  tarn_json_close (json, '}');
}
