/* Jobs made at random - walls, patterns, delays, zones, sways, sectors, rehearsed and resumed: what
 * the compiler makes of them the judge holds to be right, and in each a row that lies 0.05 mm aside
 * wrong.  JOBS=n makes n of them. */
#include "cli/stream_edit.h"

#include "cli/program.h"
#include "support/random.h"

#include "cli/one_folder.h"

#define SEED 20261128

static struct random random_of = {SEED};

static double any(double lo, double hi) {
  return random_between(&random_of, lo, hi);
}

static int whole(int lo, int hi) {
  return random_whole(&random_of, lo, hi);
}

static void write_wall(FILE *to) {
  double length = any(160, 260), width = any(110, 140);
  switch (whole(0, 2)) {
  case 0:
    fprintf(to, "shape wall round { diameter %.3f mm }\n", any(110, 200));
    break;
  case 1:
    fprintf(to, "shape wall racetrack { length %.3f mm; width %.3f mm; turned %.2f deg }\n", length,
            width, any(-90, 90));
    break;
  default:
    fprintf(to,
            "shape wall rectangle { length %.3f mm; width %.3f mm; corner %.3f mm; turned %.2f deg "
            "}\n",
            length, width, any(30, 50), any(-90, 90));
  }
}

/* The wire may come later than a tie-in behind the start: the next turn covers that, and where a
 * weld is taken up again it starts so much earlier.  In rings it comes within the tie-in. */
static void write_procedure(FILE *to, bool sways, double tie_in_least) {
  fprintf(to,
          "procedure bead like w.steady {\n  travel_speed %.1f mm/min; tie_in %.2f mm\n"
          "  downslope %.2f s; downslope_travel %s\n  travel_start_delay %.2f s\n"
          "  wire_start_delay %.2f s; wire_retract %.1f mm\n  touch_time %d s\n"
          "  arc_voltage_control %s; angle_tolerance %.1f deg\n",
          any(120, 260), any(tie_in_least, 15), any(0.1, 3), whole(0, 2) ? "on" : "off",
          any(0, 1.5), any(0, 1.5), whole(0, 1) ? any(1, 8) : 0, whole(0, 1),
          whole(0, 1) ? "on" : "off", any(3, 6));
  if (sways)
    fprintf(to, "  oscillation { width %.2f mm; frequency %.2f Hz; dwell 0.1 s }\n", any(2, 4),
            any(0.5, 1));
  fputs("}\n", to);
}

static void write_zone(FILE *to, int number, double depth, double band) {
  double from = any(-180, 180), along = any(0, 300);
  fprintf(to, "  zone z%d { margin %.2f mm; ", number, any(0, 3));
  switch (whole(0, 4)) {
  case 0:
    fprintf(to, "arc on; angles %.2f .. %.2f deg }\n", from, from + any(90, 300));
    break;
  case 1:
    fprintf(to, "arc off; along %.2f .. %.2f mm }\n", along, along + any(10, 80));
    break;
  case 2:
    fprintf(to, "arc off; angles %.2f .. %.2f deg; depths %.2f .. %.2f mm }\n", from,
            from + any(5, 60), depth + any(0, band / 2), depth + any(band / 2, band));
    break;
  default:
    fprintf(to, "arc off; cross_bore { diameter %.2f mm; depth %.2f mm; toward %.2f deg } }\n",
            any(8, 25), depth + any(0, band), from);
  }
}

static void write_overlay(FILE *to, const char *pattern, bool sways) {
  double depth = any(20, 40), band = any(9, 24), step = any(12, 30), from = any(-180, 180);
  fprintf(to,
          "overlay wall_clad {\n  wall wall; procedure bead; pattern %s; overlap %.1f %%\n"
          "  depths %.3f .. %.3f mm\n  direction %s; progress %s; layers %d\n",
          pattern, any(10, 50), depth, depth + band, whole(0, 1) ? "clockwise" : "anticlockwise",
          whole(0, 1) ? "deeper" : "shallower", whole(1, 2));
  if (whole(0, 1))
    fprintf(to, "  start_along %.3f mm\n", any(0, 300));
  if (strcmp(pattern, "stepped") == 0)
    fprintf(to, "  step_length %.2f mm; stagger %.2f mm\n", step, step + any(0, 40));
  else
    fprintf(to, "  stagger %.2f mm\n", any(0, 60));
  for (int i = whole(-1, 2); i > 0; i--)
    write_zone(to, i, depth, band);
  if (!sways && whole(0, 3) == 0)
    fprintf(to,
            "  sector side { angles %.2f .. %.2f deg; current %.1f A; travel_speed %.1f mm/min; "
            "ramp %.1f mm }\n",
            from, from + any(60, 200), any(150, 220), any(130, 250), any(5, 15));
  fputs("}\n", to);
}

static void write_job(const char *path) {
  FILE *to = fopen(path, "w");
  assert_non_null(to);
  static const char *const PATTERNS[] = {"spiral", "stepped", "rings"};
  const char *pattern = PATTERNS[whole(0, 2)];
  bool sways = whole(0, 6) == 0;
  fprintf(to, "use \"%s/shop.lay\" as w\n", program->jobs);
  write_wall(to);
  write_procedure(to, sways, strcmp(pattern, "rings") == 0 ? 8 : 3);
  fputs("envelope block { free wall { depths 0 .. 150 mm } }\n", to);
  write_overlay(to, pattern, sways);
  fprintf(to,
          "job \"random\" {\n  cell w.bench; envelope block; safe_height 40 mm\n"
          "  at (%.3f, %.3f, 180) mm; turned %.2f deg\n}\n",
          any(-20, 20), any(-20, 20), any(-40, 40));
  assert_int_equal(fclose(to), 0);
}

static void judge_aside(const char *mode, int number) {
  char line[100], path[1400];
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  size_t at = edit.count / 2;
  while (at + 1 < edit.count && !edit_is(&edit.rows[at], FIELD_PHASE, "weld"))
    at++;
  edit_shift(&edit.rows[at], FIELD_Z, 0.05, 6);
  edit_write(&edit, path, false);
  edit_close(&edit);
  snprintf(line, sizeof line, "verify -q a.csv --job a.lay %s", mode);
  if (program_run(program, line) != 1)
    fail_msg("seed %d, job %d: a row aside holds", SEED, number);
}

/* false: the compiler refuses it. */
static bool judge_job(int number) {
  static const char *const KINDS[][2] = {
      {"", ""},
      {"", ""},
      {"--rehearse --times 3", "--mode rehearsal"},
      {"--resume overlay=wall_clad,layer=1,lap=1,along=120mm", "--mode resume"}};
  char line[300], path[1400];
  path_in(path, program, "a.lay");
  write_job(path);
  const char *const *kind = KINDS[whole(0, 3)];
  snprintf(line, sizeof line, "compile -q a.lay -o a.csv %s", kind[0]);
  if (program_run(program, line) != 0)
    return false;
  snprintf(line, sizeof line, "verify -q a.csv --job a.lay %s", kind[1]);
  if (program_run(program, line) != 0) {
    char *text = file_read(path);
    fail_msg("seed %d, job %d %s: %s\n%s", SEED, number, kind[0], program->err, text);
  }
  judge_aside(kind[1], number);
  return true;
}

static void test_jobs(void **state) {
  (void)state;
  const char *asked = getenv("JOBS");
  int jobs = asked ? atoi(asked) : 40, sound = 0;
  for (int i = 0; i < jobs; i++)
    sound += judge_job(i);
  assert_in_range(sound, jobs / 4, jobs);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_jobs)};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
