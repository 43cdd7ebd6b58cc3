# boreline - build, test, check. `make help` lists the targets.
#
# Settings (override on the command line): CC, CFLAGS, BUILD, PREFIX.
# WERROR=1 turns warnings into errors: for us and CI, not for users.

CC ?= cc
CFLAGS ?= -O2 -g
BUILD ?= build
PREFIX ?= /usr/local
WERROR ?= 0
SANITIZE ?=

CORE_ROOMS = base geometry pullback read profile study assess check plan compare draw report
# What only pictures need is loaded when one is painted (src/native/drawing.h).
LINKED = zlib
LOADED = cairo cairo-pdf fontconfig libpng

WARNINGS = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion \
    -Wdouble-promotion -Wfloat-conversion -Wcast-align -Wcast-qual \
    -Wpointer-arith -Wwrite-strings -Wstrict-prototypes -Wmissing-prototypes \
    -Wmissing-declarations -Wold-style-definition -Wnested-externs \
    -Wredundant-decls -Wundef -Wunused -Wvla -Wformat=2 -Winit-self \
    -Wswitch-default -Wswitch-enum -Wnull-dereference -Wimplicit-fallthrough \
    -Wstrict-overflow=2 -Wdate-time -Woverlength-strings \
    -Wno-unknown-warning-option
ifeq ($(WERROR),1)
WARNINGS += -Werror
endif

# -fno-math-errno changes no value: without it a square root may set errno,
# which keeps it out of vector instructions.
STANDARD = -std=c11 -ffp-contract=off -fno-math-errno -fvisibility=hidden
OPTIONS = $(STANDARD) $(WARNINGS) -Isrc $(SANITIZE)
HOSTED := -D_GNU_SOURCE $(shell pkg-config --cflags $(LINKED) $(LOADED))
LIBRARIES := $(shell pkg-config --libs $(LINKED)) -lm -pthread -ldl

