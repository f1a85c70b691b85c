/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_range.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "estimate/readings.h"
#include "estimate/stroke_case.h"

#define TOLERANCE 1e-4 /* of cushion impacts [m/s]: only what is far out matters */
#define SEED UINT64_C(0x9a4e)
#define FEWEST 20     /* plays that must tell before a reading is doubted */
#define PER_STRAY 400 /* of so many plays that tell, one at each end is no measure of the others */
#define SURE 4.0      /* errors of reading beyond the plays */
#define WIDER 0.1     /* of the plays' range, and beyond that: more plays reach further, */
#define FEW 5.0       /* the fewer there are; over their number */
#define INSIDE 1e-6   /* standardised */

/* Standardised constants: a draw of what is known, kept inside the limits, or of the prior. */
static void draw_constants(const struct fit_result *known, size_t play,
                           struct random_stream *stream, double constants[CONSTANT_COUNT])
{
	bool drawn = known != NULL && known->draw_count > 0;

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		const struct constant_prior *prior = constant_prior(id);
		double low = prior_coordinate(id, prior->lowest) + INSIDE;
		double high =
		    prior->highest < 1.0 ? prior_coordinate(id, prior->highest) - INSIDE : HUGE_VAL;

		constants[i] = random_normal(stream);
		if (drawn)
			constants[i] =
			    (known->draws[play * known->draw_count / STROKE_RANGE_PLAYS][i] -
			     constant_to_scale(id, prior->centre)) /
			    prior->spread;
		constants[i] = fmin(high, fmax(low, constants[i]));
	}
}

/* Plays once; false when the shot does not come to its end. */
static bool play_once(const struct stroke_scene *scene, const struct fit_result *known, size_t play,
                      struct observed observed[QUANTITY_COUNT])
{
	struct random_stream stream = random_start(SEED, play);
	struct stroke_point point = {{0.0}, {0.0}};
	double own[OWN_UNKNOWNS];
	struct constants constants;
	struct shot_record record;

	draw_constants(known, play, &stream, point.constants);
	for (int i = 0; i < SHARED_HABITS; i++)
		point.shared[i] = random_normal(&stream);
	for (int i = 0; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(&stream);
	constants = stroke_point_constants(&point);
	return stroke_scene_play(scene, &constants, point.shared, own, TOLERANCE, &record,
	                         observed);
}

enum status stroke_range_make(struct stroke_range *range, const struct shot_design *design,
                              const struct session *session, const char *const labels[BALL_ROLES],
                              const struct fit_result *known)
{
	struct stroke_scene scene;
	const char *why;

	*range = (struct stroke_range){.design = design};
	if (!stroke_scene_make(&scene, design, session, labels, design->measure, &why))
		return STATUS_INPUT;
	range->plays = calloc(STROKE_RANGE_PLAYS, sizeof *range->plays);
	if (range->plays == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < STROKE_RANGE_PLAYS; i++)
		range->count += play_once(&scene, known, i, range->plays[range->count].observed);
	return STATUS_OK;
}

void stroke_range_free(struct stroke_range *range)
{
	free(range->plays);
	memset(range, 0, sizeof *range);
}

/* The plays of one quantity that can be compared with a reading, along one rail where it is a rail
 * contact. */
struct reach {
	double low, high;
	size_t plays;    /* that are compared */
	size_t count;    /* of them, those that tell */
	size_t stray;    /* of those, the ones beyond each end */
	size_t pocketed; /* rests: that fell */
};

/* The lowest of some numbers, in order. */
struct ends {
	size_t count;
	double values[STROKE_RANGE_PLAYS / PER_STRAY + 1];
};

static void offer(struct ends *ends, double value)
{
	size_t most = sizeof ends->values / sizeof ends->values[0];
	size_t place = ends->count < most ? ends->count++ : most;

	if (place == most && value >= ends->values[most - 1])
		return;
	for (place -= place == most; place > 0 && value < ends->values[place - 1]; place--)
		ends->values[place] = ends->values[place - 1];
	ends->values[place] = value;
}

static struct reach find_reach(const struct stroke_range *range, int quantity, enum rail rail)
{
	bool contact = quantity_at(quantity).kind == QUANTITY_RAIL;
	struct reach reach = {.low = HUGE_VAL, .high = -HUGE_VAL};
	struct ends low = {.count = 0}, high = {.count = 0};

