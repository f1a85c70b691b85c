/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/table_draws.h"

#include <math.h>
#include <string.h>

#include "model/constant_terms.h"

#define NORMAL_975 1.959963984540054 /* 97.5 % point of a standard normal */
#define NAME_SIZE 128                /* a longer label has no correlation */

/* What the draws are made of, by number: the constants, then the grips of the balls. */
struct joint {
	const struct profile *profile;
	char names[TABLE_DRAWS_JOINT][NAME_SIZE];     /* in the profile's correlation */
	const struct profile_ball *balls[BALL_ROLES]; /* NULL: not in the profile */
};

static bool is_known(const struct estimate *estimate)
{
	return estimate->has_interval && estimate->state != KNOWLEDGE_HELD;
}

/* Of the logarithm. */
static double grip_spread(const struct profile_ball *ball)
{
	const struct interval *best;

	if (ball == NULL || ball->reference || !is_known(&ball->grip))
		return 0.0;
	best = &ball->grip.best;
	if (!(best->low95 > 0.0 && best->high95 > best->low95))
		return best->standard_error / best->value;
	return log(best->high95 / best->low95) / (2.0 * NORMAL_975);
}

static double linear_spread(const struct estimate *estimate)
{
	return is_known(estimate) ? estimate->best.standard_error : 0.0;
}

static const struct profile_ball *find_ball(const struct profile *profile, enum ball_role role,
                                            const char *label)
{
	for (size_t i = 0; i < profile->ball_count; i++) {
		const struct profile_ball *ball = &profile->balls[i];

		if (label == NULL && role == BALL_CUE
		        ? ball->reference
		        : strcmp(ball->label, label != NULL ? label : "O") == 0)
			return ball;
	}
	return NULL;
}

static void name_joint(struct joint *joint)
{
	for (int i = 0; i < CONSTANT_COUNT; i++)
		strncpy(joint->names[i], constant_prior((enum constant_id)i)->name, NAME_SIZE - 1);
	for (int i = 0; i < BALL_ROLES; i++) {
		char *name = joint->names[CONSTANT_COUNT + i];

		if (joint->balls[i] == NULL || strlen(joint->balls[i]->label) > NAME_SIZE - 6)
			continue;
		memcpy(name, "grip:", 5);
		memcpy(name + 5, joint->balls[i]->label, strlen(joint->balls[i]->label));
	}
}

/* Whether what is known of it comes from the measurement. */
static bool is_measured(const struct joint *joint, int number)
{
	const struct profile_ball *ball;

	if (number < CONSTANT_COUNT)
		return joint->profile->constants[number].state != KNOWLEDGE_NOT_DETERMINED;
	ball = joint->balls[number - CONSTANT_COUNT];
	return ball != NULL && ball->grip.state != KNOWLEDGE_NOT_DETERMINED;
}

static size_t place_of(const struct joint *joint, int number)
{
	const struct profile *profile = joint->profile;
	size_t i = 0;

	while (i < profile->correlation_count &&
	       strcmp(profile->correlation_order[i], joint->names[number]) != 0)
		i++;
	return i;
}

static double correlation_of(const struct joint *joint, int a, int b)
{
	const struct profile *profile = joint->profile;
	size_t row = place_of(joint, a), column = place_of(joint, b);

	/* One ball may play two parts. */
	if (a == b || (a >= CONSTANT_COUNT && b >= CONSTANT_COUNT &&
	               joint->balls[a - CONSTANT_COUNT] == joint->balls[b - CONSTANT_COUNT]))
		return 1.0;
	if (row >= profile->correlation_count || column >= profile->correlation_count ||
	    !is_measured(joint, a) || !is_measured(joint, b))
		return 0.0;
	return profile->correlation[row * profile->correlation_count + column];
}

/* Cholesky's factor of a covariance, in place. A direction without spread, or one that rounding
 * made negative, has none. */
static void factorise(double matrix[TABLE_DRAWS_JOINT][TABLE_DRAWS_JOINT])
{
	for (int j = 0; j < TABLE_DRAWS_JOINT; j++) {
		double whole = matrix[j][j], pivot;

		for (int k = 0; k < j; k++)
			matrix[j][j] -= matrix[j][k] * matrix[j][k];
		pivot = matrix[j][j] > 1e-12 * whole ? sqrt(matrix[j][j]) : 0.0;
		matrix[j][j] = pivot;
		for (int i = j + 1; i < TABLE_DRAWS_JOINT; i++) {
			for (int k = 0; k < j; k++)
				matrix[i][j] -= matrix[i][k] * matrix[j][k];
			matrix[i][j] = pivot > 0.0 ? matrix[i][j] / pivot : 0.0;
			matrix[j][i] = 0.0;
		}
	}
}

