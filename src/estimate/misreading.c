/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/misreading.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/random.h"
#include "physics/cushion.h"

#define PLAYS 400       /* strokes played, with which every slip is compared */
#define SETTLED 2       /* of them, from which a slip is settled */
#define TOLERANCE 1e-5  /* of cushion impacts in those plays [m/s] */
#define CLEARLY 4.0     /* cost by which a slip must beat every other: e^2 times as likely */
#define NOTABLE 4.0     /* errors of reading by which a slip must be off */
#define WILDER 4.0      /* times the scatter of a stroke that simply went wrong */
#define STREAM UINT64_C(0x51e9) /* its numbers are independent of those of a search */

/* A stroke as its own unknowns make it, and what would have been read of it. */
struct play {
	double own[OWN_UNKNOWNS];
	double own_cost;
	struct observed observed[QUANTITY_COUNT];
};

struct finding {
	const struct stroke_case *stroke;
	const struct stroke_point *point;
	size_t play_count;
	struct play *plays;
	struct misreading best;
	double second; /* cost of the best one that is another slip */
};

static double likelihood(const struct stroke_case *stroke, double cost)
{
	return gsl_cdf_chisq_Q(cost, (double)stroke->readings.count);
}

static bool is_sound(const struct stroke_reading *reading)
{
	return quantity_at(reading->number).kind == QUANTITY_SOUND;
}

static bool is_time(const struct stroke_reading *reading)
{
	return is_sound(reading) || quantity_at(reading->number).kind == QUANTITY_WATCH;
}

/* The largest value that a cell of its kind may hold. */
static double highest(const struct stroke_reading *reading)
{
	bool along_short = reading->rail != RAIL_COUNT
	                       ? !rail_is_long(reading->rail)
	                       : quantity_at(reading->number).kind == QUANTITY_REST_SHORT;

	if (is_time(reading))
		return HUGE_VAL;
	return along_short ? TABLE_DIAMONDS_SHORT : TABLE_DIAMONDS_LONG;
}

/* The matching short coordinate of a long one; count where it was not read. */
static size_t partner(const struct stroke_readings *readings, size_t reading)
{
	size_t next = reading + 1; /* rests come in order, long before short */

	if (quantity_at(readings->items[reading].number).kind == QUANTITY_REST_LONG &&
	    next < readings->count &&
	    readings->items[next].number == readings->items[reading].number + 1)
		return next;
	return readings->count;
}

static void mend_rail(struct stroke_case *stroke, struct stroke_reading *reading, enum rail rail)
{
	int ball = quantity_at(reading->number).ball;

	reading->rail = rail;
	reading->line = stroke_reading_line(stroke->scene.table, rail,
	                                    stroke->scene.setup.bodies[ball].radius);
}

void misreading_mend(struct stroke_case *stroke, const struct misreading *misreading)
{
	struct stroke_readings *readings = &stroke->readings;
	struct stroke_reading *reading = &readings->items[misreading->reading];
	double value = reading->value;

	switch (misreading->kind) {
	case MISREADING_VALUE:
		reading->value = misreading->value;
		break;
	case MISREADING_SWAPPED:
		reading->value = reading[1].value;
		reading[1].value = value;
		break;
	case MISREADING_RAIL:
		mend_rail(stroke, reading, misreading->rail);
		break;
	case MISREADING_UNHEARD:
		for (size_t i = misreading->reading; i < readings->count; i++)
			readings->items[i].number++;
		stroke->scene.mask = stroke_readings_mask(readings);
		observe_need(stroke->scene.design, stroke->scene.mask, &stroke->scene.need);
		break;
	default:
		break;
	}
}

/* Settles a stroke from several starts; its trial fields hold the best. */
static void settle_from(struct stroke_case *stroke, const struct stroke_point *point,
                        double (*starts)[OWN_UNKNOWNS], int count)
{
	struct stroke_case other = *stroke;

	stroke->trial_cost = HUGE_VAL;
	for (int i = 0; i < count; i++) {
		memcpy(other.trial_own, starts[i], sizeof other.trial_own);
		other.active_count = 0;
		if (stroke_case_settle(&other, point) && other.trial_cost < stroke->trial_cost)
			*stroke = other;
	}
}