	for (size_t i = 0; i < range->count; i++) {
		const struct observed *observed = &range->plays[i].observed[quantity];

		if (!range->plays[i].compared)
			continue;
		reach.plays++;
		reach.pocketed += observed->pocketed;
		if (!observed->happened || observed->pocketed ||
		    (contact && observed->rail != rail))
			continue;
		reach.count++;
		offer(&low, observed->value);
		offer(&high, -observed->value);
	}
	reach.stray = reach.count / PER_STRAY;
	if (reach.count > 0) {
		reach.low = low.values[reach.stray];
		reach.high = -high.values[reach.stray];
	}
	return reach;
}

/* The rail that most plays meet then; *most: how many. */
static enum rail usual_rail(const struct stroke_range *range, int quantity, size_t *most)
{
	enum rail usual = RAIL_COUNT;

	*most = 0;
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		struct reach reach = find_reach(range, quantity, (enum rail)rail);

		if (reach.count <= *most)
			continue;
		*most = reach.count;
		usual = (enum rail)rail;
	}
	return usual;
}

/* 1 sd of a reading of that quantity. */
static double reading_error(const struct stroke_range *range, const struct session *session,
                            int quantity)
{
	const struct reading_errors *errors = &session->errors;
	struct quantity kind = quantity_at(quantity);
	const struct watch_interval *interval;

	switch (kind.kind) {
	case QUANTITY_REST_LONG:
	case QUANTITY_REST_SHORT:
		return errors->position;
	case QUANTITY_RAIL:
		return errors->rail;
	case QUANTITY_WATCH:
		interval = &range->design->watch[kind.number - 1];
		return hypot(press_error(errors, interval->from),
		             press_error(errors, interval->to));
	default:
		return errors->frames_per_second > 0 ? FRAME_ERROR / errors->frames_per_second
		                                     : errors->sound;
	}
}

static double margin(const struct reach *reach, double error)
{
	double wider = WIDER + FEW / fmax(1.0, (double)reach->count);

	return SURE * error + wider * (reach->high - reach->low);
}

/* Whether a play gives a reading, as far as its error and a little more allow. */
static bool gives(const struct stroke_range *range, const struct session *session, size_t play,
                  const struct reading *reading, int quantity)
{
	const struct observed *observed = &range->plays[play].observed[quantity];
	double error = reading_error(range, session, quantity);

	if (reading->kind == READING_POCKET)
		return observed->pocketed;
	if (!observed->happened || observed->pocketed ||
	    (reading->rail_named && quantity_at(quantity).kind == QUANTITY_RAIL &&
	     observed->rail != reading->rail))
		return false;
	return fabs(observed->value - reading->value) <= SURE * error;
}

/* Marks the plays to compare with: those that give the other readings of the row, or all. */
static bool compare_together(const struct stroke_range *range, const struct session *session,
                             const struct stroke_row *row, int quantity)
{
	size_t count = 0;

	for (size_t i = 0; i < range->count; i++) {
		bool all = true;

		for (int q = 0; q < QUANTITY_COUNT && all; q++)
			if (q != quantity && row->readings[q].kind != READING_MISSING &&
			    (range->design->measure & (UINT32_C(1) << q)) != 0)
				all = gives(range, session, i, &row->readings[q], q);
		range->plays[i].compared = all;
		count += all;
	}
	for (size_t i = 0; i < range->count && count < FEWEST; i++)
		range->plays[i].compared = true;
	return count >= FEWEST && count < range->count;
}

/* How far beyond the plays, or 0. */
static double beyond(const struct reach *reach, double error, double value)
{
	double allowed = margin(reach, error);

	if (reach->count < FEWEST)
		return 0.0;
	if (value > reach->high + allowed)
		return value - reach->high;
	return value < reach->low - allowed ? reach->low - value : 0.0;
}

static bool within(const struct reach *reach, double error, double value)
{
	return reach->count >= FEWEST && value >= 0.0 && value >= reach->low - error &&
	       value <= reach->high + error;
}

/* Whether long and short of a rest, of which one is judged, would both be in reach the other way
 * round; the one not read yet is taken to be. */
