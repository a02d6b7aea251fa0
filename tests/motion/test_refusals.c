/* What the head cannot do is refused, whole text, with what would do; and what the help line names
 * does. */
#include "support/job_text.h"

static bool is_accepted(const char *text) {
  struct job_motion made = job_motion_make(text);
  bool accepted = made.motion != NULL;
  job_motion_end(&made);
  return accepted;
}

static void assert_told(const char *text, const char *wanted) {
  struct job_motion made = job_motion_make(text);
  assert_string_equal(made.told, wanted);
  assert_true((made.motion != NULL) == (*wanted == '\0'));
  job_motion_end(&made);
}

struct row {
  const char *name, *from, *to, *wanted;
};
static const struct row rows[] = {
    {"a corner too tight for the speed", "corner 12 mm", "corner 6 mm",
     "job.lay:12:16: error[E0601]: layer 1 of overlay `pocket_wall` cannot be travelled at 170.0 "
     "mm/min: slowing the tip at the joint would change the pool's speed by more than 1 %\n"
     "   12 |   travel_speed 170 mm/min\n"
     "      |                ^~~~~~~~~~\n"
     "job.lay:20:1: note: the overlay is here\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "job.lay:18:1: note: on the arc of radius 6.000 mm\n"
     "   18 | shape pocket rectangle { length 160 mm; width 120 mm; corner 6 mm }\n"
     "      | ^~~~~~~~~~~~~~~~~~~~~~\n"
     "help: 117.0 mm/min would do\n"},
    {"a slow head", "accel 200 deg/s2; jerk 2000 deg/s3", "accel 8 deg/s2; jerk 80 deg/s3",
     "job.lay:12:16: error[E0601]: layer 1 of overlay `pocket_wall` cannot be travelled at 170.0 "
     "mm/min: rounding the joint would turn the torch past angle_tolerance\n"
     "   12 |   travel_speed 170 mm/min\n"
     "      |                ^~~~~~~~~~\n"
     "job.lay:20:1: note: the overlay is here\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "job.lay:18:1: note: on the arc of radius 12.000 mm\n"
     "   18 | shape pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }\n"
     "      | ^~~~~~~~~~~~~~~~~~~~~~\n"
     "help: 127.6 mm/min would do\n"},
    {"a head that cannot turn that far", "travel endless", "travel -170 .. 170 deg",
     "job.lay:20:1: error[E0602]: a run of layer 1 turns the head by 360.0 deg, from -90.0 to "
     "270.0 "
     "deg or as much at another turn; its travel of -170.0 .. 170.0 deg does not hold it\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "job.lay:6:22: note: the head's travel is given here\n"
     "    6 |   axis head { travel -170 .. 170 deg; speed 72 deg/s; accel 200 deg/s2; jerk 2000 "
     "deg/s3 }\n"
     "      |                      ^~~~~~~~~~~~~~~\n"
     "help: a travel of -170.0 .. 270.0 deg would hold it\n"},
    {"a run too short for its slopes", "retract 5 mm",
     "retract 5 mm\n  zone left { arc off; along 40 .. 60 mm }\n"
     "  zone right { arc off; along 67 .. 80 mm }",
     "job.lay:20:1: error[E0603]: a run of layer 1 (lap 1, from s = 60.000 mm) is 7.000 mm long; "
     "its "
     "slopes need 8.488 mm: 0.080 mm to come up to speed, 8.409 mm for the downslope\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "job.lay:23:3: note: zone `left` breaks laps here\n"
     "   23 |   zone left { arc off; along 40 .. 60 mm }\n"
     "      |   ^~~~~~~~~\n"
     "job.lay:24:3: note: zone `right` breaks laps here\n"
     "   24 |   zone right { arc off; along 67 .. 80 mm }\n"
     "      |   ^~~~~~~~~~\n"
     "help: zones would do that leave the run 8.489 mm, or a shorter `downslope`, or "
     "`downslope_travel off`, which need less\n"},
    {"no room at the entry", "retract 5 mm", "retract 70 mm",
     "job.lay:20:1: error[E0605]: at the entry of overlay `pocket_wall` the tip cannot keep 73.000 "
     "mm (arc length and retract) from the wall with the head at -90.0 deg\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"},
    {"waits without end", "depths 20 .. 40 mm", "wait_laps 900000 s; depths 20 .. 80 mm",
     "job.lay:24:1: error[E0607]: the job would take 125 days; a speed or a time in it is not "
     "what "
     "was meant\n"
     "   24 | job \"t\" { cell c; envelope e; safe_height 60 mm }\n"
     "      | ^~~~~~~\n"},
    {"a sway too fast for axis z", "wire_retract 0 mm",
     "wire_retract 0 mm\n  oscillation { width 6 mm; frequency 4 Hz; dwell 20 ms }",
     "job.lay:17:39: error[E0620]: axis z cannot sway by 6 mm at 4 Hz: that leaves 0.1050 s for a "
     "crossing, and it needs 0.3036 s\n"
     "   17 |   oscillation { width 6 mm; frequency 4 Hz; dwell 20 ms }\n"
     "      |                                       ^~~~\n"
     "job.lay:5:3: note: its limits are given here\n"
     "    5 |   axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
     "      |   ^~~~~~\n"
     "job.lay:21:1: note: the overlay is here\n"
     "   21 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "help: 1.545 Hz would do\n"},
    {"runs too short for one sway", "wire_retract 0 mm\n",
     "oscillation { width 1 mm; frequency 0.005 Hz }\n",
     "job.lay:16:71: warning[W0530]: in one sway the pool goes on by 566.667 mm, farther than a "
     "bead of 8 mm is wide: the ends of the sway do not meet\n"
     "   16 |   tie_in 8 mm; gas_flow 14 L/min; oscillation { width 1 mm; frequency 0.005 Hz }\n"
     "      |                                                                       ^~~~~~~~\n"
     "help: with 0.355 Hz or more they do\n"
     "job.lay:20:1: error[E0621]: a run of layer 1 (lap 1, from s = 30.000 mm) travels for 196.143 "
     "s at its full speed; one sway, out from the centre line and back to it, takes 300.000 s\n"
     "   20 | overlay pocket_wall {\n"
     "      | ^~~~~~~~~~~~~~~~~~~\n"
     "job.lay:16:71: note: the frequency is given here\n"
     "   16 |   tie_in 8 mm; gas_flow 14 L/min; oscillation { width 1 mm; frequency 0.005 Hz }\n"
     "      |                                                                       ^~~~~~~~\n"},
    {"wire drawn back too long", "wire_retract 0 mm", "wire_retract 100 mm",
     "job.lay:16:48: error[E0606]: drawing back 100.000 mm of wire takes 3.750 s; the downslope "
     "lasts 3.000 s\n"
     "   16 |   tie_in 8 mm; gas_flow 14 L/min; wire_retract 100 mm\n"
     "      |                                                ^~~~~~\n"},
};

static void test_refused(void **state) {
  const struct row *row = *state;
  char *text = text_with(row->from, row->to);
  assert_told(text, row->wanted);
  free(text);
}

static void test_base_is_accepted(void **state) {
  (void)state;
  assert_told(base_text, "");
}

/* The speed that the help line names is accepted, a tenth more of a per cent above it is not. */
static void test_help_speed_does(void **state) {
  (void)state;
  char *slow = text_with("travel_speed 170 mm/min", "travel_speed 117.0 mm/min");
  char *tight = strstr(slow, "corner 12 mm");
  memcpy(tight, "corner  6 mm", 12);
  char *retract = strstr(slow, "retract 5 mm");
  memcpy(retract, "retract 1 mm", 12);
  assert_true(is_accepted(slow));
  char *speed = strstr(slow, "117.0");
  memcpy(speed, "117.3", 5);
  assert_false(is_accepted(slow));
  free(slow);
}

/* The frequency that the help line names is accepted, what is a little above it is not. */
static void test_help_frequency_does(void **state) {
  (void)state;
  for (int i = 0; i < 2; i++) {
    char sway[80];
    snprintf(sway, sizeof sway, "oscillation { width 6 mm; frequency %.3f Hz; dwell 20 ms }",
             1.545 + 0.001 * i);
    char *text = text_with("wire_retract 0 mm", sway);
    assert_true(is_accepted(text) == (i == 0));
    free(text);
  }
}

/* Round the end of a narrow pocket: backed off 10 mm its corners of 12 mm leave nothing to follow,
 * straight across the torch would sweep through the end wall, and nowhere along the middle is there
 * room to turn it.  With 8.8 mm the corners would leave the tip its radius, but the body would come
 * too near to the other wall: what is advised is clear. */
static void test_retract(void **state) {
  (void)state;
  char *text = text_with("width 120 mm; corner 12 mm", "width  60 mm; corner 12 mm");
  text = text_again(text, "body lower { radius 10 mm", "body lower { radius 5 mm");
  memcpy(strstr(text, "start_along 30 mm; stagger 70 mm; retract 5 mm"),
         "start_along 60 mm; stagger 90 mm; retract 10mm", 46);
  assert_told(
      text,
      "job.lay:22:45: error[E0604]: backed off 10.000 mm the torch cannot follow the corners of "
      "overlay `pocket_wall` to its next run, and neither the straight way across nor the way by "
      "the entry is clear\n"
      "   22 |   start_along 60 mm; stagger 90 mm; retract 10mm\n"
      "      |                                             ^~~~\n"
      "job.lay:20:1: note: by the better of the two, body lower strikes the clad of pocket_wall "
      "(2.000 mm wanted) at x 59.699 y -23.000 z 308.000 mm, head 450.000 deg\n"
      "   20 | overlay pocket_wall {\n"
      "      | ^~~~~~~~~~~~~~~~~~~\n"
      "help: a retract of 6.0 mm would do\n");
  memcpy(strstr(text, "retract 10mm"), "retract 6 mm", 12);
  assert_true(is_accepted(text));
  free(text);
}

int main(void) {
  enum { ROWS = sizeof rows / sizeof rows[0] };
  struct CMUnitTest tests[ROWS + 4];
  size_t n = 0;
  for (; n < ROWS; n++)
    tests[n] =
        (struct CMUnitTest){rows[n].name, test_refused, NULL, NULL, (void *)(uintptr_t)&rows[n]};
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_base_is_accepted);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_help_speed_does);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_help_frequency_does);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_retract);
  return _cmocka_run_group_tests("refusals", tests, n, NULL, NULL);
}
