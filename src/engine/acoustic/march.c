/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The march: along each line from the face through the pressed body.
 *
 * Rays are straight.  Tissue is looked up in material coordinates every four samples; where it
 * changes, the interface is found by halving.  What bone, gas and air do is written down
 * apart from the losses (`bone_sample` …), so that a picture without them needs no new march:
 * in `gain` they count as soft tissue. */
#include "engine/acoustic/finish_kernel.h"
#include "engine/acoustic/lookup.h"

#include "base/random.h"

#include <string.h>

#define STEPS_PER_NODE 4
#define STEP_SAMPLES   (TARN_NODE_SAMPLES / STEPS_PER_NODE)
#define STEPS_PAST_END 4 /* the bright cap of what ends a line reaches so far into it */
#define HALVINGS       5
#define STEPS_MAX      (TARN_SAMPLES_MAX / STEP_SAMPLES + TARN_SAMPLES_MAX / 32 + 2)

/* A flat interface of reflection 1 stands this much above the speckle of soft tissue (own
 * design value; makes fat on muscle about +16 dB, bone a bright cap). */
#define SPECULAR_GAIN 56.0f
/* Share of an interface's echo that does not care for the angle. */
#define DIFFUSE_SHARE 0.12f
#define ROUGH_SHARE   0.35f /* of bone, gas and stone */
/* The lining of a fluid is smooth and mirrors better than layers that are grown together. */
#define LINING_GAIN 2.0f
/* sin² of the angle at which the mirror-like part has fallen to a quarter. */
#define SPECULAR_SIN2 0.06f
/* Reverberation in front of fluid, dB re the speckle that it mirrors: −15 under thin walls. */
#define HAZE_DB            -15.0
#define HAZE_DB_PER_FAT_MM 0.15
#define HAZE_DB_MOST       10.0

/* One line on its way. */
typedef struct
{
  const TarnPlaneWork *work;
  const TarnCells *cells;
  int substitute[TARN_TISSUES]; /* what counts for what */
  float loss_db_mm[TARN_TISSUES];
  float impedance[TARN_TISSUES];
  float passage_db[TARN_TISSUES][TARN_TISSUES]; /* lost on going through and back */
  bool ends[TARN_TISSUES];
  int fluid[TARN_TISSUES];
  double pitch_mm, face_radius_mm;
  /* This line. */
  double angle_rad;
  TarnVec3 direction;
  float dx[TARN_NODES_MAX], dy[TARN_NODES_MAX], dz[TARN_NODES_MAX], shift[TARN_NODES_MAX];
  float apparent[TARN_NODES_MAX]; /* sample at which each node shows */
  float cx[TARN_NODES_MAX], cy[TARN_NODES_MAX], cz[TARN_NODES_MAX]; /* nodes, in cells */
  uint8_t tissue[STEPS_MAX];
} March;

/* The phantom's answer on this line. */
static TarnTissue
phantom_at (const March *march, double depth_mm)
{
  const TarnPhantom *phantom = march->work->setup.phantom;
  if (phantom->bone_mm > 0 && depth_mm > phantom->bone_mm
      && fabs (march->angle_rad) <= phantom->bone_half_rad)
    return TARN_TISSUE_BONE;
  return tarn_phantom_tissue (phantom, depth_mm);
}

static TarnTissue
tissue_at (const March *march, TarnVec3 p, double depth_mm)
{
  const TarnPlaneSetup *setup = &march->work->setup;
  TarnTissue tissue = setup->phantom != NULL ? phantom_at (march, depth_mm)
                                             : tarn_lookup (setup->body, march->cells,
                                                            tarn_cell_place (march->cells, p));
  return (TarnTissue)march->substitute[tissue];
}

/* Where the point at @depth_mm of the line was at rest. */
static TarnVec3
material_at (const March *march, double depth_mm)
{
  double at = depth_mm / (march->pitch_mm * TARN_NODE_SAMPLES);
  int last = march->work->nodes.depths - 2;
  int node = at < 0 ? 0 : at > last ? last : (int)at;
  double f = at - node;
  TarnVec3 p = tarn_add_scaled (march->work->setup.frame.centre_mm, march->direction,
                                march->face_radius_mm + depth_mm);
  p.x += march->dx[node] + (march->dx[node + 1] - march->dx[node]) * f;
  p.y += march->dy[node] + (march->dy[node + 1] - march->dy[node]) * f;
  p.z += march->dz[node] + (march->dz[node + 1] - march->dz[node]) * f;
  return p;
}