static bool swap_explains(const struct stroke_range *range, const struct stroke_row *row,
                          int quantity, double error)
{
	struct quantity kind = quantity_at(quantity);
	struct quantity other = kind;
	struct reach reach, other_reach;
	const struct reading *reading = &row->readings[quantity], *other_reading;

	if (kind.kind != QUANTITY_REST_LONG && kind.kind != QUANTITY_REST_SHORT)
		return false;
	other.kind = kind.kind == QUANTITY_REST_LONG ? QUANTITY_REST_SHORT : QUANTITY_REST_LONG;
	if ((range->design->measure & (UINT32_C(1) << quantity_number(other))) == 0)
		return false;
	/* The other one, if it was read, is as wrong: it says nothing of the plays. */
	for (size_t i = 0; i < range->count; i++)
		range->plays[i].compared = true;
	reach = find_reach(range, quantity, RAIL_COUNT);
	other_reach = find_reach(range, quantity_number(other), RAIL_COUNT);
	other_reading = &row->readings[quantity_number(other)];
	return within(&other_reach, error, reading->value) &&
	       (other_reading->kind != READING_VALUE ||
	        within(&reach, error, other_reading->value));
}

/* One unit off, ten times or a tenth: the only such value in reach; negative where there is none or
 * several are. */
static double value_meant(const struct reach *reach, double error, double value)
{
	double tries[] = {value - 1.0, value + 1.0, value * 10.0, value / 10.0};
	double meant = -1.0;

	for (size_t i = 0; i < sizeof tries / sizeof tries[0]; i++) {
		if (!within(reach, error, tries[i]))
			continue;
		if (meant >= 0.0)
			return -1.0;
		meant = tries[i];
	}
	return meant;
}

/* Another rail along which the same number is in reach. */
static enum rail rail_meant(const struct stroke_range *range, int quantity, double error,
                            double value, enum rail rail)
{
	for (int other = 0; other < RAIL_COUNT; other++) {
		struct reach reach = find_reach(range, quantity, (enum rail)other);

		if ((enum rail)other != rail && within(&reach, error, value))
			return (enum rail)other;
	}
	return RAIL_COUNT;
}

static void explain(const struct stroke_range *range, const struct session *session,
                    const struct stroke_row *row, int quantity, enum rail rail,
                    struct reading_judgement *judgement)
{
	double error = reading_error(range, session, quantity);
	double value = row->readings[quantity].value;
	struct reach reach = find_reach(range, quantity, rail);

	if (quantity_at(quantity).kind == QUANTITY_RAIL) {
		judgement->meant_rail = rail_meant(range, quantity, error, value, rail);
		if (judgement->meant_rail != RAIL_COUNT) {
			judgement->slip = SLIP_RAIL;
			return;
		}
	}
	if (judgement->doubt != DOUBT_BEYOND)
		return;
	if (swap_explains(range, row, quantity, error)) {
		judgement->slip = SLIP_SWAPPED;
		return;
	}
	judgement->meant = value_meant(&reach, error, value);
	if (judgement->meant >= 0.0)
		judgement->slip = SLIP_VALUE;
}

struct reading_judgement stroke_range_judge(const struct stroke_range *range,
                                            const struct session *session,
                                            const struct stroke_row *row, int quantity,
                                            enum rail rail)
{
	struct reading_judgement judgement = {.meant_rail = RAIL_COUNT, .rail = RAIL_COUNT};
	const struct reading *reading = &row->readings[quantity];
	bool contact = quantity_at(quantity).kind == QUANTITY_RAIL;
	struct reach reach;
	size_t most;

	if (contact && reading->rail_named)
		rail = reading->rail;
	judgement.together = compare_together(range, session, row, quantity);
	reach = find_reach(range, quantity, rail);
	judgement.plays = reach.plays;
	judgement.stray = reach.stray;
	if (reading->kind == READING_POCKET) {
		if (reach.plays >= FEWEST && reach.pocketed == 0)
			judgement.doubt = DOUBT_POCKET;
		return judgement;
	}
	if (reading->kind != READING_VALUE)
		return judgement;
	judgement.rail = contact ? usual_rail(range, quantity, &most) : RAIL_COUNT;
	judgement.low = reach.low;
	judgement.high = reach.high;
	judgement.away = beyond(&reach, reading_error(range, session, quantity), reading->value);
	if (contact && reach.count == 0 && most >= FEWEST)
		judgement.doubt = DOUBT_RAIL;
	else if (reach.plays >= FEWEST && reach.pocketed == reach.plays)
		judgement.doubt = DOUBT_FELL;
	else if (judgement.away > 0.0)
		judgement.doubt = DOUBT_BEYOND;
	if (judgement.doubt != DOUBT_NONE)
		explain(range, session, row, quantity, rail, &judgement);
	return judgement;
}
