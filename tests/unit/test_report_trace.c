/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "estimate/stroke_model.h"
#include "files/csv_rows.h"
#include "files/json_tree.h"
#include "files/protocol_file.h"
#include "files_support.h"
#include "report/trace_drawing.h"
#include "report/trace_json.h"
#include "report/trace_text.h"
#include "report_checks.h"

/* A trace in each of its forms, read back by the project's own readers. Expected values: the traced
 * shot itself, bit for bit; for the drawings the sizes of A4 (ISO 216) and the signature of a PNG
 * (W3C PNG specification, 5.2). */

/* The library of the fonts keeps what it knows of them until the end of the program, where the leak
 * sanitizer does not find it: its hook for what is not to be told. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
	return "leak:libfontconfig";
}

static struct protocol protocol;
static struct session session;
static struct constants constants;
static struct traced_shot shots[16];
static struct trace_set set;

/* Plays every shot of a protocol of the tests; the second key is one that needs quotes. */
static void start(void)
{
	struct fault_list faults;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(protocol_file_read(support_path("tests/cli/trial.json"), &protocol, &faults),
	                 STATUS_OK);
	fault_list_free(&faults);
	protocol.shots[1].key = "firm, \"half\" ½";
	session = session_default();
	constants = constants_centre();
	constants.terms.ball_friction_fall = 0.41;
	constants.terms.bed_restitution = 0.47;
	ck_assert_uint_le(protocol.shot_count, 16);
	for (size_t i = 0; i < protocol.shot_count; i++) {
		struct stroke_scene scene;
		const char *why;

		ck_assert(stroke_scene_make(&scene, &protocol.shots[i], &session, NULL, 0, &why));
		ck_assert_int_eq(traced_shot_play(&protocol.shots[i], &scene.setup, &session.table,
		                                  &constants, 0.0, 0.001, &shots[i]),
		                 STATUS_OK);
	}
	set = (struct trace_set){.protocol = &protocol,
	                         .table = &session.table,
	                         .constants = &constants,
	                         .constants_source = "invented.json",
	                         .count = protocol.shot_count,
	                         .shots = shots};
}

static void stop(void)
{
	for (size_t i = 0; i < protocol.shot_count; i++)
		traced_shot_free(&shots[i]);
	protocol_free(&protocol);
}

enum column {
	SHOT, BALL, TIME, LONG, SHORT, HEIGHT, SPEED, SPIN_LONG, SPIN_SHORT, SPIN_UP, PHASE, EVENT,
	NUMBER, RAIL, OTHER, APPROACH, COLUMNS
};

static void check_number(const struct csv_cell *cell, double wanted)
{
	double value;

	ck_assert_msg(number_read(cell->text, cell->length, &value), "no number: %s", cell->text);
	ck_assert_msg(value == wanted, "%s is not %.17g", cell->text, wanted);
}

static void check_blank(const struct csv_row *row, int from, int to)
{
	for (int i = from; i <= to; i++)
		ck_assert_uint_eq(row->cells[i].length, 0);
}

static void check_place(const struct csv_row *row, const struct traced_shot *shot, int ball,
                        double time, struct vector3 position)
{
	ck_assert_uint_eq(row->count, COLUMNS);
	ck_assert_str_eq(row->cells[SHOT].text, shot->design->key);
	ck_assert_str_eq(row->cells[BALL].text, ball_role_name((enum ball_role)ball));
	check_number(&row->cells[TIME], time);
	check_number(&row->cells[LONG], position.y * 8.0 / session.table.length);
	check_number(&row->cells[SHORT], position.x * 4.0 / session.table.width);
	check_number(&row->cells[HEIGHT], 1000.0 * (position.z - shot->setup.bodies[ball].radius));
}

