/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_contacts.h"

#include <math.h>
#include <string.h>

#include "outside_collision.h"

#define SLOW 0.005    /* [m/s]: src/shot/play.h */
#define TOUCH 1e-9    /* [m] */
#define APPROACH 1e-6 /* [m/s]: physics.md 3 */
#define TOGETHER 1e-9 /* relative: approaches as near are equal, physics.md 3 */
#define ROUNDS 1000

static double *numbers_of(struct outside_player *player, size_t i)
{
	return player->y + i * OUTSIDE_BALL_NUMBERS;
}

struct vector3 outside_contacts_place(const struct outside_player *player, size_t i)
{
	const double *numbers = player->y + i * OUTSIDE_BALL_NUMBERS;

	return vector3_make(numbers[OUTSIDE_BALL_X], numbers[OUTSIDE_BALL_Y],
	                    player->cloth.bodies[i].radius);
}

static struct ball_state state_of(const struct outside_player *player, size_t i)
{
	const double *numbers = player->y + i * OUTSIDE_BALL_NUMBERS;
	double per_radius = 1.0 / player->cloth.bodies[i].radius;
	struct ball_state state = {
	    .position = outside_contacts_place(player, i),
	    .velocity = {numbers[OUTSIDE_BALL_VX], numbers[OUTSIDE_BALL_VY], 0.0},
	    .spin = {numbers[OUTSIDE_BALL_WX], numbers[OUTSIDE_BALL_WY], numbers[OUTSIDE_BALL_WZ]}};

	state.spin = vector3_scale(per_radius, state.spin);
	return state;
}

static struct outside_event *note(struct outside_player *player, enum outside_event_kind kind,
                                  size_t i, double approach)
{
	struct outside_record *record = player->record;
	size_t place =
	    record->event_count < OUTSIDE_EVENTS ? record->event_count++ : OUTSIDE_EVENTS - 1;
	struct outside_event *event = &record->events[place];

	*event = (struct outside_event){.kind = kind,
	                                .time = player->time,
	                                .ball = i,
	                                .other = i,
	                                .position = outside_contacts_place(player, i),
	                                .approach = approach};
	return event;
}

/* formats.md 1: within the half mouth of a corner, or of a side pocket in the middle of a long
 * rail. */
static bool in_mouth(const struct table *table, enum rail rail, double along)
{
	bool long_rail = rail == RAIL_LEFT || rail == RAIL_RIGHT;
	double end = long_rail ? table->length : table->width;

	if (!table->pockets)
		return false;
	return fmin(along, end - along) < table->corner_mouth ||
	       (long_rail && fabs(along - 0.5 * end) < table->side_mouth);
}

/* The rail's frame: X along it, Y into it, Z up. A row of the turn for each rail: X and Y in the
 * table's axes. */
static const double turns[RAIL_COUNT][2][2] = {
    [RAIL_HEAD] = {{-1.0, 0.0}, {0.0, -1.0}},
    [RAIL_FOOT] = {{1.0, 0.0}, {0.0, 1.0}},
    [RAIL_LEFT] = {{0.0, 1.0}, {-1.0, 0.0}},
    [RAIL_RIGHT] = {{0.0, -1.0}, {1.0, 0.0}},
};

static void to_rail(enum rail rail, const double from[2], double to[2])
{
	for (int k = 0; k < 2; k++)
		to[k] = turns[rail][k][0] * from[0] + turns[rail][k][1] * from[1];
}

static void from_rail(enum rail rail, const double from[2], double to[2])
{
	for (int k = 0; k < 2; k++)
		to[k] = turns[rail][0][k] * from[0] + turns[rail][1][k] * from[1];
}

/* A ball too slow to rebound: neither it nor its spin goes on into the rail. */
static void stay(double *numbers, enum rail rail)
{
	bool across_x = rail == RAIL_LEFT || rail == RAIL_RIGHT;

	numbers[across_x ? OUTSIDE_BALL_VX : OUTSIDE_BALL_VY] = 0.0;
	numbers[across_x ? OUTSIDE_BALL_WY : OUTSIDE_BALL_WX] = 0.0;
}

static void rebound(struct outside_player *player, size_t i, enum rail rail)
{
	const struct constants *constants = player->cloth.constants;
	const double *value = constants->value;
	double *numbers = numbers_of(player, i), motion[OUTSIDE_MOTION];
	double grip = player->cloth.bodies[i].grip;
	double sine = player->cloth.table->nose_height / player->cloth.bodies[i].radius - 1.0;
	struct outside_cushion_law law = {.sine = sine,
	                                  .friction = value[CUSHION_FRICTION] * grip,
	                                  .bed_friction = value[SLIDING_FRICTION] * grip};

	to_rail(rail, numbers + OUTSIDE_BALL_VX, motion + OUTSIDE_VX);
	to_rail(rail, numbers + OUTSIDE_BALL_WX, motion + OUTSIDE_RWX);
	motion[OUTSIDE_RWZ] = numbers[OUTSIDE_BALL_WZ];
	law.restitution =
	    value[CUSHION_RESTITUTION] -
	    constants->terms.liveliness_fall * (motion[OUTSIDE_VY] * sqrt(1.0 - sine * sine) - 1.0);
	law.restitution = fmin(1.0, fmax(0.0, law.restitution));
	if (!outside_cushion_rebound(player->cushion, &law, motion, NULL))
		player->record->outcome = OUTSIDE_UNRESOLVED;
	from_rail(rail, motion + OUTSIDE_VX, numbers + OUTSIDE_BALL_VX);
	from_rail(rail, motion + OUTSIDE_RWX, numbers + OUTSIDE_BALL_WX);
	numbers[OUTSIDE_BALL_WZ] = motion[OUTSIDE_RWZ];
}

