/* Keys of the job: which overlays, in which cell, and where the part lies. */
#include "resolve/keys.h"

#define J(field)     OFFSET(struct job, field)
#define DATUM(field) OFFSET(struct datum_fit, field)

static const struct key job_keys[] = {
    {.name = "cell",
     .type = KEY_NAME,
     .refers = DECL_CELL,
     REQUIRED,
     .at = J(cell),
     .help = "the cell that welds"},
    {.name = "envelope",
     .type = KEY_NAME,
     .refers = DECL_ENVELOPE,
     REQUIRED,
     .at = J(envelope),
     .help = "where the part has metal"},
    {.name = "revision",
     .type = KEY_STRING,
     DEFAULT_EMPTY,
     .at = J(revision),
     .text = J(revision_text),
     .help = "revision of the drawing"},
    {.name = "part",
     .type = KEY_STRING,
     DEFAULT_EMPTY,
     .at = J(part),
     .text = J(part_text),
     .help = "serial number of the part"},
    {.name = "sequence",
     .type = KEY_NAMES,
     .refers = DECL_OVERLAY,
     .need = "all, in order of appearance",
     .help = "the overlays, in welding order"},
    {.name = "at",
     .type = KEY_POINT3,
     .quantity = QUANTITY_LENGTH,
     .need = "(0, 0, 0) mm",
     .at = J(at),
     .help = "where the part's datum point lies, in the cell frame"},
    {.name = "turned",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ANGLE,
     DEFAULT(0, "deg"),
     .at = J(turned),
     .help = "how the part is turned about the bore axis, in the cell frame"},
    {.name = "safe_height",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .allowed = ALLOWED_POSITIVE,
     .at = J(safe_height),
     .help = "height of the tip above the datum face for moves across"},
};
static const struct key_table job_table = KEY_TABLE(job_keys);

static const struct key datum_keys[] = {
    {.name = "fit",
     .type = KEY_NAME,
     .refers = DECL_SHAPE,
     REQUIRED,
     .at = DATUM(shape),
     .help = "the shape that is laid on the touches"},
    {.name = "touch",
     .type = KEY_POINTS,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .repeatable = true,
     .help = "where the tip touched the shape's wall, in the cell frame"},
    {.name = "z",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_LENGTH,
     REQUIRED,
     .at = DATUM(z),
     .help = "height of the datum face, in the cell frame"},
    {.name = "turned",
     .type = KEY_NUMBER,
     .quantity = QUANTITY_ANGLE,
     DEFAULT(0, "deg"),
     .at = DATUM(turned),
     .help = "round only: how the part is turned about the bore axis, in the cell frame"},
};
static const struct key_table datum_table = KEY_TABLE(datum_keys);

static const struct block_kind *const datum_inner[] = {&touch_block, NULL};
static const struct block_kind datum_block = {
    .name = "datum",
    .word = "datum",
    .naming = NAMING_NONE,
    .help = "instead of at and turned: the part lies where touches say it lies",
    .parts = {{&datum_table, 0}},
    .inner = datum_inner};
static const struct block_kind *const job_inner[] = {&datum_block, NULL};
const struct block_kind job_block = {.name = "job",
                                     .word = "job",
                                     .naming = NAMING_TITLE,
                                     .help =
                                         "what is welded, in which cell, and where the part lies",
                                     .parts = {{&job_table, 0}},
                                     .inner = job_inner};
