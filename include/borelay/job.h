/* job.h - the resolved job: what src/resolve makes and every later stage reads.
 *
 * Read-only once made.  Units inside: mm, s, rad, A, V, and for the rest as each
 * comment says.  Part frame: origin on the datum face at the datum point, Z out of
 * the part; a depth d means z = -d.  Cell frame: the robot's.  Angles are
 * anticlockwise seen from outside the part. */
#ifndef BORELAY_JOB_H
#define BORELAY_JOB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/source.h"
#include "borelay/vec.h"

struct range {
  double lo, hi; /* lo <= hi */
};

/* Where the keys of a block were given, for messages of later stages. */
struct key_place {
  const char *key; /* as in the table of keys */
  span key_at;
  span value_at;
};
struct origin {
  span head; /* the block's head, `overlay seal_wall` */
  const struct key_place *places;
  size_t place_count;
};
/* Value's span of a key; the block's head where the key was left to its default. */
span origin_of_key(const struct origin *origin, const char *key);

/* -- cell ----------------------------------------------------------------- */

enum axis { AXIS_X, AXIS_Y, AXIS_Z, AXIS_HEAD, AXIS_COUNT };

struct axis_limits { /* mm and mm/s.., for the head rad and rad/s.. */
  bool endless;      /* head only */
  struct range travel;
  double speed, accel, jerk; /* > 0 */
  struct origin origin;
};

/* A capsule that turns with the head.  Coordinates (out, left, up) from H: out along the
 * torch, left seen from the axis looking out, up along the axis. */
struct capsule {
  const char *name; /* "" when left out; "torch" for the torch body */
  vec3 from, to;
  double radius;
  struct origin origin;
};

/* A cylinder about the head axis; heights from H, up positive. */
struct body {
  const char *name; /* "" when left out */
  double radius;
  struct range heights;
  struct origin origin;
};

/* A box in the cell frame that H must stay out of; lo < hi on every axis. */
struct keep_out {
  const char *name;
  vec3 lo, hi;
  struct origin origin;
};

enum wire_side { WIRE_SIDE_NONE, WIRE_SIDE_LEFT, WIRE_SIDE_RIGHT };

struct cell {
  const char *name; /* as the job reaches it */
  double tick;      /* s; a whole number of microseconds */
  int64_t tick_us;
  vec3 park;        /* H */
  double park_head; /* rad */
  struct axis_limits axis[AXIS_COUNT];
  double reach, drop; /* tip = (x + reach cos head, y + reach sin head, z - drop) */
  double electrode_extension;
  /* Torch body: capsule from the root toward the tip whose round end stops
   * electrode_extension short of the tip; `to` is the centre of that end. */
  struct capsule torch;
  vec3 electrode_from, electrode_to; /* out, left, up: from the body's end to the tip */
  enum wire_side wire_side;
  struct capsule *guards;
  size_t guard_count;
  struct body *bodies;
  size_t body_count;
  bool has_working_range;
  vec3 range_from; /* cell frame */
  struct range range_radius;
  struct keep_out *keep_outs;
  size_t keep_out_count;
  double clearance, torch_clearance, correction;
  struct origin origin;
};

/* -- procedure ------------------------------------------------------------ */

enum process { PROCESS_GTAW, PROCESS_GMAW, PROCESS_PAW, PROCESS_SAW, PROCESS_FCAW };
enum wire_position { WIRE_NONE, WIRE_LEADING, WIRE_TRAILING };

enum limit_kind { /* arc_energy, heat_input in kJ/mm */
                  LIMIT_CURRENT,
                  LIMIT_VOLTAGE,
                  LIMIT_TRAVEL_SPEED,
                  LIMIT_WIRE_FEED_SPEED,
                  LIMIT_WIRE_CURRENT,
                  LIMIT_ARC_LENGTH,
                  LIMIT_ARC_ENERGY,
                  LIMIT_HEAT_INPUT,
                  LIMIT_COUNT
};

