/* style.c - the rules of every drawing.
 *
 * Widths are in em, so that they go with the size of the text.  Each colour stands twice: once
 * plain, for readers that know no custom properties and pass over the second. */
#include <string.h>

#include "borelay/arena.h"
#include "borelay/draw.h"

#define FILL(name, colour)   "fill:" colour ";fill:var(--draw-" name "," colour ")"
#define STROKE(name, colour) "stroke:" colour ";stroke:var(--draw-" name "," colour ")"

#define PAPER            "#ffffff"
#define INK              "#22262b"
#define FAINT            "#8b9097"
#define QUIET            "#5d646c"
#define METAL            "#d9d5cd"
#define CLAD             "#e3b04b"
#define HEAD             "#6b7f96"
#define TIP              "#0d6e6e"
#define AXIS             "#7c3f8c"
#define START            "#1c7a3d"
#define STOP             "#b02a30"
#define ZONE             "#8a5a2b"
#define BEAD             "#2b6ca3"
#define LEVEL(n, colour) ".drawing .t" n "{stroke:none;" FILL("t" n, colour) "}"

/* A text may not be longer than C promises to take: a few rules each. */
static const char *const RULES[] = {
    ".drawing{font-family:sans-serif;background:" PAPER ";background:var(--draw-paper," PAPER ")}",
    ".drawing *{vector-effect:none}",
    ".drawing text{stroke:none;" FILL("ink", INK) "}",
    ".drawing path,.drawing line,.drawing rect,.drawing circle,.drawing polyline{fill:none}",
    ".drawing .small{font-size:.8em}.drawing .head-line{font-weight:bold}",
    ".drawing .end{text-anchor:end}.drawing .mid{text-anchor:middle}",
    ".drawing .paper{" FILL("paper", PAPER) "}",
    ".drawing .frame{stroke-width:.08em;" STROKE("ink", INK) "}",
    ".drawing .tick{stroke-width:.06em;" STROKE("ink", INK) "}",
    ".drawing .grid{stroke-width:.04em;stroke-opacity:.35;" STROKE("faint", FAINT) "}",
    ".drawing .metal{stroke:none;" FILL("metal", METAL) "}",
    ".drawing .seamless{shape-rendering:crispEdges}.drawing .quiet{" FILL("quiet", QUIET) "}",
    ".drawing .free{stroke:none;" FILL("paper", PAPER) "}",
    ".drawing .edge{stroke-width:.2em;" STROKE("ink", INK) "}",
    ".drawing .datum{stroke-width:.12em;stroke-dasharray:1.2em .3em .3em .3em;" STROKE("ink",
                                                                                       INK) "}",
    ".drawing .clad{fill-rule:evenodd;stroke-width:.05em;" FILL("clad", CLAD) ";" STROKE("ink",
                                                                                         INK) "}",
    ".drawing .cut .clad{stroke:none}"
    ".drawing .laying{fill-opacity:.5}",
    ".drawing .wall-line{stroke-width:.14em;" STROKE("ink", INK) "}",
    ".drawing .tip{stroke-width:.12em;" STROKE("tip", TIP) "}",
    ".drawing .head-path{stroke-width:.12em;stroke-dasharray:.7em .3em;" STROKE("axis", AXIS) "}",
    ".drawing .body,.drawing .torch,.drawing .guard{fill-opacity:.22;stroke-width:.09em;" FILL(
        "head", HEAD) ";" STROKE("head", HEAD) "}",
    ".drawing .above{fill-opacity:.05;stroke-dasharray:.35em .25em}",
    ".drawing .torch{fill-opacity:.5}",
    ".drawing .electrode{stroke-width:.22em;" STROKE("ink", INK) "}",
    ".drawing .gap{stroke-width:.12em;" STROKE("stop", STOP) "}",
    ".drawing .gap-text{" FILL("stop", STOP) "}",
    ".drawing .start{stroke-width:.09em;" STROKE("paper", PAPER) ";" FILL("start", START) "}",
    ".drawing .stop{stroke-width:.09em;" STROKE("paper", PAPER) ";" FILL("stop", STOP) "}",
    ".drawing .mark{stroke-width:.1em;" STROKE("ink", INK) "}",
    ".drawing .zone{fill-opacity:.16;stroke-width:.1em;" FILL("zone", ZONE) ";" STROKE("zone",
                                                                                       ZONE) "}",
    ".drawing .margin{fill:none;stroke-dasharray:.4em .25em}",
    ".drawing .on{fill-opacity:.05}",
    ".drawing .beads path{" STROKE("bead", BEAD) ";stroke-opacity:.42}",
    ".drawing .pale .beads path{stroke-opacity:.14}",
    ".drawing .lines path{" STROKE("ink", INK) "}",
    ".drawing .ties path{" STROKE("ink", INK) ";stroke-opacity:.55;stroke-dasharray:.1em .35em}",
    ".drawing .slopes path{stroke-dasharray:.3em .2em;" STROKE("stop", STOP) "}",
    ".drawing .bare path{" STROKE("faint", FAINT) "}",
    ".drawing .bare .downslope{stroke-dasharray:.25em .15em;" STROKE("stop", STOP) "}",
    ".drawing .bare .wire{" STROKE("stop", STOP) "}",
    ".drawing .pale .marks,.drawing .hidden{display:none}",
    ".drawing .pale .lines,.drawing .pale .ties,.drawing .pale .slopes,.drawing .pale "
    ".bare{display:none}",
    ".drawing .lap{font-size:.75em}",
    ".drawing .halo{stroke-width:.25em;stroke-linejoin:round;paint-order:stroke;" STROKE("paper",
                                                                                         PAPER) "}",
    ".drawing .bar{stroke:none;" FILL("bead", BEAD) "}",
    ".drawing .fails{" FILL("stop", STOP) "}",
    ".drawing .limit{stroke-width:.14em;stroke-dasharray:.5em .25em;" STROKE("stop", STOP) "}",
    ".drawing .span{stroke-width:.04em;" FILL("bead", BEAD) ";" STROKE("bead", BEAD) "}",
    ".drawing .arc-on{stroke:none;" FILL("clad", CLAD) "}",
    ".drawing .spread{stroke:none;fill-opacity:.25;" FILL("bead", BEAD) "}",
    ".drawing .mean{stroke-width:.16em;" STROKE("bead", BEAD) "}",
    ".drawing .floor{stroke-width:.16em;stroke-dasharray:.6em .25em;" STROKE("tip", TIP) "}",
    ".drawing .before path{" STROKE("before", ZONE) "}.drawing .after path{" STROKE("after",
                                                                                    BEAD) "}",
    /* Thickness: darker is thicker, so that it reads without colour too. */
    LEVEL("0", "#f4f1e2") LEVEL("1", "#e3e6c6") LEVEL("2", "#c7dab5"),
    LEVEL("3", "#a1cbaf") LEVEL("4", "#76b8ae") LEVEL("5", "#4fa0aa"),
    LEVEL("6", "#39839e") LEVEL("7", "#2f648c") LEVEL("8", "#2b4574") LEVEL("9", "#241f4f"),
    ".drawing .thickness{display:none}.map .thickness{display:inline}.map "
    ".thickness.hidden{display:none}"
    ".map .thickness path{shape-rendering:crispEdges}",
    ".map .beads{opacity:0}.map .pale .beads{display:none}.map .ties{display:none}.map .lines "
    "path{stroke-opacity:.4}",
    ".drawing .sector{stroke-width:.12em;stroke-dasharray:.15em .3em;" STROKE("ink", INK) "}",
};

const char *draw_style(struct arena *arena) {
  size_t length = 0;
  for (size_t i = 0; i < sizeof RULES / sizeof RULES[0]; i++)
    length += strlen(RULES[i]);
  char *style = arena_alloc(arena, length + 1, 1), *end = style;
  for (size_t i = 0; i < sizeof RULES / sizeof RULES[0]; i++)
    end = stpcpy(end, RULES[i]);
  return style;
}
