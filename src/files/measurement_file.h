/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_MEASUREMENT_FILE_H
#define RESTPOINT_FILES_MEASUREMENT_FILE_H

#include "base/fault.h"
#include "base/status.h"
#include "base/text.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* How a measurement file finds its protocol: called once, after the settings were read.
 *   name  what #protocol says, or NULL when the file does not say
 * Returns the protocol (which outlives the measurement's reading), or NULL after adding its own
 * faults to the list. */
struct protocol_finder {
	const struct protocol *(*find)(void *context, const char *file, const char *name,
	                               struct fault_list *faults);
	void *context;
};

/* Reads a measurement file (formats.md 3) from disk, strictly: every fault of the file is added to
 * faults in one pass, sorted by place. STATUS_OK only when there was none; then *measurement is
 * complete, with each rest and rail reading in diamonds and each time in seconds. On any other
 * status *measurement is empty (set to zero).
 *   path      as the person gave it; kept in messages and in the profile
 *   finder    gives the protocol, against which shots, rails and intervals are checked
 *   protocol  receives the protocol found */
enum status measurement_file_read(const char *path, const struct protocol_finder *finder,
                                  struct measurement *measurement,
                                  const struct protocol **protocol, struct fault_list *faults);

/* The same from bytes in memory (for tests and fuzzers); file is the name for messages. */
enum status measurement_file_parse(const char *file, const char *bytes, size_t length,
                                   const struct protocol_finder *finder,
                                   struct measurement *measurement,
                                   const struct protocol **protocol, struct fault_list *faults);

/* Applies one setting as a settings row would, with `key` without its `#` (for `--set` of the
 * command line). Strings are copied into arena. STATUS_INPUT and a fault when it is refused. */
enum status measurement_setting_apply(struct session *session, struct arena *arena,
                                      const char *key, const char *value,
                                      struct fault_list *faults);

/* Reads one reading of a stroke as its cell in a file would be read, but also with a decimal comma,
 * into row (whose shot and balls are known), and checks it against the row's other readings.
 *   design    of the row's shot
 *   quantity  its number
 *   text      as typed; blank, `-` and `n/a` clear the reading
 * STATUS_OK; STATUS_INPUT with faults without a file, and the row stays as it was. */
enum status measurement_reading_read(const struct session *session,
                                     const struct shot_design *design, int quantity,
                                     const char *text, struct stroke_row *row,
                                     struct fault_list *faults);

/* Writes a measurement as text in the same format (RFC 4180, separator `,`, LF line ends): the
 * settings that differ from their default or were given, the header with the columns in use, one
 * row per stroke. decimals_position, decimals_time: digits after the point for diamonds and
 * seconds, or -1 for all that a double holds. What is written reads back to the same. */
void measurement_file_print(const struct measurement *measurement, int decimals_position,
                            int decimals_time, struct text *out);

#endif
