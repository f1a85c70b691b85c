/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design.h"
#include "files/protocol_file.h"

/* For who designs a protocol: protocol_report FILE.json [DRAWS [SEED]] prints what test_protocols
 * asks of it. */

static void print_faults(const struct fault_list *faults)
{
	for (size_t i = 0; i < faults->count; i++) {
		struct text text = {0};

		fault_format(&faults->items[i], &text);
		fprintf(stderr, "%s\n", text_bytes(&text));
		text_free(&text);
	}
}

static void print_shot(const struct shot_design *shot, const struct session *session, size_t draws,
                       uint64_t seed)
{
	struct design_shot result;

	design_shot_check(shot, session, draws, seed, &result);
	printf("%-28s x%-2d ", shot->key, shot->tries);
	if (!result.playable) {
		printf("%s %s\n", result.quantity != NULL ? result.quantity : "the shot",
		       result.why);
		return;
	}
	printf("%9.1f ", 100.0 * result.kept);
	if (result.rests)
		printf("%12.1f", 100.0 * result.clear);
	else
		printf("%12s", "-");
	puts(result.kept < 0.95 || (result.rests && result.clear < 0.95) ? "  below 95" : "");
}

static void print_errors(const struct protocol *protocol, const struct session *session)
{
	double errors[CONSTANT_COUNT];
	const char *why;

	if (!design_expected_errors(protocol, session, errors, &why)) {
		printf("expected standard errors: %s\n", why);
		return;
	}
	puts("expected standard errors, % of the value, and learned of the prior, %:");
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		double known = prior->spread *
		               constant_scale_slope((enum constant_id)i, prior->centre) /
		               prior->centre;

		printf("  %-22s %6.2f  %5.1f\n", prior->name, 100.0 * errors[i],
		       100.0 * (1.0 - errors[i] / known));
	}
}

int main(int count, char **words)
{
	size_t draws = count > 2 ? strtoul(words[2], NULL, 10) : 1000;
	uint64_t seed = count > 3 ? strtoull(words[3], NULL, 10) : RANDOM_DEFAULT_SEED;
	struct session session = session_default();
	struct protocol protocol;
	struct fault_list faults;

	if (count < 2 || draws == 0) {
		fprintf(stderr, "usage: protocol_report FILE.json [DRAWS [SEED]]\n");
		return 2;
	}
	if (fault_list_create(&faults) != STATUS_OK)
		return 5;
	if (protocol_file_read(words[1], &protocol, &faults) != STATUS_OK) {
		print_faults(&faults);
		fault_list_free(&faults);
		return 3;
	}
	printf("%s: %zu shots, %zu strokes, %zu draws\n", protocol.name, protocol.shot_count,
	       design_strokes(&protocol), draws);
	printf("%-28s %-3s %9s %12s\n", "shot", "", "order %", "undisturbed %");
	for (size_t i = 0; i < protocol.shot_count; i++)
		print_shot(&protocol.shots[i], &session, draws, seed);
	print_errors(&protocol, &session);
	protocol_free(&protocol);
	fault_list_free(&faults);
	return 0;
}
