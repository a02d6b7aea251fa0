/* The cell, and the torch body worked out from its figures. */
#include <math.h>
#include <string.h>

#include "borelay/num.h"
#include "resolve/build.h"
#include "resolve/drafts.h"

static void axis_read(struct reading *cell, const char *name, struct axis_limits *axis) {
  const struct flat *flat = inner_get(cell->flat, "axis", name);
  if (!flat) {
    inner_missing(cell, "axis", name);
    return;
  }
  struct reading reading = block_read(cell->r, flat, axis, false);
  axis->origin = origin_make(cell->r, &reading, NULL);
  if (!reading.is_whole)
    reading_fail(cell);
}

static const char *name_or_none(const struct flat *flat) {
  return flat->name ? flat->name : "";
}

static void guards_read(struct reading *torch, struct cell *out) {
  for (size_t i = 0; i < torch->flat->item_count; i++) {
    const struct flat *flat = torch->flat->items[i].block;
    if (!flat)
      continue;
    struct capsule guard = {.name = name_or_none(flat)};
    struct reading reading = block_read(torch->r, flat, &guard, false);
    guard.origin = origin_make(torch->r, &reading, NULL);
    if (!reading.is_whole)
      reading_fail(torch);
    out->guards =
        list_append(torch->r->arena, out->guards, &out->guard_count, &guard, sizeof guard);
  }
}

/* Rounding allowed where the body ends exactly at its root, mm. */
static const double touching = 1e-9;
/* A box that is no thicker, mm, is flat: rows have six decimals. */
static const double thinnest = 1e-6;

/* The capsule begins at the root and ends electrode_extension short of the tip, its round
 * end included: so the end's centre lies extension + radius before the tip. */
static void torch_body(struct reading *torch, const struct torch_draft *draft, struct cell *out) {
  vec2 tip = {draft->reach, -draft->drop};
  vec2 root = draft->has_root ? draft->root : (vec2){0, -draft->drop};
  vec2 along = vec2_sub(tip, root);
  double distance = num_hypot(along.x, along.y);
  double taken = draft->electrode_extension + draft->radius;
  if (!(distance > 0) || distance < taken - touching) {
    struct diag *diag =
        diag_error(torch->r->diags, DIAG_TORCH_BODY, reading_at(torch, "electrode_extension"),
                   "the torch body has no room: from its root to the tip are %.9g mm, but "
                   "electrode_extension and radius take %.9g mm",
                   distance, taken);
    diag_help(diag, "give `root`, where the body begins: out from the head axis, up from the "
                    "reference point");
    reading_fail(torch);
    return;
  }
  vec2 unit = vec2_scale(along, 1 / distance);
  vec2 end = distance > taken ? vec2_sub(tip, vec2_scale(unit, taken)) : root;
  vec2 bare = vec2_sub(tip, vec2_scale(unit, draft->electrode_extension));
  out->torch.from = (vec3){root.x, 0, root.y};
  out->torch.to = (vec3){end.x, 0, end.y};
  out->torch.radius = draft->radius;
  out->electrode_from = (vec3){bare.x, 0, bare.y};
  out->electrode_to = (vec3){tip.x, 0, tip.y};
}

static void torch_read(struct reading *cell, struct cell *out) {
  const struct flat *flat = inner_get(cell->flat, "torch", NULL);
  if (!flat) {
    inner_missing(cell, "torch", NULL);
    return;
  }
  struct torch_draft draft = {0};
  struct reading torch = block_read(cell->r, flat, &draft, false);
  out->reach = draft.reach;
  out->drop = draft.drop;
  out->electrode_extension = draft.electrode_extension;
  out->wire_side = draft.wire_side;
  if (reading_has(&torch, KEYS("reach", "drop", "electrode_extension", "radius")) &&
      reading_state(&torch, "root") != KEY_BROKEN)
    torch_body(&torch, &draft, out);
  guards_read(&torch, out);
  out->torch.name = "torch";
  out->torch.origin = origin_make(cell->r, &torch, NULL);
  if (!torch.is_whole)
    reading_fail(cell);
}

static void bodies_read(struct reading *cell, struct cell *out) {
  for (size_t i = 0; i < cell->flat->item_count; i++) {
    const struct flat *flat = cell->flat->items[i].block;
    if (!flat || strcmp(flat->kind->word, "body") != 0)
      continue;
    struct body body = {.name = name_or_none(flat)};
    struct reading reading = block_read(cell->r, flat, &body, false);
    body.origin = origin_make(cell->r, &reading, NULL);
    if (!reading.is_whole)
      reading_fail(cell);
    out->bodies = list_append(cell->r->arena, out->bodies, &out->body_count, &body, sizeof body);
  }
  if (out->body_count == 0)
    inner_missing(cell, "body", NULL);
}

