/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tissue.c: the table of tissues at body temperature.
 *
 * Speed, density: MDPI Bioengineering 12(9):946; PMC10346919, table A2; Culjat 2010 (second
 * hand); water by Marczak 1997 at 37 °C.  Attenuation at 1 MHz: PMC10001275, table 4.  Urine,
 * organ wall and the exponents are from memory.  Backscatter re liver, and every row marked
 * "choice", are engineering choices of this project.  Published soft-tissue speeds differ by
 * ±3 % and attenuations by about ±30 % between sources. */
#include "engine/body/tissue.h"

#include <assert.h>

typedef struct
{
  const char *name;
  TarnTissueSound sound;
} Row;

/* speed m/s, density kg/m³, attenuation dB/cm at 1 MHz, its power of f, backscatter dB, opaque
 */
static const Row table[TARN_TISSUES] = {
  [TARN_TISSUE_AIR] = { "air", { 343, 1.2, 7.5, 1, -100, 2 } },
  [TARN_TISSUE_SKIN] = { "skin", { 1650, 1130, 0.35, 1.1, 3, 0 } },
  [TARN_TISSUE_FAT] = { "fat", { 1450, 925, 0.6, 1.05, -8, 0 } },
  [TARN_TISSUE_MUSCLE] = { "muscle", { 1580, 1055, 1.0, 1.1, -6, 0 } },
  /* Linear in f: 0.5 dB/cm/MHz is how soft tissue is commonly quoted. */
  [TARN_TISSUE_SOFT] = { "soft tissue", { 1570, 1060, 0.5, 1, 0, 0 } },
  [TARN_TISSUE_WALL] = { "wall", { 1570, 1045, 0.7, 1.05, -3, 0 } },
  [TARN_TISSUE_URINE] = { "urine", { 1535, 1010, 0.0022, 2, -100, 0 } },
  [TARN_TISSUE_BONE] = { "bone", { 3450, 1900, 10, 1, 0, 1 } },
  [TARN_TISSUE_GAS] = { "gas", { 343, 1.2, 7.5, 1, -100, 2 } },
  [TARN_TISSUE_BOWEL] = { "bowel", { 1570, 1050, 0.6, 1.05, 2, 0 } }, /* choice */
  [TARN_TISSUE_ORGAN] = { "organ", { 1570, 1045, 0.7, 1.05, -3, 0 } },
  [TARN_TISSUE_FLUID]
  = { "other fluid", { 1535, 1012, 0.0022, 2, -100, 0 } }, /* as urine: choice */
  [TARN_TISSUE_HAEMATOMA] = { "haematoma", { 1570, 1060, 0.15, 1.2, -24, 0 } }, /* as blood */
  [TARN_TISSUE_CLOT] = { "clot", { 1580, 1060, 0.3, 1.2, -9, 0 } },             /* choice */
  [TARN_TISSUE_BALLOON] = { "balloon", { 1523.7, 993, 0.0022, 2, -100, 0 } },   /* water */
  [TARN_TISSUE_STONE] = { "stone", { 3000, 1900, 10, 1, 0, 1 } },               /* choice */
  [TARN_TISSUE_SCAR] = { "scar", { 1630, 1110, 1.2, 1.1, 2, 0 } },              /* choice */
};

const TarnTissueSound *
tarn_tissue_sound (TarnTissue tissue)
{
  assert (tissue >= 0 && tissue < TARN_TISSUES);
  return &table[tissue].sound;
}

double
tarn_tissue_impedance_mrayl (TarnTissue tissue)
{
  const TarnTissueSound *sound = tarn_tissue_sound (tissue);
  return sound->speed_m_s * sound->density_kg_m3 * 1e-6;
}

const char *
tarn_tissue_name (TarnTissue tissue)
{
  assert (tissue >= 0 && tissue < TARN_TISSUES);
  return table[tissue].name;
}

TarnTissue
tarn_tissue_without_others (TarnTissue tissue)
{
  switch (tissue)
    {
    case TARN_TISSUE_CLOT:
    case TARN_TISSUE_BALLOON:
    case TARN_TISSUE_STONE:
      return TARN_TISSUE_URINE;
    case TARN_TISSUE_FLUID:
    case TARN_TISSUE_HAEMATOMA:
      return TARN_TISSUE_SOFT;
    default:
      return tissue;
    }
}
