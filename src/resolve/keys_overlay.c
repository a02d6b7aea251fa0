/* Keys of an overlay: what is clad, and how it is laid. */
#include "resolve/drafts.h"
#include "resolve/keys.h"

#define O(field) OFFSET(struct overlay, field)
#define DRAFT(field) OFFSET(struct overlay_draft, field)
#define LAYER(field) OFFSET(struct layer_draft, field)

static const struct key overlay_keys[] = {
    {.name = "wall", .type = KEY_NAME, .refers = DECL_SHAPE, REQUIRED, .at = DRAFT(overlay.wall),
     .help = "the shape whose inside wall is clad"},
    {.name = "layers", .type = KEY_WHOLE, .quantity = QUANTITY_NUMBER, DEFAULT_NUMBER(1),
     .allowed = ALLOWED_LAYERS, .at = DRAFT(overlay.layer_count),
     .help = "how many layers are laid on one another"},
    {.name = "pattern", .type = KEY_WORD, .words = "spiral stepped rings", DEFAULT_WORD(spiral, 0),
     .at = DRAFT(overlay.pattern),
     .help = "one sinking spiral, level laps joined by steps, or rings each with its own start"},
    {.name = "start_angle", .type = KEY_NUMBER, .quantity = QUANTITY_ANGLE, OPTIONAL,
     .group = GROUP_START, .side = 1, .at = DRAFT(start_angle),
     .help = "where a lap starts: angle about the shape's centre, from the part's +X"},
    {.name = "start_along", .type = KEY_NUMBER, .quantity = QUANTITY_LENGTH, OPTIONAL,
     .group = GROUP_START, .side = 2, .at = DRAFT(start_along),
     .help = "where a lap starts: length along the contour, anticlockwise from its zero"},
    {.name = "start_straight", .type = KEY_WHOLE, .quantity = QUANTITY_NUMBER, OPTIONAL,
     .allowed = ALLOWED_STRAIGHT, .group = GROUP_START, .side = 3, .at = DRAFT(start_straight),
     .help = "where a lap starts: the middle of straight 1 or 2 of a racetrack"},
    {.name = "stagger", .type = KEY_LENGTH_OR_ANGLE, .quantity = QUANTITY_LENGTH,
     .need = "0 mm; stepped: step_length", .allowed = ALLOWED_NOT_NEGATIVE,
     .at = DRAFT(overlay.stagger.value), .flag = DRAFT(overlay.stagger.is_angle),
     .has = DRAFT(overlay.has_stagger),
     .help = "how far each next lap's start or step moves on; on a round also an angle"},
    {.name = "step_length", .type = KEY_LENGTH_OR_ANGLE, .quantity = QUANTITY_LENGTH,
     .need = "2 bead widths", .allowed = ALLOWED_POSITIVE,
     .at = DRAFT(overlay.step_length.value), .flag = DRAFT(overlay.step_length.is_angle),
     .has = DRAFT(overlay.has_step_length),
     .help = "stepped: contour length over which a step is made; on a round also an angle"},
    {.name = "retract", .type = KEY_NUMBER, .quantity = QUANTITY_LENGTH, DEFAULT(5, "mm"),
     .allowed = ALLOWED_POSITIVE, .at = DRAFT(overlay.retract),
     .help = "how far the tip backs off the wall for moves with the arc off"},
    {.name = "entry", .type = KEY_POINT2, .quantity = QUANTITY_LENGTH,
     .need = "the shape's centre", .at = DRAFT(overlay.entry), .has = DRAFT(overlay.has_entry),
     .help = "where the head goes down and up, in the part frame"},
    {.name = "entry_angle", .type = KEY_NUMBER, .quantity = QUANTITY_ANGLE,
     .need = "the next start's angle", .at = DRAFT(overlay.entry_angle),
     .has = DRAFT(overlay.has_entry_angle), .help = "head angle there, in the part frame"},
    {.name = "wait_layers", .type = KEY_NUMBER, .quantity = QUANTITY_TIME, DEFAULT(0, "s"),
     .allowed = ALLOWED_NOT_NEGATIVE, .at = DRAFT(overlay.wait_layers),
     .help = "least pause before each further layer"},
    {.name = "wait_laps", .type = KEY_NUMBER, .quantity = QUANTITY_TIME, DEFAULT(0, "s"),
     .allowed = ALLOWED_NOT_NEGATIVE, .at = DRAFT(overlay.wait_laps),
     .help = "least pause before each further ring"},
};
static const struct key_table overlay_table = KEY_TABLE(overlay_keys);

