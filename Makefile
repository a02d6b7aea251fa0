# borelay: see DEVELOPERS.md.  `make help` lists the targets.
BUILD ?= build
CC ?= gcc
CFLAGS ?= -O2 -g
PREFIX ?= /usr/local
LDFLAGS ?=

WARN = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
       -Wcast-qual -Wwrite-strings -Wformat=2 -Wundef -Wvla -Wswitch-enum -Wdouble-promotion -Werror
# Same source, same bytes: no contraction, no relaxed arithmetic.
FIXED = -std=c17 -D_GNU_SOURCE -ffp-contract=off -Iinclude -Isrc -I$(BUILD)/gen $(WARN) -MMD -MP
LIBS = -ljansson -lnettle -lisal -lm
TESTLIBS = -lcmocka

# The rooms in the order in which the data flows.  NEEDS_x: the rooms whose headers x may include.
ROOMS = base lex parse resolve num shape deposit plan path metal motion clear check emit
NEEDS_base =
NEEDS_lex = base
NEEDS_parse = base lex
NEEDS_resolve = base parse num
NEEDS_num =
NEEDS_shape = base num resolve
NEEDS_deposit = resolve
NEEDS_plan = base num resolve shape deposit
NEEDS_path = num resolve
NEEDS_metal = base num resolve shape plan
NEEDS_clear = base num resolve shape plan path metal
NEEDS_motion = base num resolve shape deposit plan path metal clear
NEEDS_check = base num resolve shape deposit plan path metal motion clear
NEEDS_emit = base num resolve shape deposit plan path motion check

room_objects = $(patsubst src/%.c,$(BUILD)/obj/%.o,$(wildcard src/$(1)/*.c))
# Everything that a room needs, itself last; order does not matter to the linker group below.
closure = $(sort $(1) $(foreach n,$(NEEDS_$(1)),$(call closure,$(n))))

LEXER = $(BUILD)/gen/job_lex.c
PARSER = $(BUILD)/gen/job_parse.c
GENERATED_lex = $(patsubst %.c,%.o,$(LEXER))
GENERATED_parse = $(patsubst %.c,%.o,$(PARSER))

all: $(BUILD)/borelay

$(BUILD)/borelay: $(BUILD)/obj/main.o $(BUILD)/obj/pipeline.o $(foreach r,$(ROOMS),$(BUILD)/lib/$(r).a)
	$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $(filter %.o,$^) -Wl,--start-group $(filter %.a,$^) -Wl,--end-group $(LIBS)

define room_rule
$(BUILD)/lib/$(1).a: $(call room_objects,$(1)) $(GENERATED_$(1))
	@mkdir -p $$(@D)
	@rm -f $$@
	ar rcs $$@ $$^
endef
$(foreach r,$(ROOMS),$(eval $(call room_rule,$(r))))

$(BUILD)/obj/%.o: src/%.c
	@mkdir -p $(@D)
	$(CC) $(FIXED) $(CFLAGS) -c -o $@ $<
$(BUILD)/gen/%.o: $(BUILD)/gen/%.c
	$(CC) $(FIXED) $(CFLAGS) -c -o $@ $<
$(LEXER): grammar/job.re
	@mkdir -p $(@D)
	re2c -W -Werror --no-debug-info -o $@ $<
$(PARSER): grammar/job.y
	@mkdir -p $(@D)
	bison -Wall -Wcounterexamples -Werror --no-lines --header=$(BUILD)/gen/job_parse.h -o $@ $<
$(call room_objects,lex) $(call room_objects,parse) $(GENERATED_lex): $(PARSER)

# Tests: tests/<room>/test_*.c, a program each, linked with the room and what it needs.
# A room's tests may ask for further libraries (references from outside): TESTLIBS_<room>.
TESTLIBS_num = -lmpfr -lgmp
TESTLIBS_shape = -lgsl -lgslcblas -lgeos_c
TESTLIBS_metal = -lgeos_c
TESTLIBS_path = -lgsl -lgslcblas
TEST_ROOMS = $(ROOMS)
define test_rule
TESTS_$(1) = $$(patsubst tests/%.c,$(BUILD)/tests/%,$$(wildcard tests/$(1)/test_*.c))
$(BUILD)/tests/$(1)/%: tests/$(1)/%.c $(foreach r,$(call closure,$(1)),$(BUILD)/lib/$(r).a)
	@mkdir -p $$(@D)
	$$(CC) $$(FIXED) -Itests $$(CFLAGS) $$(LDFLAGS) -o $$@ $$< -Wl,--start-group $$(filter %.a,$$^) -Wl,--end-group $$(TESTLIBS) $$(TESTLIBS_$(1)) $$(LIBS)
test-$(1): $$(TESTS_$(1))
	@set -e; for t in $$^; do $$$$t; done
.PHONY: test-$(1)
endef
$(foreach r,$(TEST_ROOMS),$(eval $(call test_rule,$(r))))

test: $(BUILD)/borelay $(foreach r,$(TEST_ROOMS),test-$(r))

clean:
	rm -rf $(BUILD)

.PHONY: all test clean
-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