/* The sample at which the instrument shows @depth_mm. */
static float
apparent_sample (const March *march, double depth_mm)
{
  double at = depth_mm / (march->pitch_mm * TARN_NODE_SAMPLES);
  int last = march->work->nodes.depths - 2;
  int node = at < 0 ? 0 : at > last ? last : (int)at;
  double shift
      = march->shift[node] + (march->shift[node + 1] - march->shift[node]) * (at - node);
  return (float)((depth_mm + shift) / march->pitch_mm - 0.5);
}

/* The same for the end of step @k, between nodes that hold the answer. */
static float
step_end_sample (const March *march, int k)
{
  int node = k / STEPS_PER_NODE, last = march->work->nodes.depths - 2;
  node = node > last ? last : node;
  float share = (float)(k + 1 - node * STEPS_PER_NODE) * (1.0f / STEPS_PER_NODE);
  return march->apparent[node] + (march->apparent[node + 1] - march->apparent[node]) * share;
}

/* Takes the table's columns left and right of the row together. */
static void
enter_row (March *march, int row)
{
  const TarnPlaneWork *work = march->work;
  const TarnNodes *nodes = &work->nodes;
  double angle = tarn_row_angle_rad (work, row);
  march->angle_rad = angle;
  march->direction = tarn_add_scaled (tarn_scale (work->setup.frame.axis, cos (angle)),
                                      work->setup.frame.lateral, sin (angle));

  double column = (row - work->middle) / TARN_NODE_ROWS + nodes->middle;
  column = tarn_clamp (column, 0, nodes->columns - 1);
  int c = (int)column < nodes->columns - 1 ? (int)column : nodes->columns - 2;
  float f = (float)(column - c);
  size_t left = (size_t)c * (size_t)nodes->depths, right = left + (size_t)nodes->depths;
  for (int d = 0; d < nodes->depths; d++)
    {
      size_t l = left + (size_t)d, r = right + (size_t)d;
      march->dx[d] = nodes->x[l] + (nodes->x[r] - nodes->x[l]) * f;
      march->dy[d] = nodes->y[l] + (nodes->y[r] - nodes->y[l]) * f;
      march->dz[d] = nodes->z[l] + (nodes->z[r] - nodes->z[l]) * f;
      march->shift[d] = nodes->shift[l] + (nodes->shift[r] - nodes->shift[l]) * f;
      march->apparent[d]
          = (float)(d * TARN_NODE_SAMPLES) + march->shift[d] / (float)march->pitch_mm - 0.5f;
    }

  /* In cells of the body's table, for the look-up of every step. */
  TarnVec3 start = tarn_scale (tarn_sub (work->setup.frame.centre_mm, march->cells->corner_mm),
                               1 / TARN_CELL_MM);
  double node_mm = TARN_NODE_SAMPLES * march->pitch_mm;
  for (int d = 0; d < nodes->depths; d++)
    {
      double r = (march->face_radius_mm + d * node_mm) / TARN_CELL_MM;
      march->cx[d] = (float)(start.x + march->direction.x * r + march->dx[d] / TARN_CELL_MM);
      march->cy[d] = (float)(start.y + march->direction.y * r + march->dy[d] / TARN_CELL_MM);
      march->cz[d] = (float)(start.z + march->direction.z * r + march->dz[d] / TARN_CELL_MM);
    }
}

