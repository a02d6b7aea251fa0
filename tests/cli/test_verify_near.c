/* By a little more than what is allowed a stream is found wrong, with the check that it does not
 * keep; by a little less it holds.  Each case changes one thing and leads smoothly to it and back,
 * so that no other check has a part in it. */
#include "cli/program.h"
#include "cli/stream_move.h"

#include "cli/one_folder.h"

/* Of bore.lay and shop.lay, as they are written there: H's way about the bore's axis, and figures
 * of the cell. */
static const double AXIS_X = 10, AXIS_Y = 20, REACH = 40, TICK = 0.02, JERK = 6000, RETRACT = 5;

struct near {
  const char *name, *check;
  const char *job;
  const char *set[2]; /* options of compile for less and more; NULL: none */
  void (*change)(struct edit *edit, double by);
  double holds, fails; /* by less than what is allowed, and by more */
};

/* -- a run moved ------------------------------------------------------------------------------- */

static struct at deeper(struct at at, double by) {
  at.of[2] -= by;
  return at;
}

static struct at outward(struct at at, double by) {
  at.of[0] += by * cos(at.of[3] * DEGREE);
  at.of[1] += by * sin(at.of[3] * DEGREE);
  return at;
}

/* The head turns, the tip stays. */
static struct at leaning(struct at at, double by) {
  at.of[0] += REACH * (cos(at.of[3] * DEGREE) - cos((at.of[3] + by) * DEGREE));
  at.of[1] += REACH * (sin(at.of[3] * DEGREE) - sin((at.of[3] + by) * DEGREE));
  at.of[3] += by;
  return at;
}

static void move_ring(struct edit *edit, change_of moving, double by) {
  edit_move_run(edit, edit_with_ways(edit, edit_run(edit, 0, "1", "2"), RETRACT), moving, by);
}

static void run_deeper(struct edit *edit, double by) {
  move_ring(edit, deeper, by);
}

static void run_outward(struct edit *edit, double by) {
  move_ring(edit, outward, by);
}

static void run_leaning(struct edit *edit, double by) {
  move_ring(edit, leaning, by);
}

/* -- where a run begins and ends --------------------------------------------------------------- */

/* mm along the wall of bore.lay that a row of cruise goes; `by` is in rows. */
static double row_degrees(const struct edit *edit, size_t cruise) {
  return at_get(&edit->rows[cruise + 1]).of[3] - at_get(&edit->rows[cruise]).of[3];
}

/* The run begins `by` rows of cruise behind its start, and is `by` rows shorter. */
static void begins_late(struct edit *edit, double by) {
  struct run_rows run = edit_run(edit, 0, "1", "2");
  size_t cruise = edit_find(edit, run.from, "weld", "1", "2") + 300, rows = (size_t)by;
  struct at begin = at_get(&edit->rows[run.from]);
  edit_turn(edit, run.from, cruise, AXIS_X, AXIS_Y, by * row_degrees(edit, cruise));
  edit_remove(edit, cruise, cruise + rows);
  edit_lead_in(edit, run.from, begin);
}

/* The tail of the run begins `by` rows of cruise sooner than it should. */
static void tail_early(struct edit *edit, struct run_rows run, double by) {
  size_t cruise = edit_find(edit, run.from, "weld", "1", "2") + 300, rows = (size_t)by;
  edit_turn(edit, cruise + rows, run.to, AXIS_X, AXIS_Y, -by * row_degrees(edit, cruise));
  edit_remove(edit, cruise, cruise + rows);
  edit_lead_out(edit, run.to - rows);
}

static void ends_early(struct edit *edit, double by) {
  tail_early(edit, edit_run(edit, 0, "1", "2"), by);
}

/* Of a ring that a zone breaks the part that comes back to its start. */
static void rest_ends_early(struct edit *edit, double by) {
  tail_early(edit, edit_run(edit, edit_run(edit, 0, "1", "2").to, "1", "2"), by);
}

