/* Ways of the head with the arc off, one led otherwise than docs/semantics.md (Motion, Order) says,
 * slowly and smoothly, from rest to rest: `moves` tells where.  So that no axis has a part in it.
 */
#include "cli/program.h"
#include "cli/stream_move.h"

#include "cli/one_folder.h"

/* Of judged.lay: H where the tip is at safe height. */
static const double SAFE_Z = 490, RETRACT = 5;

enum { WAY_ROWS = 700 };
/* From row `from` to row `to` straight from point to point. */
static void route(struct edit *edit, size_t from, size_t to, const struct at *points,
                  size_t count) {
  struct edit_row labels = edit->rows[from];
  edit_remove(edit, from + 1, to);
  for (size_t i = 0; i < count; i++)
    edit_stay(edit, from + 1 + i, points[i], labels);
  for (size_t i = count + 1; i-- > 0;)
    edit_lead(edit, from + 1 + i, WAY_ROWS, labels);
}

static double apart(struct at a, struct at b) {
  return hypot(hypot(a.of[0] - b.of[0], a.of[1] - b.of[1]), a.of[2] - b.of[2]);
}

static struct at place(const struct edit *edit, size_t row) {
  return at_get(&edit->rows[row]);
}

static struct at moved(struct at at, double x, double y, double z, double head) {
  return (struct at){{at.of[0] + x, at.of[1] + y, at.of[2] + z, at.of[3] + head}};
}

/* A share of the way from a to b, and so much beside it. */
static struct at between(struct at a, struct at b, double share, double aside) {
  double x = b.of[0] - a.of[0], y = b.of[1] - a.of[1], length = hypot(x, y);
  struct at at = a;
  for (int i = 0; i < 4; i++)
    at.of[i] += share * (b.of[i] - a.of[i]);
  at.of[0] -= aside * y / length;
  at.of[1] += aside * x / length;
  return at;
}

/* The row in which the head is backed off before a run, or behind it. */
static size_t backed_off(const struct edit *edit, size_t run, int step) {
  size_t i = run;
  while (apart(place(edit, i), place(edit, run)) < RETRACT - 1e-5)
    i += (size_t)step;
  return i;
}

/* -- the first way ----------------------------------------------------------------------------- */

static size_t first_start(const struct edit *edit) {
  return edit_find(edit, 0, "preflow", "1", "1");
}

/* H at the entry, as deep as the start: the first row so deep. */
static size_t first_bottom(const struct edit *edit) {
  size_t i = 0;
  double z = place(edit, first_start(edit)).of[2];
  while (place(edit, i).of[2] > z)
    i++;
  return i;
}

static void first_way(struct edit *edit, const struct at *points, size_t count) {
  route(edit, 0, first_bottom(edit), points, count);
}

static void down_aslant(struct edit *edit) {
  first_way(edit, NULL, 0);
}

static void across_low(struct edit *edit) {
  struct at park = place(edit, 0), over = place(edit, first_bottom(edit));
  park.of[2] = over.of[2] = SAFE_Z - 1;
  first_way(edit, (struct at[]){park, over}, 2);
}

static void across_bent(struct edit *edit) {
  struct at over = place(edit, first_bottom(edit));
  over.of[2] = SAFE_Z;
  first_way(edit, (struct at[]){moved(over, 60, -60, 90, 0), over}, 2);
}

static void down_beside(struct edit *edit) {
  struct at under = moved(place(edit, first_bottom(edit)), 0.3, 0, 0, 0), over = under;
  over.of[2] = SAFE_Z;
  first_way(edit, (struct at[]){over, under}, 2);
}

static void down_turned(struct edit *edit) {
  struct at under = moved(place(edit, first_bottom(edit)), 0, 0, 0, 7), over = under;
  over.of[2] = SAFE_Z;
  first_way(edit, (struct at[]){over, under}, 2);
}

static void in_deeper(struct edit *edit) {
  size_t start = first_start(edit), off = backed_off(edit, start, -1);
  struct at wall = place(edit, off), over = place(edit, first_bottom(edit)), under = over;
  under.of[2] = place(edit, off).of[2] - 1;
  over.of[2] = SAFE_Z;
  struct at ahead = wall;
  ahead.of[2] = under.of[2];
  route(edit, 0, off, (struct at[]){over, under, ahead}, 3);
}

static void in_from_aside(struct edit *edit) {
  size_t start = first_start(edit), off = backed_off(edit, start, -1);
  struct at aside = between(place(edit, start), place(edit, off), 1, 1);
  route(edit, off, start, &aside, 1);
}

static void in_from_above(struct edit *edit) {
  size_t start = first_start(edit), off = backed_off(edit, start, -1);
  struct at above = moved(place(edit, off), 0, 0, 0.5, 0);
  route(edit, off, start, &above, 1);
}

static void in_half_aside(struct edit *edit) {
  size_t start = first_start(edit), off = backed_off(edit, start, -1);
  struct at half = between(place(edit, start), place(edit, off), 0.5, 0);
  struct at aside = between(place(edit, start), place(edit, off), 0.5, 0.5);
  route(edit, off, start, (struct at[]){aside, half}, 2);
}

