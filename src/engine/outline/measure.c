/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Area and first moment of a polygon.  By Green's theorem, with c = u v' - u' v of an edge:
 * area = ½ Σ c, and ∬ v dA = ⅙ Σ c (v + v'). */
#include "engine/outline/outline.h"

#include <assert.h>
#include <stddef.h>

void
tarn_outline_measure (const TarnOutlinePoint *point, int count, double *area_mm2,
                      double *moment_mm3)
{
  assert (count == 0 || point != NULL);
  double area = 0, moment = 0;

  for (int k = 0; k < count; k++)
    {
      const TarnOutlinePoint *p = &point[k], *q = &point[k + 1 < count ? k + 1 : 0];
      double cross = (double)p->u_mm * q->v_mm - (double)q->u_mm * p->v_mm;
      area += cross;
      moment += cross * ((double)p->v_mm + q->v_mm);
    }
  *area_mm2 = area / 2;
  *moment_mm3 = moment / 6;
}
