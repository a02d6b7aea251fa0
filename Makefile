# borelay: see DEVELOPERS.md.  `make help` lists the targets.
BUILD ?= build
CC := $(if $(filter default,$(origin CC)),gcc,$(CC))
CFLAGS ?= -O3 -g
LDFLAGS ?=
PREFIX ?= /usr/local
DESTDIR ?=

# Everything that a fresh Debian 12 with gcc, make and git lacks.  The only list of packages.
PACKAGES = libc6-dev re2c bison libjansson-dev nettle-dev libisal-dev libjs-three libjs-chart.js \
           libcmocka-dev libgsl-dev libgeos-dev libmpfr-dev libgmp-dev libxml2-dev \
           clang clang-format clang-tidy cppcheck ninja-build \
           chromium chromium-driver python3-selenium python3-numpy

# `setup` beside other goals: it goes first and alone, and the others get a make of their own, which
# then finds what was installed (also under -j).
AFTER_SETUP := $(if $(filter setup,$(MAKECMDGOALS)),$(filter-out setup,$(MAKECMDGOALS)))
ifneq ($(AFTER_SETUP),)
.PHONY: setup $(AFTER_SETUP)
$(firstword $(AFTER_SETUP)): setup
	@$(MAKE) --no-print-directory $(AFTER_SETUP)
$(wordlist 2,$(words $(AFTER_SETUP)),$(AFTER_SETUP)): $(firstword $(AFTER_SETUP))
	@:
else

WARN = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
       -Wcast-qual -Wwrite-strings -Wformat=2 -Wundef -Wvla -Wswitch-enum -Wdouble-promotion -Werror
# clang takes INFINITY, a float constant, for a promotion; gcc looks for the real ones.
WARN_CLANG = -Wno-double-promotion
WARN_OWN = $(if $(findstring clang,$(CC)),$(WARN_CLANG))
# Same source, same bytes: no contraction, no relaxed arithmetic.
FIXED = -std=c17 -D_GNU_SOURCE -ffp-contract=off -Iinclude -Isrc -I$(BUILD)/gen $(WARN) $(WARN_OWN)
DEPENDENCIES = -MMD -MP
FLAGS = $(BUILD)/flags
# From archives: loading them would take longer than the checks of a small job.
LIBS = -l:libjansson.a -l:libnettle.a -lm
TESTLIBS = -lcmocka

# The rooms in the order in which the data flows.  NEEDS_x: the rooms whose headers x may include;
# `make arrows` holds them to it.
ROOMS = base lex parse tidy resolve num digest shape deposit plan path metal motion clear buildup check reader sarif emit explain draw rows convert \
        locate play verify compare report grid editor
NEEDS_base =
NEEDS_lex = base
NEEDS_parse = base lex
NEEDS_tidy = base lex parse
NEEDS_resolve = base parse num
NEEDS_num =
NEEDS_digest = base num resolve
NEEDS_shape = base num resolve
NEEDS_deposit = num resolve
NEEDS_plan = base num resolve shape deposit
NEEDS_path = num resolve
NEEDS_metal = base num resolve shape plan
NEEDS_clear = base num resolve shape plan path metal
NEEDS_motion = base num resolve shape deposit plan path metal clear
NEEDS_buildup = base num resolve shape deposit plan path motion
NEEDS_check = base num resolve shape deposit plan path metal motion clear
NEEDS_reader =
NEEDS_sarif = base
NEEDS_emit = base num resolve digest shape deposit plan path motion buildup check reader
NEEDS_explain = base resolve emit
NEEDS_draw = base num resolve digest shape deposit plan path metal motion clear buildup check reader emit
NEEDS_rows = reader
NEEDS_convert = reader emit rows
NEEDS_play = reader emit rows
NEEDS_verify = base num resolve digest reader sarif rows
NEEDS_locate = base num resolve digest shape reader rows
NEEDS_compare = base num resolve digest shape deposit plan path motion check reader sarif emit rows draw
NEEDS_report = base num resolve shape deposit plan path motion buildup check reader emit draw
NEEDS_editor = base lex parse tidy resolve emit explain
NEEDS_grid = base num resolve shape deposit plan path motion buildup check reader emit
# Headers in include/borelay/ that do not bear their room's name.  vec.h is open to all.
HEADERS_base = arena crew source diag diag_codes json stretches suggest utf8 wrap
HEADERS_lex = token
HEADERS_parse = syntax
HEADERS_resolve = job declared
HEADERS_shape = contour
HEADERS_num = digits lanes processor
HEADERS_digest = crc32c sha256
HEADERS_path = steady swings
HEADERS_emit = tick

