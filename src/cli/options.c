/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/options.h"

#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/random.h"
#include "cli/nearest.h"

#define LARGEST_SEED 9007199254740991u /* 2^53 - 1 */

const struct option_rule options_common[] = {
	{0, "json", NULL, "answer with one JSON object on standard output", false},
	{'h', "help", NULL, "print this help and end", false},
	{0, NULL, NULL, NULL, false},
};

/* The work of reading one command line. */
struct reading {
	const struct option_rule *rules;
	int argc;
	char *const *argv;
	int next; /* argument to read */
	struct options *options;
	struct text *complaint;
};

static const struct option_rule *find_in(const struct option_rule *rules, const char *name,
                                         size_t length, char letter)
{
	for (; rules->name != NULL; rules++) {
		if (letter != 0 ? rules->letter == letter
		                : strlen(rules->name) == length && strncmp(rules->name, name, length) == 0)
			return rules;
	}
	return NULL;
}

static const struct option_rule *find_rule(const struct reading *reading, const char *name,
                                           size_t length, char letter)
{
	const struct option_rule *rule = find_in(reading->rules, name, length, letter);

	return rule != NULL ? rule : find_in(options_common, name, length, letter);
}

/* Says that an option is unknown and which known one is nearest. */
static enum status refuse_unknown(struct reading *reading, const char *argument, size_t length)
{
	const struct option_rule *tables[] = {reading->rules, options_common};
	struct nearest nearest;

	nearest_start(&nearest, argument + 2, length - 2);
	for (size_t i = 0; i < 2; i++) {
		for (const struct option_rule *rule = tables[i]; rule->name != NULL; rule++)
			nearest_offer(&nearest, rule->name);
	}
	text_print(reading->complaint, "unknown option \"%.*s\"", (int)length, argument);
	if (nearest.best != NULL)
		text_print(reading->complaint, "; did you mean --%s?", nearest.best);
	return STATUS_USAGE;
}

static enum status keep(struct reading *reading, const struct option_rule *rule,
                        const char *value)
{
	struct options *options = reading->options;

	if (!rule->repeats && options_has(options, rule->name)) {
		text_print(reading->complaint, "option --%s is given twice; give it once", rule->name);
		return STATUS_USAGE;
	}
	options->given[options->given_count++] = (struct option_given){rule, value};
	return STATUS_OK;
}

/* Takes the value of an option from behind `=` (or the letter), or from the next argument. */
static enum status keep_with_value(struct reading *reading, const struct option_rule *rule,
                                   const char *attached)
{
	if (rule->value == NULL) {
		if (attached == NULL)
			return keep(reading, rule, NULL);
		text_print(reading->complaint, "option --%s takes no value, found \"%s\"; leave it out",
		           rule->name, attached);
		return STATUS_USAGE;
	}
	if (attached == NULL && reading->next < reading->argc)
		attached = reading->argv[reading->next++];
	if (attached == NULL || attached[0] == '\0') {
		text_print(reading->complaint, "option --%s needs a value; write --%s=%s", rule->name,
		           rule->name, rule->value);
		return STATUS_USAGE;
	}
	return keep(reading, rule, attached);
}

static enum status read_long(struct reading *reading, const char *argument)
{
	size_t length = strcspn(argument, "=");
	const struct option_rule *rule = find_rule(reading, argument + 2, length - 2, 0);

	if (rule == NULL)
		return refuse_unknown(reading, argument, length);
	return keep_with_value(reading, rule,
	                       argument[length] == '=' ? argument + length + 1 : NULL);
}

/* One argument of short options: flags may stand together, a value ends the argument. */
static enum status read_short(struct reading *reading, const char *argument)
{
	enum status status = STATUS_OK;

	for (const char *letter = argument + 1; *letter != '\0' && status == STATUS_OK; letter++) {
		const struct option_rule *rule = find_rule(reading, NULL, 0, *letter);

		if (rule == NULL) {
			text_print(reading->complaint, "unknown option \"-%c\"", *letter);
			return STATUS_USAGE;
		}
		if (rule->value != NULL)
			return keep_with_value(reading, rule, letter[1] != '\0' ? letter + 1 : NULL);
		status = keep(reading, rule, NULL);
	}
	return status;
}

static enum status read_argument(struct reading *reading, bool *ended)
{
	const char *argument = reading->argv[reading->next++];
	struct options *options = reading->options;

	if (!*ended && strcmp(argument, "--") == 0) {
		*ended = true;
		return STATUS_OK;
	}
	if (!*ended && argument[0] == '-' && argument[1] == '-')
		return read_long(reading, argument);
	if (!*ended && argument[0] == '-' && argument[1] != '\0')
		return read_short(reading, argument);
	options->operands[options->operand_count++] = argument;
	return STATUS_OK;
}

enum status options_read(const struct option_rule *rules, int argc, char *const *argv,
                         struct options *options, struct text *complaint)
{
	struct reading reading = {rules, argc, argv, 0, options, complaint};
	enum status status = STATUS_OK;
	size_t letters = 1; /* each letter of each argument may be an option */
	bool ended = false;

	memset(options, 0, sizeof(*options));
	for (int i = 0; i < argc; i++)
		letters += strlen(argv[i]) + 1;
	options->given = calloc(letters, sizeof(*options->given));
	options->operands = calloc((size_t)argc + 1, sizeof(*options->operands));
	if (options->given == NULL || options->operands == NULL)
		return STATUS_SYSTEM;
	while (reading.next < argc && status == STATUS_OK)
		status = read_argument(&reading, &ended);
	return status;
}

void options_free(struct options *options)
{
	free(options->given);
	free(options->operands);
	memset(options, 0, sizeof(*options));
}

bool options_has(const struct options *options, const char *name)
{
	for (size_t i = 0; i < options->given_count; i++) {
		if (strcmp(options->given[i].rule->name, name) == 0)
			return true;
	}
	return false;
}

const char *options_value(const struct options *options, const char *name)
{
	for (size_t i = options->given_count; i-- > 0;) {
		if (strcmp(options->given[i].rule->name, name) == 0)
			return options->given[i].value;
	}
	return NULL;
}

bool options_want_json(int argc, char *const *argv)
{
	for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++) {
		if (strcmp(argv[i], "--json") == 0)
			return true;
	}
	return false;
}

enum status options_seed(const struct options *options, uint64_t *seed, struct text *complaint)
{
	const char *value = options_value(options, "seed");
	unsigned long long number = RANDOM_DEFAULT_SEED;

	if (value != NULL && !number_read_count(value, strlen(value), LARGEST_SEED, &number)) {
		text_print(complaint, "option --seed: found \"%s\"; accepted: a whole number from 0 to %llu",
		           value, (unsigned long long)LARGEST_SEED);
		return STATUS_USAGE;
	}
	*seed = number;
	return STATUS_OK;
}
