# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every source file and header, by folder, in alphabetical order, one a line. A new file goes into
# the list of its folder with a backslash on every line but the last; the layers test names a file
# that stands in no list. src/cli/main.c is not here: it belongs to the program, not to a library.

base_sources = \
	src/base/arena.c \
	src/base/arena.h \
	src/base/fault.c \
	src/base/fault.h \
	src/base/number.c \
	src/base/number.h \
	src/base/parallel.c \
	src/base/parallel.h \
	src/base/progress.h \
	src/base/random.c \
	src/base/random.h \
	src/base/status.c \
	src/base/status.h \
	src/base/text.c \
	src/base/text.h \
	src/base/vector.h

table_sources = \
	src/table/notation.c \
	src/table/notation.h \
	src/table/notation_amount.c \
	src/table/notation_amount.h \
	src/table/notation_date.c \
	src/table/notation_explain.c \
	src/table/notation_explain.h \
	src/table/notation_range.c \
	src/table/rail.c \
	src/table/rail.h \
	src/table/table.c \
	src/table/table.h

model_sources = \
	src/model/constant_terms.c \
	src/model/constant_terms.h \
	src/model/constants.c \
	src/model/constants.h \
	src/model/measurement.c \
	src/model/measurement.h \
	src/model/profile.c \
	src/model/profile.h \
	src/model/protocol.c \
	src/model/protocol.h \
	src/model/quantity.c \
	src/model/quantity.h \
	src/model/stroke.h

physics_sources = \
	src/physics/ball.c \
	src/physics/ball.h \
	src/physics/cloth.c \
	src/physics/cloth.h \
	src/physics/collision.c \
	src/physics/collision.h \
	src/physics/collision_meeting.h \
	src/physics/collision_slopes.c \
	src/physics/cue.c \
	src/physics/cue.h \
	src/physics/cushion.c \
	src/physics/cushion.h \
	src/physics/cushion_collocation.c \
	src/physics/cushion_collocation.h \
	src/physics/cushion_events.c \
	src/physics/cushion_events.h \
	src/physics/cushion_follow.c \
	src/physics/cushion_free.c \
	src/physics/cushion_free.h \
	src/physics/cushion_glide.c \
	src/physics/cushion_glide.h \
	src/physics/cushion_glide_step.c \
	src/physics/cushion_glide_step.h \
	src/physics/cushion_hop.c \
	src/physics/cushion_impact.c \
	src/physics/cushion_impact.h \
	src/physics/cushion_passage.c \
	src/physics/cushion_passage.h \
	src/physics/cushion_points.c \
	src/physics/cushion_points.h \
	src/physics/cushion_polynomial.c \
	src/physics/cushion_polynomial.h \
	src/physics/cushion_rates.c \
	src/physics/cushion_rates.h \
	src/physics/cushion_series.c \
	src/physics/cushion_series.h \
	src/physics/cushion_slide.c \
	src/physics/cushion_slopes.c \
	src/physics/cushion_slopes.h \
	src/physics/cushion_start.c \
	src/physics/cushion_tangent.c \
	src/physics/cushion_tangent.h \
	src/physics/cushion_tangent_step.c \
	src/physics/cushion_trail.c \
	src/physics/cushion_way.c \
	src/physics/cushion_way.h \
	src/physics/flight.c \
	src/physics/flight.h \
	src/physics/roots.c \
	src/physics/roots.h \
	src/physics/slope.c \
	src/physics/slope.h \
	src/physics/slope_curve.c \
	src/physics/slope_curve.h

shot_sources = \
	src/shot/batch.c \
	src/shot/batch.h \
	src/shot/contacts.c \
	src/shot/contacts.h \
	src/shot/contacts_balls.c \
	src/shot/contacts_rail.c \
	src/shot/events.c \
	src/shot/events.h \
	src/shot/events_curved.c \
	src/shot/events_curved.h \
	src/shot/gradient.h \
	src/shot/gradient_rows.h \
	src/shot/observe.c \
	src/shot/observe.h \
	src/shot/observe_find.c \
	src/shot/observe_find.h \
	src/shot/observe_gradient.c \
	src/shot/observe_gradient.h \
	src/shot/play.c \
	src/shot/play.h \
	src/shot/scene_check.c \
	src/shot/scene_check.h \
	src/shot/setup.c \
	src/shot/setup.h \
	src/shot/strike_gradient.c \
	src/shot/strike_gradient.h \
	src/shot/tangents.c \
	src/shot/tangents.h \
	src/shot/tangents_contacts.c \
	src/shot/tangents_motion.c \
	src/shot/trace.c \
	src/shot/trace.h \
	src/shot/trace_path.c \
	src/shot/trace_path.h \
	src/shot/traced_shot.c \
	src/shot/traced_shot.h

