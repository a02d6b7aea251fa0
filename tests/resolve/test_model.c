/* What lands in the job: values, defaults, `like`, `layer`, places for later messages. */
#include <math.h>

#include "support/case_run.h"

#define DEG (3.14159265358979323846 / 180)

static void assert_vec3(vec3 got, double x, double y, double z) {
  assert_close(got.x, x, 1e-12, 0);
  assert_close(got.y, y, 1e-12, 0);
  assert_close(got.z, z, 1e-12, 0);
}

/* The text at a span, for places. */
static char *text_at(const struct run *run, span at) {
  const struct source *source = source_get(run->sources, at.file);
  return arena_text(run->arena, (const char *)source->text + at.begin, at.end - at.begin);
}

static void cell_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct cell *cell = run_job(&run, "use \"rest.lay\"\n" JOB)->cell;
  assert_string_equal(cell->name, "bench");
  assert_int_equal(cell->tick_us, 8000);
  assert_close(cell->tick, 0.008, 0, 0);
  assert_vec3(cell->park, 140, -220, 900);
  assert_close(cell->park_head, 0, 0, 0);
  assert_close(cell->axis[AXIS_Z].travel.hi, 1200, 0, 0);
  assert_close(cell->axis[AXIS_X].jerk, 6500, 0, 0);
  assert_true(cell->axis[AXIS_HEAD].endless);
  assert_close(cell->axis[AXIS_HEAD].speed, 70 * DEG, 0, 1e-15);
  assert_close(cell->axis[AXIS_HEAD].jerk, 1900 * DEG, 0, 1e-15);
  assert_close(cell->clearance, 2, 0, 0);
  assert_close(cell->torch_clearance, 1, 0, 0);
  assert_close(cell->correction, 1, 0, 0);
  assert_int_equal(cell->wire_side, WIRE_SIDE_NONE);
  assert_int_equal(cell->guard_count, 0);
  assert_int_equal(cell->body_count, 1);
  assert_string_equal(cell->bodies[0].name, "");
  assert_close(cell->bodies[0].heights.lo, -330, 0, 0);
  assert_false(cell->has_working_range);
  /* level from the head axis: the round end of 9 mm stops 7 mm before the tip at 44 mm */
  assert_vec3(cell->torch.from, 0, 0, -320);
  assert_vec3(cell->torch.to, 28, 0, -320);
  assert_vec3(cell->electrode_from, 37, 0, -320);
  assert_vec3(cell->electrode_to, 44, 0, -320);
  run_end(&run);
}

static void cell_options_land(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct cell *cell =
      run_job(&run, "use \"rest.lay\"\n"
                    "cell full like bench {\n"
                    "  axis head { travel -200 .. 400 deg }\n"
                    "  torch {\n"
                    "    reach 40 mm; drop 320 mm; electrode_extension 10 mm; radius 5 mm\n"
                    "    root (10, -280) mm; wire_side right\n"
                    "    guard { radius 4 mm; from (1, 2, 3) mm; to (4, 5, -6) mm }\n"
                    "    guard hose { radius 3 mm; from (1, 2, 3) cm; to (4, 5, -6) cm }\n"
                    "  }\n"
                    "  working_range { from (0, -1, 0.5) m; radius 0.2 .. 1.4 m }\n"
                    "  park_head 90 deg; clearance 0 mm\n"
                    "}\n"
                    "job \"j\" { cell full; envelope block; safe_height 40 mm }\n")
          ->cell;
  assert_false(cell->axis[AXIS_HEAD].endless);
  assert_close(cell->axis[AXIS_HEAD].travel.hi, 400 * DEG, 0, 1e-15);
  assert_close(cell->axis[AXIS_HEAD].speed, 70 * DEG, 0, 1e-15); /* from bench */
  /* from (10, -280) to the tip (40, -320): 50 mm in the direction (0.6, -0.8) */
  assert_vec3(cell->torch.from, 10, 0, -280);
  assert_vec3(cell->torch.to, 31, 0, -308);
  assert_vec3(cell->electrode_from, 34, 0, -312);
  assert_vec3(cell->electrode_to, 40, 0, -320);
  assert_int_equal(cell->wire_side, WIRE_SIDE_RIGHT);
  assert_int_equal(cell->guard_count, 2);
  assert_string_equal(cell->guards[1].name, "hose");
  assert_vec3(cell->guards[1].to, 40, 50, -60);
  assert_true(cell->has_working_range);
  assert_vec3(cell->range_from, 0, -1000, 500);
  assert_close(cell->range_radius.lo, 200, 0, 1e-15);
  assert_close(cell->park_head, 90 * DEG, 0, 1e-15);
  assert_close(cell->clearance, 0, 0, 0);
  run_end(&run);
}

