/* block.c - from rows to figures, several at a time. */
#include "verify/block.h"

#include <math.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

LANES_VOID(fill_tips,
           (struct block * block, const double *restrict sine, const double *restrict cosine,
            double reach, double drop, struct lie lie),
           (block, sine, cosine, reach, drop, lie)) {
  size_t count = block->count;
  for (size_t i = 0; i < count; i++) {
    double x = block->x[i] + reach * cosine[i] - lie.at.x;
    double y = block->y[i] + reach * sine[i] - lie.at.y;
    block->tip_x[i] = lie.cos * x + lie.sin * y;
    block->tip_y[i] = lie.cos * y - lie.sin * x;
    block->tip_z[i] = block->z[i] - drop - lie.at.z;
  }
}

LANES_VOID(fill_moves, (struct block * block), (block)) {
  size_t count = block->count;
  for (size_t i = 1; i < count; i++) {
    double x = block->x[i] - block->x[i - 1], y = block->y[i] - block->y[i - 1],
           z = block->z[i] - block->z[i - 1];
    block->moved[i] = sqrt(x * x + y * y + z * z);
    block->turned[i] = fabs(block->angle[i] - block->angle[i - 1]);
  }
}

static void fill_wholes(struct block *block) {
  for (size_t i = 0, k = BLOCK_BEFORE; i < block->count; i++, k++) {
    const struct borelay_row *row = &block->rows[i];
    block->whole[AXIS_X][k] = (double)row->x_nm;
    block->whole[AXIS_Y][k] = (double)row->y_nm;
    block->whole[AXIS_Z][k] = (double)row->z_nm;
    block->whole[AXIS_HEAD][k] = (double)row->head_udeg;
  }
}

LANES_VOID(fill_places, (struct block * block), (block)) {
  size_t count = block->count;
  for (size_t i = 0; i < count; i++) {
    size_t k = i + BLOCK_BEFORE;
    block->x[i] = block->whole[AXIS_X][k] * 1e-6;
    block->y[i] = block->whole[AXIS_Y][k] * 1e-6;
    block->z[i] = block->whole[AXIS_Z][k] * 1e-6;
    block->angle[i] = block->whole[AXIS_HEAD][k] * (NUM_PI / 180e6);
  }
}

void block_fill(struct block *block, const struct cell *cell, const struct lie *lie) {
  double sine[BLOCK_ROWS], cosine[BLOCK_ROWS];
  size_t count = block->count;
  fill_wholes(block);
  fill_places(block);
  num_sincos_all(block->angle, sine, cosine, count);
  fill_tips(block, sine, cosine, cell->reach, cell->drop, *lie);
  fill_moves(block);
  if (lie->turned == 0) {
    memcpy(block->torch_sin, sine, count * sizeof *sine);
    memcpy(block->torch_cos, cosine, count * sizeof *cosine);
    return;
  }
  double torch[BLOCK_ROWS];
  for (size_t i = 0; i < count; i++)
    torch[i] = block->angle[i] - lie->turned;
  num_sincos_all(torch, block->torch_sin, block->torch_cos, count);
}

struct head block_head(const struct block *block, size_t i) {
  return (struct head){.h = {block->x[i], block->y[i], block->z[i]},
                       .angle = block->angle[i],
                       .tip = {block->tip_x[i], block->tip_y[i], block->tip_z[i]},
                       .torch = {block->torch_sin[i], block->torch_cos[i]}};
}
