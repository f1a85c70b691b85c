/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/shot_choice.h"

#include <string.h>

#include "cli/locate.h"
#include "cli/nearest.h"

/* The name under which a protocol is installed: its file without folder and ending. */
static struct text installed_name(const struct protocol *protocol)
{
	const char *slash = strrchr(protocol->file, '/');
	const char *name = slash != NULL ? slash + 1 : protocol->file;
	const char *end = strrchr(name, '.');
	struct text text = {0};

	text_add_bytes(&text, name, end != NULL ? (size_t)(end - name) : strlen(name));
	return text;
}

static bool is_named(const struct protocol *protocol, const char *name)
{
	struct text installed = installed_name(protocol);
	bool same = strcmp(text_bytes(&installed), name) == 0;

	text_free(&installed);
	return same;
}

static enum status refuse_key(const struct invocation *invocation, const struct protocol *protocol,
                              const char *key)
{
	struct text words = {0};
	struct nearest nearest;

	text_print(&words, "option --shot: protocol %s has no shot \"%s\"", protocol->name, key);
	nearest_start(&nearest, key, strlen(key));
	for (size_t i = 0; i < protocol->shot_count; i++)
		nearest_offer(&nearest, protocol->shots[i].key);
	if (nearest.best != NULL)
		text_print(&words, "; did you mean %s?", nearest.best);
	else
		for (size_t i = 0; i < protocol->shot_count; i++)
			text_print(&words, "%s%s", i == 0 ? "; accepted: " : ", ",
			           protocol->shots[i].key);
	command_complain(invocation, "%s", text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

/* A name that nothing has: the nearest one, or where names are found. */
static enum status refuse_name(const struct invocation *invocation, const struct library *library,
                               const char *name)
{
	struct nearest nearest;

	nearest_start(&nearest, name, strlen(name));
	for (size_t i = 0; i < library->count; i++) {
		const struct protocol *protocol = library->protocols[i];

		nearest_offer(&nearest, protocol->name);
		for (size_t k = 0; k < protocol->shot_count; k++)
			nearest_offer(&nearest, protocol->shots[k].key);
	}
	if (nearest.best != NULL)
		return command_complain(
		    invocation,
		    "option --shot: no installed protocol and no shot of one is "
		    "called \"%s\"; did you mean %s?",
		    name, nearest.best);
	return command_complain(
	    invocation,
	    "option --shot: found \"%s\"; accepted: a protocol file (its name ends "
	    "in .json or holds /), the name of an installed protocol, or a shot "
	    "of one, which \"restpoint protocols\" lists",
	    name);
}

static enum status refuse_several(const struct invocation *invocation,
                                  const struct library *library, const char *name)
{
	const char *separator = "";
	struct text words = {0}, last = {0};

	text_print(&words, "option --shot: \"%s\" means several things: ", name);
	for (size_t i = 0; i < library->count; i++) {
		const struct protocol *protocol = library->protocols[i];
		struct text installed = installed_name(protocol);

		if (is_named(protocol, name)) {
			text_print(&words, "%severy shot of protocol %s", separator, name);
			separator = ", ";
		}
		if (protocol_find_shot(protocol, name) != NULL) {
			text_print(&words, "%sa shot of protocol %s", separator,
			           text_bytes(&installed));
			separator = ", ";
			text_free(&last);
			last = installed;
			continue;
		}
		text_free(&installed);
	}
	text_print(&words, "; say which with --protocol, as in --protocol=%s --shot=%s",
	           text_bytes(&last), name);
	command_complain(invocation, "%s", text_bytes(&words));
	text_free(&words);
	text_free(&last);
	return STATUS_USAGE;
}

static enum status find_name(const struct invocation *invocation, struct library *library,
                             const char *name, struct shot_choice *choice)
{
	size_t found = 0;

	if (!library_fill(library))
		return STATUS_SYSTEM;
	for (size_t i = 0; i < library->count; i++) {
		const struct protocol *protocol = library->protocols[i];
		const struct shot_design *shot = protocol_find_shot(protocol, name);

		if (is_named(protocol, name)) {
			found++;
			*choice = (struct shot_choice){.protocol = protocol};
		}
		if (shot != NULL) {
			found++;
			*choice = (struct shot_choice){.protocol = protocol, .shot = shot};
		}
	}
	if (found == 0)
		return refuse_name(invocation, library, name);
	return found == 1 ? STATUS_OK : refuse_several(invocation, library, name);
}

enum status shot_choice_find(const struct invocation *invocation, struct library *library,
                             const char *protocol, const char *shot, struct fault_list *faults,
                             struct shot_choice *choice)
{
	bool path = shot != NULL && locate_is_path(shot);

	*choice = (struct shot_choice){.protocol = NULL};
	if (protocol == NULL && shot == NULL)
		return command_complain(invocation,
		                        "option --shot is missing; give a protocol file, a "
		                        "protocol or a shot of one");
	if (protocol != NULL && path)
		return command_complain(
		    invocation,
		    "option --shot: found \"%s\", a file, but --protocol names one "
		    "already; accepted here: a shot of that protocol",
		    shot);
	if (protocol == NULL && !path)
		return find_name(invocation, library, shot, choice);
	choice->protocol = library_find(library, path ? shot : protocol, NULL, faults);
	if (choice->protocol == NULL)
		return faults->count > 0 ? faults->items[0].status : STATUS_SYSTEM;
	if (path || shot == NULL)
		return STATUS_OK;
	choice->shot = protocol_find_shot(choice->protocol, shot);
	return choice->shot != NULL ? STATUS_OK : refuse_key(invocation, choice->protocol, shot);
}
