/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/plan_options.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "cli/nearest.h"
#include "files/measurement_file.h"
#include "files/utf8.h"

#define MINUTES_MOST 1440.0

/* A word of a list whose words are parted by commas. */
struct word {
	const char *bytes;
	size_t length;
};

/* The next word of what is left; *rest is NULL after the last. */
static struct word next_word(const char **rest)
{
	struct word word = {*rest, strcspn(*rest, ",")};

	*rest = word.bytes[word.length] == ',' ? word.bytes + word.length + 1 : NULL;
	return word;
}

static bool is_word(struct word word, const char *known)
{
	return strlen(known) == word.length && memcmp(known, word.bytes, word.length) == 0;
}

static enum status read_kit(const struct invocation *invocation, unsigned *kit)
{
	static const struct {
		const char *name;
		unsigned bit;
	} known[] = {
	    {"tape", KIT_TAPE}, {"watch", KIT_WATCH}, {"sound", KIT_SOUND}, {"ramp", KIT_RAMP}};
	const char *rest = options_value(&invocation->options, "kit");

	*kit = rest == NULL ? KIT_TAPE : 0u;
	if (rest == NULL || strcmp(rest, "none") == 0)
		return STATUS_OK;
	do {
		struct word word = next_word(&rest);
		size_t i = 0;

		while (i < sizeof known / sizeof known[0] && !is_word(word, known[i].name))
			i++;
		if (i == sizeof known / sizeof known[0])
			return command_complain(
			    invocation,
			    "option --kit: found \"%.*s\"; accepted: none, or a "
			    "list of tape, watch, sound, ramp, parted by commas",
			    (int)word.length, word.bytes);
		*kit |= known[i].bit;
	} while (rest != NULL);
	return STATUS_OK;
}

/* The quantity of that name; -1 after a complaint that names the nearest one. */
static int read_quantity(const struct invocation *invocation, struct word name)
{
	char bytes[64];
	struct nearest nearest;
	int quantity;

	if (name.length < sizeof bytes) {
		memcpy(bytes, name.bytes, name.length);
		bytes[name.length] = '\0';
		if (plan_quantity_from_name(bytes, &quantity))
			return quantity;
	}
	nearest_start(&nearest, name.bytes, name.length);
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		nearest_offer(&nearest, plan_quantity_name(q));
	command_complain(
	    invocation,
	    "option --want: found \"%.*s\"; accepted: the name of a constant or of a "
	    "condition as in a profile%s%s",
	    (int)name.length, name.bytes, nearest.best != NULL ? "; did you mean " : ", such as ",
	    nearest.best != NULL ? nearest.best : "sliding_friction or one_length_time_s");
	return -1;
}

static enum status read_want(const struct invocation *invocation, struct word want,
                             struct plan_request *request)
{
	const char *equals = memchr(want.bytes, '=', want.length);
	struct word name = {want.bytes,
	                    equals != NULL ? (size_t)(equals - want.bytes) : want.length};
	size_t length;
	double percent;
	int quantity = read_quantity(invocation, name);

	if (quantity < 0)
		return STATUS_USAGE;
	length = equals != NULL ? want.length - name.length - 1 : 0;
	if (length < 2 || equals[length] != '%' ||
	    !number_read_plain(equals + 1, length - 1, '.', &percent) || !(percent > 0.0) ||
	    percent > 100.0)
		return command_complain(
		    invocation,
		    "option --want: found \"%.*s\"; accepted: NAME=N%%, the error "
		    "wanted in percent of the value, above 0 and at most 100, "
		    "such as %.*s=5%%",
		    (int)want.length, want.bytes, (int)name.length, name.bytes);
	request->want[quantity] = 0.01 * percent;
	request->stops = true;
	return STATUS_OK;
}

static enum status read_reader(const struct invocation *invocation, const char *value,
                               struct plan_request *request)
{
	for (int reader = 0; reader < PLAN_READERS; reader++) {
		if (strcmp(value, plan_reader_name((enum plan_reader)reader)) != 0)
			continue;
		for (int q = 0; q < PLAN_QUANTITIES; q++)
			request->want[q] = plan_reader_want((enum plan_reader)reader, q);
		request->stops = true;
		return STATUS_OK;
	}
	return command_complain(
	    invocation, "option --for: found \"%s\"; accepted: room, player, referee", value);
}

static enum status read_wants(const struct invocation *invocation, struct plan_request *request)
{
	const struct options *options = &invocation->options;
	const char *reader = options_value(options, "for");
	enum status status = STATUS_OK;

	if (reader != NULL)
		status = read_reader(invocation, reader, request);
	for (size_t i = 0; i < options->given_count && status == STATUS_OK; i++) {
		const char *rest = options->given[i].value;

		if (strcmp(options->given[i].rule->name, "want") != 0)
			continue;
		do
			status = read_want(invocation, next_word(&rest), request);
		while (status == STATUS_OK && rest != NULL);
	}
	for (int q = 0; q < PLAN_QUANTITIES && !request->stops; q++)
		request->want[q] = plan_quantity_default(q);
	return status;
}

/* Without any limit a plan of all constants has so many strokes. */
#define STROKES_DEFAULT 12

static enum status read_limits(const struct invocation *invocation, struct plan_request *request)
{
	const char *minutes = options_value(&invocation->options, "minutes");
	enum status status = command_read_count(invocation, "shots", 1, PLAN_STROKES,
	                                        request->strokes, &request->strokes);

