/* What counts as a difference of what is declared, and what does not. */
#include "compare/declare.h"

struct edit {
  const char *name;
  const char *from, *to;           /* in the job */
  const char *shop_from, *shop_to; /* in the file that it uses */
  const char *want;                /* "": the same */
  const char *set_before, *set_after;
};

static const struct edit EDITS[] = {
    /* -- the same ------------------------------------------------------------------------------ */
    {"nothing", "", "", "", "", "", NULL, NULL},
    {"layout and comments", "; ", "  # why not\n\n   ", "; ", "\n", "", NULL, NULL},
    {"units", "150 mm", "15 cm", "180 mm/min", "3 mm/s", "", NULL, NULL},
    {"inches and millimetres", "2.5 in", "63.5 mm", "1.2 mm", "0.12 cm", "", NULL, NULL},
    {"degrees Fahrenheit and Celsius", "", "", "350 degF", "176.66666666666667 degC", "", NULL,
     NULL},
    {"a share as a number", "overlap 40 %", "overlap 0.4", "", "", "", NULL, NULL},
    {"an expression for a number", "diameter 150 mm", "diameter 2 * (70 mm + 0.5 cm)", "", "", "",
     NULL, NULL},
    {"a let under another name", "half", "radius", "", "", "", NULL, NULL},
    {"a let left out", "2 * half", "127 mm", "", "", "", NULL, NULL},
    {"a param left out", "", "", "wire_feed_speed feed", "wire_feed_speed 1600 mm/min", "", NULL,
     NULL},
    {"the order of keys", "safe_height 40 mm", "revision \"\"; safe_height 40 mm",
     "current 205 A; voltage 11.5 V", "voltage 11.5 V; current 205 A", "", NULL, NULL},
    {"a default written out", "wall bore;",
     "wall bore; retract 5 mm; pattern spiral; stagger 0 mm;", "current 205 A",
     "current 205 A; start_current 20.5 A; final_current 20.5 A; wire_retract 0 cm", "", NULL,
     NULL},
    {"a default point written out", "diameter 150 mm", "diameter 150 mm; centre (0, 0) in", "", "",
     "", NULL, NULL},
    {"the sequence as it is anyway", "cell bay;", "cell bay; sequence lower, upper;", "", "", "",
     NULL, NULL},
    {"a layer told what it is anyway", "layer 2 { overlap 45 % }",
     "layer 2 { overlap 45 %; procedure hot }; layer 1 { overlap 40 % }", "", "", "", NULL, NULL},
    {"a block that nothing uses", "require { thickness 1.5 mm } }",
     "require { thickness 1.5 mm } }\nshape idle round like bore { }", "", "",
     "shape idle: added diameter 5 in (unused)\n", NULL, NULL},
    {"like, written out", "overlay upper like lower { depths 40 .. 80 mm; zone port { ",
     "overlay upper { wall bore; procedure hot; overlap 40 %; layers 2; layer 2 { overlap 45 % }\n"
     "zone rim { arc off; depths 80 .. 92 mm }; require { thickness 1.5 mm }\n"
     "depths 40 .. 80 mm; zone port { arc off; margin 2 mm; ",
     "", "", "", NULL, NULL},
    {"the order of nameless blocks", "", "",
     "  body { radius 10 mm; heights -350 .. 0 mm }\n  body { radius 14 mm; heights 0 .. 200 mm "
     "}\n",
     "  body { radius 14 mm; heights 0 .. 200 mm }\n  body { radius 10 mm; heights -350 .. 0 mm "
     "}\n",
     "", NULL, NULL},
    {"a setting that says what the default says", "", "", "", "", "", NULL, "feed=1600 mm/min"},
    {"a setting in the `use` line", "use \"shop.lay\"\n", "use \"shop.lay\" { feed = 1.6 m/min }\n",
     "", "", "", NULL, NULL},
    /* -- different ----------------------------------------------------------------------------- */
    {"a figure, with its share", "", "", "180 mm/min", "165 mm/min",
     "procedure hot / travel_speed: 180 -> 165 mm/min, -8.3 %\n"
     "procedure other.hot / travel_speed: 180 -> 165 mm/min, -8.3 % (unused)\n",
     NULL, NULL},
    {"in both units", "150 mm", "6 in", "", "",
     "shape neck / diameter: 150 mm (5.90551181 in) -> 6 in, +1.6 %\n", NULL, NULL},
    {"through a let, in its unit", "2.5 in", "2.6 in", "", "",
     "shape bore / diameter: 5 -> 5.2 in, +4.0 %\n", NULL, NULL},
    {"through a setting", "", "", "", "",
     "procedure hot / wire_feed_speed: 1.6 -> 1.7 m/min, +6.2 %\n"
     "param feed: 1.6 -> 1.7 m/min, +6.2 %\n",
     NULL, "feed=1.7 m/min"},
    {"through a setting of the second use", "use \"shop.lay\" as other",
     "use \"shop.lay\" as other { feed = 1.4 m/min }", "", "",
     "procedure other.hot / wire_feed_speed: 1.6 -> 1.4 m/min, -12.5 % (unused)\n"
     "param other.feed: 1.6 -> 1.4 m/min, -12.5 % (unused)\n",
     NULL, NULL},
    {"a range of a param", "", "", "range 1 .. 2 m/min", "range 1 .. 2.5 m/min",
     "param feed / range: 1 .. 2 -> 1 .. 2.5 m/min, ends +0 and +0.5 m/min\n"
     "param other.feed / range: 1 .. 2 -> 1 .. 2.5 m/min, ends +0 and +0.5 m/min (unused)\n",
     NULL, NULL},
    {"an angle, an upper limit, a temperature", "at (10, 20, 150) mm",
     "at (10, 20, 150) mm; turned 5 deg", "interpass 350 degF; limit", "interpass 340 degF; limit",
     "job / turned: 0 deg (default) -> 5 deg, +5 deg\n", NULL, NULL},
    {"an upper limit", "", "", "heat_input 0.6 kJ/mm", "heat_input 0.66 kJ/mm",
     "procedure hot / limit / heat_input: up to 0.6 -> up to 0.66 kJ/mm, +10.0 %\n"
     "procedure other.hot / limit / heat_input: up to 0.6 -> up to 0.66 kJ/mm, +10.0 % (unused)\n",
     NULL, NULL},
    {"a reading", "", "", "350 degF", "340 degF",
     "procedure hot / interpass: 350 -> 340 degF, -10 degF\n"
     "procedure other.hot / interpass: 350 -> 340 degF, -10 degF (unused)\n",
     NULL, NULL},
    {"a point", "(10, 20, 150) mm", "(13, 24, 150) mm", "", "",
     "job / at: (10, 20, 150) -> (13, 24, 150) mm, moved by 5 mm\n", NULL, NULL},
    {"a zone that moved, in one of two overlays", "depth 60 mm", "depth 61 mm", "", "",
     "overlay upper / zone port / cross_bore / depth: 60 -> 61 mm, +1.7 %\n", NULL, NULL},
    {"a zone gone", "  zone rim { arc off; depths 80 .. 92 mm }\n", "", "", "",
     "overlay lower / zone rim: removed arc off; depths 80 .. 92 mm\n"
     "overlay upper / zone rim: removed arc off; depths 80 .. 92 mm\n",
     NULL, NULL},
    {"overlap becomes pitch", "procedure hot; overlap 40 %", "procedure hot; pitch 4.5 mm", "", "",
     "overlay lower / pitch: added 4.5 mm\n"
     "overlay lower / overlap: removed 40 %\n"
     "overlay upper / pitch: added 4.5 mm\n"
     "overlay upper / overlap: removed 40 %\n",
     NULL, NULL},
    {"a layer's own word gone", "layer 2 { overlap 45 % }", "", "", "",
     "overlay lower / layer 2 / overlap: 45 % -> 40 % (as for all), -5 percentage points\n"
     "overlay upper / layer 2 / overlap: 45 % -> 40 % (as for all), -5 percentage points\n",
     NULL, NULL},
    {"a requirement gone", "require { thickness 1.5 mm }", "", "", "",
     "overlay lower / require / thickness: removed 1.5 mm\n"
     "overlay upper / require / thickness: removed 1.5 mm\n",
     NULL, NULL},
    {"the order of welding", "cell bay;", "cell bay; sequence upper, lower;", "", "",
     "job / sequence: lower, upper (default) -> upper, lower\n", NULL, NULL},
    {"another kind of shape", "neck round { diameter 150 mm }",
     "neck racetrack { length 200 mm; width 150 mm }", "", "",
     "shape neck / kind: round -> racetrack\n"
     "shape neck / length: added 200 mm\n"
     "shape neck / width: added 150 mm\n"
     "shape neck / diameter: removed 150 mm\n",
     NULL, NULL},
    {"a part more in an outline", "line (-40, 20) mm;", "line (0, 20) mm; line (-40, 20) mm;", "",
     "", "shape key / line 2: added (0, 20) mm (unused)\n", NULL, NULL},
    {"a nameless body", "", "", "radius 14 mm", "radius 15 mm",
     "cell bay / body 2 / radius: 14 -> 15 mm, +7.1 %\n"
     "cell spare / body 2 / radius: 14 -> 15 mm, +7.1 % (unused)\n"
     "cell other.bay / body 2 / radius: 14 -> 15 mm, +7.1 % (unused)\n"
     "cell other.spare / body 2 / radius: 14 -> 15 mm, +7.1 % (unused)\n",
     NULL, NULL},
    {"a named guard", "", "", "(10, 20, -200) mm", "(10, 20, -210) mm",
     "cell bay / torch / guard camera / from: (10, 20, -200) -> (10, 20, -210) mm, moved by 10 mm\n"
     "cell spare / torch / guard camera / from: (10, 20, -200) -> (10, 20, -210) mm, moved by 10 "
     "mm (unused)\n"
     "cell other.bay / torch / guard camera / from: (10, 20, -200) -> (10, 20, -210) mm, moved by "
     "10 mm (unused)\n"
     "cell other.spare / torch / guard camera / from: (10, 20, -200) -> (10, 20, -210) mm, moved "
     "by 10 mm (unused)\n",
     NULL, NULL},
    {"a block under another name", "procedure hot;", "procedure warm;", "procedure hot {",
     "procedure warm {",
     "procedure warm: renamed hot -> warm\n"
     "procedure other.warm: renamed other.hot -> other.warm (unused)\n",
     NULL, NULL},
    {"a file under another name within the job", "other", "elsewhere", "", "",
     "procedure elsewhere.hot: renamed other.hot -> elsewhere.hot (unused)\n"
     "cell elsewhere.bay: renamed other.bay -> elsewhere.bay (unused)\n"
     "cell elsewhere.spare: renamed other.spare -> elsewhere.spare (unused)\n"
     "param elsewhere.feed: renamed other.feed -> elsewhere.feed (unused)\n",
     NULL, NULL},
    {"another procedure of the same values", "procedure hot;", "procedure other.hot;", "", "",
     "overlay lower / procedure: hot -> other.hot\n"
     "overlay upper / procedure: hot -> other.hot\n",
     NULL, NULL},
    {"title and revision", "two bands\" { ", "two bands, wide\" { revision \"B\"; ", "", "",
     "job / revision: \"\" (default) -> \"B\"\n"
     "job / title: \"two bands\" -> \"two bands, wide\"\n",
     NULL, NULL},
    {"a rule becomes a figure", "wall bore;", "wall bore; step_length 16 mm;", "", "",
     "overlay lower / step_length: 2 bead widths (default) -> 16 mm\n"
     "overlay upper / step_length: 2 bead widths (default) -> 16 mm\n",
     NULL, NULL},
    {"a change that few digits would hide", "150 mm", "150.00000001 mm", "", "",
     "shape neck / diameter: 150 -> 150.00000001 mm, +6.7e-09 %\n", NULL, NULL},
    {"in a job with an error elsewhere", "diameter 150 mm", "diameter 151 mm; colour 3", "", "",
     "shape neck / diameter: 150 -> 151 mm, +0.7 %\n", NULL, NULL},
    {"an error in the value itself", "diameter 150 mm", "diameter 150 s", "", "",
     "shape neck / diameter: 150 mm -> `150 s`, which has an error\n", NULL, NULL},
    {"an error of form", "diameter 150 mm", "diameter nan mm", "", "",
     "shape neck / diameter: 150 mm -> something that has an error\n", NULL, NULL},
    {"a name that leads nowhere", "cell bay;", "cell bey;", "", "",
     "job / cell: bay -> `bey`, which has an error\n", NULL, NULL},
};