/* Reflection at normal incidence times how squarely the line meets the surface. */
static float
interface_echo (const March *march, double depth_mm, TarnTissue from, TarnTissue to)
{
  float z1 = march->impedance[from], z2 = march->impedance[to];
  float reflection = fabsf (z2 - z1) / (z2 + z1);
  const TarnPhantom *phantom = march->work->setup.phantom;
  if (reflection < 0.004f || (phantom != NULL && !phantom->speckle))
    return 0;
  float sin2 = 0;
  if (phantom == NULL)
    {
      TarnVec3 p = material_at (march, depth_mm);
      TarnVec3 along = tarn_normalize (tarn_sub (material_at (march, depth_mm + 0.5), p));
      float cosine
          = (float)tarn_dot (along, tarn_lookup_normal (march->work->setup.body, march->cells,
                                                        tarn_cell_place (march->cells, p)));
      sin2 = fmaxf (0, 1 - cosine * cosine);
    }
  float fall = 1 + sin2 / SPECULAR_SIN2;
  float diffuse = march->ends[to] ? ROUGH_SHARE : DIFFUSE_SHARE;
  float smooth = march->fluid[from] != march->fluid[to] ? LINING_GAIN : 1.0f;
  return reflection * SPECULAR_GAIN * smooth * (diffuse + (1 - diffuse) / (fall * fall));
}

/* Between two steps of unlike tissue: the depth at which the first one ends. */
static double
find_interface (const March *march, double from_mm, double to_mm, TarnTissue from)
{
  for (int k = 0; k < HALVINGS; k++)
    {
      double middle = (from_mm + to_mm) / 2;
      if (tissue_at (march, material_at (march, middle), middle) == from)
        from_mm = middle;
      else
        to_mm = middle;
    }
  return (from_mm + to_mm) / 2;
}

/* A gas surface rings down in some places and not in others, fixed to the tissue. */
static float
ring_of (TarnVec3 p)
{
  uint64_t key = (uint64_t)(int64_t)floor (p.x / 3) * 73856093u
                 ^ (uint64_t)(int64_t)floor (p.y / 3) * 19349663u
                 ^ (uint64_t)(int64_t)floor (p.z / 3) * 83492791u;
  return tarn_hash64 (key) % 4 == 0 ? 1.0f : 0.0f;
}

static void
note_interface (const March *march, TarnLine *line, double depth_mm, TarnTissue from,
                TarnTissue to)
{
  float sample = apparent_sample (march, depth_mm);
  unsigned needs = 0;
  if (from == TARN_TISSUE_BONE || to == TARN_TISSUE_BONE)
    needs |= TARN_WITHOUT_BONE;
  if (from == TARN_TISSUE_GAS || to == TARN_TISSUE_GAS)
    needs |= TARN_WITHOUT_GAS;
  if (to == TARN_TISSUE_BONE && sample < line->bone_sample)
    line->bone_sample = sample;
  if (to == TARN_TISSUE_GAS && sample < line->gas_sample)
    {
      line->gas_sample = sample;
      line->ring = ring_of (material_at (march, depth_mm));
    }

  if (to == TARN_TISSUE_STONE && sample < line->end_sample)
    line->end_sample = sample;

  float echo = interface_echo (march, depth_mm, from, to);
  if (echo > 0 && line->echoes < TARN_ECHOES_MAX)
    line->echo[line->echoes++] = (TarnEcho){ sample, echo, needs };

  if (march->fluid[to] && !march->fluid[from] && line->lakes < TARN_LAKES_MAX)
    line->lake[line->lakes++] = (TarnLake){ sample, (float)march->work->samples };
  else if (!march->fluid[to] && march->fluid[from] && line->lakes > 0)
    line->lake[line->lakes - 1].to = sample;
}

/* Losses in dB at the instrument's samples; straight between the march's steps. */
typedef struct
{
  float *loss_db;
  int samples, next;
  float at, loss;
} LossWriter;

static void
write_loss (LossWriter *writer, float sample, float loss)
{
  float slope = sample > writer->at ? (loss - writer->loss) / (sample - writer->at) : 0;
  for (; writer->next < writer->samples && (float)writer->next <= sample; writer->next++)
    writer->loss_db[writer->next] = writer->loss + slope * ((float)writer->next - writer->at);
  writer->at = sample;
  writer->loss = loss;
}

/* Looks up the tissue of every step up to what hides all that follows; returns how many
 * steps that took.  Between two nodes the material path is straight: STEPS_PER_NODE steps. */
