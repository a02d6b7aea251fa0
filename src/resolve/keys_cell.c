/* Keys of a cell: the robot, the head and what hangs on it. */
#include "resolve/drafts.h"
#include "resolve/keys.h"

#define AXIS(field)    OFFSET(struct axis_limits, field)
#define TORCH(field)   OFFSET(struct torch_draft, field)
#define CAPSULE(field) OFFSET(struct capsule, field)
#define BODY(field)    OFFSET(struct body, field)
#define SHELL(field)   OFFSET(struct working_range_draft, field)
#define BOX(field)     OFFSET(struct keep_out_draft, field)
#define CELL(field)    OFFSET(struct cell, field)

static const struct key axis_keys[] = {
    {.name = "travel",
     .type = KEY_RANGE,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = AXIS(travel),
     .help = "from where to where the axis can go"},
    {.name = "speed",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_SPEED,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(speed),
     .help = "highest speed of the axis"},
    {.name = "accel",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ACCELERATION,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(accel),
     .help = "highest acceleration of the axis"},
    {.name = "jerk",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_JERK,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(jerk),
     .help = "fastest change of the axis's acceleration"},
};
static const struct key_table axis_table = KEY_TABLE(axis_keys);

static const struct key head_keys[] = {
    {.name = "travel",
     .type = KEY_RANGE,
     .quantity = QUANTITY_ANGLE,
     .words = "endless",
     REQUIRED,
     .at = AXIS(travel),
     .flag = AXIS(endless),
     .help = "from where to where the head can turn, or endless"},
    {.name = "speed",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_TURNING_SPEED,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(speed),
     .help = "highest turning speed of the head"},
    {.name = "accel",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_TURNING_ACCELERATION,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(accel),
     .help = "highest turning acceleration of the head"},
    {.name = "jerk",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_TURNING_JERK,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = AXIS(jerk),
     .help = "fastest change of the head's turning acceleration"},
};
static const struct key_table head_table = KEY_TABLE(head_keys);

static const struct key torch_keys[] = {
    {.name = "reach",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = TORCH(reach),
     .help = "distance of the electrode tip from the head axis"},
    {.name = "drop",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = TORCH(drop),
     .help = "how far the electrode tip lies below the head's reference point"},
    {.name = "electrode_extension",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = TORCH(electrode_extension),
     .help = "bare electrode between the torch body (nozzle included) and the tip"},
    {.name = "radius",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = TORCH(radius),
     .help = "radius of the torch body, nozzle included"},
    {.name = "root",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     .need = "(0 mm, -drop)",
     .at = TORCH(root),
     .has = TORCH(has_root),
     .help = "where the torch body begins: out from the head axis, up from the reference point"},
    {.name = "wire_side",
     .type = KEY_WORD,
     .words = "left right",
     OPTIONAL,
     .at = TORCH(wire_side),
     .first_word = WIRE_SIDE_LEFT,
     .help = "side on which the wire comes in, seen from the head axis looking out"},
};
static const struct key_table torch_table = KEY_TABLE(torch_keys);

static const struct key guard_keys[] = {
    {.name = "radius",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = CAPSULE(radius),
     .help = "radius of the guarded space"},
    {.name = "from",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = CAPSULE(from),
     .help = "one end, from the reference point: out, left, up"},
    {.name = "to",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = CAPSULE(to),
     .help = "the other end, from the reference point: out, left, up"},
};
static const struct key_table guard_table = KEY_TABLE(guard_keys);

static const struct key body_keys[] = {
    {.name = "radius",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = BODY(radius),
     .help = "radius about the head axis"},
    {.name = "heights",
     .type = KEY_RANGE,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = BODY(heights),
     .help = "from where to where, from the reference point, up positive"},
};
static const struct key_table body_table = KEY_TABLE(body_keys);

static const struct key shell_keys[] = {
    {.name = "from",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = SHELL(from),
     .help = "centre of the shell, in the cell frame"},
    {.name = "radius",
     .type = KEY_RANGE,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_NOT_NEGATIVE,
     .at = SHELL(radius),
     .help = "least and largest distance of the reference point from there"},
};
static const struct key_table shell_table = KEY_TABLE(shell_keys);