/* Level, by a place 12 mm beside the straight from the entry. */
static void in_round_about(struct edit *edit) {
  size_t from = first_bottom(edit), to = backed_off(edit, first_start(edit), -1);
  struct at aside = between(place(edit, from), place(edit, to), 0.5, 12);
  aside.of[2] = place(edit, from).of[2];
  route(edit, from, to, &aside, 1);
}

/* -- between rings ----------------------------------------------------------------------------- */

/* Behind the first ring: what the keyway leaves of it has an end of its own. */
static size_t ring_end(const struct edit *edit) {
  size_t i = edit_find(edit, 0, "wait", "1", "2");
  while (!edit_is(&edit->rows[i - 1], FIELD_PHASE, "postflow"))
    i--;
  return i;
}

static void no_back_off(struct edit *edit) {
  size_t end = ring_end(edit), wait = edit_find(edit, end, "wait", "1", "2");
  size_t start = edit_find(edit, wait, "preflow", "1", "2");
  struct at here = place(edit, end), side = between(here, place(edit, wait), 0.05, 1);
  at_put(&edit->rows[wait], here);
  at_put(&edit->rows[wait + 1], here);
  route(edit, wait + 1, start, &side, 1);
  edit_remove(edit, end + 1, wait);
}

static void backs_off_aside(struct edit *edit) {
  size_t end = ring_end(edit), wait = edit_find(edit, end, "wait", "1", "2");
  struct at side = between(place(edit, end), place(edit, wait), 0.5, 0.5);
  route(edit, end, wait, &side, 1);
}

static void waits_near(struct edit *edit) {
  size_t end = ring_end(edit), wait = edit_find(edit, end, "wait", "1", "2"), last = wait;
  struct at near = between(place(edit, end), place(edit, wait), 0.6, 0);
  while (edit_is(&edit->rows[last + 1], FIELD_PHASE, "wait"))
    last++;
  struct edit_row labels = edit->rows[last + 1];
  edit_stay(edit, last + 1, near, labels);
  edit_lead(edit, last + 2, LEAD_ROWS, labels);
  for (size_t i = wait; i <= last; i++)
    at_put(&edit->rows[i], near);
  edit_remove(edit, end + 1, wait);
  edit_lead(edit, end + 1, LEAD_ROWS, edit->rows[end]);
}

/* From the wait to the place backed off before the ring: where the way along the contour is. */
static struct run_rows between_rings(const struct edit *edit) {
  size_t from = edit_find(edit, ring_end(edit), "wait", "1", "2");
  while (edit_is(&edit->rows[from + 1], FIELD_PHASE, "wait"))
    from++;
  return (struct run_rows){from + 1,
                           backed_off(edit, edit_find(edit, from, "preflow", "1", "2"), -1)};
}

static void by_a_detour(struct edit *edit) {
  struct run_rows way = between_rings(edit);
  struct at detour = between(place(edit, way.from), place(edit, way.to), 0.5, 12);
  route(edit, way.from, way.to, &detour, 1);
}

static struct at turned(struct at at, double degrees) {
  static const double X = 10, Y = 20; /* the bore's axis */
  double c = cos(degrees * DEGREE), s = sin(degrees * DEGREE), x = at.of[0] - X, y = at.of[1] - Y;
  return (struct at){{X + c * x - s * y, Y + s * x + c * y, at.of[2], at.of[3] + degrees}};
}

/* The head turns, and H moves by little: the tip stays about on the contour. */
static void too_far_and_back(struct edit *edit) {
  struct run_rows way = between_rings(edit);
  struct at beyond = turned(place(edit, way.from), -40);
  route(edit, way.from, way.to, &beyond, 1);
}

/* Turned about the bore's axis the other way, evenly in depth. */
static void the_long_way_round(struct edit *edit) {
  enum { ROUND_ROWS = 4000 };
  struct run_rows way = between_rings(edit);
  struct at from = place(edit, way.from), to = place(edit, way.to);
  struct edit_row labels = edit->rows[way.from];
  double turn = to.of[3] - from.of[3], whole = turn > 0 ? turn - 360 : turn + 360;
  for (size_t i = way.to; i < edit->count; i++)
    at_put(&edit->rows[i], moved(place(edit, i), 0, 0, 0, whole - turn));
  edit_header(edit, "\n# head_end_deg ", edit->rows[edit->count - 1].fields[FIELD_HEAD]);
  edit_remove(edit, way.from + 1, way.to);
  edit_open_up(edit, way.from + 1, ROUND_ROWS);
  for (size_t i = 0; i < ROUND_ROWS; i++) {
    double u = (double)(i + 1) / (ROUND_ROWS + 1), share = u * u * u * (10 + u * (6 * u - 15));
    edit->rows[way.from + 1 + i] = labels;
    at_put(&edit->rows[way.from + 1 + i],
           moved(turned(from, share * whole), 0, 0, share * (to.of[2] - from.of[2]), 0));
  }
}

static void up_and_down_again(struct edit *edit) {
  struct run_rows way = between_rings(edit);
  size_t to = way.from + 1;
  struct edit_row here = edit->rows[way.from];
  *edit_open_up(edit, to, 1) = here;
  struct at above = moved(place(edit, way.from), 0, 0, 8, 0);
  route(edit, way.from, to, &above, 1);
}

