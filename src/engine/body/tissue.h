/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tissue.h: what a point of the body is made of, and how sound fares in it.
 *
 * Floor: engine.  Values and sources: see the table in tissue.c. */
#pragma once

typedef enum
{
  TARN_TISSUE_AIR, /* outside the skin */
  TARN_TISSUE_SKIN,
  TARN_TISSUE_FAT,
  TARN_TISSUE_MUSCLE,
  TARN_TISSUE_SOFT, /* generic soft tissue: what fills the belly */
  TARN_TISSUE_WALL, /* bladder wall and walls of hollow structures */
  TARN_TISSUE_URINE,
  TARN_TISSUE_BONE,
  TARN_TISSUE_GAS,
  TARN_TISSUE_BOWEL,
  TARN_TISSUE_ORGAN, /* uterus, prostate */
  TARN_TISSUE_FLUID, /* fluid that is not urine: cyst, ascites, amnion */
  TARN_TISSUE_HAEMATOMA,
  TARN_TISSUE_CLOT,    /* inside the lumen, as are the next two */
  TARN_TISSUE_BALLOON, /* the water of a catheter's balloon */
  TARN_TISSUE_STONE,
  TARN_TISSUE_SCAR,
  TARN_TISSUES
} TarnTissue;

typedef struct
{
  double speed_m_s;
  double density_kg_m3;
  double attenuation_db_cm; /* one way at 1 MHz */
  double attenuation_power; /* grows as f^power */
  double backscatter_db;    /* re generic soft tissue; -100: none */
  int opaque;               /* 1: nothing returns from behind it (bone, stone), 2: gas */
} TarnTissueSound;

/* Never NULL for a valid @tissue.  Threads: safe. */
const TarnTissueSound *tarn_tissue_sound (TarnTissue tissue);

/* Characteristic impedance, MRayl. */
double tarn_tissue_impedance_mrayl (TarnTissue tissue);

/* A lower-case English word or two. */
const char *tarn_tissue_name (TarnTissue tissue);

/* What stands in the place of @tissue when there is nothing but urine inside the bladder and
 * no other fluid outside it: urine for clot, balloon and stone; soft tissue for fluid and
 * haematoma; else @tissue itself. */
TarnTissue tarn_tissue_without_others (TarnTissue tissue);