static void assert_box(const struct keep_out *got, const char *name, vec3 lo, vec3 hi) {
  assert_string_equal(got->name, name);
  assert_vec3(got->lo, lo.x, lo.y, lo.z);
  assert_vec3(got->hi, hi.x, hi.y, hi.z);
}

/* Corners in any order; by name `like` brings a box along, overrides a corner, adds one. */
static void keep_outs_land(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct cell *cell =
      run_job(&run, "use \"rest.lay\"\n"
                    "cell fenced like bench {\n"
                    "  keep_out fence { from (-1, 0.9, 0) m; to (1, 0.95, 2) m }\n"
                    "  keep_out column { from (300, -80, 2000) mm; to (200, -200, 0) mm }\n"
                    "}\n"
                    "cell moved like fenced {\n"
                    "  keep_out column { to (10, -200, 0) mm }\n"
                    "  keep_out fixture { from (0, 0, 0) in; to (1, -1, 2) in }\n"
                    "}\n"
                    "job \"j\" { cell moved; envelope block; safe_height 40 mm }\n")
          ->cell;
  assert_int_equal(cell->keep_out_count, 3);
  assert_box(&cell->keep_outs[0], "fence", (vec3){-1000, 900, 0}, (vec3){1000, 950, 2000});
  assert_box(&cell->keep_outs[1], "column", (vec3){10, -200, 0}, (vec3){300, -80, 2000});
  assert_box(&cell->keep_outs[2], "fixture", (vec3){0, -25.4, 0}, (vec3){25.4, 0, 50.8});
  assert_string_equal(text_at(&run, cell->keep_outs[1].origin.head), "keep_out column");
  run_end(&run);
}

/* The body may end exactly where it begins. */
static void torch_body_may_be_a_ball(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct cell *cell =
      run_job(&run, "use \"rest.lay\"\n"
                    "cell short like bench { torch { reach 1.6 cm; drop 320 mm; "
                    "electrode_extension 7 mm; radius 9 mm } }\n"
                    "job \"j\" { cell short; envelope block; safe_height 40 mm }\n")
          ->cell;
  assert_vec3(cell->torch.from, 0, 0, -320);
  assert_vec3(cell->torch.to, 0, 0, -320);
  run_end(&run);
}

