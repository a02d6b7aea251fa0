/* The tip over the wall of its overlay. */
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/digest.h"
#include "borelay/locate.h"
#include "borelay/num.h"
#include "borelay/resolve.h"

static double mm(int64_t nm) {
  return (double)nm / 1e6;
}

/* An angle of any number of turns, as one in [0, 2 pi). */
static double wrapped(double angle) {
  double rest = angle - NUM_TURN * floor(angle / NUM_TURN);
  return rest >= NUM_TURN ? 0 : rest;
}

struct wall_place wall_place_find(const struct located *located, const struct contour *contour,
                                  double part_turned) {
  const struct borelay_row *row = &located->row;
  const struct borelay_header *header = &located->header;
  struct sincos head = num_sincos((double)row->head_udeg / 1e6 * (NUM_PI / 180));
  double reach = mm(header->reach_nm);
  struct wall_place place = {.tip = {mm(row->x_nm) + reach * head.cos,
                                     mm(row->y_nm) + reach * head.sin,
                                     mm(row->z_nm - header->drop_nm)}};
  place.depth = mm(header->datum_z_nm) - place.tip.z;
  if (!contour)
    return place;
  vec2 tip = {place.tip.x, place.tip.y};
  place.has_wall = true;
  place.along = contour_foot(contour, tip, &place.distance);
  place.distance = -place.distance;
  vec2 arm = vec2_sub(contour_at(contour, place.along, 0).at, contour->centre);
  place.angle = wrapped(num_atan2(arm.y, arm.x) - part_turned);
  return place;
}

static const struct overlay *overlay_named(const struct job *job, const char *name) {
  for (size_t i = 0; i < job->overlay_count; i++)
    if (strcmp(job->sequence[i]->name, name) == 0)
      return job->sequence[i];
  return NULL;
}

static const struct contour *wall_of(struct arena *arena, const struct job *job,
                                     const struct overlay *overlay, struct diag_list *diags,
                                     double *part_turned) {
  struct placement placement;
  struct fit fit;
  bool has_fit;
  if (!placement_find(job, job->cell->reach, diags, &placement, &fit, &has_fit))
    return NULL;
  *part_turned = placement.turned;
  return contour_make(arena, overlay->wall, &placement, job->cell->reach, diags, &fit, &has_fit);
}

static bool is_compiled_from(const struct source_set *sources, const struct job *job,
                             const struct located *located) {
  char text[SHA256_TEXT_SIZE], byte[3];
  digest_source(sources, job, text);
  for (size_t i = 0; i < sizeof located->header.source_sha256; i++) {
    snprintf(byte, sizeof byte, "%02x", (unsigned)located->header.source_sha256[i]);
    if (memcmp(byte, text + 2 * i, 2) != 0)
      return false;
  }
  return true;
}

const struct contour *locate_wall(struct arena *arena, const char *job_path, const char **settings,
                                  size_t setting_count, const struct located *located,
                                  double *part_turned, bool *is_readable) {
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  const char *unreadable = NULL;
  const struct contour *contour = NULL;
  const struct job *job =
      job_resolve(arena, sources, diags, job_path, settings, setting_count, &unreadable);
  const struct overlay *overlay = job ? overlay_named(job, located->overlay) : NULL;
  *is_readable = !unreadable;
  if (unreadable)
    fprintf(stderr,
            "borelay: cannot read %s, which tells the place on the wall; --job names the job\n",
            unreadable);
  else if (job && (!overlay || !is_compiled_from(sources, job, located)))
    fprintf(stderr, "borelay: the stream was not compiled from %s as it stands now%s\n", job_path,
            setting_count > 0 ? " with these settings" : "");
  else if (job)
    contour = wall_of(arena, job, overlay, diags, part_turned);
  if (diag_error_count(diags) > 0)
    diag_print(diags, stderr);
  return contour;
}