static void check_point(const struct csv_row *row, const struct traced_shot *shot, int ball,
                        const struct trace_point *point)
{
	check_place(row, shot, ball, point->time, point->state.position);
	check_number(&row->cells[SPEED], vector3_norm(point->state.velocity));
	check_number(&row->cells[SPIN_LONG], point->state.spin.y);
	check_number(&row->cells[SPIN_SHORT], point->state.spin.x);
	check_number(&row->cells[SPIN_UP], point->state.spin.z);
	ck_assert_str_eq(row->cells[PHASE].text, trace_phase_word(point->phase));
	check_blank(row, EVENT, APPROACH);
}

static void check_event(const struct csv_row *row, const struct traced_shot *shot,
                        const struct trace_event *event)
{
	check_place(row, shot, (int)event->ball, event->time, event->position);
	check_blank(row, SPEED, PHASE);
	ck_assert_str_eq(row->cells[EVENT].text, trace_event_word(event->kind));
	if (event->kind == TRACE_CONTACT)
		ck_assert_str_eq(row->cells[OTHER].text, ball_role_name(event->other));
	else
		check_blank(row, OTHER, OTHER);
	if (event->kind == TRACE_RAIL)
		ck_assert_str_eq(row->cells[RAIL].text, rail_name(event->rail));
	if (event->number > 0)
		check_number(&row->cells[NUMBER], event->number);
	if (event->kind == TRACE_RAIL || event->kind == TRACE_CONTACT)
		check_number(&row->cells[APPROACH], event->approach);
	else if (event->kind == TRACE_STRIKE || event->kind == TRACE_REST)
		check_blank(row, NUMBER, APPROACH);
}

START_TEST(test_csv_reads_back)
{
	struct text out = {0};
	struct csv_rows rows = {.count = 0};
	struct arena *arena = arena_create();
	struct fault_list faults;
	size_t row = 1;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	trace_text_print(&set, &out);
	ck_assert_int_eq(csv_rows_read("t.csv", text_bytes(&out), out.length, ',', CSV_ALL, arena,
	                               &rows, &faults),
	                 STATUS_OK);
	ck_assert_uint_eq(faults.count, 0);
	ck_assert_uint_eq(rows.rows[0].count, COLUMNS);
	for (size_t i = 0; i < set.count; i++) {
		for (int ball = 0; ball < BALL_ROLES; ball++)
			for (size_t k = 0; k < shots[i].paths[ball].count; k++)
				check_point(&rows.rows[row++], &shots[i], ball,
				            &shots[i].paths[ball].points[k]);
		for (size_t k = 0; k < shots[i].event_count; k++)
			check_event(&rows.rows[row++], &shots[i], &shots[i].events[k]);
	}
	ck_assert_uint_eq(row, rows.count);
	ck_assert_uint_gt(row, 200);
	fault_list_free(&faults);
	arena_free(arena);
	text_free(&out);
}
END_TEST

static double number_of(const struct json_node *object, const char *key)
{
	const struct json_node *member = json_tree_member(object, key);

	ck_assert_msg(member != NULL && member->kind == JSON_NUMBER, "no number \"%s\"", key);
	return member->number;
}

static const char *text_of(const struct json_node *object, const char *key)
{
	const struct json_node *member = json_tree_member(object, key);

	ck_assert_msg(member != NULL && member->kind == JSON_STRING, "no string \"%s\"", key);
	return member->text;
}

static void check_json_point(const struct json_node *node, const struct trace_point *point)
{
	ck_assert_double_eq(number_of(node, "time_s"), point->time);
	ck_assert_double_eq(number_of(node, "long"),
	                    point->state.position.y * 8.0 / session.table.length);
	ck_assert_double_eq(number_of(node, "short"),
	                    point->state.position.x * 4.0 / session.table.width);
	ck_assert_double_eq(number_of(node, "speed_m_s"), vector3_norm(point->state.velocity));
	ck_assert_double_eq(number_of(node, "spin_short_rad_s"), point->state.spin.x);
	ck_assert_double_eq(number_of(node, "spin_up_rad_s"), point->state.spin.z);
	ck_assert_str_eq(text_of(node, "phase"), trace_phase_word(point->phase));
}

