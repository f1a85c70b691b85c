# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every test, by kind. A new C test goes into the list of its folder without ".c" (tests/unit/test_x
# is built from tests/unit/test_x.c and linked with all libraries; several source files need a
# tests_unit_test_x_SOURCES line); a new shell test goes into cli_tests. Headers that tests share
# stand in test_headers, data in test_data. The layers test names a test that stands in no list.

unit_tests =

reference_tests = \
	tests/reference/test_least_squares

cli_tests =

# Studies that take minutes: run by "make check-long" alone.
recovery_tests =

# Not tests: programs that measure speed, run by "make bench".
bench_programs =

test_headers = \
	tests/reference/nist_sets.h

test_data = $(cli_tests) $(test_headers) tests/layers.sh tests/layers_self_test.sh

check_PROGRAMS = tests/unit/test_links_alone $(unit_tests) $(reference_tests)
EXTRA_PROGRAMS = $(recovery_tests) $(bench_programs)
CLEANFILES = $(EXTRA_PROGRAMS)

short_tests = $(check_PROGRAMS) $(cli_tests) tests/layers.sh
TESTS = $(short_tests)
if RECOVERY_IN_CHECK
TESTS += $(recovery_tests)
endif

# What every test and every program of tests/ is linked with.
LDADD = $(all_libraries) $(CHECK_LIBS)

# This one proves that the pure layers need nothing but GSL: all of them, whether called or not.
tests_unit_test_links_alone_LDFLAGS = -Wl,--whole-archive,src/libcompute.a,--no-whole-archive
tests_unit_test_links_alone_LDADD = $(GSL_LIBS)
tests_unit_test_links_alone_DEPENDENCIES = src/libcompute.a

# Tests run in the top of the build folder. They read from the source folder, which may be
# read-only, and write below TMPDIR. The time limit of the Check library (4 s a test) is lifted:
# it would fail on a slow or sanitised run.
TEST_EXTENSIONS = .sh
SH_LOG_COMPILER = $(SHELL)
test_environment = \
	top_srcdir='$(top_srcdir)' abs_top_srcdir='$(abs_top_srcdir)' \
	top_builddir='$(top_builddir)' abs_top_builddir='$(abs_top_builddir)' \
	RESTPOINT_DATA='$(abs_top_srcdir)' CK_DEFAULT_TIMEOUT=600
test_variables = top_srcdir abs_top_srcdir top_builddir abs_top_builddir RESTPOINT_DATA \
	CK_DEFAULT_TIMEOUT
AM_TESTS_ENVIRONMENT = $(test_environment); export $(test_variables);

.PHONY: check-unit check-long bench

check-unit: tests/unit/test_links_alone $(unit_tests)
	$(MAKE) $(AM_MAKEFLAGS) check-TESTS TESTS='tests/unit/test_links_alone $(unit_tests)'

check-long: restpoint $(recovery_tests)
	$(MAKE) $(AM_MAKEFLAGS) check-TESTS TESTS='$(recovery_tests)'

bench: $(bench_programs)
	@for program in $(bench_programs); do \
		echo "== $$program"; \
		$(test_environment) "./$$program" || exit 1; \
	done