/* A ring is welded again. */
static void again(struct edit *edit, double by) {
  struct run_rows run = edit_run(edit, 0, "1", "2");
  size_t count = run.to - run.from;
  if (by < 1)
    return;
  struct edit_row *copy = malloc(count * sizeof *copy);
  memcpy(copy, &edit->rows[run.from], count * sizeof *copy);
  memcpy(edit_open_up(edit, run.to, count), copy, count * sizeof *copy);
  free(copy);
  edit_lead_in(edit, run.to, at_get(&edit->rows[run.to - 1]));
}

/* The pool is faster for a while, by a share: places between rows are found on the cubic through
 * the four about them. */
static struct at between(const struct edit_row *rows, double row) {
  size_t i = (size_t)row;
  double u = row - (double)i;
  struct at at, p[4];
  for (size_t k = 0; k < 4; k++)
    p[k] = at_get(&rows[i + k - 1]);
  for (int k = 0; k < 4; k++) {
    double a = p[0].of[k], b = p[1].of[k], c = p[2].of[k], d = p[3].of[k];
    at.of[k] = b + u / 2 * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
  }
  return at;
}

/* How far the rows are ahead after a row that goes by `gain` more: up, level, and down again. */
static double gain_at(size_t row, size_t ramp, size_t level, double gain) {
  double up = (double)row / (double)ramp, down = (double)(level + 2 * ramp - row) / (double)ramp;
  double u = fmin(fmin(up, down), 1);
  return gain * u * u * (3 - 2 * u);
}

/* by: times the speed that is asked for, for so long that all are a whole number of rows ahead, or
 * behind, afterwards. */
static void goes_at(struct edit *edit, double by) {
  enum { RAMP = 200 };
  struct run_rows run = edit_run(edit, 0, "1", "2");
  size_t from = edit_find(edit, run.from, "weld", "1", "2") + 300, level = 600;
  /* the first layer's pool goes on a radius of 60 mm, at 3 mm/s */
  double gain = by / (row_degrees(edit, from) * DEGREE * 60 / TICK / 3) - 1, ahead;
  do { /* the ramps are one level one in length */
    ahead = gain * (double)(RAMP + level++);
  } while (fabs(ahead - floor(ahead + 0.5)) > 0.006);
  level--;
  size_t changed = 2 * RAMP + level;
  struct edit_row *made = malloc(changed * sizeof *made);
  double row = (double)from;
  for (size_t i = 0; i < changed; i++) {
    made[i] = edit->rows[from + i];
    at_put(&made[i], between(edit->rows, row));
    row += 1 + gain_at(i, RAMP, level, gain);
  }
  size_t rest = (size_t)floor(row + 0.5);
  edit_remove(edit, from, rest);
  memcpy(edit_open_up(edit, from, changed), made, changed * sizeof *made);
  free(made);
}

/* -- moves ------------------------------------------------------------------------------------- */

/* From the row there, at rest, to a place and back. */
static void excursion(struct edit *edit, size_t at, struct at to) {
  struct edit_row here = edit->rows[at];
  *edit_open_up(edit, at + 1, 1) = here;
  *edit_open_up(edit, at + 1, 1) = here;
  at_put(&edit->rows[at + 1], to);
  edit_lead(edit, at + 2, LEAD_ROWS, here);
  edit_lead(edit, at + 1, LEAD_ROWS, here);
}

static void toward_y(struct edit *edit, double by) {
  struct at to = at_get(&edit->rows[0]);
  to.of[1] = by;
  excursion(edit, 0, to);
}

/* In the bore, on its axis, before the first run. */
static size_t on_axis(const struct edit *edit) {
  size_t i = edit_find(edit, 0, "preflow", "1", "1");
  while (i > 0 && (fabs(at_get(&edit->rows[i]).of[0] - AXIS_X) > 1e-6 ||
                   fabs(at_get(&edit->rows[i]).of[1] - AXIS_Y) > 1e-6))
    i--;
  return i;
}

/* Away from where the torch points (along x), and toward it. */
static void stem_aside(struct edit *edit, double by) {
  size_t i = on_axis(edit);
  struct at to = at_get(&edit->rows[i]);
  to.of[0] -= by;
  excursion(edit, i, to);
}

static void tip_ahead(struct edit *edit, double by) {
  stem_aside(edit, -by);
}

