/* declare.h - two texts, resolved, and what they declare differently, a line each. */
#ifndef TESTS_COMPARE_DECLARE_H
#define TESTS_COMPARE_DECLARE_H

#include <stdlib.h>

#include "compare/differences.h"
#include "support/case_run.h"

/* A job with a bit of everything, and two files that it uses. */
static const char SHOP[] =
    "cell bay {\n"
    "  tick 8 ms; park (0, 0, 700) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 40 mm; drop 340 mm; electrode_extension 8 mm; radius 5 mm\n"
    "    guard camera { radius 6 mm; from (10, 20, -200) mm; to (30, 20, -320) mm } }\n"
    "  body { radius 10 mm; heights -350 .. 0 mm }\n"
    "  body { radius 14 mm; heights 0 .. 200 mm }\n"
    "}\n"
    "cell spare like bay { clearance 3 mm }\n"
    "param feed = 1.6 m/min range 1 .. 2 m/min\n"
    "procedure hot {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 180 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed feed; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm\n"
    "  preflow 2 s; upslope 1.5 s; downslope 3 s; postflow 8 s\n"
    "  tie_in 8 mm; gas_flow 14 L/min; interpass 350 degF\n"
    "  limit { current 180 .. 230 A; heat_input 0.6 kJ/mm }\n"
    "}\n";

static const char MAIN[] =
    "use \"shop.lay\"\n"
    "use \"shop.lay\" as other\n"
    "let half = 2.5 in\n"
    "shape bore round { diameter 2 * half }\n"
    "shape neck round { diameter 150 mm }\n"
    "shape key outline { from (-40, -20) mm; line (40, -20) mm; bend { to (40, 20) mm; radius 20 "
    "mm; side left }\n"
    "  line (-40, 20) mm; bend { to (-40, -20) mm; radius 20 mm; side left } }\n"
    "envelope block { free neck { depths 0 .. 20 mm }\n"
    "  free bore { depths 20 .. 140 mm } }\n"
    "overlay lower { wall bore; depths 90 .. 120 mm; procedure hot; overlap 40 %; layers 2\n"
    "  layer 2 { overlap 45 % }\n"
    "  zone port { arc off; cross_bore { diameter 20 mm; depth 100 mm; toward 0 deg }; margin 2 mm "
    "}\n"
    "  zone rim { arc off; depths 80 .. 92 mm }\n"
    "  require { thickness 1.5 mm } }\n"
    "overlay upper like lower { depths 40 .. 80 mm; zone port { cross_bore { diameter 20 mm; depth "
    "60 mm; toward 0 deg } } }\n"
    "job \"two bands\" { cell bay; envelope block; at (10, 20, 150) mm; safe_height 40 mm }\n";

/* Text with every `from` put as `to`; the caller frees. */
static inline char *text_with(const char *text, const char *from, const char *to) {
  size_t length = strlen(from), room = strlen(text) + 1;
  for (const char *p = strstr(text, from); *from && p; p = strstr(p + length, from))
    room += strlen(to);
  char *made = malloc(room), *end = made;
  assert_non_null(made);
  for (const char *next; *from && (next = strstr(text, from)) != NULL; text = next + length) {
    memcpy(end, text, (size_t)(next - text));
    end = stpcpy(end + (next - text), to);
  }
  strcpy(end, text);
  return made;
}

/* What one side declares; its diags are told to nobody. */
static inline const struct declared *declare(struct run *run, const char *shop, const char *job,
                                             const char *setting) {
  const char *settings[] = {setting}, *unreadable = NULL;
  struct resolver *kept = NULL;
  run_file("shop.lay", shop);
  run_file("job.lay", job);
  run->sources = source_set_new(run->arena);
  run->diags = diag_list_new(run->arena, run->sources);
  run->job = job_resolve_kept(run->arena, run->sources, run->diags, "job.lay", settings,
                              setting ? 1 : 0, &unreadable, &kept);
  assert_null(unreadable);
  return declared_make(run->arena, kept);
}

/* "path: text" lines; what no job uses ends in " (unused)".  The caller frees. */
static inline char *differences_text(const struct differences *found) {
  char *text = NULL;
  size_t size = 0;
  FILE *to = open_memstream(&text, &size);
  assert_non_null(to);
  for (size_t i = 0; i < found->count; i++) {
    const struct difference *one = &found->items[i];
    fprintf(to, "%s: %s%s%s%s\n", one->path,
            one->kind == DIFFERENCE_CHANGED ? "" : difference_kind_name(one->kind),
            one->kind == DIFFERENCE_CHANGED ? "" : " ", one->text, one->is_used ? "" : " (unused)");
  }
  fclose(to);
  return text;
}

#endif
