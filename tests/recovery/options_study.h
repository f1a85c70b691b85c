/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OPTIONS_STUDY_H
#define RESTPOINT_TESTS_OPTIONS_STUDY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/random.h"
#include "base/status.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"

/* What the recovery study of the fit's options (recovery_options.c) asks of each of them. */

#define OPTIONS_NUMBERS 12   /* at most, of one option */
#define OPTIONS_DESIGNED 0.12 /* scatter of speeds, log, of tests/recovery/options.json */
#define OPTIONS_STEADY 0.05   /* the same of a player who repeats better */

/* One number that a fit tells. */
struct number {
	char name[24];
	bool told; /* false: not determined */
	double truth, value, error, low95, high95;
};

struct outcome {
	char label[48];
	bool effect;
	char stop[48]; /* why the search stopped */
	enum status status;
	double p;
	size_t count;
	struct number numbers[OPTIONS_NUMBERS];
	size_t constants_missed;
	bool missed[CONSTANT_COUNT];
};

/* One option. */
struct study {
	const char *name;
	struct fit_wants wants;
	const char *const *shots; /* besides option_full_shots; ends with NULL */
	const char *const *large; /* the numbers that must be seen where the effect is there */
	void (*set)(struct random_stream *stream, struct constants *truth,
	            struct simulated_extras *extras);
	void (*take)(const struct fit_result *fit, const struct constants *truth,
	             const struct simulated_extras *extras, struct outcome *outcome);
	int times; /* multiplies the tries of `shots` */
	bool by_name; /* only when asked for: its intervals are known to be too narrow at times, and
	                 the manual page says so */
};

/* Shots of tests/recovery/options.json that all studies use; ends with NULL. */
extern const char *const option_full_shots[];
extern const struct study option_studies[];
extern const size_t option_study_count;

#endif
