/* Sites, and what reaches a depth, against asking every volume and every pair of boxes. */
#include <stdio.h>

#include "metal/reach.h"
#include "metal/state.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 400, DEPTHS = 12 };

/* Discs in a field where some touch, some only by the box of others joined; depths that meet. */
static void scene_make(struct hand_scene *scene, struct arena *arena, struct random *random) {
  static const double thickness[2] = {2, 1.5};
  double wide = random_between(random, 20, 400), high = random_between(random, 20, 400);
  int volumes = random_whole(random, 0, HAND_MOST), overlays = random_whole(random, 0, HAND_MOST);
  hand_scene_begin(scene, arena, 0);
  for (int i = 0; i < volumes + overlays; i++) {
    vec2 at = {random_between(random, 0, wide), random_between(random, 0, high)};
    struct contour *disc = hand_round(arena, "disc", at, random_between(random, 5, 20), 0);
    double lo = random_whole(random, -3, 6), hi = lo + random_whole(random, 1, 5);
    if (i < volumes) {
      hand_volume(scene, random_whole(random, 0, 1), disc, lo, hi);
      continue;
    }
    struct range bands[2] = {{lo, hi}, {lo + random_whole(random, -1, 3), hi + 3}};
    hand_overlay(scene, "clad", disc, 2, thickness, bands);
  }
}

/* -- sites --------------------------------------------------------------------------------- */

static struct box box_of_part(struct arena *arena, const struct hand_scene *scene,
                              const struct outlines *outlines, size_t i) {
  size_t volumes = scene->envelope.volume_count;
  if (i < volumes)
    return outlines->volumes[i].box;
  const struct plan_overlay *overlay = &scene->plan.overlays[i - volumes];
  struct box box = outlines->walls[i - volumes].box;
  for (size_t k = 1; k <= overlay->layer_count; k++)
    for (int nominal = 0; nominal < 2; nominal++)
      box = box_join(box, outline_box_of_clad(arena, overlay, k, nominal != 0));
  return box;
}

/* Joins the first pair that touches (1e-3 mm, as sites.c has it), until there is none. */
static void join_all(struct box *boxes, size_t *group, size_t count) {
  for (size_t a = 0; a < count; a++)
    for (size_t b = a + 1; b < count; b++) {
      if (group[a] == group[b] || box_gap2(boxes[group[a]], boxes[group[b]]) > 1e-6)
        continue;
      size_t to = group[a] < group[b] ? group[a] : group[b], from = group[a] + group[b] - to;
      boxes[to] = box_join(boxes[to], boxes[from]);
      for (size_t i = 0; i < count; i++)
        group[i] = group[i] == from ? to : group[i];
      a = (size_t)-1;
      break;
    }
}

static size_t site_of_part(const struct sites *sites, size_t volumes, size_t i) {
  if (i >= volumes)
    return sites->of_overlay[i - volumes];
  for (size_t site = 0; site < sites->count; site++)
    for (size_t k = 0; k < sites->items[site].volume_count; k++)
      if (sites->items[site].volumes[k] == i)
        return site;
  return sites->count;
}

static void test_sites_as_pairs(void **state) {
  (void)state;
  struct random random = {19};
  size_t most = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    scene_make(&scene, arena, &random);
    struct outlines outlines = outlines_make(arena, &scene.plan);
    struct sites sites = sites_find(arena, &scene.plan, &outlines);
    struct box boxes[2 * HAND_MOST];
    size_t group[2 * HAND_MOST], volumes = scene.envelope.volume_count;
    size_t count = volumes + scene.plan.overlay_count, groups = 0;
    for (size_t i = 0; i < count; i++) {
      boxes[i] = box_of_part(arena, &scene, &outlines, i);
      group[i] = i;
    }
    join_all(boxes, group, count);
    for (size_t i = 0; i < count; i++) {
      size_t site = site_of_part(&sites, volumes, i);
      groups += group[i] == i;
      assert_int_equal(site, site_of_part(&sites, volumes, group[i]));
      assert_close(box_gap2(sites.items[site].box, boxes[group[i]]), 0, 0, 0);
      assert_memory_equal(&sites.items[site].box, &boxes[group[i]], sizeof *boxes);
    }
    assert_int_equal(sites.count, groups); /* the first of its group comes before its others */
    most = groups > most ? groups : most;
    arena_free(arena);
  }
  assert_true(most > 8);
}

