/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/setting_rules.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "files/refusal.h"
#include "files/session_notes.h"
#include "files/utf8.h"
#include "files/words.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define BALL_LIMIT 100

static void refuse(struct measurement_reader *reader, const struct setting_value *value,
                   const char *accepted, const char *next)
{
	measurement_refuse(reader, value->line, value->column, value->key, value->cell, accepted,
	                   next);
}

/* A number within the rule's range; false when the cell is blank or was refused. */
static bool read_number(struct measurement_reader *reader, const struct setting_rule *rule,
                        const struct setting_value *value, double *out)
{
	const char *accepted =
	    words_range(reader->scratch, rule->lowest, rule->highest, rule->open);
	struct notation_refusal refusal = {0};
	bool missing;
	double number;
	if (value->cell->refused)
		return false;
	if (!notation_read_number(value->cell->text, value->cell->length, &reader->style, &number,
	                          &missing, &refusal)) {
		measurement_refuse_notation(reader, value->line, value->column, value->key,
		                            value->cell, accepted, &refusal);
		return false;
	}
	if (missing)
		return false;
	if (number < rule->lowest || number > rule->highest ||
	    (rule->open && number <= rule->lowest)) {
		refuse(reader, value, accepted, "correct the number");
		return false;
	}
	*out = number;
	return true;
}

static double *field_of(struct measurement_reader *reader, const struct setting_rule *rule)
{
	return (double *)(void *)((char *)reader->session + rule->field);
}

static void apply_number(struct measurement_reader *reader, const struct setting_rule *rule,
                         const struct setting_value *value)
{
	double number;
	if (!read_number(reader, rule, value, &number))
		return;
	*field_of(reader, rule) = number;
	reader->session->table.assumed &= ~rule->number;
}

static bool is_custom(const struct measurement_reader *reader)
{
	return strcmp(reader->session->table.preset, "custom") == 0;
}

static void apply_size(struct measurement_reader *reader, const struct setting_rule *rule,
                       const struct setting_value *value)
{
	if (measurement_cell_is_blank(value->cell))
		return;
	if (is_custom(reader) || !reader->table_known)
		apply_number(reader, rule, value);
	else
		measurement_refuse_found(reader, value->line, 1, value->key,
		                         "a size beside the table of a preset",
		                         "#length_m and #width_m only with #table,custom",
		                         "remove this setting or write custom for #table");
}

static void apply_table(struct measurement_reader *reader, const struct setting_rule *rule,
                        const struct setting_value *value)
{
	const char *names[32];
	size_t count;
	struct table *table = &reader->session->table;
	const struct table *presets = table_presets(&count);
	const struct table *preset = table_find_preset(value->cell->text, value->cell->length);
	(void)rule;
	if (preset != NULL) {
		*table = *preset;
		return;
	}
	if (strcmp(value->cell->text, "custom") == 0) {
		*table = table_custom(table->length, table->width);
		return;
	}
	reader->table_known = false;
	if (value->cell->refused)
		return;
	if (count > COUNT_OF(names) - 1)
		count = COUNT_OF(names) - 1;
	for (size_t i = 0; i < count; i++)
		names[i] = presets[i].preset;
	names[count++] = "custom";
	refuse(reader, value, words_join(reader->scratch, names, count),
	       words_advice(reader->scratch, value->cell->text, names, count,
	                    "write one of these names, or custom with #length_m and #width_m"));
}

static void apply_pockets(struct measurement_reader *reader, const struct setting_rule *rule,
                          const struct setting_value *value)
{
	(void)rule;
	if (measurement_cell_is_blank(value->cell))
		return;
	if (strcmp(value->cell->text, "yes") == 0)
		reader->session->table.pockets = true;
	else if (strcmp(value->cell->text, "no") == 0)
		reader->session->table.pockets = false;
	else
		refuse(reader, value, "yes, no", "write yes or no");
}

/* The entry of a labelled ball, made when there is none; NULL, with a fault, when it cannot be. */
static struct labelled_ball *find_ball(struct measurement_reader *reader,
                                       const struct setting_value *value)
{
	struct session *session = reader->session;
	for (size_t i = 0; i < session->ball_count; i++)
		if (strcmp(session->balls[i].label, value->label) == 0)
			return &session->balls[i];
	if (session->ball_count >= BALL_LIMIT) {
		measurement_refuse_found(reader, value->line, 1, value->key, "more than 100 balls",
		                         "at most 100", "check that this is the file you mean");
		return NULL;
	}
	size_t size = session->ball_count * sizeof *session->balls;
	struct labelled_ball *balls = arena_allocate(reader->arena, size + sizeof *session->balls);
	const char *label = arena_copy(reader->arena, value->label, strlen(value->label));
	if (balls == NULL || label == NULL) {
		refusal_memory(reader->file, reader->faults);
		return NULL;
	}
	if (size > 0)
		memcpy(balls, session->balls, size);
	session->balls = balls;
	balls[session->ball_count].label = label;
	return &balls[session->ball_count++];
}