CORE = $(foreach room,$(CORE_ROOMS),$(wildcard src/$(room)/*.c))
NATIVE = $(wildcard src/native/*.c)
CLI = $(wildcard src/cli/*.c)
object = $(patsubst %.c,$(BUILD)/%.o,$(1))

.PHONY: all
all: $(BUILD)/boreline $(BUILD)/libboreline.a

$(BUILD)/boreline: $(call object,$(CLI)) $(BUILD)/libboreline.a
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ $(LIBRARIES)

# One object whose hidden names are made local, so that the library gives out
# what boreline.h declares and nothing else.
$(BUILD)/libboreline.a: $(call object,$(CORE) $(NATIVE))
	rm -f $@
	$(LD) -r -o $(BUILD)/whole.o $^
	objcopy --localize-hidden $(BUILD)/whole.o $(BUILD)/boreline-library.o
	$(AR) rcs $@ $(BUILD)/boreline-library.o

$(BUILD)/src/native/%.o $(BUILD)/src/cli/%.o: EXTRA = $(HOSTED)

$(BUILD)/%.o: %.c Makefile
	@mkdir -p $(@D)
	$(CC) $(OPTIONS) $(EXTRA) $(CFLAGS) -MMD -MP -c -o $@ $<

# ------------------------------------------------------------------- tests
# Every file in tests/unit, tests/property and tests/program is a cmocka
# program of its own, linked with the library's objects so that inner functions are reached too.

TEST_SUPPORT = $(wildcard tests/support/*.c)
TEST_SOURCES = $(wildcard tests/unit/*.c tests/property/*.c \
    tests/program/*.c)
TEST_PROGRAMS = $(patsubst %.c,$(BUILD)/%,$(TEST_SOURCES))
ORACLES := -lcmocka -lgeos_c -lgsl -lgslcblas $(shell pkg-config --libs $(LOADED))

$(BUILD)/tests/%.o: EXTRA = $(HOSTED) -Itests -Wno-null-dereference

.SECONDARY:
$(TEST_PROGRAMS): $(BUILD)/tests/%: $(BUILD)/tests/%.o \
    $(call object,$(TEST_SUPPORT)) $(call object,$(CORE) $(NATIVE))
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ $(LIBRARIES) $(ORACLES)

# The geometry once more without wider vectors, for a test of both (lanes.h).
PLAIN = $(patsubst src/%.c,$(BUILD)/plain/%.o,$(wildcard src/geometry/*.c))
$(BUILD)/plain/%.o: src/%.c Makefile
	@mkdir -p $(@D)
	$(CC) $(OPTIONS) $(CFLAGS) -DLANES_PLAIN -MMD -MP -c -o $@ $<
$(BUILD)/plain-geometry.o: $(PLAIN)
	$(LD) -r -o $@ $^
	objcopy --localize-hidden $(foreach verb,new free measure,\
	    --redefine-sym bl_measurer_$(verb)=plain_measurer_$(verb)) $@
$(BUILD)/tests/unit/lanes_test: $(BUILD)/plain-geometry.o

# Tests in which their own allocations fail.
$(BUILD)/tests/unit/compare_memory_test $(BUILD)/tests/unit/starved_test: \
    LDFLAGS += -Wl,--wrap=malloc \
    -Wl,--wrap=calloc -Wl,--wrap=realloc

# The fuzz targets, whose functions are all called the same, as libFuzzer wants
# it: here each is called after its file. And what they and the options need.
FUZZ_TARGETS = $(patsubst tests/fuzz/%.c,%,$(wildcard tests/fuzz/*.c))
FUZZ_OBJECTS = $(call object,$(FUZZ_TARGETS:%=tests/fuzz/%.c))
FUZZ_CLI = $(call object,src/cli/request.c $(wildcard src/cli/*option*.c))
ENTRY = $(if $(FUZZING),,-DLLVMFuzzerTestOneInput=fuzz_$(notdir $*))
$(BUILD)/tests/fuzz/%.o: EXTRA = -D_GNU_SOURCE -Itests $(ENTRY)

$(BUILD)/tests/program/fuzz_replay_test: $(FUZZ_OBJECTS) $(FUZZ_CLI)

# The program with allocations that can be made to fail, for tests/faults.
$(BUILD)/boreline-faults: $(call object,$(CLI)) $(call object,$(CORE) $(NATIVE)) \
    $(BUILD)/tests/faults/allocation.o
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -Wl,--wrap=malloc \
	    -Wl,--wrap=calloc -Wl,--wrap=realloc -Wl,--wrap=strdup \
	    -Wl,--wrap=aligned_alloc \
	    -o $@ $^ $(LIBRARIES)

# Invented pullbacks from described vessels.
VESSEL = $(wildcard tools/vessel/*.c)
$(call object,$(VESSEL)): EXTRA = -D_GNU_SOURCE -Itools/vessel
$(BUILD)/vessel: $(call object,$(VESSEL))
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ -lm

# Many of them through the library: how often it is right.
STUDY = $(wildcard tools/study/*.c)
STUDY_PARTS = $(call object,$(filter-out %/study.c %/vessel.c,$(STUDY) $(VESSEL)))
$(call object,$(STUDY)): EXTRA = -D_GNU_SOURCE -Itools/vessel -Itools/study
$(BUILD)/study: $(BUILD)/tools/study/study.o $(STUDY_PARTS) $(BUILD)/libboreline.a
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ $(LIBRARIES)

# A small fixed part of it is a test.
SIMULATION = $(BUILD)/tests/program/simulation_test
$(SIMULATION).o: EXTRA = -D_GNU_SOURCE -Itests -Itools/vessel -Itools/study
$(SIMULATION): $(STUDY_PARTS)

STUDY_SEED ?= 1
STUDY_VESSELS ?= 1000
.PHONY: study
study: $(BUILD)/study
	$< --seed $(STUDY_SEED) --vessels $(STUDY_VESSELS) \
	    --csv $(BUILD)/study.csv -o $(BUILD)/study.md
	@cat $(BUILD)/study.md

# The tables and pictures of docs/reading-a-profile.md, from their descriptions.
.PHONY: pitfalls
pitfalls: all $(BUILD)/vessel
	BUILD=$(BUILD) tools/pitfalls

# Every picture in docs/, to be made anew when what is drawn changes.
.PHONY: pictures
pictures: pitfalls
	$(BUILD)/boreline plot samples/short-flattening.csv --dpi 150 \
	    -o docs/profile.png
	$(BUILD)/boreline compare samples/unapposed-before.csv \
	    samples/unapposed-after.csv --nominal 14x80 --dpi 150 \
	    --plot docs/comparison.png >$(BUILD)/comparison.txt

LEAKS = suppressions=$(CURDIR)/tests/support/leaks.supp:print_suppressions=0

.PHONY: tests
tests: all $(BUILD)/vessel $(BUILD)/boreline-faults $(TEST_PROGRAMS)

# Each program is a run of its own, so that -j has several at a time; the longest
# come first. What one prints comes in one piece.
LONGEST = $(filter %/faults_test %/cli_test %/geos_test,$(TEST_PROGRAMS))
TEST_RUNS = $(addsuffix .run,$(LONGEST) $(filter-out $(LONGEST),$(TEST_PROGRAMS)))
.PHONY: test $(TEST_RUNS)
test: $(TEST_RUNS)
$(TEST_RUNS): %.run: tests
	@said=$$(BUILD=$(BUILD) LSAN_OPTIONS=$(LEAKS) "$*" 2>&1); status=$$?; \
	    echo "== $(*:$(BUILD)/%=%)"; printf '%s\n' "$$said"; exit $$status

# A hundred million numbers against strtod, some minutes: not a part of `test`.
$(BUILD)/tests/exhaust/number_exhaust: $(BUILD)/tests/exhaust/number_exhaust.o \
    $(call object,$(TEST_SUPPORT)) $(call object,$(CORE) $(NATIVE))
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ $(LIBRARIES) $(ORACLES)

.PHONY: number-exhaust
number-exhaust: $(BUILD)/tests/exhaust/number_exhaust
	$<
# ------------------------------------------------------------------ fuzzing
# Each target of tests/fuzz for a while, from the corpus beside it and from what
# runs before have found; findings are written to build/fuzz.

FUZZ_SECONDS ?= 60
FUZZ_BUILD = $(BUILD)/fuzz
FUZZ_SANITIZE = -fsanitize=fuzzer-no-link,address,undefined \
    -fno-sanitize-recover=undefined

.PHONY: fuzz
fuzz: fuzz-build
	tools/fuzz run $(FUZZ_BUILD) $(FUZZ_SECONDS) $(FUZZ_TARGETS)

# Adds what is new in build/fuzz to the corpus in the tree, which is kept small.
.PHONY: fuzz-merge
fuzz-merge: fuzz-build
	tools/fuzz merge $(FUZZ_BUILD) 0 $(FUZZ_TARGETS)

.PHONY: fuzz-build
fuzz-build:
	$(MAKE) CC=clang BUILD=$(FUZZ_BUILD) CFLAGS='-O2 -g' FUZZING=1 \
	    SANITIZE='$(FUZZ_SANITIZE)' $(FUZZ_TARGETS:%=$(FUZZ_BUILD)/fuzz-%)

# What looks at outputs is not what is looked for.
ifdef FUZZING
$(BUILD)/tests/support/wellformed.o: SANITIZE =
endif

$(BUILD)/fuzz-%: $(BUILD)/tests/fuzz/%.o $(FUZZ_CLI) \
    $(BUILD)/tests/support/wellformed.o $(call object,$(CORE) $(NATIVE))
	$(CC) $(CFLAGS) $(SANITIZE) -fsanitize=fuzzer $(LDFLAGS) -o $@ \
	    $(filter-out $(if $(filter options,$*),,$(FUZZ_CLI)),$^) $(LIBRARIES)

# ------------------------------------------------------------------- checks

SOURCES = $(shell git ls-files 'src/*.[ch]' 'tests/*.[ch]' 'tools/*.[ch]')

.PHONY: lint
lint: check-layers check-format check-symbols check-manual check-wasm check-tidy

.PHONY: check-layers
check-layers:
	tools/check-layers

.PHONY: check-format
check-format:
	clang-format --dry-run -Werror $(SOURCES)

# What the library gives out is what the header declares.
.PHONY: check-symbols
check-symbols: $(BUILD)/libboreline.a
	@nm -g --defined-only $< | sed -n 's/.* [TDRB] //p' | sort \
	    > $(BUILD)/symbols.library
	@grep -v -e '^ *[*/]' -e '^#' src/boreline.h | tr '\n' ' ' | grep -o 'BL_API[^;]*;' \
	    | sed 's/(.*//; s/.*[ *]//' | sort > $(BUILD)/symbols.header
	diff $(BUILD)/symbols.header $(BUILD)/symbols.library

.PHONY: check-manual
check-manual:
	mandoc -Tlint -Wwarning docs/boreline.1
	@for option in $$(sed -n 's/^    {"\([a-z-]*\)", .*/\1/p' src/cli/options.c); do \
	    grep -q "Fl -$$option" docs/boreline.1 || \
	    { echo "docs/boreline.1: --$$option is missing"; exit 1; }; done

# The core for a browser: compiled and linked with wasi-libc alone. The
# resource directory's headers replace the host's.
WASM_CC = clang --target=wasm32-wasi --sysroot=/usr -nostdinc \
    -isystem $(shell clang -print-resource-dir)/include \
    -isystem /usr/include/wasm32-wasi
.PHONY: check-wasm
check-wasm:
	@mkdir -p $(BUILD)/wasm
	@for file in $(CORE); do \
	    $(WASM_CC) $(STANDARD) -Wall -Wextra -Werror -Isrc -O1 -c $$file \
	        -o $(BUILD)/wasm/$$(echo $$file | tr / _).o || exit 1; done
	wasm-ld --no-entry --export=bl_study_new --export=bl_study_feed \
	    --export=bl_study_finish --export=bl_assess --export=bl_plan_new \
	    --export=bl_comparison_new --export=bl_inflow_new \
	    --export=bl_figure_svg \
	    --export=bl_figure_profile --export=bl_report_assessment_json \
	    -z stack-size=1048576 -L/usr/lib/wasm32-wasi -o $(BUILD)/core.wasm \
	    $(BUILD)/wasm/*.o -lc \
	    $$(clang -print-resource-dir)/lib/wasi/libclang_rt.builtins-wasm32.a

.PHONY: check-tidy
check-tidy:
	@printf '%s\n' $(CORE) | xargs -P "$$(nproc)" -n 8 sh -c \
	    'clang-tidy --quiet "$$@" -- $(STANDARD) -Isrc' tidy
	@printf '%s\n' $(NATIVE) $(CLI) | xargs -P "$$(nproc)" -n 8 sh -c \
	    'clang-tidy --quiet "$$@" -- $(STANDARD) -Isrc $(HOSTED)' tidy

.PHONY: install
install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/lib \
	    $(DESTDIR)$(PREFIX)/include $(DESTDIR)$(PREFIX)/share/man/man1
	install $(BUILD)/boreline $(DESTDIR)$(PREFIX)/bin
	install -m 644 $(BUILD)/libboreline.a $(DESTDIR)$(PREFIX)/lib
	install -m 644 src/boreline.h $(DESTDIR)$(PREFIX)/include
	install -m 644 docs/boreline.1 $(DESTDIR)$(PREFIX)/share/man/man1

# The peers and what starts them; plain -O2 whatever CFLAGS says.
$(BUILD)/bench/once: LINK =
$(BUILD)/bench/peer_geos: LINK = -lgeos_c -lm
$(BUILD)/bench/once $(BUILD)/bench/peer_geos: $(BUILD)/bench/%: tools/bench/%.c
	@mkdir -p $(@D)
	$(CC) -std=c11 -D_GNU_SOURCE -O2 -Wall -Wextra -o $@ $< $(LINK)

$(BUILD)/bench/peer_fast_float: tools/bench/peer_fast_float.cpp
	@mkdir -p $(@D)
	$(CXX) -std=c++17 -O2 -Wall -Wextra -o $@ $<

.PHONY: bench-programs
bench-programs: $(BUILD)/vessel $(BUILD)/bench/once $(BUILD)/bench/peer_geos \
    $(BUILD)/bench/peer_fast_float

.PHONY: bench
bench: all bench-programs
	@echo "Takes 8 to 20 minutes, by how busy the machine is;"
	@echo "tools/bench/run --help: fewer rows, smaller tables"
	BUILD=$(BUILD) tools/bench/run

# Work a point, in instructions: only for gcc 12 and -O2.
.PHONY: check-instructions
check-instructions: all $(BUILD)/vessel
	BUILD=$(BUILD) tools/bench/instructions

.PHONY: format
format:
	clang-format -i $(SOURCES)

.PHONY: clean
clean:
	rm -rf $(BUILD)

.PHONY: help
help:
	@echo "make          the program at $(BUILD)/boreline, the library beside it"
	@echo "make test     all tests"
	@echo "make number-exhaust   a hundred million numbers against strtod"
	@echo "make lint     format, layers, tidy, wasm, manual"
	@echo "make pictures   every picture in docs/, anew"
	@echo "make study    invented vessels: how often the assessment is right"
	@echo "make bench    measure against targets and peers (tools/packages bench)"
	@echo "make check-instructions   work a point, counted by valgrind"
	@echo "make fuzz     each fuzz target, FUZZ_SECONDS ($(FUZZ_SECONDS)) long"
	@echo "make format   put every source file into shape"
	@echo "make clean    remove $(BUILD)"

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