/* The chord over the keyway lies 1 mm off the tip's way over it. */
static void straight_over_zone(struct edit *edit) {
  size_t run = first_start(edit), end = edit_find(edit, run, "move", "1", "1");
  route(edit, end, edit_find(edit, end, "preflow", "1", "1"), NULL, 0);
}

/* -- between overlays, and out ----------------------------------------------------------------- */

static void straight_to_next(struct edit *edit) {
  size_t end = edit_find(edit, 0, "move", "2", "1"),
         next = edit_find(edit, end, "preflow", "2", "1");
  route(edit, backed_off(edit, end, 1), backed_off(edit, next, -1), NULL, 0);
}

static size_t last_end(const struct edit *edit) {
  size_t i = edit->count - 1;
  while (!edit_is(&edit->rows[i - 1], FIELD_PHASE, "postflow"))
    i--;
  return i;
}

static void out_aslant(struct edit *edit) {
  size_t end = last_end(edit);
  route(edit, backed_off(edit, end, 1), edit->count - 1, NULL, 0);
}

static void out_beside(struct edit *edit) {
  size_t off = backed_off(edit, last_end(edit), 1), top = off;
  while (place(edit, top).of[2] < SAFE_Z)
    top++;
  struct at up = place(edit, top), beside = moved(up, 0.3, 0, 0, 0), under = beside;
  under.of[2] = place(edit, off).of[2];
  route(edit, off, top, (struct at[]){under, beside}, 2);
}

static void out_turned_round(struct edit *edit) {
  size_t last = edit->count - 1, top = last;
  while (place(edit, top - 1).of[2] > SAFE_Z || top == last)
    top--;
  struct at up = place(edit, top - 1), park = place(edit, last);
  park.of[3] += park.of[3] >= up.of[3] ? 360 : -360;
  at_put(&edit->rows[last], park);
  edit_header(edit, "\n# head_end_deg ", edit->rows[last].fields[FIELD_HEAD]);
  route(edit, top - 1, last, NULL, 0);
}

struct astray {
  const char *name;
  void (*change)(struct edit *edit);
  const char *told;
};

static const struct astray ASTRAY[] = {
    {"aslant down to the start", down_aslant, "the head goes aslant at x "},
    {"across 1 mm below safe height", across_low, "the head goes down beside entry and park at x "},
    {"across by a detour", across_bent, "the way across is not straight: it bends at x 70.000"},
    {"down beside the entry", down_beside,
     "the head goes down beside entry and park at x 10.300 y 20.000 z 490.000"},
    {"down with another angle", down_turned, "without an entry_angle it is to have the angle"},
    {"in at another depth", in_deeper, "the head goes sideways at z "},
    {"in from aside", in_from_aside, "from another side: the last 5.000 mm are to be along the"},
    {"in from above", in_from_above, "from another side: the last 5.000 mm are to be along the"},
    {"in along half of the normal", in_half_aside, "from another side: the last 5.000 mm"},
    {"in by a detour", in_round_about, "the head goes a way round about between entry and wall"},
    {"no back-off", no_back_off, "the head waits 0.000 mm off the wall"},
    {"off the wall in a bow", backs_off_aside, "it is to back off by 5.000 mm from x "},
    {"a wait too near the wall", waits_near, "the head waits 3.000 mm off the wall"},
    {"between rings by a detour", by_a_detour, "the tip strays to "},
    {"between rings too far and back", too_far_and_back, "mm too far along the wall, and back"},
    {"between rings the long way round", the_long_way_round,
     "the head comes to the run the long way round, "},
    {"between rings up and down again", up_and_down_again, "the tip goes between depths "},
    {"straight over a zone", straight_over_zone, "it is to back off by 5.000 mm from x "},
    {"straight from overlay to overlay", straight_to_next, "the head goes aslant at x "},
    {"aslant to park", out_aslant, "the head goes aslant at x "},
    {"up beside the entry", out_beside, "the head goes up beside entry and park at x "},
    {"a turn more on the way to park", out_turned_round, "another whole turn is nearer"},
};

static void test_astray(void **state) {
  const struct astray *astray = *state;
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @judged.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  astray->change(&edit);
  edit_write(&edit, path, false);
  edit_close(&edit);
  if (program_run(program, "verify -q a.csv --job @judged.lay") != 1)
    fail_msg("%s: it holds", astray->name);
  const char *told = strstr(program->err, "error: moves: ");
  if (!told || !strstr(told, astray->told))
    fail_msg("%s: `%s` is not told in\n%s", astray->name, astray->told, program->err);
  for (const char *at = program->err; (at = strstr(at, "error: axis-")); at++)
    fail_msg("%s: the lead is too fast\n%s", astray->name, at);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(ASTRAY)];
  for (size_t i = 0; i < COUNT(ASTRAY); i++)
    tests[i] =
        (struct CMUnitTest){ASTRAY[i].name, test_astray, NULL, NULL, (void *)(uintptr_t)&ASTRAY[i]};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