static void procedure_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\n"
                    "procedure hot like bead {\n"
                    "  process fcaw; gas_flow 25 ft3/h; wire_density 8440 kg/m3; tie_in 5 deg\n"
                    "  start_current 40 A; downslope_travel off; arc_voltage_control on\n"
                    "  wire trailing; angle_tolerance 5 deg; wire_retract 4 mm\n"
                    "  dilution 12 %; iron_wire 0.4 %; iron_base 0.97\n"
                    "  preheat 300 degF; interpass 177 degC\n"
                    "  wps \"OV \\\"7\\\"\\\\a\"; filler \"made up\"\n"
                    "  limit { current 180 .. 230 A; heat_input 25.4 kJ/in; arc_energy 0.6 .. 1.2 "
                    "kJ/mm }\n"
                    "}\n"
                    "overlay hot_band like band { procedure hot }\n"
                    "job \"j\" { cell bench; envelope block; safe_height 40 mm; sequence band, "
                    "hot_band }\n");
  const struct procedure *bead = job->sequence[0]->layers[0].procedure;
  assert_int_equal(bead->process, PROCESS_GTAW);
  assert_close(bead->travel_speed, 2.75, 0, 0);
  assert_close(bead->start_current, 19, 0, 1e-15); /* 10 % of 190 A */
  assert_close(bead->final_current, 19, 0, 1e-15);
  assert_true(bead->downslope_travel);
  assert_false(bead->arc_voltage_control);
  assert_close(bead->angle_tolerance, 3 * DEG, 0, 1e-15);
  assert_close(bead->gas_flow, 12, 0, 1e-15);
  assert_int_equal(bead->wire, WIRE_NONE);
  assert_string_equal(bead->wps, "");
  assert_false(bead->has_dilution || bead->has_preheat || bead->has_limit[LIMIT_CURRENT]);
  const struct procedure *hot = job->sequence[1]->layers[0].procedure;
  assert_int_equal(hot->process, PROCESS_FCAW);
  assert_close(hot->gas_flow, 25 * 0.4719474432, 0, 1e-15); /* 1 ft3/h = 28.316846592 L / 60 min */
  assert_close(hot->wire_density, 8.44e-3, 0, 1e-15);
  assert_true(hot->tie_in_is_angle && !bead->tie_in_is_angle);
  assert_close(hot->tie_in, 5 * DEG, 0, 1e-15);
  assert_close(hot->start_current, 40, 0, 0);
  assert_close(hot->final_current, 19, 0, 1e-15);
  assert_false(hot->downslope_travel);
  assert_true(hot->arc_voltage_control);
  assert_int_equal(hot->wire, WIRE_TRAILING);
  assert_true(hot->has_dilution && hot->has_iron_wire && hot->has_iron_base);
  assert_close(hot->dilution, 0.12, 0, 1e-15);
  assert_close(hot->preheat, 148.88888888888889, 0, 1e-14); /* 300 degF */
  assert_string_equal(hot->wps, "OV \\\"7\\\"\\\\a");
  assert_true(hot->has_limit[LIMIT_HEAT_INPUT] && !hot->has_limit[LIMIT_VOLTAGE]);
  assert_true(isinf(hot->limit[LIMIT_HEAT_INPUT].lo) && hot->limit[LIMIT_HEAT_INPUT].lo < 0);
  assert_close(hot->limit[LIMIT_HEAT_INPUT].hi, 1, 0, 1e-15); /* kJ/mm */
  assert_close(hot->limit[LIMIT_ARC_ENERGY].lo, 0.6, 0, 1e-15);
  assert_close(hot->limit[LIMIT_CURRENT].hi, 230, 0, 0);
  run_end(&run);
}

static void overlay_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\n"
                    "overlay ring {\n"
                    "  wall track; depths 20 .. 90 mm; procedure bead; pitch 5 mm; layers 3\n"
                    "  pattern rings; progress deeper; direction clockwise; start_straight 2\n"
                    "  stagger 12 mm; retract 8 mm; entry (3, 4) mm; entry_angle 45 deg\n"
                    "  wait_layers 1 min; wait_laps 2 s; wall_thickness 6 cm\n"
                    "  layer 2 { overlap 30 %; depths 25 .. 85 mm }\n"
                    "  layer 3 { direction anticlockwise }\n"
                    "  require { thickness 4 mm }\n"
                    "}\n" JOB);
  assert_int_equal(job->overlay_count, 2);
  const struct overlay *band = job->sequence[0];
  assert_string_equal(band->name, "band");
  assert_int_equal(band->pattern, PATTERN_SPIRAL);
  assert_int_equal(band->start, START_DEFAULT);
  assert_int_equal(band->layer_count, 1);
  assert_close(band->layers[0].overlap, 0.45, 0, 1e-15);
  assert_false(band->layers[0].has_pitch || band->layers[0].deeper || band->layers[0].clockwise);
  assert_false(band->has_stagger || band->has_step_length || band->has_entry ||
               band->has_entry_angle || band->has_required_iron);
  assert_close(band->retract, 5, 0, 0);
  assert_int_equal(band->line, 7);
  const struct overlay *ring = job->sequence[1];
  assert_int_equal(ring->line, 2);
  assert_int_equal(ring->wall->kind, SHAPE_RACETRACK);
  assert_int_equal(ring->pattern, PATTERN_RINGS);
  assert_int_equal(ring->start, START_STRAIGHT);
  assert_close(ring->start_value, 2, 0, 0);
  assert_true(ring->has_stagger && !ring->stagger.is_angle);
  assert_close(ring->stagger.value, 12, 0, 0);
  assert_true(ring->has_entry && ring->has_entry_angle);
  assert_close(ring->entry.y, 4, 0, 0);
  assert_close(ring->wait_layers, 60, 0, 0);
  assert_close(ring->wait_laps, 2, 0, 0);
  assert_true(ring->has_wall_thickness && !band->has_wall_thickness);
  assert_close(ring->wall_thickness, 60, 0, 0);
  assert_true(ring->has_required_thickness);
  assert_close(ring->required_thickness, 4, 0, 0);
  assert_true(ring->layers[0].has_pitch && !ring->layers[1].has_pitch && ring->layers[2].has_pitch);
  assert_close(ring->layers[1].overlap, 0.3, 0, 1e-15);
  assert_close(ring->layers[1].depths.lo, 25, 0, 0);
  assert_close(ring->layers[2].depths.lo, 20, 0, 0);
  assert_true(ring->layers[0].clockwise && ring->layers[1].clockwise && !ring->layers[2].clockwise);
  assert_true(ring->layers[1].deeper);
  /* places: a layer's own key, else the overlay's, else the block's head */
  assert_string_equal(text_at(&run, origin_of_key(&ring->layers[1].origin, "depths")),
                      "25 .. 85 mm");
  assert_string_equal(text_at(&run, origin_of_key(&ring->layers[2].origin, "depths")),
                      "20 .. 90 mm");
  assert_string_equal(text_at(&run, origin_of_key(&ring->layers[2].origin, "overlap")), "layer 3");
  assert_string_equal(text_at(&run, ring->layers[0].origin.head), "overlay ring");
  assert_string_equal(text_at(&run, origin_of_key(&ring->require_origin, "thickness")), "4 mm");
  run_end(&run);
}

