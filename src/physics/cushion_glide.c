/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_glide.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "physics/cushion_glide_step.h"
#include "physics/cushion_polynomial.h"
#include "physics/cushion_way.h"

/* Steps from event to event; the two parts of a vector belong to the two contacts, nose and bed. */

#define STEP_LIMIT 1000

/* How the state goes on by impulse: second derivatives of the slips, speed into the rail. */
struct curve {
	vector2 x, y;
	double into_rate, into_curve;
	double jerk; /* about how fast the rates turn away from that */
	double pull; /* by which a slip could end soonest */
};

static void find_curve(const struct glide *glide, struct curve *curve)
{
	const struct glide_rates *rates = &glide->rates;
	vector2 angle = rates->turn / glide->size;
	vector2 x = -angle * glide->direction_y, y = angle * glide->direction_x;
	vector2 pull = (vector2_absolute(rates->x) + vector2_absolute(rates->y)) / glide->size;
	double grip = glide->lean[0] * y[0];

	curve->x = x[0] * glide->nose_x +
	           (rates->grip[0] * x[1] + grip * glide->direction_x[1]) * glide->bed_x;
	curve->y = y[0] * glide->nose_y +
	           (rates->grip[0] * y[1] + grip * glide->direction_y[1]) * glide->bed_y;
	curve->into_rate = glide->lever * (rates->y[1] - rates->y[0]);
	curve->into_curve = glide->lever * (curve->y[1] - curve->y[0]);
	curve->pull = larger(pull[0], pull[1]);
	curve->jerk = larger(fabs(angle[0]), fabs(angle[1])) * curve->pull;
}

/* Work that the cushion takes up in a small impulse ahead. */
static double work_ahead(const struct glide *glide, const struct curve *curve, double impulse)
{
	return glide->cosine * impulse *
	       (glide->into +
	        impulse * (0.5 * curve->into_rate + impulse / 6.0 * curve->into_curve));
}

/* How far the end of the part is, as the impulse goes, if it is near; roughly, if the curve is so
 * strong there that Newton's method would not be led to it. */
static double end_ahead(const struct glide *glide, const struct curve *curve, bool compressing)
{
	double v = glide->into, a = curve->into_rate, impulse, slope;

	if (compressing) {
		impulse = v / -a;
		slope = a + impulse * curve->into_curve;
		if (!(slope < 0.5 * a))
			return impulse;
		return impulse - (v + impulse * (a + 0.5 * impulse * curve->into_curve)) / slope;
	}
	impulse = polynomial_end_guess(v, a, glide->at.amount[1] / glide->cosine);
	if (!(impulse <
	      HUGE_VAL)) /* nothing is left, or the ball does not come out yet: not near */
		return HUGE_VAL;
	for (int round = 0; round < 2; round++) {
		slope = v + impulse * (a + 0.5 * impulse * curve->into_curve);
		if (!(slope < 0.5 * (v + impulse * a)))
			break;
		impulse -= (glide->at.amount[1] + work_ahead(glide, curve, impulse)) /
		           (glide->cosine * slope);
	}
	return impulse;
}

/* The length of a step over an impulse ahead, roughly if it is far longer than asked for: the
 * logarithm of the pace grows at a rate that changes evenly. */
static double step_length(const struct glide *glide, const struct curve *curve, double impulse,
                          double longest)
{
	double share = glide->share, other = 1.0 - share, pace = glide->pace, z, length;
	vector2 growth = glide->rates.growth;
	vector2 faster = glide->rates.turn * glide->rates.turn / glide->size +
	                 glide->direction_x * curve->x + glide->direction_y * curve->y;
	double rate = share * growth[0] + other * growth[1];
	double change = 2.0 * share * other * growth[0] * growth[1] +
	                pace * (share * faster[0] + other * faster[1]);
	double square = rate * rate + change;

	/* A fraction that is about log(1 + z) / z, then Newton's method for three terms, as long as
	 * these tell how the pace goes. */
	z = impulse / pace * rate;
	length = impulse / pace * (z > -0.8 ? (6.0 + z) / (6.0 + 4.0 * z) : 2.0);
	for (int round = 0; round < 2 && fabs(length) < 2.0 * longest; round++) {
		double h = length, slope = 1.0 + h * rate + 0.5 * h * h * square;

		if (!(slope > 0.3))
			break;
		length -=
		    (h * (1.0 + 0.5 * h * rate + h * h / 6.0 * square) - impulse / pace) / slope;
	}
	return length;
}

/* Goes on by a small impulse, to second order. */
static void creep(struct glide *glide, const struct curve *curve, double impulse)
{
	double half = 0.5 * impulse * impulse;

	glide->slip_x += impulse * glide->rates.x + half * curve->x;
	glide->slip_y += impulse * glide->rates.y + half * curve->y;
	glide->at.amount[1] += work_ahead(glide, curve, impulse);
	glide->into += impulse * curve->into_rate + half * curve->into_curve;
	glide->at.amount[0] += impulse;
}

