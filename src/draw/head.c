/* head.c - bodies, torch, guards, electrode from above and from the side. */
#include "draw/head.h"

#include <math.h>

#include "borelay/num.h"

void capsule_put(struct drawing *drawing, vec2 a, vec2 b, double radius) {
  vec2 way = vec2_sub(b, a);
  double length = num_hypot(way.x, way.y);
  vec2 out = length > 1e-9 ? vec2_scale((vec2){-way.y, way.x}, radius / length) : (vec2){0, radius};
  vec2 p = vec2_add(a, out), q = vec2_add(b, out), r = vec2_sub(b, out), s = vec2_sub(a, out);
  pen(drawing, "M%f %fL%f %fA%f %f 0 0 0 %f %fL%f %fA%f %f 0 0 0 %f %fz", p.x, p.y, q.x, q.y,
      radius, radius, r.x, r.y, s.x, s.y, radius, radius, p.x, p.y);
}

static void capsule_plan(struct drawing *drawing, const struct capsule *capsule,
                         const char *class_name) {
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  capsule_put(drawing, (vec2){capsule->from.x, -capsule->from.y},
              (vec2){capsule->to.x, -capsule->to.y}, capsule->radius);
  pen(drawing, "\"><title>%s</title></path>\n", *capsule->name ? capsule->name : class_name);
}

void head_put_plan(struct drawing *drawing, const struct cell *cell, double z, double face_z) {
  for (int below = 0; below < 2; below++)
    for (size_t i = 0; i < cell->body_count; i++) {
      const struct body *body = &cell->bodies[i];
      if ((z + body->heights.lo < face_z) == below)
        pen(drawing, "<circle class=\"body%s\" r=\"%f\"><title>%s</title></circle>\n",
            below ? "" : " above", body->radius, *body->name ? body->name : "body");
    }
  for (size_t i = 0; i < cell->guard_count; i++)
    capsule_plan(drawing, &cell->guards[i], "guard");
  capsule_plan(drawing, &cell->torch, "torch");
  pen(drawing, "<path class=\"electrode\" d=\"M%f %fL%f %f\"/>\n", cell->electrode_from.x,
      -cell->electrode_from.y, cell->electrode_to.x, -cell->electrode_to.y);
  pen(drawing, "<path class=\"mark\" d=\"M%f 0H%fM0 %fV%f\"/>\n", -0.5 * drawing->em,
      0.5 * drawing->em, -0.5 * drawing->em, 0.5 * drawing->em);
}

void head_put_side(struct drawing *drawing, const struct cell *cell) {
  for (size_t i = 0; i < cell->body_count; i++) {
    const struct body *body = &cell->bodies[i];
    pen(drawing, "<path class=\"body\" d=\"M%f %fH%fV%fH%fz\"><title>%s</title></path>\n",
        -body->radius, -body->heights.hi, body->radius, -body->heights.lo, -body->radius,
        *body->name ? body->name : "body");
  }
  for (size_t i = 0; i <= cell->guard_count; i++) {
    const struct capsule *capsule = i < cell->guard_count ? &cell->guards[i] : &cell->torch;
    const char *class_name = i < cell->guard_count ? "guard" : "torch";
    pen(drawing, "<path class=\"%s\" d=\"", class_name);
    capsule_put(drawing, (vec2){capsule->from.x, -capsule->from.z},
                (vec2){capsule->to.x, -capsule->to.z}, capsule->radius);
    pen(drawing, "\"><title>%s</title></path>\n", *capsule->name ? capsule->name : class_name);
  }
  pen(drawing, "<path class=\"electrode\" d=\"M%f %fL%f %f\"/>\n", cell->electrode_from.x,
      -cell->electrode_from.z, cell->electrode_to.x, -cell->electrode_to.z);
}