/* The plays that are nearest to the readings, before anything is settled. */
static int choose_starts(const struct finding *finding, const struct stroke_case *stroke,
                         double (*starts)[OWN_UNKNOWNS])
{
	double costs[SETTLED], residuals[RESIDUALS_MAX];
	int kept = 0;

	for (size_t k = 0; k < finding->play_count; k++) {
		const struct play *play = &finding->plays[k];
		double cost = play->own_cost;
		int place;

		stroke_readings_compare(&stroke->readings, play->observed, residuals);
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			cost += residuals[i] * residuals[i];
		for (place = kept; place > 0 && cost < costs[place - 1]; place--)
			if (place < SETTLED) {
				costs[place] = costs[place - 1];
				memcpy(starts[place], starts[place - 1], sizeof starts[place]);
			}
		if (place >= SETTLED)
			continue;
		costs[place] = cost;
		memcpy(starts[place], play->own, sizeof starts[place]);
		kept += kept < SETTLED;
	}
	return kept;
}

/* What was read less what the mended stroke does: there the slip is out of reach. */
static double find_away(const struct finding *finding, const struct stroke_case *mended,
                        const struct misreading *misreading)
{
	const struct stroke_reading *read = &finding->stroke->readings.items[misreading->reading];
	struct constants constants = stroke_point_constants(finding->point);
	struct observed observed[QUANTITY_COUNT];
	const struct observed *seen;
	struct shot_record record;

	if (!stroke_scene_play(&mended->scene, &constants, finding->point->shared,
	                       mended->trial_own, CUSHION_TOLERANCE, &record, observed))
		return 0.0;
	seen = &observed[mended->readings.items[misreading->reading].number];
	if (misreading->kind == MISREADING_SWAPPED)
		return hypot(read->value - seen->value, read[1].value - seen[1].value);
	return read->value - seen->value;
}

/* Whether two slips come down to the same: contacts not heard differ only in which one. */
static bool same_slip(const struct misreading *a, const struct misreading *b)
{
	return a->kind == MISREADING_UNHEARD && b->kind == MISREADING_UNHEARD;
}

static void try_slip(struct finding *finding, struct misreading misreading)
{
	struct stroke_case mended = *finding->stroke;
	double starts[SETTLED + 1][OWN_UNKNOWNS];
	int count;

	misreading_mend(&mended, &misreading);
	count = choose_starts(finding, &mended, starts);
	memcpy(starts[count], finding->stroke->own, sizeof starts[count]);
	settle_from(&mended, finding->point, starts, count + 1);
	misreading.cost = mended.trial_cost;
	if (!(misreading.cost < finding->best.cost)) {
		if (!same_slip(&misreading, &finding->best))
			finding->second = fmin(finding->second, misreading.cost);
		return;
	}
	if (!same_slip(&misreading, &finding->best))
		finding->second = finding->best.cost;
	misreading.away = find_away(finding, &mended, &misreading);
	finding->best = misreading;
}

static void try_value(struct finding *finding, size_t reading, double value)
{
	const struct stroke_reading *item = &finding->stroke->readings.items[reading];

	/* What is little more than an error of reading spoils nothing. */
	if (value < 0.0 || value > highest(item) ||
	    fabs(value - item->value) < NOTABLE * item->error)
		return;
	try_slip(finding, (struct misreading){
	                      .kind = MISREADING_VALUE, .reading = reading, .value = value});
}

static void try_reading(struct finding *finding, size_t reading)
{
	const struct stroke_readings *readings = &finding->stroke->readings;
	const struct stroke_reading *item = &readings->items[reading];
	size_t other = partner(readings, reading);

	try_value(finding, reading, item->value - 1.0);
	try_value(finding, reading, item->value + 1.0);
	try_value(finding, reading, item->value * 10.0);
	try_value(finding, reading, item->value / 10.0);
	if (is_time(item)) {
		try_value(finding, reading, item->value - 10.0);
		try_value(finding, reading, item->value + 10.0);
	}
	if (other < readings->count && item->value <= TABLE_DIAMONDS_SHORT)
		try_slip(finding,
		         (struct misreading){.kind = MISREADING_SWAPPED, .reading = reading});
	for (int rail = 0; item->rail != RAIL_COUNT && rail < RAIL_COUNT; rail++)
		if ((enum rail)rail != item->rail)
			try_slip(finding, (struct misreading){.kind = MISREADING_RAIL,
			                                      .reading = reading,
			                                      .rail = (enum rail)rail});
	if (is_sound(item) && readings->items[readings->count - 1].number + 1 < QUANTITY_COUNT)
		try_slip(finding,
		         (struct misreading){.kind = MISREADING_UNHEARD, .reading = reading});
}

