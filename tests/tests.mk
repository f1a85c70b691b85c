# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every test, by kind. A new C test goes into the list of its folder without ".c" (tests/unit/test_x
# is built from tests/unit/test_x.c and linked with all libraries); a new shell test goes into
# cli_tests. Sources that tests share stand in test_support, their headers in test_headers, what
# tests read in test_data. The layers test names a file that stands in no list.

unit_tests = \
	tests/unit/test_adjustments \
	tests/unit/test_assess \
	tests/unit/test_assess_conditions \
	tests/unit/test_base \
	tests/unit/test_batch \
	tests/unit/test_calibration_draw \
	tests/unit/test_calibration_report \
	tests/unit/test_card \
	tests/unit/test_card_words \
	tests/unit/test_chains \
	tests/unit/test_chains_puromycin \
	tests/unit/test_combinations \
	tests/unit/test_corpus \
	tests/unit/test_csv_rows \
	tests/unit/test_disk \
	tests/unit/test_drawing_labels \
	tests/unit/test_drawn_constants \
	tests/unit/test_effects \
	tests/unit/test_effects_change \
	tests/unit/test_events \
	tests/unit/test_events_flying \
	tests/unit/test_events_pairs \
	tests/unit/test_events_slope \
	tests/unit/test_events_slope_pairs \
	tests/unit/test_file_words \
	tests/unit/test_fit \
	tests/unit/test_fit_careless \
	tests/unit/test_fit_clock \
	tests/unit/test_fit_extras \
	tests/unit/test_fit_gradient \
	tests/unit/test_fit_inputs \
	tests/unit/test_fit_omissions \
	tests/unit/test_fit_players \
	tests/unit/test_fit_readings \
	tests/unit/test_fit_search \
	tests/unit/test_fit_states \
	tests/unit/test_gradient \
	tests/unit/test_guide \
	tests/unit/test_guide_goal \
	tests/unit/test_guide_words \
	tests/unit/test_jacobian \
	tests/unit/test_json \
	tests/unit/test_lack_of_fit \
	tests/unit/test_least_squares \
	tests/unit/test_least_squares_starts \
	tests/unit/test_measurement_file \
	tests/unit/test_measurement_print \
	tests/unit/test_misreading \
	tests/unit/test_model \
	tests/unit/test_model_terms \
	tests/unit/test_next_shots \
	tests/unit/test_notation \
	tests/unit/test_notation_refused \
	tests/unit/test_number \
	tests/unit/test_observe \
	tests/unit/test_observe_sounds \
	tests/unit/test_outline \
	tests/unit/test_parallel \
	tests/unit/test_placed_balls \
	tests/unit/test_plan \
	tests/unit/test_plan_search \
	tests/unit/test_play \
	tests/unit/test_play_angular \
	tests/unit/test_play_chains \
	tests/unit/test_play_changed \
	tests/unit/test_play_energy \
	tests/unit/test_play_guards \
	tests/unit/test_play_hostile \
	tests/unit/test_play_mirror \
	tests/unit/test_play_resting \
	tests/unit/test_play_stepped \
	tests/unit/test_prediction \
	tests/unit/test_prediction_words \
	tests/unit/test_profile_file \
	tests/unit/test_profile_round_trip \
	tests/unit/test_protocol_file \
	tests/unit/test_protocol_print \
	tests/unit/test_random \
	tests/unit/test_report \
	tests/unit/test_report_measurement \
	tests/unit/test_report_omissions \
	tests/unit/test_report_profile \
	tests/unit/test_report_rows \
	tests/unit/test_report_trace \
	tests/unit/test_set_aside \
	tests/unit/test_setup \
	tests/unit/test_setup_refused \
	tests/unit/test_shot_card \
	tests/unit/test_stroke_mixture \
	tests/unit/test_stroke_range \
	tests/unit/test_stroke_solutions \
	tests/unit/test_table \
	tests/unit/test_table_draws \
	tests/unit/test_table_sketch \
	tests/unit/test_trace

reference_tests = \
	tests/reference/test_cloth \
	tests/reference/test_cloth_laws \
	tests/reference/test_collision \
	tests/reference/test_collision_free \
	tests/reference/test_collision_laws \
	tests/reference/test_collision_slopes \
	tests/reference/test_covariance \
	tests/reference/test_cue \
	tests/reference/test_cue_slopes \
	tests/reference/test_cushion \
	tests/reference/test_cushion_accuracy \
	tests/reference/test_cushion_free \
	tests/reference/test_cushion_laws \
	tests/reference/test_cushion_slopes \
	tests/reference/test_flight \
	tests/reference/test_least_squares \
	tests/reference/test_nap \
	tests/reference/test_robust \
	tests/reference/test_roots \
	tests/reference/test_sessions \
	tests/reference/test_slope \
	tests/reference/test_slope_slopes

# The engine against an outside solver, SUNDIALS, and the fit against another, cminpack.
outside_tests = \
	tests/outside/test_outside_fit \
	tests/outside/test_outside_impacts \
	tests/outside/test_outside_shots \
	tests/outside/test_outside_slope

