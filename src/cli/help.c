/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/help.h"

#include "report/paragraph.h"

/* PACKAGE_VERSION, PACKAGE_BUGREPORT and PACKAGE_URL come from configure on the command line of the
 * compiler; of the two addresses nothing is printed while they are empty. */

#define OPTION_WIDTH 28

static void print_option(const struct option_rule *rule, struct text *out)
{
	struct text name = {0};

	if (rule->letter != 0)
		text_print(&name, "-%c, --%s", rule->letter, rule->name);
	else
		text_print(&name, "    --%s", rule->name);
	if (rule->value != NULL)
		text_print(&name, "=%s", rule->value);
	text_add(&name, " ");
	if (text_columns(text_bytes(&name)) <= OPTION_WIDTH) {
		paragraph_fact(out, text_bytes(&name), OPTION_WIDTH, rule->help);
	} else {
		text_print(out, "  %s\n", text_bytes(&name));
		paragraph_add(out, 2 + OPTION_WIDTH, 2 + OPTION_WIDTH, rule->help);
	}
	out->failed = out->failed || name.failed;
	text_free(&name);
}

static void print_contact(struct text *out)
{
	if (PACKAGE_BUGREPORT[0] != '\0' || PACKAGE_URL[0] != '\0')
		text_add(out, "\n");
	if (PACKAGE_BUGREPORT[0] != '\0')
		text_add(out, "Report bugs to: " PACKAGE_BUGREPORT "\n");
	if (PACKAGE_URL[0] != '\0')
		text_add(out, "restpoint home page: <" PACKAGE_URL ">\n");
}

static void print_commands(struct text *out)
{
	size_t count;
	const struct command *const *commands = command_table(&count);

	text_add(out, "\nCommands:\n");
	for (size_t i = 0; i < count; i++)
		paragraph_fact(out, commands[i]->name, 12, commands[i]->summary);
	paragraph_fact(out, "help", 12, "prints help on the command that follows");
}

void help_program(struct text *out)
{
	text_add(out, "Usage: " HELP_USAGE "\n");
	paragraph_add(out, 0, 0,
	              "Measures a billiard table and its balls from shots that a player can play: how "
	              "it rolls, slides and grips, each number with what is not known about it.");
	print_commands(out);
	text_add(out, "\nOptions:\n");
	paragraph_fact(out, "-h, --help", OPTION_WIDTH, "print this help and end");
	paragraph_fact(out, "-V, --version", OPTION_WIDTH, "print version and licence and end");
	text_add(out, "\nEnvironment:\n");
	paragraph_fact(out, "RESTPOINT_DATA", OPTION_WIDTH,
	               "folder that holds protocols/ in place of the installed one");
	paragraph_fact(out, "SOURCE_DATE_EPOCH", OPTION_WIDTH,
	               "seconds since 1970 to write as the time a profile was made");
	text_add(out, "\nExit status:\n");
	paragraph_fact(out, "0", 5, "answered, also when some constants are not determined");
	paragraph_fact(out, "2", 5, "the command line is wrong");
	paragraph_fact(out, "3", 5, "a file was refused; the messages say where and why");
	paragraph_fact(out, "4", 5, "no constant could be determined, or the fit did not converge");
	paragraph_fact(out, "5", 5, "the system refused something, or a defect of this program");
	paragraph_fact(out, "130", 5, "interrupted");
	text_add(out, "\nHelp on a command: restpoint help COMMAND, or restpoint COMMAND --help.\n");
	print_contact(out);
}

void help_command(const struct command *command, struct text *out)
{
	paragraph_print(out, 0, 7, "Usage: %s", command->usage);
	paragraph_add(out, 0, 0, command->purpose);
	text_add(out, "\nOptions:\n");
	for (const struct option_rule *rule = command->options; rule->name != NULL; rule++)
		print_option(rule, out);
	for (const struct option_rule *rule = options_common; rule->name != NULL; rule++)
		print_option(rule, out);
	print_contact(out);
}

const char *help_version_number(void)
{
	return PACKAGE_VERSION;
}

void help_version(struct text *out)
{
	text_add(out, "restpoint " PACKAGE_VERSION "\n"
	              "Copyright (C) 2026 the authors of restpoint\n"
	              "License GPLv3+: GNU GPL version 3 or later "
	              "<https://gnu.org/licenses/gpl.html>.\n"
	              "This is free software: you are free to change and redistribute it.\n"
	              "There is NO WARRANTY, to the extent permitted by law.\n");
}