	if (status == STATUS_OK)
		status = command_read_count(invocation, "candidates", PLAN_CANDIDATES_LEAST,
		                            PLAN_CANDIDATES_MOST, PLAN_CANDIDATES,
		                            &request->candidates);
	if (status == STATUS_OK && minutes != NULL &&
	    (!number_read_plain(minutes, strlen(minutes), '.', &request->minutes) ||
	     request->minutes < 2.0 || request->minutes > MINUTES_MOST))
		return command_complain(
		    invocation,
		    "option --minutes: found \"%s\"; accepted: a number of minutes "
		    "from 2 to %.0f",
		    minutes, MINUTES_MOST);
	if (request->minutes == 0.0 && request->strokes == 0 && !request->stops)
		request->strokes = STROKES_DEFAULT;
	return status;
}

static enum status read_spread(const struct invocation *invocation, struct word given,
                               struct plan_spreads *spreads)
{
	const struct {
		const char *name;
		double *value, least, most;
		const char *unit;
	} known[] = {{"speed", &spreads->speed, 0.01, 1.0, "as a share of the speed"},
	             {"aim", &spreads->aim, 0.02, 5.0, "in degrees"},
	             {"height", &spreads->height, 0.005, 0.3, "as a fraction of the radius"},
	             {"side", &spreads->side, 0.005, 0.3, "as a fraction of the radius"}};
	const char *equals = memchr(given.bytes, '=', given.length);
	size_t length = equals != NULL ? (size_t)(equals - given.bytes) : given.length;
	double value;

	for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
		if (!is_word((struct word){given.bytes, length}, known[i].name))
			continue;
		if (equals != NULL &&
		    number_read_plain(equals + 1, given.length - length - 1, '.', &value) &&
		    value >= known[i].least && value <= known[i].most) {
			*known[i].value = value;
			return STATUS_OK;
		}
		return command_complain(
		    invocation,
		    "option --spread: found \"%.*s\"; accepted: %s=N, 1 standard "
		    "deviation %s, from %g to %g",
		    (int)given.length, given.bytes, known[i].name, known[i].unit, known[i].least,
		    known[i].most);
	}
	return command_complain(
	    invocation,
	    "option --spread: found \"%.*s\"; accepted: speed=N, aim=N, height=N, "
	    "side=N, parted by commas",
	    (int)given.length, given.bytes);
}

static enum status read_spreads(const struct invocation *invocation, struct plan_spreads *spreads)
{
	const char *rest = options_value(&invocation->options, "spread");
	enum status status = STATUS_OK;

	*spreads = (struct plan_spreads){PLAN_SPREAD_SPEED, PLAN_SPREAD_AIM, PLAN_SPREAD_TIP,
	                                 PLAN_SPREAD_TIP};
	if (rest == NULL)
		return STATUS_OK;
	do
		status = read_spread(invocation, next_word(&rest), spreads);
	while (status == STATUS_OK && rest != NULL);
	return status;
}

enum status plan_options_read(const struct invocation *invocation, struct plan_request *request)
{
	enum status status = command_read_seed(invocation, &request->seed);

	if (status == STATUS_OK)
		status = read_kit(invocation, &request->kit);
	if (status == STATUS_OK)
		status = read_wants(invocation, request);
	if (status == STATUS_OK)
		status = read_limits(invocation, request);
	return status == STATUS_OK ? read_spreads(invocation, &request->spreads) : status;
}

static enum status apply(const struct invocation *invocation, const struct option_given *given,
                         struct arena *arena, struct session *session, struct fault_list *faults)
{
	bool table = strcmp(given->rule->name, "table") == 0;
	size_t length = strcspn(given->value, "=");
	const char *key;

	if (table)
		return measurement_setting_apply(session, arena, "table", given->value, faults);
	if (length == 0 || given->value[length] == '\0')
		return command_complain(
		    invocation,
		    "option --set: found \"%s\"; accepted: KEY=VALUE, a setting of a "
		    "measurement file without its #",
		    given->value);
	key = arena_copy(arena, given->value, length);
	if (key == NULL)
		return STATUS_SYSTEM;
	return measurement_setting_apply(session, arena, key, given->value + length + 1, faults);
}

enum status plan_options_session(const struct invocation *invocation, struct arena *arena,
                                 struct plan_request *request, struct fault_list *faults)
{
	const struct options *options = &invocation->options;
	enum status status = STATUS_OK;

	if (!(request->kit & KIT_TAPE))
		request->session.errors.position = PLAN_EYE_ERROR;
	for (size_t i = 0; i < options->given_count; i++) {
		const struct option_given *given = &options->given[i];
		enum status one;

		if (strcmp(given->rule->name, "table") != 0 &&
		    strcmp(given->rule->name, "set") != 0)
			continue;
		one = apply(invocation, given, arena, &request->session, faults);
		if (one == STATUS_SYSTEM)
			return one;
		status = one == STATUS_OK ? status : STATUS_USAGE;
	}
	return status;
}

const char *plan_options_name(const struct invocation *invocation, const char *output,
                              struct arena *arena, enum status *status)
{
	const char *name = options_value(&invocation->options, "name");
	size_t length;

	*status = STATUS_OK;
	if (name == NULL && output != NULL) {
		const char *slash = strrchr(output, '/');

		name = slash != NULL ? slash + 1 : output;
		length = strlen(name);
		if (length > 5 && strcmp(name + length - 5, ".json") == 0)
			length -= 5;
		name = arena_copy(arena, name, length);
		if (name == NULL)
			*status = STATUS_SYSTEM;
	} else if (name == NULL) {
		name = "plan";
	}
	length = name != NULL ? strlen(name) : 0;
	if (name != NULL && (length == 0 || strchr(name, '/') != NULL || !utf8_is_plain(name) ||
	                     (length >= 5 && strcmp(name + length - 5, ".json") == 0))) {
		*status =
		    command_complain(invocation,
		                     "the name of the protocol: found \"%s\"; accepted: a name of "
		                     "one line without / and not ending in .json; give one with "
		                     "--name",
		                     name);
		return NULL;
	}
	return name;
}
