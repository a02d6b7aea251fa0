/* The map is nowhere lower than the closed form that the requirement is judged by: random jobs,
 * places at random and where runs begin (docs/buildup.md, section 5).
 *
 * BORELAY_LEAST_JOBS and BORELAY_LEAST_SEED in the environment ask for more. */
#include "borelay/deposit.h"
#include "buildup/laid_job.h"
#include "buildup/section.h"
#include "support/random_job.h"

static int from_environment(const char *name, int usual) {
  const char *text = getenv(name);
  return text ? atoi(text) : usual;
}

struct ground {
  const struct laid *laid;
  const struct plan_overlay *planned;
  const struct buildup *buildup;
  struct poured *layers;
};

static struct ground ground_of(struct laid *laid, size_t overlay) {
  struct ground ground = {laid, &laid->plan->overlays[overlay],
                          buildup_make(laid->told.arena, laid->motion, overlay), NULL};
  ground.layers = arena_alloc(laid->told.arena, ground.planned->layer_count, sizeof *ground.layers);
  for (size_t i = 0; i < laid->motion->phase_count; i++) {
    const struct phase *phase = &laid->motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->overlay != (int32_t)overlay + 1)
      continue;
    struct poured *layer = &ground.layers[phase->plan_layer - ground.planned->layers];
    layer->layer = phase->plan_layer;
    layer->pours = arena_grow(laid->told.arena, layer->pours, layer->count, layer->count + 1,
                              sizeof *layer->pours);
    layer->pours[layer->count++] = pour_make(laid->told.arena, laid->motion, phase);
  }
  return ground;
}

/* A bead of which some is missing lies next to the place. */
static bool is_by_an_end(const struct poured *poured, double s, double depth) {
  struct section section;
  section_begin(&section);
  section_fill(&section, poured, s, (struct range){depth - 10, depth + 10});
  bool is_whole[2] = {false, false};
  for (size_t i = 0; i < section.count; i++) {
    double off = section.items[i].centre - depth;
    if (fabs(off) <= poured->layer->pitch + 1e-6 &&
        section.items[i].area >= poured->layer->bead_areas.lo * (1 - 1e-6))
      is_whole[off > 0] = true;
  }
  section_release(&section);
  return !is_whole[0] || !is_whole[1];
}

/* What the docs say that counts. */
static bool counts(const struct ground *ground, double s, double depth) {
  for (size_t k = 0; k < ground->planned->layer_count; k++) {
    const struct plan_layer *layer = &ground->planned->layers[k];
    double width = bead_width_laid(layer->procedure), edge = width / 2;
    if (layer->pitch < width / 2)
      edge = fmin(width, (layer->layer->depths.hi - layer->layer->depths.lo) / 2);
    struct range band = layer->layer->depths;
    if (fabs(depth - band.lo) < edge || fabs(depth - band.hi) < edge)
      return false;
    if (depth > band.lo && depth < band.hi && ground->planned->overlay->zone_count > 0 &&
        is_by_an_end(&ground->layers[k], s, depth))
      return false;
  }
  return true;
}

/* Returns how far the map comes to the bound, 0 at best. */
static double places(const struct ground *ground, struct random *random, int *counted) {
  const struct contour *contour = ground->planned->contour;
  struct range band = ground->planned->layers[0].layer->depths;
  double nearest = HUGE_VAL;
  for (int i = 0; i < 3000; i++) {
    double s = random_between(random, 0, contour->perimeter), turns;
    const struct plan_layer *layer =
        &ground->planned->layers[random_whole(random, 0, (int)ground->planned->layer_count - 1)];
    if (i % 2)
      s = contour_wrap(contour,
                       layer->runs[random_whole(random, 0, (int)layer->run_count - 1)].s_start +
                           random_between(random, -20, 20),
                       &turns);
    double depth = random_between(random, band.lo, band.hi);
    if (!counts(ground, s, depth))
      continue;
    ++*counted;
    const struct contour_seg *seg = &contour->segs[contour_seg_at(contour, s)];
    double least = plan_build_up_least(ground->planned, seg, depth);
    double here = buildup_thickness(ground->buildup, ground->planned->layer_count, s, depth);
    if (here < least - 1e-7)
      print_error("s %.6f depth %.6f: %.9f, bound %.9f\n", s, depth, here, least);
    assert_true(here >= least - 1e-7);
    nearest = fmin(nearest, here - least);
  }
  return nearest;
}

static void the_map_keeps_the_bound(void **state) {
  (void)state;
  int jobs = from_environment("BORELAY_LEAST_JOBS", 24);
  uint64_t seed = (uint64_t)from_environment("BORELAY_LEAST_SEED", 500);
  int counted = 0, near = 0, laid_jobs = 0;
  for (int i = 0; i < jobs; i++, seed++) {
    static struct job_writer writer;
    struct random random = {seed};
    random_job_write(&writer, &random);
    struct laid laid = lay_text(writer.text);
    for (size_t k = 0; laid.motion && k < laid.plan->overlay_count; k++) {
      struct ground ground = ground_of(&laid, k);
      print_message("seed %d, overlay %zu\n", (int)seed, k + 1);
      near += places(&ground, &random, &counted) < 0.05;
      laid_jobs++;
    }
    told_end(&laid.told);
  }
  print_message("%d overlays, %d places, %d near the bound\n", laid_jobs, counted, near);
  assert_true(counted > 100 * laid_jobs && near > laid_jobs / 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(the_map_keeps_the_bound)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
