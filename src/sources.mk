# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every source file and header, by folder, in alphabetical order, one a line. A new file goes into
# the list of its folder with a backslash on every line but the last; the layers test names a file
# that stands in no list. src/cli/main.c is not here: it belongs to the program, not to a library.

base_sources = \
	src/base/arena.h \
	src/base/fault.h \
	src/base/number.h \
	src/base/progress.h \
	src/base/random.h \
	src/base/status.h \
	src/base/text.h \
	src/base/vector.h

table_sources = \
	src/table/notation.h \
	src/table/rail.h \
	src/table/table.h

model_sources = \
	src/model/constants.h \
	src/model/measurement.h \
	src/model/profile.h \
	src/model/protocol.h \
	src/model/quantity.h \
	src/model/stroke.h

physics_sources = \
	src/physics/ball.c \
	src/physics/ball.h \
	src/physics/cloth.c \
	src/physics/cloth.h \
	src/physics/collision.c \
	src/physics/collision.h \
	src/physics/cue.c \
	src/physics/cue.h \
	src/physics/cushion.c \
	src/physics/cushion.h \
	src/physics/cushion_rates.c \
	src/physics/cushion_rates.h \
	src/physics/roots.c \
	src/physics/roots.h

shot_sources =

estimate_sources = \
	src/estimate/fit.h \
	src/estimate/least_squares.h \
	src/estimate/simulate.h

advise_sources = \
	src/advise/assess.h

files_sources = \
	src/files/disk.h \
	src/files/json_text.h \
	src/files/measurement_file.h \
	src/files/profile_file.h \
	src/files/protocol_file.h

report_sources =

cli_sources =