/* In the overlay for all layers, in `layer N` for one. */
static const struct key shared_keys[] = {
    {.name = "procedure", .type = KEY_NAME, .refers = DECL_PROCEDURE, REQUIRED,
     .at = LAYER(layer.procedure), .help = "procedure that the beads are laid with"},
    {.name = "depths", .type = KEY_RANGE, .quantity = QUANTITY_LENGTH, REQUIRED,
     .at = LAYER(layer.depths), .help = "the edges of the band"},
    {.name = "overlap", .type = KEY_NUMBER, .quantity = QUANTITY_RATIO,
     .need = "required without pitch", .allowed = ALLOWED_SHARE, .group = GROUP_STEP, .side = 1,
     .at = LAYER(layer.overlap), .has = LAYER(has_overlap),
     .help = "share of a bead's width that the next one covers, at least"},
    {.name = "pitch", .type = KEY_NUMBER, .quantity = QUANTITY_LENGTH,
     .need = "required without overlap", .allowed = ALLOWED_POSITIVE, .group = GROUP_STEP,
     .side = 2, .at = LAYER(layer.pitch), .has = LAYER(layer.has_pitch),
     .help = "largest step from one lap to the next"},
    {.name = "progress", .type = KEY_SWITCH, .words = "shallower deeper",
     DEFAULT_WORD(shallower, 0), .at = LAYER(layer.deeper),
     .help = "shallower: from the deep edge outward; deeper: the other way"},
    {.name = "direction", .type = KEY_SWITCH, .words = "anticlockwise clockwise",
     DEFAULT_WORD(anticlockwise, 0), .at = LAYER(layer.clockwise),
     .help = "direction of travel, seen from outside looking into the bore"},
};
const struct key_table layer_keys = KEY_TABLE(shared_keys);

static const struct key require_keys[] = {
    {.name = "thickness", .type = KEY_NUMBER, .quantity = QUANTITY_LENGTH, OPTIONAL,
     .allowed = ALLOWED_POSITIVE, .at = O(required_thickness), .has = O(has_required_thickness),
     .help = "least true thickness after all layers, at the valley floors"},
    {.name = "iron", .type = KEY_NUMBER, .quantity = QUANTITY_RATIO, OPTIONAL,
     .allowed = ALLOWED_RATIO, .at = O(required_iron), .has = O(has_required_iron),
     .help = "most iron in the last layer"},
};
static const struct key_table require_table = KEY_TABLE(require_keys);

static const struct block_kind layer_block = {
    .name = "layer", .word = "layer", .naming = NAMING_NUMBER,
    .help = "what one layer does differently", .parts = {{&layer_keys, 0}}};
static const struct block_kind zone_block = {
    .name = "zone", .word = "zone", .naming = NAMING_REQUIRED, .is_later = true,
    .help = "where the arc is off, or where alone it is on"};
static const struct block_kind require_block = {
    .name = "require", .word = "require", .naming = NAMING_NONE,
    .help = "what the finished overlay must hold", .parts = {{&require_table, 0}}};
static const struct block_kind *const overlay_inner[] = {&layer_block, &zone_block,
                                                         &require_block, NULL};
const struct block_kind overlay_block = {
    .name = "overlay", .word = "overlay", .naming = NAMING_REQUIRED,
    .help = "a band of wall to be clad",
    .parts = {{&overlay_table, 0}, {&layer_keys, offsetof(struct overlay_draft, every_layer)}},
    .inner = overlay_inner};