static void check_json_shot(const struct json_node *node, const struct traced_shot *shot)
{
	const struct json_node *ball = json_tree_member(node, "balls")->first;
	const struct json_node *event = json_tree_member(node, "events")->first;

	ck_assert_str_eq(text_of(node, "shot"), shot->design->key);
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct json_node *point;
		size_t k = 0;

		if (!shot->setup.present[i])
			continue;
		ck_assert_str_eq(text_of(ball, "ball"), ball_role_name((enum ball_role)i));
		ck_assert_double_eq(number_of(ball, "diameter_m"), session.table.ball_diameter);
		for (point = json_tree_member(ball, "path")->first; point != NULL; point = point->next)
			check_json_point(point, &shot->paths[i].points[k++]);
		ck_assert_uint_eq(k, shot->paths[i].count);
		ball = ball->next;
	}
	ck_assert_ptr_null(ball);
	for (size_t k = 0; k < shot->event_count; k++, event = event->next) {
		ck_assert_str_eq(text_of(event, "event"), trace_event_word(shot->events[k].kind));
		ck_assert_double_eq(number_of(event, "time_s"), shot->events[k].time);
		ck_assert_str_eq(text_of(event, "ball"), ball_role_name(shot->events[k].ball));
		if (isfinite(shot->events[k].approach))
			ck_assert_double_eq(number_of(event, "approach_m_s"), shot->events[k].approach);
		else
			ck_assert_ptr_null(json_tree_member(event, "approach_m_s"));
	}
	ck_assert_ptr_null(event);
}

START_TEST(test_json_reads_back)
{
	struct text out = {0};
	struct arena *arena = arena_create();
	struct fault_list faults;
	const struct json_node *root, *shot;
	size_t i = 0;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	trace_json_print(&set, &out);
	root = json_tree_read("t.json", text_bytes(&out), out.length, arena, &faults);
	ck_assert_uint_eq(faults.count, 0);
	ck_assert_str_eq(text_of(root, "format"), "restpoint-trace");
	ck_assert_double_eq(number_of(root, "version"), 1.0);
	ck_assert_str_eq(text_of(root, "protocol"), "trial");
	ck_assert_double_eq(number_of(json_tree_member(root, "table"), "width_m"), 1.27);
	ck_assert_double_eq(number_of(json_tree_member(root, "constants"), "cushion_friction"),
	                    constants.value[CUSHION_FRICTION]);
	ck_assert_double_eq(number_of(json_tree_member(root, "constants"), "bed_restitution"), 0.47);
	ck_assert_ptr_null(json_tree_member(json_tree_member(root, "constants"), "slope_long"));
	for (shot = json_tree_member(root, "shots")->first; shot != NULL; shot = shot->next)
		check_json_shot(shot, &shots[i++]);
	ck_assert_uint_eq(i, set.count);
	fault_list_free(&faults);
	arena_free(arena);
	text_free(&out);
}
END_TEST

/* Every event of the play, the strike first, and how each ball ends. */
START_TEST(test_events)
{
	for (size_t i = 0; i < set.count; i++) {
		const struct traced_shot *shot = &shots[i];
		size_t kinds[TRACE_STOPPED + 1] = {0};

		ck_assert_int_eq(shot->events[0].kind, TRACE_STRIKE);
		for (size_t k = 0; k < shot->event_count; k++) {
			kinds[shot->events[k].kind]++;
			if (k > 0)
				ck_assert_double_ge(shot->events[k].time, shot->events[k - 1].time);
		}
		ck_assert_uint_eq(kinds[TRACE_STRIKE], 1);
		ck_assert_uint_eq(kinds[TRACE_RAIL] + kinds[TRACE_CONTACT] + kinds[TRACE_POCKET] +
		                      kinds[TRACE_LEAVE] + kinds[TRACE_BOUNCE],
		                  shot->record.event_count);
		for (int ball = 0; ball < BALL_ROLES; ball++) {
			const struct trace_path *path = &shot->paths[ball];

			ck_assert(shot->setup.present[ball] == (path->count > 0));
			if (path->count > 0 && !shot->record.ends[ball].pocketed)
				ck_assert_double_eq(path->points[path->count - 1].time, shot->end_time);
		}
	}
	/* The stop shot with side of trial.json goes on spinning after all stand still. */
	ck_assert_str_eq(shots[3].design->key, "spin-on-the-spot");
	ck_assert(traced_shot_moved(&shots[3], BALL_CUE));
	ck_assert(!traced_shot_moved(&shots[3], BALL_OBJECT2));
	ck_assert_double_gt(shots[3].record.ends[BALL_CUE].still_time,
	                    shots[3].record.ends[BALL_CUE].rest_time);
}
END_TEST

