/* Shapes and envelopes: dimensions that go together, touches enough to tell a size. */
#include <string.h>

#include "resolve/build.h"

enum { LEAST_ROUND_TOUCHES = 3, RACETRACK_TOUCHES = 5 };

bool touch_count_suits(struct reading *reading, enum shape_kind kind, size_t count, span at) {
  if (kind == SHAPE_ROUND && count < LEAST_ROUND_TOUCHES) {
    diag_error(reading->r->diags, DIAG_TOUCH_COUNT, at,
               "a round takes three touches or more; here %s %zu", count == 1 ? "is" : "are",
               count);
    reading_fail(reading);
    return false;
  }
  if (kind == SHAPE_RACETRACK && count != RACETRACK_TOUCHES) {
    struct diag *diag =
        diag_error(reading->r->diags, DIAG_TOUCH_COUNT, at,
                   "a racetrack takes five touches; here %s %zu", count == 1 ? "is" : "are", count);
    diag_help(diag, "1 and 2 on one straight, 3 on the half circle that follows, 4 on the other "
                    "straight, 5 on the other half circle");
    reading_fail(reading);
    return false;
  }
  return true;
}

static enum shape_kind kind_of(const struct block_kind *kind) {
  if (kind == &round_block)
    return SHAPE_ROUND;
  if (kind == &racetrack_block)
    return SHAPE_RACETRACK;
  return kind == &rectangle_block ? SHAPE_RECTANGLE : SHAPE_OUTLINE;
}

static bool is_there(const struct reading *shape, const char *key) {
  return reading_state(shape, key) != KEY_ABSENT;
}

/* Dimensions, all of them or none; none only beside touches. */
static void dimensions_check(struct reading *shape, struct shape *out) {
  const char *const *keys = out->kind == SHAPE_ROUND ? KEYS("diameter") : KEYS("length", "width");
  bool any = false;
  for (size_t i = 0; keys[i]; i++)
    any = any || is_there(shape, keys[i]);
  out->has_dimensions = reading_has(shape, keys);
  if (out->has_dimensions || (!any && out->touch_count > 0))
    return;
  bool told = flat_is_misspelt(shape->flat, "touch");
  for (size_t i = 0; keys[i] && !told; i++)
    if (!is_there(shape, keys[i]))
      key_missing(shape, keys[i], NULL);
  reading_fail(shape);
}

static void proportions_check(struct reading *shape, const struct shape *out) {
  struct diag *diag = NULL;
  if (out->kind == SHAPE_RACETRACK && reading_has(shape, KEYS("length", "width")) &&
      !(out->length > out->width)) {
    diag = diag_error(shape->r->diags, DIAG_SHAPE_SIZE, reading_at(shape, "length"),
                      "a racetrack is longer than wide: its length is %.9g mm, its width %.9g mm",
                      out->length, out->width);
    diag_help(diag, out->length < out->width
                        ? "exchange length and width, and add 90 deg to `turned`"
                        : "write a `round` where both are the same");
  }
  double smaller = out->length < out->width ? out->length : out->width;
  if (out->kind == SHAPE_RECTANGLE && reading_has(shape, KEYS("length", "width", "corner")) &&
      out->corner > smaller / 2)
    diag = diag_error(shape->r->diags, DIAG_SHAPE_SIZE, reading_at(shape, "corner"),
                      "the corner radius is %.9g mm; with a smaller side of %.9g mm it is %.9g mm "
                      "at most",
                      out->corner, smaller, smaller / 2);
  if (diag)
    reading_fail(shape);
}

const struct shape *shape_build(struct resolver *r, const struct decl *decl,
                                const struct flat *flat) {
  struct shape *out = arena_alloc(r->arena, 1, sizeof *out);
  struct reading shape = block_read(r, flat, out, false);
  out->name = decl->full_name;
  out->kind = kind_of(flat->kind);
  out->origin = origin_make(r, &shape, NULL);
  bool is_taught =
      is_there(&shape, "touch") && touches_read(&shape, &out->touches, &out->touch_count);
  if (is_taught)
    touch_count_suits(&shape, out->kind, out->touch_count, out->origin.head);
  if (out->kind == SHAPE_OUTLINE)
    outline_read(&shape, &out->parts, &out->part_count);
  if (out->kind == SHAPE_RECTANGLE || out->kind == SHAPE_OUTLINE)
    out->has_dimensions = true; /* each is required by the table */
  else
    dimensions_check(&shape, out);
  proportions_check(&shape, out);
  return shape.is_whole ? out : NULL;
}

static void volume_read(struct reading *envelope, const struct flat *flat, struct envelope *out) {
  struct volume volume = {.is_free = strcmp(flat->kind->word, "free") == 0};
  struct reading reading = block_read(envelope->r, flat, &volume, false);
  volume.origin = origin_make(envelope->r, &reading, NULL);
  span at = flat->statement->block->name.at;
  struct decl *shape = scope_get(envelope->r, flat->scope, DECL_SHAPE, flat->name, at);
  volume.shape = shape ? build_get(envelope->r, shape, at) : NULL;
  if (!reading.is_whole || !volume.shape)
    reading_fail(envelope);
  out->volumes =
      list_append(envelope->r->arena, out->volumes, &out->volume_count, &volume, sizeof volume);
}

const struct envelope *envelope_build(struct resolver *r, const struct decl *decl,
                                      const struct flat *flat) {
  struct envelope *out = arena_alloc(r->arena, 1, sizeof *out);
  struct reading envelope = block_read(r, flat, out, false);
  out->name = decl->full_name;
  out->origin = origin_make(r, &envelope, NULL);
  for (size_t i = 0; i < flat->item_count; i++)
    if (flat->items[i].block)
      volume_read(&envelope, flat->items[i].block, out);
  return envelope.is_whole ? out : NULL;
}