static void make_factor(const struct joint *joint, struct table_draws *draws)
{
	double spread[TABLE_DRAWS_JOINT];

	for (int i = 0; i < CONSTANT_COUNT; i++)
		spread[i] =
		    constant_draws_spread((enum constant_id)i, &joint->profile->constants[i]);
	for (int i = 0; i < BALL_ROLES; i++)
		spread[CONSTANT_COUNT + i] = grip_spread(joint->balls[i]);
	for (int i = 0; i < TABLE_DRAWS_JOINT; i++)
		for (int j = 0; j < TABLE_DRAWS_JOINT; j++)
			draws->factor[i][j] = spread[i] * spread[j] * correlation_of(joint, i, j);
	factorise(draws->factor);
}

static void take_rails(const struct profile *profile, struct table_draws *draws)
{
	for (int i = 0; i < RAIL_COUNT; i++) {
		const struct profile_rail *rail = &profile->rails.rail[i];

		draws->middle.rails[i] = (struct rail_character){.grip = 1.0};
		if (!profile->has_rails)
			continue;
		draws->middle.rails[i] = (struct rail_character){
		    .liveliness = rail->liveliness.best.value - 1.0, .grip = rail->grip.best.value};
		draws->rails[i] =
		    (struct rail_character){.liveliness = linear_spread(&rail->liveliness),
		                            .grip = linear_spread(&rail->grip)};
	}
}

struct table_draws table_draws_profile(const struct profile *profile,
                                       const char *const labels[BALL_ROLES])
{
	struct table_draws draws = {.middle.constants = constant_draws_middle(profile)};
	struct joint joint = {.profile = profile};

	for (int i = 0; i < BALL_ROLES; i++) {
		joint.balls[i] =
		    find_ball(profile, (enum ball_role)i, labels != NULL ? labels[i] : NULL);
		draws.middle.grip[i] =
		    joint.balls[i] != NULL ? joint.balls[i]->grip.best.value : 1.0;
	}
	name_joint(&joint);
	make_factor(&joint, &draws);
	if (profile->has_slope) {
		draws.terms.slope_long = linear_spread(&profile->slope.along);
		draws.terms.slope_short = linear_spread(&profile->slope.across);
	}
	if (profile->has_liveliness_fall)
		draws.terms.liveliness_fall = linear_spread(&profile->liveliness_fall);
	take_rails(profile, &draws);
	return draws;
}

struct constant_draws table_draws_constants(const struct table_draws *draws)
{
	struct constant_draws constants = {.middle = draws->middle.constants};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		memcpy(constants.factor[i], draws->factor[i], sizeof constants.factor[i]);
	return constants;
}

static double within(double value, double lowest, double highest)
{
	return fmin(highest, fmax(lowest, value));
}

static void shift_constant(enum constant_id id, double shift, double *value)
{
	const struct constant_prior *prior = constant_prior(id);

	if (shift == 0.0 || (prior->scale == SCALE_LOGIT && *value >= 1.0))
		return;
	*value = within(constant_from_scale(id, constant_to_scale(id, *value) + shift),
	                prior->lowest, prior->highest);
}

static void take_joint(const struct table_draws *draws, struct random_stream *stream,
                       struct drawn_table *table)
{
	double normal[TABLE_DRAWS_JOINT];

	for (int i = 0; i < TABLE_DRAWS_JOINT; i++)
		normal[i] = random_normal(stream);
	for (int i = 0; i < TABLE_DRAWS_JOINT; i++) {
		double shift = 0.0;

		for (int j = 0; j <= i; j++)
			shift += draws->factor[i][j] * normal[j];
		if (i < CONSTANT_COUNT)
			shift_constant((enum constant_id)i, shift, &table->constants.value[i]);
		else
			table->grip[i - CONSTANT_COUNT] *= exp(shift);
	}
}

struct drawn_table table_draws_take(const struct table_draws *draws, struct random_stream *stream)
{
	struct drawn_table table = draws->middle;

	take_joint(draws, stream, &table);
	for (int i = 0; i < CONSTANT_TERMS; i++) {
		const struct constant_term_rule *rule = constant_term_rule((enum constant_term)i);
		double *value = constant_term_place(&table.constants.terms, (enum constant_term)i);
		double shift = constant_term_value(&draws->terms, (enum constant_term)i) *
		               random_normal(stream);

		if (shift != 0.0)
			*value = within(*value + shift, rule->lowest, rule->highest);
	}
	for (int i = 0; i < RAIL_COUNT; i++) {
		struct rail_character *rail = &table.rails[i];

		rail->liveliness += draws->rails[i].liveliness * random_normal(stream);
		rail->grip = fmax(0.1, rail->grip + draws->rails[i].grip * random_normal(stream));
	}
	return table;
}
