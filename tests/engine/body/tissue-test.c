/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tissue-test.c: the table of tissues against published values. */
#include "engine/body/tissue.h"

#include <glib.h>

/* Speeds and densities: MDPI Bioengineering 12(9):946 and PMC10346919, table A2; attenuation:
 * PMC10001275, table 4.  Sources differ by ±3 % in speed and ±30 % in attenuation, so no test
 * may be tighter. */
static void
test_published (void)
{
  static const struct
  {
    TarnTissue tissue;
    double speed_m_s, density_kg_m3, attenuation_db_cm;
  } published[] = {
    { TARN_TISSUE_SKIN, 1650, 1130, 0.35 },  { TARN_TISSUE_FAT, 1450, 925, 0.6 },
    { TARN_TISSUE_MUSCLE, 1580, 1055, 1.0 }, { TARN_TISSUE_SOFT, 1570, 1060, 0.5 },
    { TARN_TISSUE_BONE, 3450, 1900, 10 },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (published); k++)
    {
      const TarnTissueSound *sound = tarn_tissue_sound (published[k].tissue);
      g_assert_cmpfloat_with_epsilon (sound->speed_m_s, published[k].speed_m_s,
                                      0.03 * published[k].speed_m_s);
      g_assert_cmpfloat_with_epsilon (sound->density_kg_m3, published[k].density_kg_m3,
                                      0.03 * published[k].density_kg_m3);
      g_assert_cmpfloat_with_epsilon (sound->attenuation_db_cm, published[k].attenuation_db_cm,
                                      0.3 * published[k].attenuation_db_cm);
    }
}

/* Water at 37 °C: 1523.65 m/s (Marczak 1997). */
static void
test_balloon_is_water (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_tissue_sound (TARN_TISSUE_BALLOON)->speed_m_s, 1523.65,
                                  0.1);
}

/* Z = ρc (derived). */
static void
test_impedance (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_tissue_impedance_mrayl (TARN_TISSUE_FAT), 1.34, 0.005);
  g_assert_cmpfloat_with_epsilon (tarn_tissue_impedance_mrayl (TARN_TISSUE_URINE), 1.55, 0.005);
  g_assert_cmpfloat_with_epsilon (tarn_tissue_impedance_mrayl (TARN_TISSUE_BONE), 6.6, 0.05);
  g_assert_cmpfloat_with_epsilon (tarn_tissue_impedance_mrayl (TARN_TISSUE_GAS), 0.0004, 5e-5);
}

static void
test_every_row_is_filled (void)
{
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      const TarnTissueSound *sound = tarn_tissue_sound ((TarnTissue)k);
      g_assert_cmpstr (tarn_tissue_name ((TarnTissue)k), !=, NULL);
      g_assert_cmpfloat (sound->speed_m_s, >, 300);
      g_assert_cmpfloat (sound->density_kg_m3, >, 1);
      g_assert_cmpfloat (sound->attenuation_power, >=, 1);
      for (int j = 0; j < k; j++)
        g_assert_cmpstr (tarn_tissue_name ((TarnTissue)k), !=,
                         tarn_tissue_name ((TarnTissue)j));
    }
}

/* Clot, balloon and stone give way to urine, other fluid to soft tissue, the rest stays. */
static void
test_without_others (void)
{
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      TarnTissue expected = (TarnTissue)k;
      if (k == TARN_TISSUE_CLOT || k == TARN_TISSUE_BALLOON || k == TARN_TISSUE_STONE)
        expected = TARN_TISSUE_URINE;
      if (k == TARN_TISSUE_FLUID || k == TARN_TISSUE_HAEMATOMA)
        expected = TARN_TISSUE_SOFT;
      g_assert_cmpint (tarn_tissue_without_others ((TarnTissue)k), ==, expected);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/tissue/published", test_published);
  g_test_add_func ("/tissue/balloon-is-water", test_balloon_is_water);
  g_test_add_func ("/tissue/impedance", test_impedance);
  g_test_add_func ("/tissue/every-row-is-filled", test_every_row_is_filled);
  g_test_add_func ("/tissue/without-others", test_without_others);
  return g_test_run ();
}
