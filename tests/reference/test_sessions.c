/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "../unit/session_support.h"
#include "estimate/stroke_model.h"

/* The engine and the observation of a shot against an independent simulator of the same physics
 * (tests/reference/sessions/README.md), which steps through time. It agrees to 0.003 diamonds and
 * 0.002 s where a path is not very sensitive. */

#define POSITION_TOLERANCE 0.003 /* [diamonds] */
#define TIME_TOLERANCE 0.002     /* [s] */
#define TOLERANCE 1e-9           /* of cushion impacts */

/* Growth of a launch error: how far the point read moves, in metres, for a metre by which the
 * launch is displaced, seen from a lever of 1 m: turned by d rad, the launch points d metres beside
 * at 1 m; faster by d relative, it is d metres ahead when it should have gone 1 m. The larger of
 * both. A straight roll of 1 m has a growth of 1 to 2; what two integrators do not share, some 1e-5
 * m, stays below 0.003 diamonds while the growth is below this. For a time, seconds for seconds. */
#define GROWTH_MOST 100.0
#define GROWTH_STEP 1e-7
#define LEFT_OUT_MOST 4 /* readings of both sessions together */

static int compared, left_out;

/* The largest displacement of each quantity per launch displacement. */
static void measure_growth(const struct stroke_scene *scene, const struct constants *constants,
                           const struct observed *plain, double growth[QUANTITY_COUNT])
{
	const struct shot_design *design = scene->design;

	for (int number = 0; number < QUANTITY_COUNT; number++)
		growth[number] = 0.0;
	for (int way = 0; way < 2; way++) {
		double shared[SHARED_UNKNOWNS] = {0.0}, own[OWN_UNKNOWNS] = {0.0};
		struct observed moved[QUANTITY_COUNT];
		struct shot_record record;

		own[OWN_AIM] = way == 0 ? GROWTH_STEP / close_radians(design->aim.spread_deg) : 0.0;
		own[OWN_SPEED] = way == 1 ? GROWTH_STEP / design->launch.speed_spread : 0.0;
		ck_assert(
		    stroke_scene_play(scene, constants, shared, own, TOLERANCE, &record, moved));
		for (int number = 0; number < QUANTITY_COUNT; number++) {
			enum quantity_kind kind = quantity_at(number).kind;
			const struct observed *a = &plain[number], *b = &moved[number];
			bool time = kind == QUANTITY_WATCH || kind == QUANTITY_SOUND;

			if (!(scene->mask & (UINT32_C(1) << number)))
				continue;
			growth[number] = fmax(
			    growth[number],
			    (time ? fabs(b->value - a->value)
			          : hypot(table_long_to_metres(scene->table, b->along - a->along),
			                  table_short_to_metres(scene->table,
			                                        b->across - a->across))) /
				GROWTH_STEP);
		}
	}
}

static int check_reading(const struct stroke_row *row, int number, const struct observed *seen,
                         double growth)
{
	const struct reading *reading = &row->readings[number];
	enum quantity_kind kind = quantity_at(number).kind;
	bool time = kind == QUANTITY_WATCH || kind == QUANTITY_SOUND;
	int misses;

	if (growth > GROWTH_MOST) {
		fprintf(stderr, "%s %s left out: growth %.0f\n", row->shot, quantity_name(number),
		        growth);
		left_out++;
		return 0;
	}
	compared++;
	misses = close_false(row->shot, number, "happened", seen->happened) +
	         close_false(row->shot, number, "in a pocket or not, as read",
	                     seen->pocketed == (reading->kind == READING_POCKET));
	if (reading->kind == READING_POCKET)
		return misses;
	if (reading->rail_named)
		misses +=
		    close_false(row->shot, number, "the rail read", seen->rail == reading->rail);
	return misses + close_miss(row->shot, number, quantity_name(number), reading->value,
	                           seen->value, time ? TIME_TOLERANCE : POSITION_TOLERANCE);
}

static int check_row(const struct stroke_row *row, const struct protocol *protocol,
                     const struct measurement *measurement, const struct constants *constants)
{
	double shared[SHARED_UNKNOWNS] = {0.0}, own[OWN_UNKNOWNS] = {0.0}, growth[QUANTITY_COUNT];
	const struct shot_design *design = protocol_find_shot(protocol, row->shot);
	struct observed seen[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	uint32_t mask = 0;
	const char *why;
	int misses = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (row->readings[number].kind != READING_MISSING)
			mask |= UINT32_C(1) << number;
	ck_assert_ptr_nonnull(design);
	ck_assert(stroke_scene_make(&scene, design, &measurement->session, row->ball, mask, &why));
	ck_assert(stroke_scene_play(&scene, constants, shared, own, TOLERANCE, &record, seen));
	measure_growth(&scene, constants, seen, growth);
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (mask & (UINT32_C(1) << number))
			misses += check_reading(row, number, &seen[number], growth[number]);
	return misses;
}

static int check_session(const char *kind)
{
	char path[128];
	struct measurement measurement;
	struct constants constants = {.terms = {0.0}};
	struct protocol protocol;
	int misses = 0;

	snprintf(path, sizeof path, "tests/reference/sessions/%s.json", kind);
	session_support_protocol(session_support_path(path), &protocol);
	snprintf(path, sizeof path, "tests/reference/sessions/%s-exact.csv", kind);
	session_support_measurement(session_support_path(path), &protocol, &measurement);
	snprintf(path, sizeof path, "tests/reference/sessions/%s-exact-constants.json", kind);
	session_support_constants(session_support_path(path), &constants);
	ck_assert_uint_eq(measurement.row_count, protocol.shot_count);
	for (size_t i = 0; i < measurement.row_count; i++)
		misses += check_row(&measurement.rows[i], &protocol, &measurement, &constants);
	measurement_free(&measurement);
	protocol_free(&protocol);
	return misses;
}

START_TEST(exact_sessions_agree)
{
	int misses = check_session("example-watch") + check_session("example-sound");

	printf("exact sessions: %d readings compared, %d left out\n", compared, left_out);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_le(left_out, LEFT_OUT_MOST);
	ck_assert_int_ge(compared, 110);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sessions");
	TCase *sessions = tcase_create("exact");

	tcase_add_test(sessions, exact_sessions_agree);
	suite_add_tcase(suite, sessions);
	return close_run(suite);
}