static void open_numbers_land(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job = run_job(
      &run, "use \"rest.lay\"\n"
            "overlay open {\n"
            "  wall track; depths 20 .. 90 mm; procedure bead; layers auto; overlap auto\n"
            "  over_valleys on\n"
            "  layer 2 { overlap 30 % }\n"
            "  layer 3 { depths 25 .. 85 mm }\n"
            "  layer 4 { pitch 3 mm }\n"
            "  require { thickness 4 mm; flatness 0.2 mm }\n"
            "}\n"
            "overlay closed like open { layers 4; pitch 5 mm; layer 2 { overlap auto } }\n" JOB);
  const struct overlay *open = job->sequence[1], *closed = job->sequence[2];
  assert_true(open->layers_auto && open->over_valleys);
  assert_int_equal(open->layer_count, LAYERS_AUTO_MOST);
  assert_true(open->layer_room >= open->layer_count);
  assert_true(open->layers[0].overlap_auto && !open->layers[0].has_pitch);
  assert_false(open->layers[1].overlap_auto);
  assert_close(open->layers[1].overlap, 0.3, 0, 1e-15);
  assert_true(open->layers[2].overlap_auto);
  assert_true(!open->layers[3].overlap_auto && open->layers[3].has_pitch);
  assert_true(open->layers[LAYERS_AUTO_MOST - 1].overlap_auto);
  assert_true(open->has_required_flatness);
  assert_close(open->required_flatness, 0.2, 0, 1e-15);
  assert_false(closed->layers_auto);
  assert_int_equal(closed->layer_count, 4);
  assert_true(closed->layers[0].has_pitch && !closed->layers[0].overlap_auto);
  assert_true(!closed->layers[1].has_pitch && closed->layers[1].overlap_auto);
  run_end(&run);
}