/* Sway of the tip across the lap, that is along the bore's depth, about its centre line. */
struct oscillation {
  double width;     /* peak to peak, mm; 0: the tip does not sway */
  double frequency; /* whole sways per s, > 0 */
  double dwell;     /* s at each end, less than half a sway */
  struct origin origin;
};

struct procedure {
  const char *name; /* as the job reaches it: "hw.first" */
  enum process process;
  double current, voltage, travel_speed;
  double wire_diameter, wire_feed_speed;
  double wire_density;           /* g/mm3 */
  double bead_width, arc_length; /* bead_width: of the bead without sway */
  struct oscillation oscillation;
  double preflow, postflow, upslope, downslope;
  double start_current, final_current;
  double travel_start_delay, wire_start_delay;
  double wire_retract;
  bool downslope_travel;
  bool tie_in_is_angle; /* then tie_in is rad, for a round wall only; else mm of contour */
  double tie_in;
  double gas_flow; /* L/min */
  double wire_current, wire_voltage;
  bool arc_voltage_control;
  double voltage_control_delay;
  double touch_time;
  enum wire_position wire;
  double angle_tolerance; /* rad */
  bool has_dilution, has_iron_wire, has_iron_base;
  double dilution, iron_wire, iron_base; /* ratios */
  bool has_preheat, has_interpass;
  double preheat, interpass; /* degC */
  const char *wps, *filler;  /* as written between the quotes, escapes kept, for the header */
  bool has_limit[LIMIT_COUNT];
  struct range limit[LIMIT_COUNT]; /* lo = -INFINITY where only an upper limit is given */
  struct origin limit_origin;
  struct origin origin;
};

/* -- shapes --------------------------------------------------------------- */

enum shape_kind { SHAPE_ROUND, SHAPE_RACETRACK, SHAPE_RECTANGLE, SHAPE_OUTLINE };

struct touch {
  bool has_head; /* false: at is the tip; true: at is H, head its angle */
  vec2 at;       /* cell frame */
  double head;   /* rad */
  span place;
};

/* A part of an outline; see language.md.  Points in the part frame. */
struct outline_part {
  bool is_bend;
  vec2 to;
  double radius;
  bool centre_left;
  span place;
};

struct shape {
  const char *name; /* as the job reaches it */
  enum shape_kind kind;
  bool has_dimensions;
  double diameter;      /* round */
  double length, width; /* racetrack: over all; rectangle */
  double corner;        /* rectangle */
  bool has_centre;
  vec2 centre;   /* part frame */
  double turned; /* rad, part frame */
  struct touch *touches;
  size_t touch_count;
  double fit_tolerance;
  vec2 outline_from;
  struct outline_part *parts;
  size_t part_count;
  struct origin origin;
};

/* -- envelope ------------------------------------------------------------- */

struct volume {
  bool is_free; /* else solid */
  const struct shape *shape;
  struct range depths;
  struct origin origin;
};

struct envelope {
  const char *name;
  struct volume *volumes;
  size_t volume_count;
  struct origin origin;
};

/* -- overlay -------------------------------------------------------------- */

enum pattern { PATTERN_SPIRAL, PATTERN_STEPPED, PATTERN_RINGS };

/* A contour length as written: mm along the shape, or on a round an angle. */
struct along {
  bool is_angle;
  double value; /* mm or rad */
};

/* One layer with its overrides applied. */
struct layer {
  const struct procedure *procedure;
  bool has_pitch;    /* else overlap */
  bool overlap_auto; /* the overlap is chosen by the plan */
  double overlap, pitch;
  struct range depths;
  bool deeper;          /* progress: deeper; else shallower */
  bool clockwise;       /* direction */
  struct origin origin; /* of `layer N { }`, or the overlay's */
};

