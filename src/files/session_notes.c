/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/session_notes.h"

#include <string.h>

#include "base/number.h"
#include "files/timestamp.h"

bool session_note_is_number(enum session_note note)
{
	return note == NOTE_CLOTH_DAYS || note == NOTE_TEMPERATURE_C ||
	       note == NOTE_HUMIDITY_PERCENT;
}

static bool is_number_up_to(const char *text, double highest)
{
	double value;
	return number_read_plain(text, strlen(text), '.', &value) && value <= highest;
}

const char *session_note_check(enum session_note note, const char *text)
{
	bool good;
	switch (note) {
	case NOTE_DATE:
		good = timestamp_is_date(text) || timestamp_is_date_time(text);
		return good ? NULL
		            : "a date as 2026-03-14 or a time as 2026-03-14T19:05:00+01:00 (RFC "
		              "3339)";
	case NOTE_CLOTH_DAYS:
		return is_number_up_to(text, 100000) ? NULL
		                                     : "days since the cloth was new, 0 or more";
	case NOTE_TEMPERATURE_C:
		return is_number_up_to(text, 100) ? NULL : "degrees Celsius from 0 to 100";
	case NOTE_HUMIDITY_PERCENT:
		return is_number_up_to(text, 100) ? NULL : "percent from 0 to 100";
	default:
		return text[strspn(text, " \t\r\n")] != '\0' ? NULL : "a text that is not blank";
	}
}