/* The first row, or the last, after which all stands, goes at once by so much. */
static void leaps(struct edit *edit, bool at_end, double by) {
  enum { ROWS = 300 };
  size_t at = at_end ? edit->count - 1 : 1;
  struct edit_row here = edit->rows[at_end ? at : 0], *rows = edit_open_up(edit, at, 2 * ROWS);
  double z = atof(here.fields[FIELD_Z]), top = by * ROWS / 2;
  edit_put_out(&here);
  for (size_t i = 0; i < 2 * ROWS; i++) {
    double u = (double)(at_end ? 2 * ROWS - i : i + 1) / ROWS;
    double away =
        u < 1 ? u * (2 - u) : 1 - (u - 1) * (u - 1) * (u - 1) * (10 + (u - 1) * (6 * (u - 1) - 15));
    rows[i] = here;
    snprintf(rows[i].fields[FIELD_Z], sizeof rows->fields[0], "%.6f", z + top * away);
  }
}

static void sudden_start(struct edit *edit, double by) {
  leaps(edit, false, by * JERK * TICK * TICK * TICK);
}

static void sudden_stop(struct edit *edit, double by) {
  leaps(edit, true, by * JERK * TICK * TICK * TICK);
}

/* -- single rows ------------------------------------------------------------------------------- */

static void shift_of(struct edit *edit, size_t row, enum field field, double by) {
  edit_shift(&edit->rows[row], field, by, 6);
}

static void moves_in_postflow(struct edit *edit, double by) {
  shift_of(edit, edit_find(edit, 0, "postflow", "1", "1") + 20, FIELD_Y, by);
}

static void off_park(struct edit *edit, double by) {
  shift_of(edit, 0, FIELD_X, by);
}

static void off_park_at_end(struct edit *edit, double by) {
  shift_of(edit, edit->count - 1, FIELD_Z, by);
}

/* A row of the second lap before its first is called one of it, or behind: rows are 0.06 mm apart.
 */
static void lap_told_early(struct edit *edit, double by) {
  size_t i = edit_find(edit, 0, "weld", "2", "2");
  if (by > 0)
    edit_set(&edit->rows[i - 1], FIELD_LAP, "2");
}

/* With the lap of another row of the postflow. */
static void lap_in_postflow(struct edit *edit, double by) {
  size_t i = edit_find(edit, 0, "postflow", "1", "2");
  for (; by > 0 && edit_is(&edit->rows[i], FIELD_PHASE, "postflow"); i++)
    edit_set(&edit->rows[i], FIELD_LAP, "1");
}

static const struct near NEAR[] = {
    {"the tip too deep", "tip-path", "bore", {0}, run_deeper, 0.001, 0.001004},
    {"the tip too shallow", "tip-path", "bore", {0}, run_deeper, -0.001, -0.001004},
    {"the tip too near the wall", "tip-path", "bore", {0}, run_outward, 0.00099, 0.00101},
    {"the tip too far from the wall", "tip-path", "bore", {0}, run_outward, -0.00099, -0.00101},
    {"the torch leans ahead", "torch-angle", "bore", {0}, run_leaning, 2.999, 3.001},
    {"the torch leans back", "torch-angle", "bore", {0}, run_leaning, -2.999, -3.001},
    {"faster", "travel-speed", "bore", {0}, goes_at, 1.0099, 1.0101},
    {"slower", "travel-speed", "bore", {0}, goes_at, 0.9901, 0.9899},
    {"begins late", "order", "bore", {0}, begins_late, 0, 1},
    {"ends early", "order", "bore", {0}, ends_early, 0, 1},
    {"a ring twice", "order", "bore", {0}, again, 0, 1},
    {"ends early behind a zone", "order", "zoned", {0}, rest_ends_early, 0, 1},
    {"begins late beside a zone", "order", "zoned", {0}, begins_late, 0, 1},
    {"travel", "axis-travel", "bore", {0}, toward_y, -500.0004, -500.0006},
    {"into a fence", "working-range", "beside_fence", {0}, toward_y, -299.999, -300},
    {"the stem near the wall", "clearance", "bore", {0}, stem_aside, 36.999, 37.002},
    {"the electrode near the wall", "torch-clearance", "bore", {0}, tip_ahead, 17.099, 17.102},
    {"a sudden start", "axis-jerk", "bore", {0}, sudden_start, 0.98, 1.02},
    {"a sudden stop", "axis-jerk", "bore", {0}, sudden_stop, 0.98, 1.02},
    {"moves in the postflow", "order", "bore", {0}, moves_in_postflow, 0.000001, 0.000002},
    {"not at the park position", "order", "bore", {0}, off_park, 0.000001, 0.000002},
    {"not back at the park position", "order", "bore", {0}, off_park_at_end, 0.000001, 0.000002},
    {"a lap told early", "order", "judged", {0}, lap_told_early, 0, 1},
    {"another lap in the postflow", "order", "bore", {0}, lap_in_postflow, 0, 1},
    {"tie-in short", "order", "judged", {"--set tie=5.991mm", "--set tie=5.989mm"}, NULL, 0, 0},
    {"tie-in long", "order", "judged", {"--set tie=6.009mm", "--set tie=6.011mm"}, NULL, 0, 0},
    {"arc length",
     "tip-path",
     "judged",
     {"--set gap=3.000995mm", "--set gap=3.00101mm"},
     NULL,
     0,
     0},
    {"into a zone",
     "arc-zones",
     "zoned",
     {"--set from=199.9955deg", "--set from=199.995deg"},
     NULL,
     0,
     0},
};