static void leave(struct outside_player *player, size_t i)
{
	struct outside_end *end = &player->record->ends[i];

	player->cloth.balls[i].on_table = false;
	end->pocketed = true;
	end->position = outside_contacts_place(player, i);
	end->rest_time = end->still_time = player->time;
}

/* Puts a ball that met a rail on its frozen line to the last bit. */
static void put_on_line(struct outside_player *player, size_t i, enum rail rail)
{
	double *numbers = numbers_of(player, i), radius = player->cloth.bodies[i].radius;
	const struct table *table = player->cloth.table;

	if (rail == RAIL_LEFT || rail == RAIL_RIGHT)
		numbers[OUTSIDE_BALL_X] = rail == RAIL_LEFT ? radius : table->width - radius;
	else
		numbers[OUTSIDE_BALL_Y] = rail == RAIL_HEAD ? radius : table->length - radius;
}

void outside_contacts_rail(struct outside_player *player, size_t i, enum rail rail, bool lies)
{
	double *numbers = numbers_of(player, i);
	double approach = outside_cloth_rail_speed(i, player->y, rail);
	bool long_rail = rail == RAIL_LEFT || rail == RAIL_RIGHT;
	bool falls = in_mouth(player->cloth.table, rail,
	                      numbers[long_rail ? OUTSIDE_BALL_Y : OUTSIDE_BALL_X]);
	struct outside_event *event;

	put_on_line(player, i, rail);
	if (lies && !falls && approach < SLOW) {
		stay(numbers, rail);
		return;
	}
	event = note(player, OUTSIDE_RAIL, i, approach);
	event->rail = rail;
	if (falls) {
		event->kind = OUTSIDE_POCKET;
		leave(player, i);
		return;
	}
	/* formats.md 1: once, unless more than a diameter away between. */
	if (player->farthest[i][rail] > 2.0 * player->cloth.bodies[i].radius)
		event->number = ++player->contacts[i];
	player->farthest[i][rail] = 0.0;
	if (approach < SLOW)
		stay(numbers, rail);
	else
		rebound(player, i, rail);
}

/* Touching pairs that approach. */
struct pair {
	size_t ball[2];
	double approach;
};

static size_t find_pairs(const struct outside_player *player, struct pair *pairs, double *fastest)
{
	const struct outside_cloth *cloth = &player->cloth;
	size_t count = 0;

	*fastest = 0.0;
	for (size_t i = 0; i < cloth->count; i++)
		for (size_t j = i + 1; j < cloth->count; j++) {
			struct ball_state balls[2] = {state_of(player, i), state_of(player, j)};
			double approach = outside_collision_approach(balls);

			if (!cloth->balls[i].on_table || !cloth->balls[j].on_table ||
			    outside_cloth_pair_gap(cloth, i, j, player->y) > TOUCH ||
			    approach <= APPROACH)
				continue;
			pairs[count++] = (struct pair){{i, j}, approach};
			*fastest = fmax(*fastest, approach);
		}
	return count;
}

/* What drives a ball in the direction (x, y) is taken away: the slip whose friction does, but for what
 * would make the spin faster. */
static void stop_driving(double *numbers, double x, double y)
{
	double slip_x = numbers[OUTSIDE_BALL_VX] - numbers[OUTSIDE_BALL_WY];
	double slip_y = numbers[OUTSIDE_BALL_VY] + numbers[OUTSIDE_BALL_WX];
	double along = slip_x * x + slip_y * y;
	double turn = numbers[OUTSIDE_BALL_WX] * y - numbers[OUTSIDE_BALL_WY] * x, after;

	if (along < 0.0) { /* friction is against it: toward (x, y) */
		after = fmax(-fabs(turn), fmin(fabs(turn), turn - along));
		numbers[OUTSIDE_BALL_WX] += (after - turn) * y;
		numbers[OUTSIDE_BALL_WY] -= (after - turn) * x;
	}
}

/* Whether this pair has met at this instant already. */
static bool met_before(const struct outside_player *player, const struct pair *pair)
{
	const struct outside_record *record = player->record;

	for (size_t k = record->event_count; k-- > 0 && record->events[k].time == player->time;)
		if (record->events[k].kind == OUTSIDE_MEETING &&
		    record->events[k].ball == pair->ball[0] &&
		    record->events[k].other == pair->ball[1])
			return true;
	return false;
}

