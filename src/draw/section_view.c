/* section_view.c - the upright plane through the head's axis and the torch. */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/digits.h"
#include "borelay/num.h"
#include "draw/head.h"
#include "draw/nearest.h"
#include "draw/sheet.h"

/* The plane in the cell frame; depth d lies at y = d - face_z of the drawing. */
struct section {
  const struct outcome *outcome;
  struct instant now;
  struct stack stack;
  vec2 from, along;
  double face_z;
  struct range out, depths; /* what is in view */
};

/* What is in view: the free cut that the head stands in, and some metal around it. */
static void view_find(struct arena *arena, struct section *section) {
  const struct cell *cell = section->outcome->job->cell;
  struct range out = {-cell->reach, cell->reach};
  double tip = section->face_z - (section->now.pose.z - cell->drop), deepest = tip;
  for (size_t i = 0; i < section->stack.count; i++) {
    const struct prism *prism = &section->stack.prisms[i];
    double *outs;
    size_t count = rim_cut(arena, &prism->rim, section->from, section->along, &outs);
    if (prism->kind == PRISM_CLAD && count > 0)
      deepest = fmax(deepest, prism->depths.hi);
    for (size_t k = 0; k + 1 < count && prism->kind != PRISM_SOLID; k += 2)
      if (outs[k] <= cell->reach && outs[k + 1] >= -cell->reach) {
        out = (struct range){fmin(out.lo, outs[k]), fmax(out.hi, outs[k + 1])};
        deepest = fmax(deepest, fmin(prism->depths.hi, tip + 3 * cell->reach));
      }
  }
  double more = 0.12 * (out.hi - out.lo);
  double above = fmin(-0.35 * (out.hi - out.lo), tip - 2 * cell->reach);
  section->depths = (struct range){above, deepest + more};
  /* Of a bore far deeper than wide more metal is shown, so that figures find room. */
  more = fmax(more, ((section->depths.hi - above) / 4 - (out.hi - out.lo)) / 2);
  section->out = (struct range){out.lo - more, out.hi + more};
}

static struct section section_of(struct arena *arena, const struct outcome *outcome, double t) {
  struct section section = {.outcome = outcome,
                            .now = instant_at(arena, outcome->motion, t),
                            .face_z = outcome->plan->placement.at.z};
  struct sincos way = num_sincos(section.now.pose.head);
  section.from = (vec2){section.now.pose.x, section.now.pose.y};
  section.along = (vec2){way.cos, way.sin};
  section.stack = stack_make(arena, outcome, section.now.layers);
  view_find(arena, &section);
  return section;
}

static void parts_put(struct drawing *drawing, const struct section *section,
                      const struct slab_part *parts, size_t count, bool is_clad,
                      const char *class_name) {
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  for (size_t i = 0; i < count; i++)
    if (parts[i].is_clad == is_clad)
      pen(drawing, "M%f %fH%fV%fH%fz", parts[i].out.lo, parts[i].depths.lo - section->face_z,
          parts[i].out.hi, parts[i].depths.hi - section->face_z, parts[i].out.lo);
  pen_raw(drawing, "\"/>\n");
}

static void metal_put(struct drawing *drawing, const struct section *section,
                      const struct slab_part *parts, size_t count) {
  pen_raw(drawing, "<g class=\"cut\">\n");
  parts_put(drawing, section, parts, count, false, "edge");
  parts_put(drawing, section, parts, count, false, "metal seamless");
  parts_put(drawing, section, parts, count, true, "clad");
  pen(drawing, "<path class=\"datum\" d=\"M%f %fH%f\"/>\n", section->out.lo, -section->face_z,
      section->out.hi);
  pen_raw(drawing, "</g>\n");
}

static void head_put(struct drawing *drawing, const struct section *section) {
  pen(drawing, "<g class=\"head\" transform=\"translate(0 %f)\">\n", -section->now.pose.z);
  head_put_side(drawing, section->outcome->job->cell);
  pen_raw(drawing, "</g>\n");
  pen(drawing, "<path class=\"axis datum\" d=\"M0 %fV%f\"/>\n", drawing->field.y0,
      drawing->field.y1);
}

/* Within the metal, where nothing else is drawn; over the distance itself where so much metal is
 * not in view. */
static void gap_label(struct drawing *drawing, const struct nearest *nearest, vec2 at) {
  vec2 way = vec2_sub(nearest->metal, nearest->head);
  double em = drawing->em, room = 6 * em;
  const char *anchor = "";
  bool level = fabs(way.x) >= fabs(way.y);
  if (level && (at.x - room < drawing->field.x0 || at.x + room > drawing->field.x1)) {
    anchor = " mid";
    double middle = at.x - way.x / 2;
    at = (vec2){fmin(fmax(middle, drawing->field.x0 + room / 2), drawing->field.x1 - room / 2),
                at.y - 0.6 * em};
  } else if (level) {
    anchor = way.x < 0 ? " end" : "";
    at = vec2_add(at, (vec2){way.x < 0 ? -0.7 * em : 0.7 * em, 0.3 * em});
  } else {
    anchor = " mid";
    at.y += way.y < 0 ? -0.7 * em : 1.3 * em;
  }
  pen(drawing, "<text class=\"halo gap-text%s\" x=\"%f\" y=\"%f\">%f mm</text></g>\n", anchor, at.x,
      at.y, nearest->distance);
}