room_objects = $(patsubst src/%.c,$(BUILD)/obj/%.o,$(wildcard src/$(1)/*.c))
# Everything that a room needs, itself too; order does not matter to the linker group below.
closure = $(sort $(1) $(foreach n,$(NEEDS_$(1)),$(call closure,$(n))))

LEXER = $(BUILD)/gen/job_lex.c
PARSER = $(BUILD)/gen/job_parse.c
GENERATED_lex = $(patsubst %.c,%.o,$(LEXER))
GENERATED_parse = $(patsubst %.c,%.o,$(PARSER))

# The page for reviewers, and the libraries of the system that it carries, as bytes.
PAGE = $(BUILD)/gen/report_assets.c
PAGE_PARTS = $(wildcard src/report/*.html src/report/*.css src/report/*.js)
PAGE_LIBRARIES = /usr/share/javascript/three/three.min.js /usr/share/javascript/chart.js/chart.min.js
GENERATED_report = $(patsubst %.c,%.o,$(PAGE))

COMMANDS = $(patsubst src/%.c,$(BUILD)/obj/%.o,$(wildcard src/command/*.c))

# STATIC=1: the same objects linked into a program that loads no libraries, which starts faster;
# in a folder of its own beside the other.
PROGRAM = $(BUILD)/$(if $(STATIC),static/)borelay
all: $(PROGRAM) $(BUILD)/libborelay-reader.a

# The linker writes a file in pieces, and the system keeps it in memory in pieces of that size: small
# ones, each with its own work when a program starts.  A copy is written in large ones.
WRITE_AT_ONCE = cp $@.linked $@.copy && mv $@.copy $@ && rm $@.linked

# nettle has a function that asks the processor when the program starts; without it nettle asks when
# it is first used, which a check never does.
QUIET_NETTLE = $(BUILD)/lib/quiet/libnettle.a
$(QUIET_NETTLE): $(FLAGS)
	@mkdir -p $(@D)
	objcopy --remove-section=.init_array --remove-section=.rela.init_array "$$($(CC) -print-file-name=libnettle.a)" $@

# The rooms that every job goes through lie together, so that a small one touches fewer pages of code.
EVERY_WAY = $(patsubst %,$(BUILD)/lib/%.a,$(filter $(call closure,check),$(ROOMS)))

$(BUILD)/static/borelay: LINK_STATIC = -static
$(BUILD)/borelay $(BUILD)/static/borelay: $(BUILD)/obj/main.o $(BUILD)/obj/pipeline.o $(COMMANDS) $(foreach r,$(ROOMS),$(BUILD)/lib/$(r).a) $(QUIET_NETTLE)
	@mkdir -p $(@D)
	$(CC) $(CFLAGS) $(LDFLAGS) $(LINK_STATIC) -o $@.linked $(filter %.o,$^) -Wl,--whole-archive $(EVERY_WAY) -Wl,--no-whole-archive \
	  -Wl,--start-group $(filter-out $(EVERY_WAY),$(filter %.a,$^)) -Wl,--end-group $(LIBS)
	$(WRITE_AT_ONCE)

define room_rule
$(BUILD)/lib/$(1).a: $(call room_objects,$(1)) $(GENERATED_$(1))
	@mkdir -p $$(@D)
	@rm -f $$@
	ar rcs $$@ $$^
endef
$(foreach r,$(ROOMS),$(eval $(call room_rule,$(r))))

# The reader library as controllers get it: C99, freestanding, for size.  In the program itself the
# same sources trade a little size for speed.
READER_FLAGS = -std=c99 -ffreestanding -Os -fno-asynchronous-unwind-tables -Iinclude $(WARN) $(WARN_OWN)
READER_SOURCES = $(wildcard src/reader/*.c)
READER_SIZE_MOST = 8192
$(BUILD)/libborelay-reader.a: $(READER_SOURCES:src/%.c=$(BUILD)/small/%.o)
	@rm -f $@
	ar rcs $@ $^
$(BUILD)/small/%.o: src/%.c $(FLAGS)
	@mkdir -p $(@D)
	$(CC) $(READER_FLAGS) $(DEPENDENCIES) -c -o $@ $<
$(call room_objects,reader): FIXED += -DBORELAY_READER_FAST
# The judge's loops over rows: nobody asks for errno or the floating-point exceptions afterwards, and
# no bit of a result depends on them.
$(call room_objects,verify): FIXED += -fno-math-errno -fno-trapping-math
# Also for targets of 32 bits, of which only the compiler is needed.
READER_TARGETS = gcc,-m32 clang,--target=armv7m-none-eabi,-mthumb
reader-size: $(BUILD)/libborelay-reader.a
	@sh tests/reader_size.sh $(READER_SIZE_MOST) $<
	@set -e; for target in $(READER_TARGETS); do \
	  folder=$(BUILD)/small/$$target; mkdir -p $$folder; \
	  for source in $(READER_SOURCES); do \
	    $$(echo $$target | tr , ' ') $(READER_FLAGS) -c -o $$folder/$$(basename $$source .c).o $$source; \
	  done; \
	  echo "$$target:"; sh tests/reader_size.sh $(READER_SIZE_MOST) $$folder/*.o; \
	done

# The loop of docs/reader.md, taken from the page, on a machine on paper.
$(BUILD)/gen/machine_loop.c: docs/reader.md
	@mkdir -p $(@D)
	sed -n '/^```c$$/,/^```$$/{/^```/!p}' $< >$@
$(BUILD)/reader-example: tests/example/machine.c $(BUILD)/gen/machine_loop.c $(BUILD)/libborelay-reader.a
	$(CC) -std=c99 -Iinclude $(WARN) $(WARN_OWN) $(CFLAGS) $(LDFLAGS) -o $@ $^
reader-example: $(BUILD)/reader-example $(BUILD)/borelay
	@sh tests/reader_example.sh $(abspath $(BUILD)/borelay) $(BUILD)/reader-example $(BUILD)/gen/machine_loop.c

# What was built with another compiler or other flags is built again (FLAGS, above).
FLAGS_NOW = $(CC) $(CFLAGS) $(LDFLAGS) $(FIXED)
$(FLAGS): force
	@mkdir -p $(@D)
	@echo '$(FLAGS_NOW)' | cmp -s - $@ || echo '$(FLAGS_NOW)' >$@

$(BUILD)/obj/%.o: src/%.c $(FLAGS)
	@mkdir -p $(@D)
	$(CC) $(FIXED) $(DEPENDENCIES) $(CFLAGS) -c -o $@ $<
$(BUILD)/gen/%.o: $(BUILD)/gen/%.c $(FLAGS)
	$(CC) $(FIXED) $(DEPENDENCIES) $(CFLAGS) -c -o $@ $<
$(LEXER): grammar/job.re
	@mkdir -p $(@D)
	re2c -W -Werror --no-debug-info -o $@ $<
$(PARSER): grammar/job.y
	@mkdir -p $(@D)
	bison -Wall -Wcounterexamples -Werror --no-lines --header=$(BUILD)/gen/job_parse.h -o $@ $<
$(PAGE): src/report/embed.sh $(PAGE_PARTS) $(PAGE_LIBRARIES)
	@mkdir -p $(@D)
	sh $^ >$@.part
	@mv $@.part $@
$(PAGE_LIBRARIES):
	@echo '$@ is missing: as root, run `make setup`'; exit 1
$(call room_objects,lex) $(call room_objects,parse) $(call room_objects,tidy) $(GENERATED_lex): $(PARSER)

# Tests: tests/<room>/test_*.c, a program each, linked with the room and what it needs.
# A room's tests may ask for further libraries (references from outside): TESTLIBS_<room>.
TESTLIBS_num = -lmpfr -lgmp
TESTLIBS_digest = -lisal
TESTLIBS_shape = -lgsl -lgslcblas -lgeos_c
TESTLIBS_metal = -lgeos_c
TESTLIBS_path = -lgsl -lgslcblas -lmpfr -lgmp
TESTLIBS_buildup = -lgsl -lgslcblas
TESTLIBS_check = -lgsl -lgslcblas
TESTLIBS_draw = -lxml2
TESTLIBS_report = -lxml2
# Headers of such a library that do not lie where the compiler looks.
TESTFLAGS_draw = -isystem /usr/include/libxml2
TESTFLAGS_report = -isystem /usr/include/libxml2
define test_rule
TESTS_$(1) = $$(patsubst tests/%.c,$(BUILD)/tests/%,$$(wildcard tests/$(1)/test_*.c))
$(BUILD)/tests/$(1)/%: tests/$(1)/%.c $(FLAGS) $(foreach r,$(call closure,$(1)),$(BUILD)/lib/$(r).a)
	@mkdir -p $$(@D)
	$$(CC) $$(FIXED) $$(DEPENDENCIES) -Itests $$(TESTFLAGS_$(1)) $$(CFLAGS) $$(LDFLAGS) -o $$@ $$< -Wl,--start-group $$(filter %.a,$$^) -Wl,--end-group $$(TESTLIBS) $$(TESTLIBS_$(1)) $$(LIBS)
test-$(1): $$(TESTS_$(1))
	@set -e; for t in $$^; do $$$$t; done
.PHONY: test-$(1)
endef
$(foreach r,$(ROOMS),$(eval $(call test_rule,$(r))))

# tests/cli runs the program itself, as its users do, and reads what it gives out.
TESTS_cli = $(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/cli/test_*.c))
$(BUILD)/tests/cli/%: tests/cli/%.c $(FLAGS)
	@mkdir -p $(@D)
	$(CC) $(FIXED) $(DEPENDENCIES) -Itests $(CFLAGS) $(LDFLAGS) -o $@ $< $(TESTLIBS) $(LIBS)
test-cli: $(TESTS_cli) $(PROGRAM)
	@set -e; for t in $(TESTS_cli); do BORELAY=$(abspath $(PROGRAM)) $$t; done

test-rooms: $(foreach r,$(ROOMS),test-$(r))
# (the benchmark is only built: it reads headers of rooms)
test: test-rooms test-cli same-bytes quiet-start ninja arrows messages programs-page reader-size reader-example $(BUILD)/bench/bench

# The programs, compiled by four builds and by the static program, must give the same bytes.
SAME = gcc-O0 gcc-O3 clang-O0 clang-O3
$(SAME:%=$(BUILD)/same/%/borelay): $(BUILD)/same/%/borelay: force
	@$(MAKE) --no-print-directory -s BUILD=$(BUILD)/same/$* CC=$(firstword $(subst -, ,$*)) \
	  CFLAGS=-$(lastword $(subst -, ,$*)) LDFLAGS= $@
same-bytes: $(BUILD)/borelay $(BUILD)/static/borelay $(SAME:%=$(BUILD)/same/%/borelay)
	@sh tests/same_bytes.sh $^

# Nobody asks the processor when the program starts: not the compiler (include/borelay/processor.h), and
# not nettle, which would be called from a list of functions that has one of the compiler's own.
quiet-start: $(BUILD)/static/borelay
	@! nm $< | grep __cpu_indicator_init
	@readelf -SW $< | grep -q ' \.init_array  *INIT_ARRAY  *[0-9a-f]* [0-9a-f]* 000008 '

# How fast, beside honest ways to do the same; docs/performance.md.  BENCH='--json' for programs,
# BENCH='--plot FILE' for a picture; BENCH_SHORT=1 leaves the stream of 1e8 rows out.
BENCH_LIBRARIES = $(foreach r,$(call closure,check) reader,$(BUILD)/lib/$(r).a)
$(BUILD)/bench/empty $(BUILD)/bench/static/empty: tests/bench/empty.c
	@mkdir -p $(@D)
	$(CC) -O2 $(if $(filter %/static/empty,$@),-static) -o $@.linked $<
	$(WRITE_AT_ONCE)
$(BUILD)/bench/bench: $(filter-out %/empty.c,$(wildcard tests/bench/*.c)) $(wildcard tests/bench/*.h) $(FLAGS) $(BENCH_LIBRARIES)
	@mkdir -p $(@D)
	$(CC) $(FIXED) -Itests $(CFLAGS) $(LDFLAGS) -o $@ $(filter %.c,$^) -Wl,--start-group $(BENCH_LIBRARIES) -Wl,--end-group $(LIBS)
BENCH_RUN = $(BUILD)/bench/bench $(BUILD)/borelay $(BUILD)/static/borelay $(BUILD)/bench/empty $(BUILD)/bench/static/empty $(BUILD)/bench/work
BENCH_PARTS = $(BUILD)/bench/bench $(BUILD)/bench/empty $(BUILD)/bench/static/empty $(BUILD)/borelay $(BUILD)/static/borelay
bench: $(BENCH_PARTS)
	@$(BENCH_RUN) $(BENCH)
# The table and the picture of docs/performance.md, taken anew: on a machine that does nothing else.
bench-docs: $(BENCH_PARTS)
	@sh tests/bench/docs.sh docs/performance $(BENCH_RUN)

# A library of programs under a build of its users.
ninja: $(BUILD)/borelay
	@sh tests/ninja.sh $(abspath $(BUILD))/borelay $(abspath $(BUILD))/ninja 200

# Clearances of some hundred random jobs against the sampler; the tests take fewer.
brute: $(BUILD)/tests/check/test_brute
	BORELAY_BRUTE_JOBS=150 BORELAY_BRUTE_SEED=31000 $<

arrows:
	@sh tests/arrows.sh $(foreach r,$(ROOMS),'$(r):$(NEEDS_$(r)):$(r) $(HEADERS_$(r))')

# The programs, their page, and the language's keys that they show.
programs-page:
	@sh tests/programs.sh

# Codes of messages and their page say the same.
messages:
	@sh tests/messages.sh

# The pages for reviewers, of a job and of a comparison, in a real browser; screens and printed pages stay in $(BUILD)/screens.
# Debian's own python3, which has Debian's python3-selenium.
browser: $(BUILD)/borelay
	cd tests/browser && for test in test_page.py test_looks.py test_comparison.py; do \
	  BORELAY=$(abspath $(BUILD))/borelay SCREENS=$(abspath $(BUILD))/screens \
	  PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 $$test || exit 1; done

# Readers of the code other than the compiler.
SOURCES = $(wildcard src/*.c src/*/*.c)
CODE = $(wildcard src/*.[ch] src/*/*.[ch] include/*.h include/borelay/*.h tests/*/*.[ch])
format:
	clang-format -i $(CODE)
format-check:
	clang-format --dry-run -Werror $(CODE)
$(BUILD)/tidy/%.ok: src/%.c .clang-tidy $(wildcard include/borelay/*) | $(PARSER)
	@mkdir -p $(@D)
	clang-tidy --quiet $< -- $(FIXED) $(WARN_CLANG)
	@touch $@
tidy-check: $(SOURCES:src/%.c=$(BUILD)/tidy/%.ok)
cppcheck:
	cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr \
	  --suppress=missingIncludeSystem --error-exitcode=1 -D__GNUC__=12 -Iinclude -Isrc src
sanitize:
	+$(MAKE) BUILD=$(BUILD)/sanitize LDFLAGS="$(SANITIZERS)" \
	  CFLAGS="-O1 -g -fno-omit-frame-pointer $(SANITIZERS)" test-rooms test-cli
# (what the sanitizers add to the code makes gcc's format-truncation see a format that is NULL)
SANITIZERS = -Wno-format-truncation -fsanitize=address,undefined -fno-sanitize-recover=all

# Bytes of every kind into the reader library.  Not part of `make test`: it has no end of its own.
FUZZ_SECONDS = 300
FUZZERS = $(BUILD)/fuzz-reader $(BUILD)/fuzz-reader-fast
$(BUILD)/fuzz-reader-fast: FUZZ_FAST = -DBORELAY_READER_FAST
$(FUZZERS): tests/fuzz/fuzz_reader.c $(READER_SOURCES) $(wildcard src/reader/*.h) include/borelay_reader.h
	@mkdir -p $(@D)
	clang -std=c17 -g -O1 $(WARN) $(WARN_CLANG) $(FUZZ_FAST) -Iinclude -Isrc -fsanitize=fuzzer,address,undefined \
	  -fno-sanitize-recover=all -o $@ $(filter %.c,$^)
fuzz: $(FUZZERS)
	@mkdir -p $(BUILD)/fuzz
	@set -e; for fuzzer in $(FUZZERS); do \
	  $$fuzzer -max_total_time=$(FUZZ_SECONDS) -max_len=6000 -print_final_stats=1 $(BUILD)/fuzz tests/fuzz/corpus; \
	done

# The main job on a real program.
DEMO = valve_bore
demo: $(BUILD)/borelay
	@mkdir -p $(BUILD)/demo
	$(BUILD)/borelay compile programs/$(DEMO).lay -o $(BUILD)/demo/$(DEMO).csv \
	  --summary $(BUILD)/demo/$(DEMO).json

install: $(PROGRAM) $(BUILD)/libborelay-reader.a
	install -D -m 755 $(PROGRAM) $(DESTDIR)$(PREFIX)/bin/borelay
	install -D -m 644 $(BUILD)/libborelay-reader.a $(DESTDIR)$(PREFIX)/lib/libborelay-reader.a
	install -D -m 644 include/borelay_reader.h $(DESTDIR)$(PREFIX)/include/borelay_reader.h

clean:
	rm -rf $(BUILD)

help:
	@echo 'make                 the program, $(BUILD)/borelay, and the reader library for controllers'
	@echo 'make STATIC=1        the program without shared libraries, $(BUILD)/static/borelay; also for install'
	@echo 'make setup           install what is missing of the packages from Debian (as root)'
	@echo 'make demo            compile a whole program and show the table of checks'
	@echo 'make test            all tests; test-ROOM for one room: $(ROOMS) cli'
	@echo 'make same-bytes      the programs compiled by gcc and clang, -O0 and -O3, and by STATIC=1: the same bytes'
	@echo 'make quiet-start     the program does not ask the processor when it starts'
	@echo 'make bench           how fast, beside honest ways to do the same; BENCH=--json'
	@echo 'make bench-docs      the same into docs/performance.md and its picture'
	@echo 'make ninja           200 programs built by ninja: once, then nothing, then what a touched file asks'
	@echo 'make brute           clearances of many random jobs against a sampler'
	@echo 'make arrows          no room includes a header of a room that it does not need'
	@echo 'make browser         the page for reviewers in a browser; screens in $(BUILD)/screens'
	@echo 'make reader-size     the reader library: under $(READER_SIZE_MOST) bytes, for 32 bits too'
	@echo 'make reader-example  the loop of docs/reader.md against the library'
	@echo 'make fuzz            the reader library under libFuzzer, FUZZ_SECONDS=$(FUZZ_SECONDS)'
	@echo 'make sanitize        the tests under AddressSanitizer and UndefinedBehaviorSanitizer'
	@echo 'make tidy-check cppcheck format-check    readers of the code; format mends its layout'
	@echo 'make install         to DESTDIR and PREFIX ($(DESTDIR)$(PREFIX))'
	@echo 'make clean           remove $(BUILD)'
	@echo 'BUILD=folder CC=clang CFLAGS=-O0    build elsewhere, with something else'

.PHONY: all test test-rooms test-cli same-bytes quiet-start bench bench-docs ninja brute arrows messages programs-page reader-size reader-example fuzz format format-check tidy-check cppcheck \
        sanitize demo install clean help force
-include $(shell find $(BUILD)/obj $(BUILD)/gen $(BUILD)/small $(BUILD)/tests -name '*.d' 2>/dev/null)

endif

# Does nothing when all is there.  Without root, or when Debian's archive cannot be reached, it tells
# the one line to run and fails.
setup:
	@missing=; for p in $(PACKAGES); do \
	  dpkg-query -W -f '$${Status}' $$p 2>/dev/null | grep -q 'ok installed' || missing="$$missing $$p"; \
	done; \
	test -n "$$missing" || { echo 'setup: all packages are there'; exit 0; }; \
	line="apt-get update && apt-get install -y --no-install-recommends$$missing"; \
	tell() { echo "setup: $$1; as root, run:"; echo "  $$line"; exit 1; }; \
	test "$$(id -u)" = 0 || tell 'only root can install what is missing'; \
	export DEBIAN_FRONTEND=noninteractive; \
	apt-get update && apt-get install -y --no-install-recommends $$missing || tell 'the packages could not be installed'
.PHONY: setup