static void make(const struct near *near, int which) {
  char line[300], path[1400];
  const char *set = near->set[which] ? near->set[which] : "";
  snprintf(line, sizeof line, "compile -q @%s.lay -o plain.csv", near->job);
  assert_int_equal(program_run(program, line), 0);
  path_in(path, program, "plain.csv");
  struct edit plain = edit_open(path);
  char *digest = edit_header_text(&plain, "\n# source sha256 ");
  snprintf(line, sizeof line, "compile -q @%s.lay -o a.csv %s", near->job, set);
  assert_int_equal(program_run(program, line), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  edit_header(&edit, "\n# source sha256 ", digest);
  if (near->change)
    near->change(&edit, which ? near->fails : near->holds);
  edit_write(&edit, path, false);
  free(digest);
  edit_close(&plain);
  edit_close(&edit);
}

/* On a way that leads nowhere: `moves` tells that, and no other check. */
static const char *stray_of(const struct near *near) {
  if (near->change == toward_y || near->change == sudden_start || near->change == sudden_stop)
    return "error: moves: the way across is not straight";
  if (near->change == stem_aside || near->change == tip_ahead)
    return "error: moves: the head goes a way round about between entry and wall";
  return NULL;
}

static size_t count_told(const char *text, const char *what) {
  size_t count = 0;
  for (const char *at = text; (at = strstr(at, what)); at++)
    count++;
  return count;
}

static void judge(const struct near *near, const char *stream, int which) {
  char line[300], told[80];
  snprintf(line, sizeof line, "verify -q %s --job @%s.lay", stream, near->job);
  int status = program_run(program, line);
  snprintf(told, sizeof told, "error: %s: ", near->check);
  const char *stray = stray_of(near);
  bool holds =
      stray ? count_told(program->err, stray) == 1 && count_told(program->err, "error: ") == 1
            : status == 0;
  if (which == 0 && !holds)
    fail_msg("%s: less than what is allowed is found wrong\n%s", near->name, program->err);
  if (which == 1 && (status != 1 || !strstr(program->err, told)))
    fail_msg("%s: more than what is allowed does not fail %s\n%s", near->name, near->check,
             program->err);
}

static void test_near(void **state) {
  const struct near *near = *state;
  for (int which = 0; which < 2; which++) {
    make(near, which);
    judge(near, "a.csv", which);
    assert_int_equal(program_run(program, "convert a.csv a.spt"), 0);
    judge(near, "a.spt", which);
  }
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(NEAR)];
  for (size_t i = 0; i < COUNT(NEAR); i++)
    tests[i] =
        (struct CMUnitTest){NEAR[i].name, test_near, NULL, NULL, (void *)(uintptr_t)&NEAR[i]};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