static void apply_diameter(struct measurement_reader *reader, const struct setting_rule *rule,
                           const struct setting_value *value)
{
	struct table *table = &reader->session->table;
	double number;
	if (!read_number(reader, rule, value, &number))
		return;
	struct labelled_ball *ball = value->label != NULL ? find_ball(reader, value) : NULL;
	if (ball != NULL)
		ball->diameter = number;
	else if (value->label == NULL)
		table->ball_diameter = table->cue_ball_diameter = number;
}

static void apply_mass(struct measurement_reader *reader, const struct setting_rule *rule,
                       const struct setting_value *value)
{
	struct table *table = &reader->session->table;
	double number;
	if (!read_number(reader, rule, value, &number))
		return;
	struct labelled_ball *ball = value->label != NULL ? find_ball(reader, value) : NULL;
	if (ball != NULL)
		ball->mass = number;
	else if (value->label == NULL)
		table->ball_mass = table->cue_ball_mass = number;
}

/* The reference ball and the protocol: a text that must be there. */
static void apply_text(struct measurement_reader *reader, const struct setting_rule *rule,
                       const struct setting_value *value)
{
	const char **field = (const char **)(void *)((char *)reader->session + rule->field);
	if (measurement_cell_is_blank(value->cell)) {
		if (!value->cell->refused)
			refuse(reader, value, "a text that is not blank",
			       "write the value or remove the row");
		if (field == &reader->session->protocol)
			reader->protocol_refused = true;
		return;
	}
	*field = measurement_keep(reader, value->cell->text);
}

static void apply_note(struct measurement_reader *reader, const struct setting_rule *rule,
                       const struct setting_value *value)
{
	enum session_note note = (enum session_note)rule->number;
	const char *text = value->cell->text;
	if (measurement_cell_is_blank(value->cell))
		return;
	if (session_note_is_number(note) && reader->style.decimal_comma) {
		char *copy = arena_copy(reader->scratch, text, value->cell->length);
		char *comma = copy != NULL ? strchr(copy, ',') : NULL;
		if (comma != NULL)
			*comma = '.';
		text = copy != NULL ? copy : text;
	}
	const char *accepted = session_note_check(note, text);
	if (accepted != NULL)
		refuse(reader, value, accepted, "correct the value or leave the cell blank");
	else
		reader->session->notes[note] = measurement_keep(reader, text);
}

static void apply_diamond_value(struct measurement_reader *reader, const struct setting_rule *rule,
                                const struct setting_value *value)
{
	(void)rule;
	if (measurement_cell_is_blank(value->cell))
		return;
	if (strcmp(value->cell->text, "1") == 0)
		reader->session->diamond_value = 1;
	else if (strcmp(value->cell->text, "10") == 0)
		reader->session->diamond_value = 10;
	else
		refuse(reader, value, "1, 10", "write 10 if 35 means three and a half diamonds");
	reader->style.diamond_value = reader->session->diamond_value;
}

/* A coordinate of the microphone. The one that is still missing is marked by NaN until it comes,
 * so that the place counts as known only when both were given, in either order. */
static void apply_microphone(struct measurement_reader *reader, const struct setting_rule *rule,
                             const struct setting_value *value)
{
	struct session *session = reader->session;
	struct setting_rule range = *rule;
	double number;
	range.highest *= session->diamond_value;
	if (!read_number(reader, &range, value, &number))
		return;
	double *field = field_of(reader, rule);
	double *other = field == &session->microphone_long ? &session->microphone_short
	                                                   : &session->microphone_long;
	if (isnan(*field))
		session->microphone_known = true;
	else if (!session->microphone_known)
		*other = NAN;
	*field = number / session->diamond_value;
}

#define IN(member) offsetof(struct session, member)