estimate_sources = \
	src/estimate/coverage.c \
	src/estimate/coverage.h \
	src/estimate/edge_strokes.c \
	src/estimate/edge_strokes.h \
	src/estimate/fit.c \
	src/estimate/fit.h \
	src/estimate/fit_build.c \
	src/estimate/fit_problem.c \
	src/estimate/fit_problem.h \
	src/estimate/fit_states.c \
	src/estimate/fit_states.h \
	src/estimate/jacobian.c \
	src/estimate/jacobian.h \
	src/estimate/least_squares.c \
	src/estimate/least_squares.h \
	src/estimate/least_squares_starts.c \
	src/estimate/own_space.c \
	src/estimate/own_space.h \
	src/estimate/propagate.c \
	src/estimate/propagate.h \
	src/estimate/readings.c \
	src/estimate/readings.h \
	src/estimate/robust_loss.c \
	src/estimate/robust_loss.h \
	src/estimate/set_aside.c \
	src/estimate/set_aside.h \
	src/estimate/simulate.c \
	src/estimate/simulate.h \
	src/estimate/stroke_case.c \
	src/estimate/stroke_case.h \
	src/estimate/stroke_gradient.c \
	src/estimate/stroke_gradient.h \
	src/estimate/stroke_model.c \
	src/estimate/stroke_model.h

advise_sources = \
	src/advise/assess.c \
	src/advise/assess.h \
	src/advise/conditions.c \
	src/advise/conditions.h

files_sources = \
	src/files/constants_file.c \
	src/files/csv_rows.c \
	src/files/csv_rows.h \
	src/files/digest.c \
	src/files/disk.c \
	src/files/disk.h \
	src/files/json_document.c \
	src/files/json_read.c \
	src/files/json_read.h \
	src/files/json_scan.c \
	src/files/json_scan.h \
	src/files/json_string.c \
	src/files/json_string.h \
	src/files/json_text.c \
	src/files/json_text.h \
	src/files/json_tree.c \
	src/files/json_tree.h \
	src/files/measurement_cells.c \
	src/files/measurement_columns.c \
	src/files/measurement_file.c \
	src/files/measurement_file.h \
	src/files/measurement_print.c \
	src/files/measurement_read.h \
	src/files/measurement_rows.c \
	src/files/measurement_settings.c \
	src/files/plain_number.c \
	src/files/plain_number.h \
	src/files/profile_balls.c \
	src/files/profile_estimate.c \
	src/files/profile_file.c \
	src/files/profile_file.h \
	src/files/profile_fit.c \
	src/files/profile_print.c \
	src/files/profile_read.h \
	src/files/profile_root.c \
	src/files/profile_table.c \
	src/files/profile_terms.c \
	src/files/protocol_aim.c \
	src/files/protocol_file.c \
	src/files/protocol_file.h \
	src/files/protocol_measure.c \
	src/files/protocol_place.c \
	src/files/protocol_read.h \
	src/files/protocol_shot.c \
	src/files/refusal.c \
	src/files/refusal.h \
	src/files/session_notes.c \
	src/files/session_notes.h \
	src/files/setting_print.c \
	src/files/setting_print.h \
	src/files/setting_rules.c \
	src/files/setting_rules.h \
	src/files/timestamp.c \
	src/files/timestamp.h \
	src/files/utf8.c \
	src/files/utf8.h \
	src/files/words.c \
	src/files/words.h

report_sources = \
	src/report/canvas.c \
	src/report/canvas.h \
	src/report/drawing.c \
	src/report/drawing.h \
	src/report/drawing_labels.c \
	src/report/drawing_labels.h \
	src/report/fit_text.c \
	src/report/fit_text.h \
	src/report/fit_words.c \
	src/report/fit_words.h \
	src/report/format_value.c \
	src/report/format_value.h \
	src/report/measurement_json.c \
	src/report/measurement_summary.c \
	src/report/measurement_summary.h \
	src/report/measurement_text.c \
	src/report/measurement_text.h \
	src/report/paragraph.c \
	src/report/paragraph.h \
	src/report/profile_text.c \
	src/report/profile_text.h \
	src/report/progress_text.c \
	src/report/progress_text.h \
	src/report/protocol_text.c \
	src/report/protocol_text.h \
	src/report/protocol_words.c \
	src/report/protocol_words.h \
	src/report/remarks.c \
	src/report/remarks.h \
	src/report/remarks_measurement.c \
	src/report/simulation_text.c \
	src/report/simulation_text.h \
	src/report/table_text.c \
	src/report/table_text.h \
	src/report/trace_drawing.c \
	src/report/trace_drawing.h \
	src/report/trace_json.c \
	src/report/trace_json.h \
	src/report/trace_lines.c \
	src/report/trace_lines.h \
	src/report/trace_marks.c \
	src/report/trace_marks.h \
	src/report/trace_text.c \
	src/report/trace_text.h \
	src/report/trace_words.c \
	src/report/trace_words.h \
	src/report/wording.c \
	src/report/wording.h

cli_sources = \
	src/cli/command.c \
	src/cli/command.h \
	src/cli/command_check.c \
	src/cli/command_fit.c \
	src/cli/command_protocols.c \
	src/cli/command_show.c \
	src/cli/command_simulate.c \
	src/cli/help.c \
	src/cli/help.h \
	src/cli/inputs.c \
	src/cli/inputs.h \
	src/cli/library.c \
	src/cli/locate.c \
	src/cli/locate.h \
	src/cli/made.c \
	src/cli/made.h \
	src/cli/messages.c \
	src/cli/messages.h \
	src/cli/nearest.c \
	src/cli/nearest.h \
	src/cli/options.c \
	src/cli/options.h \
	src/cli/output.c \
	src/cli/output.h \
	src/cli/progress_bar.c \
	src/cli/progress_bar.h \
	src/cli/relative.c \
	src/cli/relative.h \
	src/cli/signals.c \
	src/cli/signals.h \
	src/cli/trace_option.c \
	src/cli/trace_option.h