/* Sets up the present state of a run. */
static void start(struct glide *glide, const struct impact_run *run)
{
	const struct impact_state *state = &run->state;
	vector2 slip[CONTACT_PLACES];

	impact_find_slips(run, slip);
	glide_make(glide, &run->impact);
	glide_set(glide, slip);
	glide->into = state->into;
	glide->at.amount = (vector2){state->impulse, state->work};
	glide->weight = (vector2){1.0, 0.5 * run->error.speed / run->error.work};
}

/* Puts the state back. The friction along the rail is told by what it has done to the slips. */
static void finish(const struct glide *glide, struct impact_run *run)
{
	struct impact_state *state = &run->state;
	double s = run->impact.sine, before = 2.0 * state->along +
	                                      (s - 1.0) * state->spin_speed[1] -
	                                      glide->cosine * state->spin_speed[2];

	state->along += (glide->slip_x[0] + glide->slip_x[1] - before) /
	                (run->impact.own[CONTACT_NOSE][0] + run->impact.shared[0]);
	state->into = glide->into;
	state->spin_speed[0] = glide->slip_y[1] - glide->into;
	state->spin_speed[1] = state->along - glide->slip_x[1];
	state->spin_speed[2] =
	    (state->along + s * state->spin_speed[1] - glide->slip_x[0]) / glide->cosine;
	state->work = glide->at.amount[1];
	state->impulse = glide->at.amount[0];
}

/* A length for the first step: directions turn by no more than an angle of about that. */
static double first_length(const struct glide *glide)
{
	vector2 x = glide->rates.x, y = glide->rates.y, square = x * x + y * y;
	double share = glide->share;

	return 0.65 / (share * sqrt(square[0]) + (1.0 - share) * sqrt(square[1]));
}

/* Shortens a step such that slips that are drawn to their way settle there and do not swing. */
static double steadied(const struct glide *glide, double length)
{
	double share = glide->share;
	vector2 pull = glide->rates.growth -
	               (vector2){glide->nose_x[0], glide->rates.grip[0] * glide->bed_x[1]};
	double most = larger(share * pull[0], (1.0 - share) * pull[1]);

	return most * length > 3.5 ? 3.5 / most : length;
}

/* Whether the part cannot end within an impulse. */
static bool is_far(const struct glide *glide, bool compressing, double impulse)
{
	double v = glide->into, a = glide->lever * (glide->rates.y[1] - glide->rates.y[0]);

	if (compressing)
		return v + a * impulse > 0.0;
	return glide->at.amount[1] + glide->cosine * impulse * (v + 0.5 * a * impulse) > 0.0;
}

/* The end of compression, so near that the work till there can be told. */
static void begin_restitution(struct glide *glide, struct impact_run *run,
                              const struct curve *curve, double ahead)
{
	double work = work_ahead(glide, curve, ahead);

	run->compression = glide->at.amount[1] + work;
	glide->at.amount[1] = run->share * run->compression - work;
	run->part = PART_RESTITUTION;
}

/* Ends a part that is as good as over, and shortens the step to the end of one that would end in
 * it. Returns whether it does. */
static bool aim(struct glide *glide, struct impact_run *run, double *length)
{
	double within = 2.0 * *length * glide->pace, ahead, aimed, cube;
	struct curve curve;
	bool past;

	for (;;) {
		bool compressing = run->part == PART_COMPRESSION;

		if (is_far(glide, compressing, within))
			return false;
		find_curve(glide, &curve);
		ahead = end_ahead(glide, &curve, compressing);
		cube = fabs(ahead) * curve.pull < 0.3 ? fabs(ahead) * ahead * ahead * curve.jerk
		                                      : HUGE_VAL;
		if (compressing && cube * fabs(ahead) <= 5.0 * run->error.speed) {
			begin_restitution(glide, run, &curve, ahead);
			continue;
		}
		if (!compressing && cube <= 0.3 * run->error.speed) {
			creep(glide, &curve, ahead);
			glide->at.amount[1] = 0.0;
			run->part = PART_ENDED;
			return false;
		}
		past = compressing ? glide->into < 0.0 : glide->at.amount[1] < 0.0;
		aimed = step_length(glide, &curve, ahead, *length);
		if (past != (ahead < 0.0) || !(aimed / ahead > 0.3 / glide->pace) ||
		    !(fabs(aimed) < 1.1 * *length))
			return false;
		*length = aimed;
		return true;
	}
}

/* By how much a step has to be shortened because it went beyond the end of the part by more than
 * can be told from there; 1 if it need not. */
static double overshoot(const struct glide *glide, const struct impact_run *run,
                        const struct glide_sums *total)
{
	double before, after;

	if (run->part == PART_COMPRESSION) {
		before = glide->into;
		after = glide_into_after(glide, total);
	} else {
		before = glide->at.amount[1];
		after = before + total->amount[1];
	}
	return after < -1e-4 ? before / (before - after) : 1.0;
}

