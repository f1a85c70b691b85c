/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/omissions_text.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/format_value.h"
#include "report/paragraph.h"

/* What a told value is too much, in parts of the true one. */
static double excess(const struct fit_result *fit, const struct fit_omission *omission,
                     enum constant_id id)
{
	double centre = fit->centre[id];

	return constant_from_scale(id, centre) /
	           constant_from_scale(id, centre - omission->shift[id]) -
	       1.0;
}

static double standard_errors(const struct fit_result *fit, const struct fit_omission *omission,
                              enum constant_id id)
{
	return omission->shift[id] / sqrt(fit->covariance[id][id]);
}

static void print_omission(const struct fit_result *fit, const struct fit_omission *omission,
                           struct text *out)
{
	char amount[NUMBER_SIZE], power[NUMBER_SIZE];
	struct text words = {0};
	bool first = true;

	text_print(&words, "- %s: ", omission_rule(omission->which)->words);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double much = 100.0 * excess(fit, omission, (enum constant_id)id);

		if (!omission->large[id])
			continue;
		number_print_fixed(fabs(much), fabs(much) < 10.0 ? 1 : 0, amount);
		text_print(&words, "%s%s %c%s %%", first ? "" : ", ",
		           constant_prior((enum constant_id)id)->title, much < 0.0 ? '-' : '+',
		           amount);
		first = false;
	}
	number_print_fixed(100.0 * omission->power, 0, power);
	text_print(&words, "; seen in %s %%", power);
	paragraph_add(out, 2, 4, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

/* What would settle the ones that are told, each way once. */
static void print_settle(const struct fit_result *fit, struct text *out)
{
	for (size_t i = 0; i < fit->omission_count; i++) {
		const char *settle = omission_rule(fit->omissions[i].which)->settle;
		bool new = fit->omissions[i].told &&settle != NULL;

		for (size_t k = 0; k < i && new; k++) {
			const char *before = omission_rule(fit->omissions[k].which)->settle;

			new = !fit->omissions[k].told || before == NULL ||
			      strcmp(before, settle) != 0;
		}
		if (new)
			paragraph_print(out, 2, 4, "to settle it: %s", settle);
	}
}

void omissions_text_print(const struct fit_result *fit, struct text *out)
{
	bool any = false;

	if (fit->omission_count == 0)
		return;
	for (size_t i = 0; i < fit->omission_count; i++)
		any = any || fit->omissions[i].told;
	text_add(out, "\nWhat the model leaves out\n");
	if (!any) {
		paragraph_add(
		    out, 2, 2,
		    "Nothing of it, in the assumed sizes of restpoint-method(7), shifts a "
		    "constant told above by more than a standard error without being seen.");
		return;
	}
	paragraph_add(out, 2, 2,
	              "A table may do this, in sizes that are assumed (restpoint-method(7)). The "
	              "constants are then told too high (+) or too low (-) by more than a standard "
	              "error, and the lack-of-fit test sees it in few of such sessions:");
	for (size_t i = 0; i < fit->omission_count; i++)
		if (fit->omissions[i].told)
			print_omission(fit, &fit->omissions[i], out);
	print_settle(fit, out);
}

static void write_shifts(const struct fit_result *fit, const struct fit_omission *omission,
                         struct json_writer *writer)
{
	json_open_object(writer, "shifts", false);
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;

		if (fit->constants[id].state == KNOWLEDGE_NOT_DETERMINED)
			continue;
		json_open_object(writer, constant_prior(id)->name, true);
		json_number(writer, "excess", excess(fit, omission, id));
		json_number(writer, "standard_errors", standard_errors(fit, omission, id));
		json_boolean(writer, "large", omission->large[id]);
		json_close_object(writer);
	}
	json_close_object(writer);
}

void omissions_text_json(const struct fit_result *fit, struct json_writer *writer)
{
	json_open_array(writer, "left_out", false);
	for (size_t i = 0; i < fit->omission_count; i++) {
		const struct fit_omission *omission = &fit->omissions[i];
		const struct omission_rule *rule = omission_rule(omission->which);

		json_open_object(writer, NULL, false);
		json_string(writer, "name", rule->name);
		json_number(writer, "assumed", rule->size);
		json_string(writer, "source", rule->source);
		if (rule->settle != NULL)
			json_string(writer, "to_settle", rule->settle);
		json_number(writer, "power", omission->power);
		json_boolean(writer, "told", omission->told);
		write_shifts(fit, omission, writer);
		json_close_object(writer);
	}
	json_close_array(writer);
}

void omissions_text_because(const char *names, struct text *out)
{
	bool first = true;

	for (int i = 0; i < OMISSION_COUNT; i++) {
		const struct omission_rule *rule = omission_rule((enum omission)i);

		if (strstr(names, rule->name) == NULL)
			continue;
		text_print(out, "%s%s", first ? "" : ", ", rule->brief);
		first = false;
	}
	if (first)
		text_add(out, names); /* of a later version */
}

void omissions_text_profile(const struct profile *profile, struct text *out)
{
	bool first = true;

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct profile_model_error *error = &profile->model_errors[id];
		struct interval interval = {profile->constants[id].best.value,
		                            error->standard_error, error->low95, error->high95};
		struct formatted_interval shown;
		struct text because = {0};

		if (!error->named || !format_interval(&interval, &shown))
			continue;
		if (first)
			text_add(out, "\nWith what the model leaves out (assumed, see "
			              "restpoint-method(7))\n");
		first = false;
		omissions_text_because(error->because, &because);
		paragraph_print(out, 2, 4, "%s %s \302\261 %s, 95 %% interval %s to %s, with %s",
		                constant_prior((enum constant_id)id)->title, shown.value,
		                shown.error, shown.low, shown.high, text_bytes(&because));
		out->failed = out->failed || because.failed;
		text_free(&because);
	}
}
