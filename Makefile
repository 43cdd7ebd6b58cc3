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

CORE_ROOMS = base geometry pullback read profile study assess draw report
PACKAGES = cairo cairo-pdf fontconfig libpng zlib

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

STANDARD = -std=c11 -ffp-contract=off -fvisibility=hidden
OPTIONS = $(STANDARD) $(WARNINGS) -Isrc $(SANITIZE)
HOSTED = -D_GNU_SOURCE $(shell pkg-config --cflags $(PACKAGES))
LIBRARIES = $(shell pkg-config --libs $(PACKAGES)) -lm

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
# Every file in tests/unit and tests/property is a cmocka program of its own,
# linked with the library's objects so that inner functions are reached too.

TEST_SUPPORT = $(wildcard tests/support/*.c)
TEST_SOURCES = $(wildcard tests/unit/*.c tests/property/*.c)
TEST_PROGRAMS = $(patsubst %.c,$(BUILD)/%,$(TEST_SOURCES))
ORACLES = -lcmocka -lgeos_c -lgsl -lgslcblas

$(BUILD)/tests/%.o: EXTRA = -D_GNU_SOURCE -Itests -Wno-null-dereference

.SECONDARY:
$(TEST_PROGRAMS): $(BUILD)/tests/%: $(BUILD)/tests/%.o \
    $(call object,$(TEST_SUPPORT)) $(call object,$(CORE) $(NATIVE))
	$(CC) $(CFLAGS) $(SANITIZE) $(LDFLAGS) -o $@ $^ $(LIBRARIES) $(ORACLES)

.PHONY: test
test: all $(TEST_PROGRAMS)
	@for program in $(TEST_PROGRAMS); do \
	    echo "== $${program#$(BUILD)/}"; "$$program" || exit 1; done

# ------------------------------------------------------------------- checks

.PHONY: lint
lint:
	tools/check-layers

.PHONY: format
format:
	clang-format -i $$(git ls-files '*.c' '*.h')

.PHONY: clean
clean:
	rm -rf $(BUILD)

.PHONY: help
help:
	@echo "make          the program at $(BUILD)/boreline, the library beside it"
	@echo "make test     all tests"
	@echo "make lint     format, layers, tidy, wasm, manual"
	@echo "make format   put every source file into shape"
	@echo "make clean    remove $(BUILD)"

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
