/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * look.h: how materials take the light, for whoever draws.
 *
 * Floor: engine.  Pure.  The light itself: see light.h. */
#pragma once

#include "engine/scene/light.h"
#include "engine/scene/scene.h"

/* What lies behind everything: a room at dusk, sRGB 0 … 1. */
#define TARN_DUSK_R 0.086f
#define TARN_DUSK_G 0.094f
#define TARN_DUSK_B 0.106f

typedef struct
{
  float wrap[3]; /* how far light reaches round an edge, red, green, blue: skin glows */
  float rim;     /* faint light along edges */
} TarnMaterialLook;

static inline TarnMaterialLook
tarn_material_look (TarnMaterial material)
{
  switch (material)
    {
    case TARN_MATERIAL_SKIN:
    case TARN_MATERIAL_MARKS:
      return (TarnMaterialLook){ { 0.36f, 0.26f, 0.22f }, 0.09f };
    case TARN_MATERIAL_LINEN:
    case TARN_MATERIAL_DRAPE:
    case TARN_MATERIAL_DRESSING:
      return (TarnMaterialLook){ { 0.28f, 0.28f, 0.30f }, 0.05f };
    case TARN_MATERIAL_BONE:
    case TARN_MATERIAL_BLADDER:
    case TARN_MATERIAL_FLUID:
      return (TarnMaterialLook){ { 0.40f, 0.36f, 0.32f }, 0.06f };
    case TARN_MATERIAL_SECTOR:
      return (TarnMaterialLook){ { 9, 9, 9 }, 0 };
    default:
      return (TarnMaterialLook){ { 0.15f, 0.15f, 0.15f }, 0.09f };
    }
}