# Of these, what "make check-long" runs with 2000 shots.
long_outside_tests = \
	tests/outside/test_outside_shots

# Commands at a pseudo-terminal.
terminal_tests = \
	tests/cli/test_guide_terminal

cli_tests = \
	tests/cli/bad_input.sh \
	tests/cli/card.sh \
	tests/cli/compare.sh \
	tests/cli/effects.sh \
	tests/cli/exit_status.sh \
	tests/cli/fit_options.sh \
	tests/cli/full_disk.sh \
	tests/cli/guide.sh \
	tests/cli/help.sh \
	tests/cli/interrupt.sh \
	tests/cli/json.sh \
	tests/cli/locale.sh \
	tests/cli/man_lint.sh \
	tests/cli/manual_examples.sh \
	tests/cli/option_forms.sh \
	tests/cli/output_file.sh \
	tests/cli/plan.sh \
	tests/cli/predict.sh \
	tests/cli/protocols.sh \
	tests/cli/round_trip.sh \
	tests/cli/samples.sh \
	tests/cli/spreadsheet.sh \
	tests/cli/trace.sh \
	tests/cli/usage.sh

# Studies that take minutes: run by "make check-long" alone.
recovery_tests = \
	tests/recovery/calibration \
	tests/recovery/careless \
	tests/recovery/misfit \
	tests/recovery/recovery \
	tests/recovery/recovery_options \
	tests/recovery/test_next_shot \
	tests/recovery/test_plan_sessions \
	tests/recovery/toy

# The same in small, and what is asked of the shipped protocols: part of "make check".
short_recovery_tests = \
	tests/recovery/recovery_short \
	tests/recovery/test_misfit \
	tests/recovery/test_plan_protocols \
	tests/recovery/test_protocols

# Not tests: programs that measure speed, run by "make bench".
bench_programs = \
	tests/bench/bench \
	tests/bench/scale

# Tools for who works on the project, each built by name: make tests/recovery/protocol_report.
tool_programs = \
	tests/recovery/protocol_report

# Sources without a main that tests share.
test_support = \
	tests/fuzz/shot_checks.c \
	tests/recovery/calibration_draw.c \
	tests/recovery/calibration_false_end.c \
	tests/recovery/calibration_keep.c \
	tests/recovery/calibration_report.c \
	tests/recovery/calibration_study.c \
	tests/recovery/calibration_summary.c \
	tests/recovery/calibration_verdict.c \
	tests/recovery/careless_spoil.c \
	tests/recovery/careless_study.c \
	tests/recovery/design.c \
	tests/recovery/design_errors.c \
	tests/recovery/options_study.c \
	tests/recovery/stop_shots.c \
	tests/recovery/study.c \
	tests/recovery/study_report.c \
	tests/recovery/verdict.c \
	tests/recovery/workers.c \
	tests/unit/files_support.c \
	tests/unit/fit_support.c \
	tests/unit/hostile_draw.c \
	tests/unit/session_support.c \
	tests/unit/shot_support.c \
	tests/unit/stroke_rows.c

test_headers = \
	tests/fuzz/shot_checks.h \
	tests/outside/outside_cloth.h \
	tests/outside/outside_collision.h \
	tests/outside/outside_contacts.h \
	tests/outside/outside_cushion.h \
	tests/outside/outside_dense.h \
	tests/outside/outside_draw.h \
	tests/outside/outside_friction.h \
	tests/outside/outside_integrator.h \
	tests/outside/outside_match.h \
	tests/outside/outside_solver.h \
	tests/recovery/calibration_draw.h \
	tests/recovery/calibration_false_end.h \
	tests/recovery/calibration_keep.h \
	tests/recovery/calibration_report.h \
	tests/recovery/calibration_study.h \
	tests/recovery/calibration_summary.h \
	tests/recovery/calibration_verdict.h \
	tests/recovery/careless_spoil.h \
	tests/recovery/careless_study.h \
	tests/recovery/design.h \
	tests/recovery/misfit_case.h \
	tests/recovery/misfit_foresee.h \
	tests/recovery/misfit_keep.h \
	tests/recovery/misfit_report.h \
	tests/recovery/misfit_slide.h \
	tests/recovery/misfit_study.h \
	tests/recovery/options_study.h \
	tests/recovery/stop_shots.h \
	tests/recovery/study.h \
	tests/recovery/verdict.h \
	tests/recovery/workers.h \
	tests/reference/close.h \
	tests/reference/differences.h \
	tests/reference/cushion_rows.h \
	tests/reference/impact_draw.h \
	tests/reference/impact_reference.h \
	tests/reference/nist_sets.h \
	tests/reference/slope_series.h \
	tests/unit/chain_checks.h \
	tests/unit/files_support.h \
	tests/unit/fit_support.h \
	tests/unit/hostile_draw.h \
	tests/unit/puromycin.h \
	tests/unit/report_checks.h \
	tests/unit/session_support.h \
	tests/unit/shot_support.h \
	tests/unit/stroke_rows.h

