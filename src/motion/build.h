/* build.h - what src/motion shares while it builds: the tracks with their timing, and the list of
 * phases as it grows. */
#ifndef BORELAY_MOTION_BUILD_H
#define BORELAY_MOTION_BUILD_H

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/metal.h"
#include "motion/course.h"
#include "motion/profile.h"
#include "motion/track.h"

/* A track and how it is travelled.  One of them serves all phases of a welding run. */
struct motion_run {
  struct track track;
  struct profile profile;
  size_t weld_legs;                  /* legs of the plan's run; further ones carry the downslope */
  struct run_info info;              /* welding runs; its times count from the track's own zero */
  struct course course;              /* welding runs: what is asked for along it */
  const struct procedure *procedure; /* welding runs: with the speed and times it is travelled at */
};

/* Which run the moves being built lead to. */
struct label {
  int32_t overlay, layer, run;
  int64_t lap;
  const struct plan_layer *plan_layer;
};

/* What link.c keeps from one judgement to the next. */
struct link_metals {
  const struct metal *bare;                       /* outlives the others */
  size_t overlay, solid_layers, electrode_layers; /* layers standing on that overlay */
  struct metal_kept solid_kept, electrode_kept;
  const struct metal *solid, *electrode;
  size_t *laid; /* layers standing, for each overlay: all of those before laid_to */
  size_t laid_to;
  struct piece *pieces; /* of one phase */
  size_t room;
};

/* Groups of the tracks last begun, most of which follow one another on the same contour. */
enum { GROUPS_KEPT = 4 };
struct groups_kept {
  struct {
    const struct contour *contour;
    double pool_offset, tip_offset, angle, slip;
    struct groups groups;
  } items[GROUPS_KEPT];
  size_t next; /* to be forgotten */
};

struct builder {
  struct arena *arena;
  struct diag_list *diags;
  const struct plan *plan;
  const struct cell *cell;
  double tick; /* s */
  struct phase *phases;
  size_t phase_count, phase_capacity;
  int64_t now;      /* ticks */
  struct pose pose; /* of H, at `now` */
  struct label label;
  double times;                /* rehearsal: how many times as fast; 1 otherwise */
  const struct resume *resume; /* NULL: from the beginning */
  struct link_metals metals;
  struct groups_kept groups;
  bool refused;
};

struct motion_run *builder_run(struct builder *builder);
struct phase *builder_phase(struct builder *builder, enum phase_kind kind, int64_t ticks,
                            const struct motion_run *run, int64_t track_tick);
/* Stands where it is. */
void builder_stand(struct builder *builder, enum phase_kind kind, int64_t ticks);
/* One straight in x, y, z and head, rest to rest; nothing where it is there already. */
void builder_straight(struct builder *builder, enum move_kind move, struct pose to);

/* A welding run, sized and timed, from its start on the wall; an endless head starts it at the
 * whole turn nearest to head_near.  NULL: refused (told).  Then its phases, touch to postflow. */
struct motion_run *weld_run_make(struct builder *builder, const struct plan_overlay *overlay,
                                 const struct plan_layer *layer, const struct plan_run *run,
                                 double head_near);
void weld_run_phases(struct builder *builder, struct motion_run *run);

/* Gives a contour track its groups and room for its windows; what torch and pool may be off at
 * most, rad and mm. */
void builder_group(struct builder *builder, struct track *track, double angle, double slip);

/* Adds legs of the plan to a contour track that has none, with room for one more. */
void track_add_legs(struct builder *builder, struct track *track, double s_start,
                    const struct plan_leg *legs, size_t count);

/* Over an off zone, from where a run came to rest to the start of `run`, whose crossing it is: with
 * the arc out along the tip's own locus, rest to rest.  false, and nothing added: too tight. */
bool builder_cross(struct builder *builder, const struct motion_run *run);

/* Along the backed-off contour, from contour place s_from to s_from + s_way (signed), at `offset`,
 * H's z changing evenly from z_from to z_to.  head_from: where the head is now, which tells its
 * whole turns. false, and nothing added: the contour cannot be followed at that offset. */
struct along_way {
  const struct contour *contour;
  double offset, s_from, s_way, z_from, z_to, head_from;
};
/* Smallest radius that is followed backed off, mm. */
#define ALONG_LEAST_RADIUS_MM 0.2
bool builder_along(struct builder *builder, const struct along_way *way);
/* Signed way on the shape from s_from to s_to that is shorter at `offset`. */
double along_short_way(const struct contour *contour, double offset, double s_from, double s_to);

#endif
