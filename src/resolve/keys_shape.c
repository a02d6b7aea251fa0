/* Keys of shapes and of the envelope made of them. */
#include "resolve/keys.h"

#define S(field)      OFFSET(struct shape, field)
#define TOUCH(field)  OFFSET(struct touch, field)
#define BEND(field)   OFFSET(struct outline_part, field)
#define VOLUME(field) OFFSET(struct volume, field)

enum { SIDE_DIMENSIONS = 1, SIDE_TOUCHES = 2 };

static const struct key diameter_keys[] = {
    {.name = "diameter",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     .need = "required without touches",
     .allowed = ALLOWED_POSITIVE,
     .at = S(diameter),
     .group = GROUP_SIZE,
     .side = SIDE_DIMENSIONS,
     .help = "diameter of the bore"},
};
static const struct key_table diameter_table = KEY_TABLE(diameter_keys);

static const struct key track_keys[] = {
    {.name = "length",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     .need = "required without touches",
     .allowed = ALLOWED_POSITIVE,
     .at = S(length),
     .group = GROUP_SIZE,
     .side = SIDE_DIMENSIONS,
     .help = "length over all, half circles included"},
    {.name = "width",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     .need = "required without touches",
     .allowed = ALLOWED_POSITIVE,
     .at = S(width),
     .group = GROUP_SIZE,
     .side = SIDE_DIMENSIONS,
     .help = "width, from straight to straight"},
};
static const struct key_table track_table = KEY_TABLE(track_keys);

static const struct key rectangle_keys[] = {
    {.name = "length",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = S(length),
     .help = "length over all, along X before turning"},
    {.name = "width",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = S(width),
     .help = "width over all"},
    {.name = "corner",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = S(corner),
     .help = "radius of the corners"},
};
static const struct key_table rectangle_table = KEY_TABLE(rectangle_keys);

static const struct key centre_keys[] = {
    {.name = "centre",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     .need = "(0, 0) mm",
     .at = S(centre),
     .has = S(has_centre),
     .help = "centre of the shape, in the part frame"},
};
static const struct key_table centre_table = KEY_TABLE(centre_keys);

static const struct key placed_keys[] = {
    {.name = "centre",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     .need = "(0, 0) mm",
     .at = S(centre),
     .has = S(has_centre),
     .help = "centre of the shape, in the part frame"},
    {.name = "turned",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ANGLE,
     DEFAULT(0, "deg"),
     .at = S(turned),
     .help = "turn of the shape about its centre; 0: length along X"},
};
static const struct key_table placed_table = KEY_TABLE(placed_keys);

static const struct key shape_fit_keys[] = {
    {.name = "touch",
     .type = KEY_POINTS,
     .quantity = QUANTITY_LENGTH,
     OPTIONAL,
     .repeatable = true,
     .group = GROUP_SIZE,
     .side = SIDE_TOUCHES,
     .help = "where the tip touched the wall, in the cell frame"},
    {.name = "fit_tolerance",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     DEFAULT(0.5, "mm"),
     .allowed = ALLOWED_POSITIVE,
     .at = S(fit_tolerance),
     .help = "largest residual of the touches, and largest difference from the dimensions"},
};
const struct key_table fit_keys = KEY_TABLE(shape_fit_keys);

static const struct key touch_keys[] = {
    {.name = "at",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = TOUCH(at),
     .help = "the head's reference point at contact, in the cell frame"},
    {.name = "head",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ANGLE,
     REQUIRED,
     .at = TOUCH(head),
     .help = "head angle at contact"},
};
static const struct key_table touch_table = KEY_TABLE(touch_keys);
const struct block_kind touch_block = {.name = "touch",
                                       .word = "touch",
                                       .naming = NAMING_NONE,
                                       .is_repeatable = true,
                                       .help = "a touch as reference point and head angle",
                                       .parts = {{&touch_table, 0}}};