static void meet(struct outside_player *player, const struct pair *pair,
                 const struct outside_collision *change)
{
	for (int k = 0; k < 2; k++) {
		double *numbers = numbers_of(player, pair->ball[k]);
		double radius = player->cloth.bodies[pair->ball[k]].radius;

		numbers[OUTSIDE_BALL_VX] += change->velocity[k].x;
		numbers[OUTSIDE_BALL_VY] += change->velocity[k].y;
		numbers[OUTSIDE_BALL_WX] += radius * change->spin[k].x;
		numbers[OUTSIDE_BALL_WY] += radius * change->spin[k].y;
		numbers[OUTSIDE_BALL_WZ] += radius * change->spin[k].z;
	}
	if (pair->approach < SLOW) {
		double *a = numbers_of(player, pair->ball[0]),
		       *b = numbers_of(player, pair->ball[1]);
		double x = b[OUTSIDE_BALL_X] - a[OUTSIDE_BALL_X];
		double y = b[OUTSIDE_BALL_Y] - a[OUTSIDE_BALL_Y], length = hypot(x, y);

		stop_driving(a, x / length, y / length);
		stop_driving(b, -x / length, -y / length);
	}
}

/* Solves the pairs of the fastest approach from the state that they share. */
static void solve(struct outside_player *player, const struct pair *pairs, size_t count,
                  double fastest)
{
	const struct constants *constants = player->cloth.constants;
	struct outside_collision changes[OUTSIDE_BALLS * OUTSIDE_BALLS];

	for (size_t k = 0; k < count; k++) {
		const size_t *ball = pairs[k].ball;
		struct ball_state balls[2] = {state_of(player, ball[0]), state_of(player, ball[1])};
		struct ball_body bodies[2] = {player->cloth.bodies[ball[0]],
		                              player->cloth.bodies[ball[1]]};
		struct outside_collision_law law = {
		    pairs[k].approach < SLOW ? 0.0 : constants->value[BALL_RESTITUTION],
		    constants->value[BALL_FRICTION], constants->terms.ball_friction_fall};

		changes[k] = outside_collision_solve(balls, bodies, &law);
	}
	for (size_t k = 0; k < count; k++) {
		if (pairs[k].approach < fastest * (1.0 - TOGETHER))
			continue;
		if (!met_before(player, &pairs[k])) {
			struct outside_event *event =
			    note(player, OUTSIDE_MEETING, pairs[k].ball[0], pairs[k].approach);

			event->other = pairs[k].ball[1];
			event->number = ++player->meetings;
		}
		meet(player, &pairs[k], &changes[k]);
	}
}

bool outside_contacts_balls(struct outside_player *player)
{
	struct pair pairs[OUTSIDE_BALLS * OUTSIDE_BALLS];

	for (int round = 0; round < ROUNDS; round++) {
		double fastest;
		size_t count = find_pairs(player, pairs, &fastest);

		if (count == 0)
			return round > 0;
		solve(player, pairs, count, fastest);
	}
	player->record->outcome = OUTSIDE_GIVEN_UP;
	return true;
}

static bool pair_pressed(const struct outside_player *player, size_t i, size_t j)
{
	const double *a = player->y + i * OUTSIDE_BALL_NUMBERS;
	const double *b = player->y + j * OUTSIDE_BALL_NUMBERS;
	double one[2], two[2], closing = 0.0;

	if (outside_cloth_pair_gap(&player->cloth, i, j, player->y) > TOUCH ||
	    outside_cloth_pair_rate(i, j, player->y) > APPROACH * player->cloth.bodies[i].radius)
		return false;
	outside_cloth_acceleration(&player->cloth, i, player->y, one);
	outside_cloth_acceleration(&player->cloth, j, player->y, two);
	for (int axis = 0; axis < 2; axis++)
		closing +=
		    (one[axis] - two[axis]) * (b[OUTSIDE_BALL_X + axis] - a[OUTSIDE_BALL_X + axis]);
	return closing > 0.0;
}

static bool rail_pressed(const struct outside_player *player, size_t i, enum rail rail)
{
	double acceleration[2], into[2];

	if (player->cloth.balls[i].carried[rail] == false ||
	    outside_cloth_rail_speed(i, player->y, rail) != 0.0)
		return false;
	outside_cloth_acceleration(&player->cloth, i, player->y, acceleration);
	to_rail(rail, acceleration, into);
	return into[1] > 1e-12;
}

void outside_contacts_find_pressed(struct outside_player *player)
{
	const struct outside_cloth *cloth = &player->cloth;

	for (size_t i = 0; i < cloth->count; i++) {
		if (!cloth->balls[i].on_table)
			continue;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			player->record->pressed |= rail_pressed(player, i, (enum rail)rail);
		for (size_t j = i + 1; j < cloth->count; j++)
			if (cloth->balls[j].on_table)
				player->record->pressed |= pair_pressed(player, i, j);
	}
}