static void like_merges(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job = run_job(
      &run, "use \"rest.lay\"\n"
            "cell two like bench {\n"
            "  body low { radius 3 mm; heights -4 .. 0 mm }\n"
            "  body high { radius 5 mm; heights 0 .. 9 mm }\n"
            "}\n"
            "cell three like two { axis x { speed 99 mm/s }; body low { radius 7 mm } }\n"
            "cell four like three {\n"
            "  body { radius 1 mm; heights 0 .. 1 mm }; body { radius 2 mm; heights 0 .. 1 mm }\n"
            "}\n"
            "shape felt round { touch (1, 0) mm; touch (0, 1) mm; touch (-1, 0) mm }\n"
            "shape again round like felt {\n"
            "  touch { at (5, 0) mm; head 90 deg }; touch (0, 5) mm; touch (-5, 0) mm; touch (0, "
            "-5) mm\n"
            "}\n"
            "shape nominal round like felt { diameter 10 mm }\n"
            "overlay stepped like band { pitch 3 mm; start_along 4 mm; wall again }\n"
            "overlay angled like stepped { start_angle 4 deg; overlap 10 %; wall nominal }\n"
            "job \"j\" { cell four; envelope block; safe_height 40 mm }\n");
  const struct cell *four = job->cell;
  /* axis x key by key: the speed of `three`, the rest of `bench` */
  assert_close(four->axis[AXIS_X].speed, 99, 0, 0);
  assert_close(four->axis[AXIS_X].accel, 650, 0, 0);
  /* bodies: the nameless of bench replaced by two, `low` overridden in part, `high` kept */
  assert_int_equal(four->body_count, 4);
  double sum = 0;
  for (size_t i = 0; i < four->body_count; i++) {
    sum += four->bodies[i].radius;
    if (strcmp(four->bodies[i].name, "low") == 0)
      assert_close(four->bodies[i].heights.lo, -4, 0, 0);
  }
  assert_close(sum, 7 + 5 + 1 + 2, 0, 0);
  const struct overlay *stepped = job->sequence[1], *angled = job->sequence[2];
  assert_true(stepped->layers[0].has_pitch && !angled->layers[0].has_pitch);
  assert_int_equal(stepped->start, START_ALONG);
  assert_int_equal(angled->start, START_ANGLE);
  /* touches replaced all at once, in order, both forms */
  assert_int_equal(stepped->wall->touch_count, 4);
  assert_true(stepped->wall->touches[0].has_head && !stepped->wall->touches[1].has_head);
  assert_close(stepped->wall->touches[0].head, 90 * DEG, 0, 1e-15);
  assert_close(stepped->wall->touches[3].at.y, -5, 0, 0);
  assert_false(stepped->wall->has_dimensions);
  /* a dimension drops copied touches */
  assert_int_equal(angled->wall->touch_count, 0);
  assert_true(angled->wall->has_dimensions);
  /* a copied key's place is where it was written */
  span at = origin_of_key(&angled->origin, "depths");
  assert_string_equal(source_get(run.sources, at.file)->base_name, "rest.lay");
  assert_string_equal(text_at(&run, at), "20 .. 90 mm");
  run_end(&run);
}

static void dimensions_beside_touches(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\n"
                    "shape both racetrack {\n"
                    "  length 200 mm; width 90 mm; fit_tolerance 0.8 mm; turned 30 deg\n"
                    "  touch (-20, -45) mm; touch (20, -45) mm; touch (100, 0) mm; touch (0, 45) "
                    "mm; touch (-100, 0) mm\n"
                    "}\n"
                    "shape pocket rectangle { length 60 mm; width 40 mm; corner 20 mm; centre (1, "
                    "2) mm }\n"
                    "overlay second like band { wall both }\n"
                    "overlay third like band { wall pocket }\n" JOB);
  const struct shape *both = job->sequence[1]->wall, *pocket = job->sequence[2]->wall;
  assert_true(both->has_dimensions);
  assert_int_equal(both->touch_count, 5);
  assert_close(both->fit_tolerance, 0.8, 0, 0);
  assert_close(both->turned, 30 * DEG, 0, 1e-15);
  assert_false(both->has_centre);
  assert_true(pocket->has_dimensions && pocket->has_centre);
  assert_close(pocket->corner, 20, 0, 0);
  assert_close(pocket->centre.y, 2, 0, 0);
  assert_close(job->sequence[0]->wall->fit_tolerance, 0.5, 0, 0);
  run_end(&run);
}

static void assert_part(const struct outline_part *part, bool is_bend, double x, double y,
                        double radius, bool centre_left) {
  assert_int_equal(part->is_bend, is_bend);
  assert_close(part->to.x, x, 0, 0);
  assert_close(part->to.y, y, 0, 0);
  assert_close(part->radius, radius, 0, 0);
  assert_int_equal(part->centre_left, centre_left);
}

/* Parts in the order written, lines and bends mixed; `like` takes a new outline whole, and leaves
 * the old one whole where none of it is given. */