# What tests read besides: scripts, data files, whole folders of data.
test_data = \
	tests/cli/common.sh \
	tests/cli/trial.json \
	tests/fuzz/corpus \
	tests/fuzz/run.sh \
	tests/recovery/misfit_shots.json \
	tests/recovery/options.json \
	tests/reference/sessions \
	tests/unit/corpus \
	tests/unit/fit_protocol.json

test_files = $(cli_tests) $(test_headers) $(test_data) tests/layers.sh tests/layers_self_test.sh

check_PROGRAMS = tests/unit/test_links_alone $(unit_tests) $(reference_tests) \
	tests/fuzz/fuzz_corpus $(outside_tests) $(short_recovery_tests) $(terminal_tests)
EXTRA_PROGRAMS = $(recovery_tests) $(bench_programs) $(tool_programs)
CLEANFILES = $(EXTRA_PROGRAMS)

short_tests = $(check_PROGRAMS) $(cli_tests) tests/layers.sh
TESTS = $(short_tests)
if RECOVERY_IN_CHECK
TESTS += $(recovery_tests)
endif

# What every test and every program of tests/ is linked with.
LDADD = tests/libsupport.a $(all_libraries) $(CHECK_LIBS)

check_LIBRARIES = tests/libsupport.a tests/liboutside.a

# The outside solver: shares no code with src/physics and src/shot.
tests_liboutside_a_SOURCES = \
	tests/outside/outside_cloth.c \
	tests/outside/outside_collision.c \
	tests/outside/outside_contacts.c \
	tests/outside/outside_cushion.c \
	tests/outside/outside_draw.c \
	tests/outside/outside_friction.c \
	tests/outside/outside_integrator.c \
	tests/outside/outside_match.c \
	tests/outside/outside_solver.c \
	tests/outside/outside_strike.c

outside_libraries = tests/liboutside.a $(LDADD) $(SUNDIALS_LIBS)
tests_bench_bench_LDADD = $(outside_libraries)
tests_outside_test_outside_impacts_LDADD = $(outside_libraries)
tests_outside_test_outside_shots_LDADD = $(outside_libraries)
tests_outside_test_outside_slope_LDADD = $(outside_libraries)

# The whole fit as one dense problem for cminpack.
tests_outside_test_outside_fit_SOURCES = \
	tests/outside/outside_dense.c \
	tests/outside/test_outside_fit.c
tests_outside_test_outside_fit_LDADD = $(LDADD) $(CMINPACK_LIBS)

tests_libsupport_a_SOURCES = $(test_support)

# This one proves that the pure layers need nothing but GSL: all of them, whether called or not.
tests_unit_test_links_alone_LDFLAGS = -Wl,--whole-archive,src/libcompute.a,--no-whole-archive
tests_unit_test_links_alone_LDADD = $(GSL_LIBS) $(THREAD_LIBS)
tests_unit_test_links_alone_DEPENDENCIES = src/libcompute.a

# These look at every contact of a played shot before and after it is solved.
contact_wraps = -Wl,--wrap=contacts_rail,--wrap=contacts_balls
tests_unit_test_play_changed_LDFLAGS = $(contact_wraps)
tests_unit_test_play_energy_LDFLAGS = $(contact_wraps)
tests_unit_test_play_hostile_LDFLAGS = $(contact_wraps)

# What the fuzzer plays, over its corpus alone, as any compiler builds it.
tests_fuzz_fuzz_corpus_SOURCES = tests/fuzz/fuzz_corpus.c tests/fuzz/fuzz_shot.c
tests_fuzz_fuzz_corpus_LDFLAGS = $(contact_wraps)

# Tables that the model does not describe; one of them by other cloth motions than the engine has.
misfit_sources = \
	tests/recovery/misfit_case.c \
	tests/recovery/misfit_foresee.c \
	tests/recovery/misfit_keep.c \
	tests/recovery/misfit_report.c \
	tests/recovery/misfit_slide.c \
	tests/recovery/misfit_study.c
misfit_wraps = -Wl,--wrap=cloth_motion_start,--wrap=cloth_advance
tests_recovery_misfit_SOURCES = tests/recovery/misfit.c $(misfit_sources)
tests_recovery_misfit_LDFLAGS = $(misfit_wraps)
tests_recovery_test_misfit_SOURCES = tests/recovery/test_misfit.c $(misfit_sources)
tests_recovery_test_misfit_LDFLAGS = $(misfit_wraps)

# This one refuses threads.
tests_unit_test_parallel_LDFLAGS = -Wl,--wrap=pthread_create

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

# The recovery studies, and more of the shots that the outside solver plays than "make check" has.
check-long: restpoint $(recovery_tests) $(long_outside_tests)
	OUTSIDE_SHOTS=$${OUTSIDE_SHOTS-2000} $(MAKE) $(AM_MAKEFLAGS) check-TESTS \
		TESTS='$(recovery_tests) $(long_outside_tests)'

bench: $(bench_programs)
	@for program in $(bench_programs); do \
		echo "== $$program"; \
		$(test_environment) "./$$program" || exit 1; \
	done