/* -- depths -------------------------------------------------------------------------------- */

static bool reaches_depth(const struct hand_scene *scene, const struct site *site,
                          const size_t *layers, size_t place, double depth) {
  if (place < site->volume_count) {
    struct range range = scene->volumes[site->volumes[place]].depths;
    return range.lo <= depth && depth <= range.hi;
  }
  size_t index = site->overlays[place - site->volume_count];
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t k = 0; k < layers[index]; k++) {
    lo = fmin(lo, scene->plan.overlays[index].layers[k].layer->depths.lo);
    hi = fmax(hi, scene->plan.overlays[index].layers[k].layer->depths.hi);
  }
  return lo <= depth && depth <= hi;
}

static void site_ask(struct arena *arena, const struct hand_scene *scene, const struct site *site,
                     const size_t *layers, struct random *random) {
  struct reaches reaches = reaches_begin(arena, &scene->plan, site, layers);
  double depth = 14;
  for (int i = 0; i < DEPTHS; i++) {
    depth -= 0.5 * random_whole(random, 0, 5); /* also where they begin and end */
    reaches_go_to(&reaches, depth);
    size_t here = 0;
    for (size_t place = 0; place < site->volume_count + site->overlay_count; place++)
      if (reaches_depth(scene, site, layers, place, depth)) {
        assert_true(here < reaches.here_count);
        assert_int_equal(reaches.here[here++].place, place);
      }
    assert_int_equal(here, reaches.here_count);
  }
}

static void test_reaches_as_asked(void **state) {
  (void)state;
  struct random random = {91};
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    scene_make(&scene, arena, &random);
    struct outlines outlines = outlines_make(arena, &scene.plan);
    struct sites sites = sites_find(arena, &scene.plan, &outlines);
    size_t layers[HAND_MOST];
    for (int i = 0; i < HAND_MOST; i++)
      layers[i] = (size_t)random_whole(&random, 0, 2);
    for (size_t i = 0; i < sites.count; i++)
      site_ask(arena, &scene, &sites.items[i], layers, &random);
    arena_free(arena);
  }
}

/* -- which clad changed ---------------------------------------------------------------------- */

enum { MANY = 200 };

/* Of many overlays any one may be the one that changed. */
static void test_any_of_many_changed(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  static const double thickness[1] = {2};
  struct range band = {0, 10};
  hand_scene_begin(&scene, arena, 0);
  struct contour *wall = hand_round(arena, "wall", (vec2){0, 0}, 10, 0);
  hand_overlay(&scene, "clad", wall, 1, thickness, &band);
  struct plan_overlay *overlays = arena_alloc(arena, MANY, sizeof *overlays);
  for (int i = 0; i < MANY; i++) {
    overlays[i] = scene.overlays[0];
    overlays[i].contour = hand_round(arena, "wall", (vec2){60.0 * i, 0}, 10, 0);
  }
  scene.plan.overlays = overlays;
  scene.plan.overlay_count = MANY;
  struct metal_kept kept = {0};
  size_t layers[MANY] = {0};
  for (int i = 0; i < MANY; i++) {
    int which = i * 37 % MANY;
    vec3 beside = {60.0 * which + 9, 0, -5};
    struct clad_state clad = {layers, false};
    assert_false(metal_distance_point(metal_keep(&kept, &scene.plan, clad), beside).kind ==
                 METAL_CLAD);
    layers[which] = 1;
    struct metal_hit hit = metal_distance_point(metal_keep(&kept, &scene.plan, clad), beside);
    assert_int_equal(hit.kind, METAL_CLAD);
    assert_int_equal(hit.index, which);
  }
  metal_kept_release(&kept);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_sites_as_pairs),
      cmocka_unit_test(test_reaches_as_asked),
      cmocka_unit_test(test_any_of_many_changed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
