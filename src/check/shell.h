/* shell.h - working-range: H inside the shell that the cell states. */
#ifndef CHECK_SHELL_H
#define CHECK_SHELL_H

#include "check/finding.h"

struct shell_judge {
  const struct scene *scene;
  struct search
      phase_search; /* of one phase: how far outside the sphere, how far inside the hole */
  const struct phase *phase;
  double accel, velocity_step; /* of that phase, largest */
  bool has_last;
  struct piece last;
  double
      worst; /* how far outside the shell with the chords' share, mm; the largest of all phases */
  bool worst_is_outer;
  struct peak peak;
};

struct shell_judge shell_begin(const struct scene *scene);
void shell_piece(struct shell_judge *judge, const struct phase *phase, const struct piece *piece);
struct check_result shell_end(struct shell_judge *judge);

#endif