static void outline_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job = run_job(
      &run, "use \"rest.lay\"\n"
            "shape cam outline {\n"
            "  bend { side left; to (4, 2) mm; radius 2 mm }; line (4, 8) mm\n"
            "  from (2, 0) mm; line (0, 9) mm; bend { radius 3 cm; side right; to (1, 1) mm }\n"
            "}\n"
            "shape moved outline like cam { centre (7, 8) mm }\n"
            "shape other outline like moved { line (5, 5) mm; from (1, 2) mm; line (6, 6) mm }\n"
            "overlay second like band { wall cam }\n"
            "overlay third like band { wall moved }\n"
            "overlay fourth like band { wall other }\n" JOB);
  const struct shape *cam = job->sequence[1]->wall, *moved = job->sequence[2]->wall,
                     *other = job->sequence[3]->wall;
  assert_int_equal(cam->kind, SHAPE_OUTLINE);
  assert_false(cam->has_centre);
  for (int k = 0; k < 2; k++) {
    const struct shape *shape = k ? moved : cam;
    assert_close(shape->outline_from.x, 2, 0, 0);
    assert_int_equal(shape->part_count, 4);
    assert_part(&shape->parts[0], true, 4, 2, 2, true);
    assert_part(&shape->parts[1], false, 4, 8, 0, false);
    assert_part(&shape->parts[2], false, 0, 9, 0, false);
    assert_part(&shape->parts[3], true, 1, 1, 30, false);
  }
  assert_string_equal(text_at(&run, cam->parts[0].place), "bend");
  assert_string_equal(text_at(&run, cam->parts[2].place), "line (0, 9) mm");
  assert_true(moved->has_centre && other->has_centre);
  assert_close(moved->centre.y, 8, 0, 0);
  assert_close(other->outline_from.y, 2, 0, 0);
  assert_int_equal(other->part_count, 2);
  assert_part(&other->parts[1], false, 6, 6, 0, false);
  run_end(&run);
}

static void job_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\n"
                    "let drawing = \"B\"\n"
                    "overlay second like band { depths 95 .. 130 mm }\n"
                    "overlay third like band { depths 5 .. 15 mm }\n"
                    "job \"a \\\"b\\\"\" {\n"
                    "  cell bench; envelope block; safe_height 40 mm; revision drawing\n"
                    "  part \"x\\\\y\"; sequence third, band; at (1, 2, 3) mm; turned 90 deg\n"
                    "}\n");
  assert_string_equal(job->title, "a \\\"b\\\"");
  assert_string_equal(job->title_text, "a \"b\"");
  assert_string_equal(job->part, "x\\\\y");
  assert_string_equal(job->part_text, "x\\y");
  assert_string_equal(job->revision, "B");
  assert_int_equal(job->overlay_count, 2);
  assert_string_equal(job->sequence[0]->name, "third");
  assert_string_equal(job->sequence[1]->name, "band");
  assert_vec3(job->at, 1, 2, 3);
  assert_close(job->turned, 90 * DEG, 0, 1e-15);
  assert_false(job->has_datum_fit);
  assert_int_equal(job->envelope->volume_count, 1);
  assert_true(job->envelope->volumes[0].is_free);
  assert_ptr_equal(job->envelope->volumes[0].shape, job->sequence[1]->wall);
  run_end(&run);
}

static void datum_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\n"
                    "job \"j\" {\n"
                    "  cell bench; envelope block; safe_height 40 mm; sequence [band]\n"
                    "  datum {\n"
                    "    touch (80, 0) mm; touch { at (0, 36) mm; head 90 deg }; fit bore\n"
                    "    touch (-80, 0) mm; z 240 mm; turned 4 deg\n"
                    "  }\n"
                    "}\n");
  assert_true(job->has_datum_fit);
  assert_string_equal(job->datum.shape->name, "bore");
  assert_int_equal(job->datum.touch_count, 3);
  assert_true(job->datum.touches[1].has_head);
  assert_close(job->datum.touches[2].at.x, -80, 0, 0);
  assert_close(job->datum.z, 240, 0, 0);
  assert_close(job->datum.turned, 4 * DEG, 0, 1e-15);
  assert_string_equal(text_at(&run, job->datum.touches[0].place), "(80, 0) mm");
  assert_string_equal(text_at(&run, origin_of_key(&job->datum.origin, "z")), "240 mm");
  run_end(&run);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(cell_lands),
      cmocka_unit_test(cell_options_land),
      cmocka_unit_test(keep_outs_land),
      cmocka_unit_test(torch_body_may_be_a_ball),
      cmocka_unit_test(procedure_lands),
      cmocka_unit_test(open_numbers_land),
      cmocka_unit_test(overlay_lands),
      cmocka_unit_test(like_merges),
      cmocka_unit_test(dimensions_beside_touches),
      cmocka_unit_test(outline_lands),
      cmocka_unit_test(job_lands),
      cmocka_unit_test(datum_lands),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