/* Key, stage, function, field, range, whether its lower end is refused, note or flags, label. */
static const struct setting_rule rules[] = {
    {"#table", SETTING_FIRST, apply_table, 0, 0, 0, false, 0, false},
    {"#length_m", SETTING_LATER, apply_size, IN(table.length), 1, 4, false, 0, false},
    {"#width_m", SETTING_LATER, apply_size, IN(table.width), 0.5, 2.5, false, 0, false},
    {"#nose_height_m", SETTING_LATER, apply_number, IN(table.nose_height), 0, 0.1, true,
     TABLE_ASSUMED_NOSE_HEIGHT, false},
    {"#sight_setback_m", SETTING_LATER, apply_number, IN(table.sight_setback), 0, 0.3, false,
     TABLE_ASSUMED_SIGHT_SETBACK, false},
    {"#corner_mouth_m", SETTING_LATER, apply_number, IN(table.corner_mouth), 0, 0.3, true, 0,
     false},
    {"#side_mouth_m", SETTING_LATER, apply_number, IN(table.side_mouth), 0, 0.3, true, 0, false},
    {"#pockets", SETTING_LATER, apply_pockets, 0, 0, 0, false, 0, false},
    {"#ball_diameter_m", SETTING_LATER, apply_diameter, 0, 0.02, 0.1, false, 0, true},
    {"#ball_mass_kg", SETTING_LATER, apply_mass, 0, 0.02, 0.5, false, 0, true},
    {"#reference_ball", SETTING_LATER, apply_text, IN(reference_ball), 0, 0, false, 0, false},
    {"#protocol", SETTING_LATER, apply_text, IN(protocol), 0, 0, false, 0, false},
    {"#session", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_SESSION, false},
    {"#date", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_DATE, false},
    {"#place", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_PLACE, false},
    {"#table_name", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_TABLE_NAME, false},
    {"#ball_set", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_BALL_SET, false},
    {"#cloth", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_CLOTH, false},
    {"#cloth_days", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_CLOTH_DAYS, false},
    {"#temperature_c", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_TEMPERATURE_C, false},
    {"#humidity_percent", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_HUMIDITY_PERCENT, false},
    {"#player", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_PLAYER, false},
    {"#note", SETTING_LATER, apply_note, 0, 0, 0, false, NOTE_NOTE, false},
    {"#position_error", SETTING_LATER, apply_number, IN(errors.position), 0, 2, true, 0, false},
    {"#rail_error", SETTING_LATER, apply_number, IN(errors.rail), 0, 4, true, 0, false},
    {"#watch_error", SETTING_LATER, apply_number, IN(errors.watch), 0, 5, true, 0, false},
    {"#rest_watch_error", SETTING_LATER, apply_number, IN(errors.rest_watch), 0, 10, true, 0,
     false},
    {"#sound_error", SETTING_LATER, apply_number, IN(errors.sound), 0, 1, true, 0, false},
    {"#microphone_long", SETTING_LATER, apply_microphone, IN(microphone_long), 0, 12, false, 0,
     false},
    {"#microphone_short", SETTING_LATER, apply_microphone, IN(microphone_short), 0, 8, false, 0,
     false},
    {"#cue_end_mass_ratio", SETTING_LATER, apply_number, IN(cue_end_mass_ratio), 0, 1000, true, 0,
     false},
    {"#tip_width_m", SETTING_LATER, apply_number, IN(tip_width), 0, 0.05, true, 0, false},
    {"#frames_per_second", SETTING_LATER, apply_number, IN(errors.frames_per_second), 0, 100000,
     true, 0, false},
    {"#diamond_value", SETTING_FIRST, apply_diamond_value, 0, 0, 0, false, 0, false},
};

_Static_assert(COUNT_OF(rules) <= SETTING_KEYS_LIMIT, "raise SETTING_KEYS_LIMIT");

const struct setting_rule *setting_rule_find(const char *key, const char **label)
{
	const char *colon = strchr(key, ':');
	size_t length = colon != NULL ? (size_t)(colon - key) : strlen(key);
	*label = colon != NULL ? colon + 1 : NULL;
	for (size_t i = 0; i < COUNT_OF(rules); i++) {
		if (strlen(rules[i].key) != length || memcmp(rules[i].key, key, length) != 0)
			continue;
		bool labelled = rules[i].labelled && colon != NULL && colon[1] != '\0';
		return colon == NULL || (labelled && utf8_is_plain(colon + 1)) ? &rules[i] : NULL;
	}
	return NULL;
}

size_t setting_rule_keys(const char *keys[SETTING_KEYS_LIMIT])
{
	for (size_t i = 0; i < COUNT_OF(rules); i++)
		keys[i] = rules[i].key;
	return COUNT_OF(rules);
}