static const struct block_kind *const taught_inner[] = {&touch_block, NULL};
const struct block_kind round_block = {
    .name = "shape round",
    .word = "shape",
    .variant = "round",
    .naming = NAMING_REQUIRED,
    .help = "a round bore",
    .parts = {{&diameter_table, 0}, {&centre_table, 0}, {&fit_keys, 0}},
    .inner = taught_inner};
const struct block_kind racetrack_block = {
    .name = "shape racetrack",
    .word = "shape",
    .variant = "racetrack",
    .naming = NAMING_REQUIRED,
    .help = "two straights joined by half circles",
    .parts = {{&track_table, 0}, {&placed_table, 0}, {&fit_keys, 0}},
    .inner = taught_inner};
const struct block_kind rectangle_block = {.name = "shape rectangle",
                                           .word = "shape",
                                           .variant = "rectangle",
                                           .naming = NAMING_REQUIRED,
                                           .help = "a rectangle with rounded corners",
                                           .parts = {{&rectangle_table, 0}, {&placed_table, 0}}};

/* -- outline -------------------------------------------------------------- */

static const struct key outline_keys[] = {
    {.name = "from",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = S(outline_from),
     .group = GROUP_OUTLINE,
     .side = SIDE_WHOLE,
     .help = "where the outline starts and closes, in the part frame"},
    {.name = "line",
     .type = KEY_POINTS,
     .quantity = QUANTITY_LENGTH,
     OPTIONAL,
     .repeatable = true,
     .group = GROUP_OUTLINE,
     .side = SIDE_WHOLE,
     .help = "straight on to a point"},
    {.name = "centre",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     .need = "the area's centroid",
     .at = S(centre),
     .has = S(has_centre),
     .help = "centre of the shape, in the part frame"},
};
static const struct key_table outline_table = KEY_TABLE(outline_keys);

static const struct key bend_keys[] = {
    {.name = "to",
     .type = KEY_POINT2,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = BEND(to),
     .help = "where the bend ends"},
    {.name = "radius",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = BEND(radius),
     .help = "radius of the bend"},
    {.name = "side",
     .type = KEY_SWITCH,
     .words = "right left",
     REQUIRED,
     .at = BEND(centre_left),
     .help = "on which side its centre lies, seen along the outline as it is drawn"},
};
static const struct key_table bend_table = KEY_TABLE(bend_keys);
static const struct block_kind bend_block = {.name = "bend",
                                             .word = "bend",
                                             .naming = NAMING_NONE,
                                             .is_repeatable = true,
                                             .group = GROUP_OUTLINE,
                                             .side = SIDE_WHOLE,
                                             .help = "a bend of less than half a turn to a point",
                                             .parts = {{&bend_table, 0}}};
static const struct block_kind *const outline_inner[] = {&bend_block, NULL};
const struct block_kind outline_block = {.name = "shape outline",
                                         .word = "shape",
                                         .variant = "outline",
                                         .naming = NAMING_REQUIRED,
                                         .help = "a free outline of lines and bends",
                                         .parts = {{&outline_table, 0}},
                                         .inner = outline_inner};

static const struct key volume_keys[] = {
    {.name = "depths",
     .type = KEY_RANGE,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = VOLUME(depths),
     .help = "from which depth to which the shape's inside counts"},
};
static const struct key_table volume_table = KEY_TABLE(volume_keys);
static const struct block_kind free_block = {
    .name = "free",
    .word = "free",
    .naming = NAMING_SHAPE,
    .is_repeatable = true,
    .help = "space without metal: the inside of a shape between two depths",
    .parts = {{&volume_table, 0}}};
static const struct block_kind solid_block = {.name = "solid",
                                              .word = "solid",
                                              .naming = NAMING_SHAPE,
                                              .is_repeatable = true,
                                              .help =
                                                  "metal: the inside of a shape between two depths",
                                              .parts = {{&volume_table, 0}}};
static const struct block_kind *const envelope_inner[] = {&free_block, &solid_block, NULL};
const struct block_kind envelope_block = {.name = "envelope",
                                          .word = "envelope",
                                          .naming = NAMING_REQUIRED,
                                          .help = "where there is metal and where there is none",
                                          .inner = envelope_inner};
