/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A protocol as JSON text: formats.md 4. */
#include <math.h>

#include "files/json_text.h"
#include "files/protocol_file.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static void print_coordinate(struct json_writer *writer, const char *key,
                             const struct place_coordinate *coordinate)
{
	static const char *const frozen[RAIL_COUNT] = {[RAIL_HEAD] = "f head",
	                                               [RAIL_FOOT] = "f foot",
	                                               [RAIL_LEFT] = "f left",
	                                               [RAIL_RIGHT] = "f right"};

	if (coordinate->frozen)
		json_string(writer, key, frozen[coordinate->rail]);
	else
		json_number(writer, key, coordinate->diamonds);
}

static void print_point(struct json_writer *writer, const char *key, double along, double across)
{
	json_open_object(writer, key, true);
	json_number(writer, "long", along);
	json_number(writer, "short", across);
	json_close_object(writer);
}

static void print_placement(struct json_writer *writer, enum ball_role role,
                            const struct placement *placement)
{
	json_open_object(writer, ball_role_name(role), true);
	if (placement->touching) {
		json_string(writer, "touching", ball_role_name(placement->touched));
		print_point(writer, "toward", placement->toward_long, placement->toward_short);
	} else {
		print_coordinate(writer, "long", &placement->along);
		print_coordinate(writer, "short", &placement->across);
	}
	if (placement->diameter > 0.0)
		json_number(writer, "diameter_m", placement->diameter);
	if (placement->mass > 0.0)
		json_number(writer, "mass_kg", placement->mass);
	json_close_object(writer);
}

static void print_place(struct json_writer *writer, const struct shot_design *shot)
{
	json_open_object(writer, "place", true);
	for (int role = 0; role < BALL_ROLES; role++)
		if (shot->place[role].present)
			print_placement(writer, (enum ball_role)role, &shot->place[role]);
	json_close_object(writer);
}

static void print_aim(struct json_writer *writer, const struct aim *aim)
{
	json_open_object(writer, "aim", true);
	if (aim->kind == AIM_POINT) {
		print_point(writer, "point", aim->point_long, aim->point_short);
	} else if (aim->kind == AIM_BALL) {
		json_open_object(writer, "ball", true);
		json_string(writer, "ball", ball_role_name(aim->ball));
		json_number(writer, "fullness", aim->fullness);
		if (aim->contact != AIM_SIDE_NONE)
			json_string(writer, "contact",
			            aim->contact == AIM_SIDE_LEFT ? "left" : "right");
		json_close_object(writer);
	} else {
		json_open_object(writer, aim->kind == AIM_NOSE ? "nose" : "sight", true);
		json_string(writer, "rail", rail_name(aim->rail));
		json_number(writer, "at", aim->at);
		json_close_object(writer);
	}
	json_number(writer, "spread_deg", aim->spread_deg);
	json_close_object(writer);
}

static void print_launch(struct json_writer *writer, const struct launch *launch)
{
	json_open_object(writer, "launch", true);
	json_string(writer, "by", launch->by_ramp ? "ramp" : "cue");
	if (launch->by_ramp)
		json_string(writer, "ramp", launch->ramp);
	json_number(writer, "speed_m_s", launch->speed);
	json_number(writer, "speed_spread", launch->speed_spread);
	if (launch->by_ramp) {
		json_number(writer, "group_spread", launch->group_spread);
		json_number(writer, "groove_deg", launch->groove_deg);
	} else {
		json_number(writer, "height", launch->height);
		json_number(writer, "height_spread", launch->height_spread);
		json_number(writer, "side", launch->side);
		json_number(writer, "side_spread", launch->side_spread);
		if (launch->elevation_deg != 0.0)
			json_number(writer, "elevation_deg", launch->elevation_deg);
	}
	json_close_object(writer);
}

static void print_watch(struct json_writer *writer, const struct shot_design *shot)
{
	if (shot->watch_count == 0)
		return;
	json_open_array(writer, "watch", true);
	for (int i = 0; i < shot->watch_count; i++) {
		char from[24], to[24];

		moment_name(shot->watch[i].from, from);
		moment_name(shot->watch[i].to, to);
		json_open_object(writer, NULL, true);
		json_string(writer, "from", from);
		json_string(writer, "to", to);
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void print_measure(struct json_writer *writer, const struct shot_design *shot)
{
	json_open_array(writer, "measure", true);
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (shot->measure & (UINT32_C(1) << number))
			json_string(writer, NULL, quantity_name(number));
	json_close_array(writer);
}

static void print_shot(struct json_writer *writer, const struct shot_design *shot)
{
	json_open_object(writer, NULL, false);
	json_string(writer, "shot", shot->key);
	json_string(writer, "title", shot->title);
	json_count(writer, "tries", (unsigned long long)shot->tries);
	print_place(writer, shot);
	print_aim(writer, &shot->aim);
	print_launch(writer, &shot->launch);
	print_watch(writer, shot);
	print_measure(writer, shot);
	json_string(writer, "how", shot->how);
	json_close_object(writer);
}

static void print_kit(struct json_writer *writer, unsigned kit)
{
	static const char *const words[] = {"tape", "watch", "sound", "ramp", "video"};

	json_open_array(writer, "kit", true);
	for (size_t i = 0; i < COUNT_OF(words); i++)
		if (kit & (1u << i))
			json_string(writer, NULL, words[i]);
	json_close_array(writer);
}

void protocol_file_print(const struct protocol *protocol, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-protocol");
	json_count(&writer, "version", 1);
	json_string(&writer, "name", protocol->name);
	json_string(&writer, "title", protocol->title);
	json_string(&writer, "purpose", protocol->purpose);
	if (protocol->minutes > 0.0)
		json_number(&writer, "minutes", protocol->minutes);
	print_kit(&writer, protocol->kit);
	json_open_array(&writer, "shots", false);
	for (size_t i = 0; i < protocol->shot_count; i++)
		print_shot(&writer, &protocol->shots[i]);
	json_close_array(&writer);
	json_close_object(&writer);
}