static void test_edit(void **state) {
  const struct edit *edit = *state;
  struct run run;
  run_begin(&run);
  char *job = text_with(MAIN, edit->from, edit->to);
  char *shop = text_with(SHOP, edit->shop_from, edit->shop_to);
  const struct declared *before = declare(&run, SHOP, MAIN, edit->set_before);
  const struct declared *after = declare(&run, shop, job, edit->set_after);
  struct differences found = differences_find(run.arena, before, after);
  char *text = differences_text(&found);
  assert_string_equal(text, edit->want);
  free(text);
  free(job);
  free(shop);
  run_end(&run);
}

/* An edit and its reverse find the same places. */
static void test_reverse(void **state) {
  const struct edit *edit = *state;
  struct run run;
  run_begin(&run);
  char *job = text_with(MAIN, edit->from, edit->to);
  char *shop = text_with(SHOP, edit->shop_from, edit->shop_to);
  const struct declared *before = declare(&run, SHOP, MAIN, edit->set_before);
  const struct declared *after = declare(&run, shop, job, edit->set_after);
  struct differences there = differences_find(run.arena, before, after);
  struct differences back = differences_find(run.arena, after, before);
  assert_int_equal(there.count, back.count);
  assert_int_equal(there.used, back.used);
  struct differences none = differences_find(run.arena, after, after);
  assert_int_equal(none.count, 0);
  free(job);
  free(shop);
  run_end(&run);
}

enum { EDIT_COUNT = sizeof EDITS / sizeof EDITS[0] };

int main(void) {
  static struct CMUnitTest tests[2 * EDIT_COUNT];
  static struct edit edits[EDIT_COUNT];
  for (size_t i = 0; i < EDIT_COUNT; i++) {
    edits[i] = EDITS[i];
    tests[2 * i] = (struct CMUnitTest){edits[i].name, test_edit, NULL, NULL, &edits[i]};
    tests[2 * i + 1] = (struct CMUnitTest){edits[i].name, test_reverse, NULL, NULL, &edits[i]};
  }
  return _cmocka_run_group_tests("differences", tests, 2 * (size_t)EDIT_COUNT, NULL, NULL);
}