static const struct key keep_out_keys[] = {
    {.name = "from",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = BOX(from),
     .help = "one corner of the box, in the cell frame"},
    {.name = "to",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = BOX(to),
     .help = "the opposite corner, in the cell frame"},
};
static const struct key_table keep_out_table = KEY_TABLE(keep_out_keys);

static const struct key cell_keys[] = {
    {.name = "tick",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_TIME,
     REQUIRED,
     .allowed = ALLOWED_TICK,
     .at = CELL(tick),
     .help = "time between two rows of setpoints"},
    {.name = "park",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = CELL(park),
     .help = "where the reference point stands at the start and at the end, in the cell frame"},
    {.name = "park_head",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ANGLE,
     DEFAULT(0, "deg"),
     .at = CELL(park_head),
     .help = "head angle at the start and at the end"},
    {.name = "clearance",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     DEFAULT(2, "mm"),
     .allowed = ALLOWED_NOT_NEGATIVE,
     .at = CELL(clearance),
     .help = "least distance between the bodies of the head and metal"},
    {.name = "torch_clearance",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     DEFAULT(1, "mm"),
     .allowed = ALLOWED_NOT_NEGATIVE,
     .at = CELL(torch_clearance),
     .help = "least distance between torch body or guards and metal"},
    {.name = "correction",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     DEFAULT(1, "mm"),
     .allowed = ALLOWED_NOT_NEGATIVE,
     .at = CELL(correction),
     .help = "farthest that touch or voltage control may shift the head along the torch"},
};
static const struct key_table cell_table = KEY_TABLE(cell_keys);

static const struct block_kind axis_block = {.name = "axis",
                                             .word = "axis",
                                             .naming = NAMING_FIXED,
                                             .names = "x y z",
                                             .is_required = true,
                                             .help = "travel and limits of a linear axis",
                                             .parts = {{&axis_table, 0}}};
static const struct block_kind head_block = {.name = "axis head",
                                             .word = "axis",
                                             .naming = NAMING_FIXED,
                                             .names = "head",
                                             .is_required = true,
                                             .help = "travel and limits of the turning head",
                                             .parts = {{&head_table, 0}}};
static const struct block_kind guard_block = {
    .name = "guard",
    .word = "guard",
    .naming = NAMING_OPTIONAL,
    .is_repeatable = true,
    .help = "a space that turns with the head: wire guide, camera, hose",
    .parts = {{&guard_table, 0}}};
static const struct block_kind *const torch_inner[] = {&guard_block, NULL};
static const struct block_kind torch_block = {
    .name = "torch",
    .word = "torch",
    .naming = NAMING_NONE,
    .is_required = true,
    .help = "where the tip stands and how far the torch body reaches",
    .parts = {{&torch_table, 0}},
    .inner = torch_inner};
static const struct block_kind body_block = {
    .name = "body",
    .word = "body",
    .naming = NAMING_OPTIONAL,
    .is_required = true,
    .is_repeatable = true,
    .help = "a cylinder about the head axis that metal must not touch",
    .parts = {{&body_table, 0}}};
static const struct block_kind shell_block = {
    .name = "working_range",
    .word = "working_range",
    .naming = NAMING_NONE,
    .help = "the shell that the reference point must stay inside",
    .parts = {{&shell_table, 0}}};

static const struct block_kind keep_out_block = {
    .name = "keep_out",
    .word = "keep_out",
    .naming = NAMING_REQUIRED,
    .is_repeatable = true,
    .help = "a box that the reference point must stay out of: fence, fixture, column",
    .parts = {{&keep_out_table, 0}}};

static const struct block_kind *const cell_inner[] = {
    &axis_block, &head_block, &torch_block, &body_block, &shell_block, &keep_out_block, NULL};
const struct block_kind cell_block = {.name = "cell",
                                      .word = "cell",
                                      .naming = NAMING_REQUIRED,
                                      .help = "the robot, its head and the torch",
                                      .parts = {{&cell_table, 0}},
                                      .inner = cell_inner};