static int
look_along (March *march, int steps, bool to_the_end)
{
  const TarnPlaneSetup *setup = &march->work->setup;
  double step_mm = STEP_SAMPLES * march->pitch_mm;
  bool ended = false;
  for (int k = 0; k < steps;)
    {
      /* Beyond the last node, which is beyond the picture, all is as before it. */
      int node = k / STEPS_PER_NODE, known = march->work->nodes.depths - 2;
      node = node < known ? node : known;
      TarnCellPlace a = { march->cx[node], march->cy[node], march->cz[node] };
      TarnCellPlace b = { march->cx[node + 1], march->cy[node + 1], march->cz[node + 1] };
      float share = 1.0f / STEPS_PER_NODE;
      float dx = (b.x - a.x) * share, dy = (b.y - a.y) * share, dz = (b.z - a.z) * share;
      int last = (k / STEPS_PER_NODE + 1) * STEPS_PER_NODE;
      last = last < steps ? last : steps;
      float at = 0.5f;
      for (; k < last; k++, at += 1)
        {
          TarnCellPlace place = { a.x + at * dx, a.y + at * dy, a.z + at * dz };
          TarnTissue tissue = setup->phantom != NULL
                                  ? phantom_at (march, (k + 0.5) * step_mm)
                                  : tarn_lookup (setup->body, march->cells, place);
          march->tissue[k] = (uint8_t)march->substitute[tissue];
          if (march->ends[march->tissue[k]] && !to_the_end && !ended)
            {
              ended = true;
              steps = k + 1 + STEPS_PAST_END < steps ? k + 1 + STEPS_PAST_END : steps;
              last = last < steps ? last : steps;
            }
        }
    }
  return steps;
}

/* A line's losses, echoes and ends, from the tissues along it. */
static void
march_row (March *march, int row, bool near_only, bool to_the_end, TarnLine *line,
           float *loss_db)
{
  const TarnPlaneWork *work = march->work;
  int samples = work->samples;
  double step_mm = STEP_SAMPLES * march->pitch_mm;
  /* Fast tissue shows shallower than it lies, so go a little beyond the limit. */
  int steps = samples / STEP_SAMPLES + samples / (16 * STEP_SAMPLES) + 1;

  enter_row (march, row);
  float never = (float)(2 * TARN_SAMPLES_MAX);
  *line = (TarnLine){ .bone_sample = never, .gas_sample = never, .end_sample = never };
  if (near_only && steps > (int)(TARN_NEAR_MM / step_mm) + 2)
    steps = (int)(TARN_NEAR_MM / step_mm) + 2;
  steps = look_along (march, steps, to_the_end);
  LossWriter writer = { .loss_db = loss_db, .samples = samples };
  float loss = 0, fat_mm = 0, step = (float)step_mm;
  bool entered = false;
  TarnTissue before = TARN_TISSUE_AIR;
  for (int k = 0; k < steps; k++)
    {
      TarnTissue tissue = (TarnTissue)march->tissue[k];
      if (entered && tissue == TARN_TISSUE_AIR)
        {
          line->end_sample = fminf (line->end_sample, apparent_sample (march, k * step_mm));
          break;
        }
      if (entered && tissue != before)
        {
          double depth
              = find_interface (march, (k - 0.5) * step_mm, (k + 0.5) * step_mm, before);
          note_interface (march, line, depth, before, tissue);
          /* The step before was charged to its end, not to the interface. */
          loss += march->passage_db[before][tissue]
                  + (march->loss_db_mm[tissue] - march->loss_db_mm[before])
                        * (float)(k * step_mm - depth);
        }
      entered |= tissue != TARN_TISSUE_AIR;
      before = tissue;
      loss += march->loss_db_mm[tissue] * step;
      if (tissue == TARN_TISSUE_FAT && line->lakes == 0)
        fat_mm += step;
      write_loss (&writer, step_end_sample (march, k), loss);
    }
  write_loss (&writer, (float)samples, loss);
  double haze_db = HAZE_DB + fmin (HAZE_DB_MOST, HAZE_DB_PER_FAT_MM * (double)fat_mm);
  line->haze = (float)pow (10, haze_db / 20);
}