/* Every quantity that some slip turns a reading into: the sounds after the ones read, too. */
static uint32_t mask_of_slips(const struct stroke_readings *readings)
{
	uint32_t mask = stroke_readings_mask(readings);

	for (size_t i = 0; i < readings->count; i++)
		if (is_sound(&readings->items[i]) && readings->items[i].number + 1 < QUANTITY_COUNT)
			mask |= UINT32_C(1) << (readings->items[i].number + 1);
	return mask;
}

/* Every second one leaves the rails even, as in a search. */
static void make_plays(struct finding *finding, uint64_t seed)
{
	const struct stroke_case *stroke = finding->stroke;
	struct random_stream stream = random_start(seed ^ STREAM, stroke->stream);
	struct constants constants = stroke_point_constants(finding->point);
	struct stroke_scene scene = stroke->scene;
	struct shot_record record;

	scene.mask = mask_of_slips(&stroke->readings);
	observe_need(scene.design, scene.mask, &scene.need);
	for (int i = 0; i < PLAYS; i++) {
		struct play *play = &finding->plays[finding->play_count];

		memset(play, 0, sizeof *play);
		for (int j = 0; j < stroke->active_count; j++)
			if (i % 2 == 0 || stroke->active[j] < OWN_STROKE)
				play->own[stroke->active[j]] = random_normal(&stream);
		for (int j = 0; j < OWN_UNKNOWNS; j++)
			play->own_cost += play->own[j] * play->own[j];
		finding->play_count +=
		    stroke_scene_play(&scene, &constants, finding->point->shared, play->own,
		                      TOLERANCE, &record, play->observed);
	}
}

/* Cost of the stroke, read as it was, had the player's hand scattered more. Its readings tell no
 * more unknowns than there are, and each one told is that much less likely to have been met. */
static double wild_cost(const struct stroke_case *stroke, const struct stroke_point *point,
                        uint64_t seed)
{
	struct shot_design design = *stroke->scene.design;
	struct stroke_case wild = *stroke;
	size_t told = stroke->readings.count < OWN_STROKE ? stroke->readings.count : OWN_STROKE;

	design.aim.spread_deg *= WILDER;
	design.launch.speed_spread *= WILDER;
	design.launch.height_spread *= WILDER;
	design.launch.side_spread *= WILDER;
	wild.scene.design = &design;
	memset(wild.trial_own, 0, sizeof wild.trial_own);
	wild.active_count = 0;
	if (!stroke_case_settle(&wild, point))
		wild.trial_cost = HUGE_VAL;
	stroke_case_search(&wild, point, seed);
	return wild.trial_cost + 2.0 * log(WILDER) * (double)told;
}

bool misreading_find(const struct stroke_case *stroke, const struct stroke_point *point,
                     uint64_t seed, struct misreading *misreading)
{
	struct finding finding = {.stroke = stroke,
	                          .point = point,
	                          .plays = calloc(PLAYS, sizeof *finding.plays),
	                          .best = {.cost = HUGE_VAL},
	                          .second = HUGE_VAL};

	*misreading = (struct misreading){.kind = MISREADING_NONE};
	if (finding.plays == NULL)
		return false;
	make_plays(&finding, seed);
	for (size_t i = 0; i < stroke->readings.count; i++)
		try_reading(&finding, i);
	free(finding.plays);
	if (likelihood(stroke, finding.best.cost) > MISREADING_LIKELY &&
	    finding.second > finding.best.cost + CLEARLY &&
	    wild_cost(stroke, point, seed) > finding.best.cost)
		*misreading = finding.best;
	return true;
}