/* Where the arc is off, or where alone it is on (language.md, overlay).  A place of the wall lies
 * in it where every region that was given holds. */
struct zone {
  const char *name;
  bool is_on; /* `arc on`; else off */
  bool has_angles, has_along, has_depths, has_cross_bore;
  struct range angles; /* rad, about the shape's centre from the part's +X; at most one turn */
  struct range along;  /* mm of contour, any whole number of turns off */
  struct range depths;
  double bore_diameter, bore_depth;
  double bore_toward; /* rad, part frame: of the ray that is the cross bore's axis */
  double margin;      /* mm >= 0: widens an off zone, narrows an on zone, on every side */
  struct origin origin;
};

/* A part of the lap that is welded with values of its own (language.md, overlay).  What it does not
 * give is the procedure's. */
struct sector {
  const char *name;
  bool has_angles;     /* else along */
  struct range angles; /* rad, about the shape's centre from the part's +X; at most one turn */
  struct range along;  /* mm of contour, any whole number of turns off; one turn at most */
  bool has_current, has_voltage, has_travel_speed, has_wire_feed_speed;
  double current, voltage, travel_speed, wire_feed_speed;
  bool has_ramp; /* else 2 bead widths of the layer's procedure */
  struct along ramp;
  struct origin origin;
};

enum start_kind { START_DEFAULT, START_ANGLE, START_ALONG, START_STRAIGHT };

/* Most layers that the plan chooses by itself. */
enum { LAYERS_AUTO_MOST = 20 };

struct overlay {
  const char *name;
  const struct shape *wall;
  enum pattern pattern;
  /* layer_room of them, of which the first layer_count are laid.  With layers_auto at most these:
   * the plan chooses. */
  struct layer *layers;
  size_t layer_count, layer_room;
  bool layers_auto;
  bool over_valleys; /* even layers have their beads over the valleys of the layer below */
  enum start_kind start;
  double start_value; /* rad, mm, or 1 / 2 */
  struct along stagger;
  bool has_stagger;     /* else the default of the pattern */
  bool has_step_length; /* else 2 bead widths of the layer's procedure */
  struct along step_length;
  double retract;
  bool has_entry;
  vec2 entry; /* part frame */
  bool has_entry_angle;
  double entry_angle;            /* rad, part frame */
  double wait_layers, wait_laps; /* s */
  bool has_wall_thickness;
  double wall_thickness; /* mm, > 0: of the part's wall behind the clad */
  struct zone *zones;
  size_t zone_count;
  struct sector *sectors;
  size_t sector_count;
  bool has_required_thickness, has_required_finish, has_required_flatness, has_required_iron;
  double required_thickness, required_flatness, required_iron;
  double required_finish; /* mm by which the finished wall lies inside the nominal one */
  struct origin require_origin;
  struct origin origin;
  uint32_t line; /* of the overlay's head in its file */
};

/* -- job ------------------------------------------------------------------ */

struct datum_fit {
  const struct shape *shape;
  struct touch *touches;
  size_t touch_count;
  double z;      /* cell height of the datum face */
  double turned; /* rad; round only */
  struct origin origin;
};

struct job_file { /* job file first, then depth first in the order of the `use` lines */
  uint32_t file;  /* in the source set */
  const char *base_name;
};

struct job {
  const char *title, *part, *revision; /* as written between the quotes, escapes kept */
  const char *title_text, *part_text,
      *revision_text; /* with escapes resolved, for people and JSON */
  const struct cell *cell;
  const struct envelope *envelope;
  struct overlay **sequence; /* overlays in welding order */
  size_t overlay_count;
  vec3 at;       /* datum in the cell frame (where no datum fit is given) */
  double turned; /* rad */
  bool has_datum_fit;
  struct datum_fit datum;
  double safe_height;
  struct job_file *files;
  size_t file_count;
  const char **settings; /* each --set text as given */
  size_t setting_count;
  struct origin origin;
};

#endif