static void shell_read(struct reading *cell, struct cell *out) {
  const struct flat *flat = inner_get(cell->flat, "working_range", NULL);
  if (!flat)
    return;
  struct working_range_draft draft = {.radius = {0, 0}};
  struct reading reading = block_read(cell->r, flat, &draft, false);
  out->has_working_range = true;
  out->range_from = draft.from;
  out->range_radius = draft.radius;
  if (!reading.is_whole)
    reading_fail(cell);
}

/* Sides in order, lo < hi on every axis; a side without length is told. */
static bool box_make(struct reading *block, const struct keep_out_draft *draft,
                     struct keep_out *out) {
  static const char *const names[3] = {"x", "y", "z"};
  const double from[3] = {draft->from.x, draft->from.y, draft->from.z};
  const double to[3] = {draft->to.x, draft->to.y, draft->to.z};
  double lo[3], hi[3];
  for (int i = 0; i < 3; i++) {
    lo[i] = fmin(from[i], to[i]);
    hi[i] = fmax(from[i], to[i]);
    if (hi[i] - lo[i] > thinnest)
      continue;
    struct diag *diag = diag_error(block->r->diags, DIAG_BOX_FLAT, reading_at(block, "to"),
                                   "keep_out `%s` is flat: both corners have %s %.9g mm", out->name,
                                   names[i], from[i]);
    diag_note(diag, reading_at(block, "from"), "the corner opposite");
    diag_help(diag, "from and to are opposite corners of a box; give a sheet its thickness too");
    return false;
  }
  out->lo = (vec3){lo[0], lo[1], lo[2]};
  out->hi = (vec3){hi[0], hi[1], hi[2]};
  return true;
}

static void keep_outs_read(struct reading *cell, struct cell *out) {
  for (size_t i = 0; i < cell->flat->item_count; i++) {
    const struct flat *flat = cell->flat->items[i].block;
    if (!flat || strcmp(flat->kind->word, "keep_out") != 0)
      continue;
    struct keep_out_draft draft = {.from = {0, 0, 0}};
    struct keep_out box = {.name = name_or_none(flat)};
    struct reading block = block_read(cell->r, flat, &draft, false);
    box.origin = origin_make(cell->r, &block, NULL);
    bool known = reading_has(&block, KEYS("from", "to"));
    if (!block.is_whole || (known && !box_make(&block, &draft, &box)))
      reading_fail(cell);
    out->keep_outs =
        list_append(cell->r->arena, out->keep_outs, &out->keep_out_count, &box, sizeof box);
  }
}

/* Rows are timed in whole microseconds, so that every time is written exactly. */
static void tick_read(struct reading *cell, struct cell *out) {
  double us = out->tick * 1e6;
  double whole = floor(us + 0.5);
  if (fabs(us - whole) > 1e-6) {
    struct diag *diag = diag_error(
        cell->r->diags, DIAG_TICK, reading_at(cell, "tick"),
        "tick is %.9g ms here; it must be a whole number of microseconds", out->tick * 1e3);
    diag_help(diag, "write `%.9g ms`", whole / 1e3);
    reading_fail(cell);
    return;
  }
  out->tick_us = (int64_t)whole;
  out->tick = whole / 1e6;
}

const struct cell *cell_build(struct resolver *r, const struct decl *decl,
                              const struct flat *flat) {
  struct cell *out = arena_alloc(r->arena, 1, sizeof *out);
  struct reading cell = block_read(r, flat, out, false);
  out->name = decl->full_name;
  out->origin = origin_make(r, &cell, NULL);
  if (reading_has(&cell, KEYS("tick")))
    tick_read(&cell, out);
  axis_read(&cell, "x", &out->axis[AXIS_X]);
  axis_read(&cell, "y", &out->axis[AXIS_Y]);
  axis_read(&cell, "z", &out->axis[AXIS_Z]);
  axis_read(&cell, "head", &out->axis[AXIS_HEAD]);
  torch_read(&cell, out);
  bodies_read(&cell, out);
  shell_read(&cell, out);
  keep_outs_read(&cell, out);
  return cell.is_whole ? out : NULL;
}
