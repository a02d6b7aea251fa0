/* What the proof of clearance takes, per part of the head and per row's worth of motion: the
 * judgement that `check` makes of all pieces of the two-hour job, against the same walk over the
 * pieces without it. */
#include "bench/bench.h"

#include "borelay/arena.h"
#include "borelay/check.h"
#include "borelay/diag.h"
#include "borelay/resolve.h"
#include "check/collide.h"

static const struct motion *motion_of(struct arena *arena, const char *path) {
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  const char *unreadable = NULL;
  const struct job *job = job_resolve(arena, sources, diags, path, NULL, 0, &unreadable);
  const struct plan *plan = job ? plan_make(arena, job, diags) : NULL;
  const struct motion *motion = plan ? motion_make(arena, plan, diags) : NULL;
  if (!motion)
    fail("the two-hour job gives no motion");
  return motion;
}

/* Seconds of a walk over all pieces; judge: NULL, or what judges them. */
static double walk(const struct motion *motion, struct collide_judge *judge) {
  double start = cpu_now(), t = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    struct piece_iter iter;
    struct piece piece;
    if (judge)
      collide_phase_begin(judge, phase);
    piece_iter_begin(&iter, motion, phase);
    while (piece_iter_next(&iter, &piece)) {
      t = piece.t1;
      if (judge)
        collide_piece(judge, phase, &piece);
    }
    piece_iter_release(&iter);
    if (judge)
      collide_phase_end(judge, phase);
  }
  double taken = cpu_now() - start;
  if (!(t > 0))
    fail("the motion has no pieces");
  return taken;
}

static double judged_walk(const struct motion *motion) {
  struct arena *arena = arena_new();
  struct scene scene = {.arena = arena, .motion = motion};
  struct check_result results[2];
  struct collide_judge judge = collide_begin(&scene);
  double taken = walk(motion, &judge);
  collide_end(&judge, results);
  if (!results[0].passed || !results[1].passed)
    fail("the two-hour job is not clear");
  arena_free(arena);
  return taken;
}

void clearance_measure(struct bench *bench) {
  char path[PATH_ROOM];
  double judged[ROUNDS], bare[ROUNDS];
  tell("clearance\n");
  path_in(bench, "two.lay", path);
  struct arena *arena = arena_new();
  const struct motion *motion = motion_of(arena, path);
  for (int i = 0; i < ROUNDS; i++) {
    judged[i] = judged_walk(motion);
    bare[i] = walk(motion, NULL);
  }
  const struct cell *cell = motion->plan->job->cell;
  double parts = (double)(cell->body_count + cell->guard_count) + 2; /* torch body, electrode */
  double setpoints = (double)motion->ticks + 1;
  double taken = median(judged, ROUNDS) - median(bare, ROUNDS);
  figure_add(&bench->figures, (struct figure){.what = "proof of clearance, of a part of the head",
                                              .unit = "ns a setpoint",
                                              .value = taken / parts / setpoints * 1e9,
                                              .goal = 5});
  arena_free(arena);
}