/* How often a text stands in bytes. */
static size_t count_of(const struct text *text, const char *part)
{
	size_t count = 0;

	for (const char *at = text_bytes(text); (at = strstr(at, part)) != NULL; at++)
		count++;
	return count;
}

START_TEST(test_svg)
{
	struct text out = {0};

	for (size_t i = 0; i < set.count; i++) {
		ck_assert_int_eq(trace_drawing_print(&set, &shots[i], CANVAS_SVG, &out), STATUS_OK);
		ck_assert_uint_eq(strlen(text_bytes(&out)), out.length);
		ck_assert_int_eq(strncmp(out.bytes, "<?xml version=\"1.0\"", 19), 0);
		check_contains(&out, "width=\"297mm\" height=\"210mm\"");
		ck_assert_str_eq(out.bytes + out.length - 7, "</svg>\n");
		ck_assert_uint_eq(count_of(&out, "<g>") + count_of(&out, "<g "),
		                  count_of(&out, "</g>"));
		ck_assert_uint_gt(count_of(&out, "<path "), 60);
		/* Black on white alone. */
		ck_assert_uint_eq(count_of(&out, "rgb(0%,0%,0%)") + count_of(&out, "rgb(100%,100%,100%)"),
		                  count_of(&out, "rgb("));
		text_free(&out);
	}
}
END_TEST

static unsigned long big_endian(const char *bytes)
{
	unsigned long value = 0;

	for (int i = 0; i < 4; i++)
		value = value << 8 | (unsigned char)bytes[i];
	return value;
}

START_TEST(test_png)
{
	struct text first = {0}, second = {0};

	ck_assert_int_eq(trace_drawing_print(&set, &shots[1], CANVAS_PNG, &first), STATUS_OK);
	ck_assert_int_eq(memcmp(first.bytes, "\x89PNG\r\n\x1a\n", 8), 0);
	ck_assert_int_eq(memcmp(first.bytes + 12, "IHDR", 4), 0);
	ck_assert_uint_eq(big_endian(first.bytes + 16), 2339); /* 297 mm at 200 dots per inch */
	ck_assert_uint_eq(big_endian(first.bytes + 20), 1654);
	ck_assert_int_eq(memcmp(first.bytes + first.length - 8, "IEND", 4), 0);
	ck_assert_int_eq(trace_drawing_print(&set, &shots[1], CANVAS_PNG, &second), STATUS_OK);
	ck_assert_uint_eq(first.length, second.length);
	ck_assert_int_eq(memcmp(first.bytes, second.bytes, first.length), 0);
	text_free(&first);
	text_free(&second);
}
END_TEST

static Suite *make_suite(void)
{
	Suite *suite = suite_create("report of a trace");
	TCase *tests = tcase_create("trace");

	tcase_add_checked_fixture(tests, start, stop);
	tcase_add_test(tests, test_csv_reads_back);
	tcase_add_test(tests, test_json_reads_back);
	tcase_add_test(tests, test_events);
	tcase_add_test(tests, test_svg);
	tcase_add_test(tests, test_png);
	suite_add_tcase(suite, tests);
	return suite;
}

int main(void)
{
	return run_suite(make_suite());
}