static void
prepare (March *march, const TarnPlaneWork *work, unsigned without)
{
  *march = (March){ .work = work,
                    .cells = tarn_body_cells (work->setup.body),
                    .pitch_mm = work->setup.geometry.sample_pitch_mm,
                    .face_radius_mm = work->setup.geometry.face_radius_mm };
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      TarnTissue tissue = (TarnTissue)k;
      march->substitute[k]
          = without & TARN_WITHOUT_OTHERS ? tarn_tissue_without_others (tissue) : tissue;
      march->impedance[k] = (float)tarn_tissue_impedance_mrayl (tissue);
      march->fluid[k] = tarn_tissue_sound (tissue)->backscatter_db < -50
                        && !tarn_tissue_sound (tissue)->opaque && tissue != TARN_TISSUE_AIR;
      if (tissue == TARN_TISSUE_BONE || tissue == TARN_TISSUE_GAS)
        tissue = TARN_TISSUE_SOFT;
      march->loss_db_mm[k] = (float)tarn_beam_loss_db_mm (&work->beam, tissue);
    }
  /* Out and back through a surface: (1 − R)² in intensity; nothing passes a total reflector,
   * but what it hides is left to dress up with or without it. */
  for (int a = 0; a < TARN_TISSUES; a++)
    for (int b = 0; b < TARN_TISSUES; b++)
      {
        float z1 = march->impedance[a], z2 = march->impedance[b];
        float r = (z2 - z1) / (z2 + z1);
        march->passage_db[a][b] = r * r < 0.2f ? (float)(-20 * log10 (1 - (double)(r * r))) : 0;
      }
  for (int k = 0; k < TARN_TISSUES; k++)
    march->ends[k] = k != TARN_TISSUE_AIR && tarn_tissue_sound ((TarnTissue)k)->opaque != 0;
  /* Between the face and the skin: gel, α 0.05 dB/cm/MHz. */
  march->loss_db_mm[TARN_TISSUE_AIR] = (float)(2 * 0.05 * work->beam.mhz / 10);
}

static int
any_dry (const TarnContact *contact)
{
  for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
    for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
      if (contact->wet[row][column] < 1)
        return 1;
  return 0;
}

static int
has_others (const TarnPatient *patient)
{
  for (int k = 0; k < patient->structures; k++)
    switch (patient->structure[k].kind)
      {
      case TARN_STRUCTURE_CYST:
      case TARN_STRUCTURE_ASCITES:
      case TARN_STRUCTURE_GRAVID_UTERUS:
      case TARN_STRUCTURE_HAEMATOMA:
      case TARN_STRUCTURE_BALLOON:
      case TARN_STRUCTURE_CLOT:
      case TARN_STRUCTURE_STONE:
        return 1;
      default:
        break;
      }
  return 0;
}

TarnStatus
tarn_march (TarnPlaneWork *work, unsigned without)
{
  March march;
  bool to_the_end = (without & (TARN_WITHOUT_BONE | TARN_WITHOUT_GAS)) != 0;
  prepare (&march, work, without);
  float gain_db_sample = (float)(work->beam.depth_gain_db_mm * march.pitch_mm);
  work->acting = 0;
  for (int row = 0; row < work->rows; row++)
    {
      TarnLine *line = &work->line[row];
      float *gain = work->gain + (size_t)row * (size_t)work->stride;
      int outside
          = row < TARN_MARGIN ? TARN_MARGIN - row : row - (work->rows - 1 - TARN_MARGIN);
      march_row (&march, row, outside > work->far_margin, to_the_end, line, gain);
      for (int s = work->samples; s < work->stride; s++)
        gain[s] = 0;
#ifdef TARN_HAVE_AVX2
      if (!work->plain)
        tarn_gain_from_loss_avx2 (gain, work->stride, gain_db_sample);
      else
#endif
        tarn_gain_from_loss_plain (gain, work->stride, gain_db_sample);
      if (line->bone_sample < (float)work->samples)
        work->acting |= TARN_WITHOUT_BONE;
      if (line->gas_sample < (float)work->samples)
        work->acting |= TARN_WITHOUT_GAS;
    }
  if (any_dry (work->setup.contact))
    work->acting |= TARN_WITHOUT_DRY;
  if (work->setup.phantom == NULL && has_others (tarn_body_patient (work->setup.body)))
    work->acting |= TARN_WITHOUT_OTHERS;
  return TARN_OK;
}