static struct nearest gap_put(struct drawing *drawing, const struct section *section,
                              const struct slab_part *parts, size_t count) {
  double above = section->now.pose.z - section->face_z, em = drawing->em;
  struct nearest nearest = nearest_find(section->outcome->job->cell, above, parts, count);
  if (!(nearest.distance < HUGE_VAL))
    return nearest;
  double x0 = nearest.head.x, y0 = nearest.head.y - section->face_z;
  double x1 = nearest.metal.x, y1 = nearest.metal.y - section->face_z;
  pen(drawing, "<g class=\"shortest\"><path class=\"gap\" d=\"M%f %fL%f %f\"/>", x0, y0, x1, y1);
  pen(drawing, "<circle class=\"gap-text\" cx=\"%f\" cy=\"%f\" r=\"%f\"/>", x0, y0, 0.22 * em);
  pen(drawing, "<circle class=\"gap-text\" cx=\"%f\" cy=\"%f\" r=\"%f\"/>", x1, y1, 0.22 * em);
  gap_label(drawing, &nearest, (vec2){x1, y1});
  return nearest;
}

/* "12.3" of a figure, one decimal. */
static const char *tenths(struct arena *arena, double value) {
  char digits[DIGITS_ROOM + 1];
  *digits_put(digits, digits_scale(value, 1), 1) = '\0';
  return arena_format(arena, "%s", digits);
}

static const char *pose_text(struct arena *arena, const struct section *section) {
  double degrees = section->now.pose.head / NUM_PI * 180;
  return arena_format(arena, "x %s, y %s, z %s mm, head %s deg", tenths(arena, section->now.pose.x),
                      tenths(arena, section->now.pose.y), tenths(arena, section->now.pose.z),
                      tenths(arena, degrees));
}

static const char *work_text(struct arena *arena, const struct section *section) {
  const struct phase *phase = section->now.phase;
  const char *what = phase->kind == PHASE_MOVE ? move_name(phase->move) : phase_name(phase->kind);
  if (phase->overlay == 0)
    return what;
  return arena_format(arena, "%s; layer %d, lap %" PRId64 " of %s", what, (int)phase->layer,
                      instant_lap(section->outcome->motion, &section->now),
                      section->outcome->plan->overlays[phase->overlay - 1].overlay->name);
}

static void legend(struct drawing *drawing, const struct nearest *nearest) {
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_BOX, "metal", "metal");
  legend_put(drawing, &at, LEGEND_BOX, "clad", "clad, the layer being laid too");
  legend_put(drawing, &at, LEGEND_BOX, "body", "body");
  legend_put(drawing, &at, LEGEND_BOX, "torch", "torch");
  legend_put(drawing, &at, LEGEND_LINE, "datum", "datum face, head axis");
  if (nearest->distance < HUGE_VAL)
    legend_put(drawing, &at, LEGEND_LINE, "gap",
               arena_format(drawing->arena, "shortest distance in this plane, from %s%s",
                            nearest->is_body ? "body " : "", nearest->part));
}

const char *draw_section(struct arena *arena, const struct outcome *outcome, double t,
                         const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  struct section section = section_of(arena, outcome, t);
  struct drawing *drawing = pen_new(arena, "section", look);
  drawing->field = (struct draw_box){section.out.lo, section.depths.lo - section.face_z,
                                     section.out.hi, section.depths.hi - section.face_z};
  int64_t ms = digits_scale(t, 3);
  const char *title =
      arena_format(arena, "Section through head axis and torch at %" PRId64 ".%03d s", ms / 1000,
                   (int)(ms % 1000));
  struct sheet sheet = {.class_name = "section-view",
                        .attributes = arena_format(arena, " data-time=\"%" PRId64 ".%03d\"",
                                                   ms / 1000, (int)(ms % 1000)),
                        .title = title,
                        .text = "Out along the torch to the right, up in the cell frame, "
                                "millimetres; depths below the datum face at the left.",
                        .room = {6, 5.6, 2, 8.5},
                        .columns = 42};
  sheet_open(drawing, &sheet);
  sheet_title(drawing, title, drawing->right);
  sheet_line(drawing, 0, pose_text(arena, &section));
  sheet_line(drawing, 1, work_text(arena, &section));
  ticks_below(drawing, (struct tick_scale){1, 1, 0, "out from the head's axis along the torch, mm"},
              false);
  ticks_left(drawing, (struct tick_scale){1, 1, -section.face_z, "depth, mm"}, false);
  struct slab_part *parts;
  size_t count = stack_cut(arena, &section.stack, section.from, section.along, section.out,
                           section.depths, &parts);
  field_open(drawing);
  metal_put(drawing, &section, parts, count);
  head_put(drawing, &section);
  struct nearest nearest = gap_put(drawing, &section, parts, count);
  field_close(drawing);
  legend(drawing, &nearest);
  sheet_close(drawing);
  return drawing->text;
}