/* Whether a small slip is so far off its way that way_is_on need not be asked, which takes long. It
 * turns there at less than ten times the angle, and at less than five times the angle by which the
 * other slip turns while the small one ends. */
static bool is_off_way(const struct glide *glide, const struct impact_run *run, int place)
{
	double size = glide->size[place], other = glide->size[1 - place];
	double turn = fabs(glide->rates.turn[place]) -
	              5.0 * fabs(glide->rates.turn[1 - place]) * size / other;

	return turn > 0.0 && turn * turn * size > 100.0 * run->error.speed;
}

/* Whether a slip has come so near to zero that something else begins: it goes on along its one way.
 * It must not end before it would be there. */
static bool has_dwindled(const struct glide *glide, struct impact_run *run)
{
	double left = HUGE_VAL;

	if (glide->size[0] >= WAY_SMALL_SLIP && glide->size[1] >= WAY_SMALL_SLIP)
		return false;
	if (run->part == PART_RESTITUTION) {
		if (!(glide->into < 0.0)) /* at the turn that cannot be told: after the next step */
			return false;
		left = glide->at.amount[1] / (glide->cosine * -glide->into);
	}
	for (int place = 0; place < CONTACT_PLACES; place++) {
		run->size[place] = glide->size[place];
		run->impact.direction[place] =
		    (vector2){glide->direction_x[place], glide->direction_y[place]};
	}
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (glide->size[place] < WAY_SMALL_SLIP && !(left < 40.0 * glide->size[place]) &&
		    !is_off_way(glide, run, place) && way_is_on(run, (enum contact_place)place))
			return true;
	return false;
}

/* The power of two next above a positive number. frexp would take a call. */
static int power_above(double x)
{
	uint64_t bits;

	memcpy(&bits, &x, sizeof bits);
	return (int)(bits >> 52) - 1022;
}

/* By how much a step may be longer if the square of its error may be `room` times as large: the
 * sixteenth root, to two percent; what is asked for is no more exact. */
static double length_factor(double room)
{
	static const double octaves[4] = {0.25, 0.5, 1.0, 2.0};
	static const double roots[16] = {0.979, 1.022, 1.067, 1.114, 1.163, 1.215, 1.269, 1.325,
	                                 1.383, 1.445, 1.509, 1.576, 1.645, 1.718, 1.794, 1.874};
	int power = power_above(room);

	if (power > 16)
		return 2.0;
	if (power < -24)
		return 0.3;
	return roots[(power + 32) % 16] * octaves[(power + 32) / 16];
}

static void add_step(struct glide *glide, const struct glide_sums *total)
{
	glide->at.root_x += total->root_x;
	glide->at.root_y += total->root_y;
	glide->at.amount += total->amount;
	glide_measure(glide);
}

bool glide_serves(const struct impact_run *run, const vector2 slip[CONTACT_PLACES])
{
	const struct impact *impact = &run->impact;

	return run->glides && impact->motion[CONTACT_NOSE] == CONTACT_SLIDES &&
	       impact->motion[CONTACT_BED] == CONTACT_SLIDES &&
	       (slip[CONTACT_NOSE][0] != 0.0 || slip[CONTACT_BED][0] != 0.0);
}

/* A step that is exact enough and does not go too far. *length is brought up to date for the next
 * one, unless the step was shortened to an end. False when no such step is found. */
static bool take_step(struct glide *glide, const struct impact_run *run, double limit, double step,
                      bool aimed, double *length)
{
	for (int tries = 0; tries < 50; tries++) {
		struct glide_sums total;
		double square = glide_step(glide, step, &total), room, shorter;

		room = limit * limit / larger(square, 1e-30);
		shorter =
		    room < 1.0 / 3.0 ? length_factor(0.5 * room) : overshoot(glide, run, &total);
		if (shorter < 1.0) {
			step *= shorter;
			aimed = false;
			continue;
		}
		if (!aimed || room < 1.0)
			*length = step * length_factor(0.85 * room); /* so few are taken in vain */
		add_step(glide, &total);
		return square < HUGE_VAL;
	}
	return false;
}

VECTOR_CLONES bool glide_on(struct impact_run *run)
{
	/* What is thought to be the error at which the true one is about that accepted. */
	double limit = 0.0110 * sqrt(run->error.speed), length = 0.0;
	struct glide glide;

	start(&glide, run);
	for (int tries = 0; tries < STEP_LIMIT; tries++) {
		double step;
		bool aimed, ends;

		ends = !(glide.size[0] > run->smallest && glide.size[1] > run->smallest);
		if (!ends) {
			glide_bring_up(&glide);
			ends = has_dwindled(&glide, run);
		}
		if (!ends) {
			if (length == 0.0)
				length = first_length(&glide);
			step = steadied(&glide, length);
			aimed = aim(&glide, run, &step);
			ends = run->part == PART_ENDED;
		}
		if (ends) {
			finish(&glide, run);
			return isfinite(run->state.along + run->state.work);
		}
		if (!take_step(&glide, run, limit, step, aimed, &length))
			return false;
		run->steps++;
	}
	return false;
}
