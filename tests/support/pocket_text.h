/* pocket_text.h - the text of a small job, a pocket clad in rings, that tests change in places. */
#ifndef TESTS_SUPPORT_POCKET_TEXT_H
#define TESTS_SUPPORT_POCKET_TEXT_H

static const char base_text[] =
    "cell c {\n"
    "  tick 8 ms; park (0, 0, 700) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 40 mm; drop 340 mm; electrode_extension 8 mm; radius 5 mm }\n"
    "  body lower { radius 10 mm; heights -350 .. 0 mm }\n"
    "}\n"
    "procedure p {\n"
    "  process gtaw; current 205 A; voltage 11.5 V\n"
    "  travel_speed 170 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm\n"
    "  preflow 2 s; upslope 1.5 s; downslope 3 s; postflow 8 s\n"
    "  tie_in 8 mm; gas_flow 14 L/min; wire_retract 0 mm\n"
    "}\n"
    "shape pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }\n"
    "envelope e { free pocket { depths 0 .. 120 mm } }\n"
    "overlay pocket_wall {\n"
    "  wall pocket; depths 20 .. 40 mm; procedure p; pattern rings; overlap 45 %\n"
    "  start_along 30 mm; stagger 70 mm; retract 5 mm\n"
    "}\n"
    "job \"t\" { cell c; envelope e; safe_height 60 mm }\n";

#endif
