/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * formulas.h: the textbook acoustics that the plane is built from, one function each.
 *
 * Floor: engine.  Pure; safe from any thread.  Arguments are the program's own numbers, so a
 * value outside the stated range is a programmer's error and asserts.  Units stand in the
 * names; impedances are in MRayl, angles from the normal. */
#pragma once

/* Amplitude of the echo at normal incidence, (z2 - z1) / (z2 + z1); [-1, 1]. */
double tarn_reflection_amplitude (double z1_mrayl, double z2_mrayl);
/* Share of the intensity that comes back, its square, and that goes on; they sum to 1. */
double tarn_reflection_intensity (double z1_mrayl, double z2_mrayl);
double tarn_transmission_intensity (double z1_mrayl, double z2_mrayl);

/* Snell: the angle behind a border.  @incidence_rad: [0, π/2].  π/2 where nothing goes on. */
double tarn_refraction_rad (double incidence_rad, double from_m_s, double to_m_s);
/* The incidence from which nothing goes on; π/2 when there is none, @to_m_s being slower. */
double tarn_critical_angle_rad (double from_m_s, double to_m_s);

/* Speed of sound in pure water, @celsius in [0, 95] (Marczak 1997, J. Acoust. Soc. Am. 102). */
double tarn_water_speed_m_s (double celsius);

/* What @length_mm of tissue costs there and back, dB; attenuation grows as f^@power. */
double tarn_round_trip_db (double db_cm_mhz, double power, double mhz, double length_mm);

/* How much brighter than its surroundings lies what is behind @length_mm of fluid, dB: the
 * loss that a tissue would have taken less that of the fluid. */
double tarn_enhancement_db (double tissue_db_cm_mhz, double tissue_power,
                            double fluid_db_cm_mhz, double fluid_power, double mhz,
                            double length_mm);

/* Where an instrument that assumes 1540 m/s shows the far end of @length_mm. */
double tarn_shown_length_mm (double length_mm, double speed_m_s);

/* Pictures a second when every line waits for its deepest echo. */
double tarn_line_limited_rate_hz (double depth_mm, int lines);

/* Half the pulse's length: -6 dB along the line. */
double tarn_axial_width_mm (double cycles, double mhz, double speed_m_s);

/* The share of the aperture that a line uses at @depth_mm: min (aperture, depth / 2). */
double tarn_active_aperture_mm (double depth_mm, double aperture_mm);

/**
 * Two-way -6 dB width in the plane, mm, where transmit and receive focus follow the depth:
 * 0.886 λ z / D, the sinc's root, D the active aperture.
 *
 * Within 4 % of the Rayleigh-Sommerfeld integral of the same aperture over 20-180 mm.
 * @depth_mm: > 0.
 */
double tarn_lateral_width_mm (double depth_mm, double aperture_mm, double mhz,
                              double speed_m_s);

/**
 * Two-way -6 dB thickness of the slice, mm, for one fixed focus:
 *
 *   w² = (0.886 λ z / D)² + (κ D (1 - z/F))²
 *
 * The second term is geometry, and how much of it counts depends on the defocus in
 * wavelengths, q = D² |1/z - 1/F| / λ: below about 3 the main lobe barely widens (κ 0.16),
 * above 4 it breaks up and the beam is nearly as wide as the geometric cone (κ = 0.9 - 1.3 /
 * q). Own fit to the Rayleigh-Sommerfeld integral for a two-cycle pulse, 12 mm focused at 70
 * mm, 10-180 mm: within 9 % (see the beam test among the oracles).
 */
double tarn_elevation_width_mm (double depth_mm, double elevation_mm, double focus_mm,
                                double mhz, double speed_m_s);

/* How much a partly dry aperture dims a line, as an amplitude there and back:
 * (Σ aₖ wₖ / Σ aₖ)².  @weight: the elements' share, Σ > 0; @wet: [0, 1] each. */
double tarn_wet_gain (const float *weight, const float *wet, int count);

/* The width of the evenly lit aperture whose spread is that of the wet part: √12 times the
 * RMS distance from its middle, never wider than the whole; 0 when all is dry. */
double tarn_wet_aperture_mm (const float *weight, const float *wet, int count, double pitch_mm);

/* Share of the intensity that passes, one way, a layer of @layer_mrayl between two halves of
 * @around_mrayl (Kinsler, Fundamentals of Acoustics, normal incidence on a layer). */
double tarn_film_transmission (double around_mrayl, double layer_mrayl, double thickness_mm,
                               double mhz, double layer_m_s);
