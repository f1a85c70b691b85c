/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/timestamp.h"

#include <stddef.h>

static bool is_digit(char character)
{
	return character >= '0' && character <= '9';
}

/* Takes count digits from *text; -1 when they are not there. */
static int take_digits(const char **text, int count)
{
	int value = 0;
	for (int i = 0; i < count; i++) {
		if (!is_digit(**text))
			return -1;
		value = 10 * value + (**text - '0');
		(*text)++;
	}
	return value;
}

static bool take(const char **text, char wanted)
{
	if (**text != wanted)
		return false;
	(*text)++;
	return true;
}

static int month_days(int year, int month)
{
	static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
	return days[month - 1] + (month == 2 && leap ? 1 : 0);
}

static bool take_date(const char **text)
{
	int year = take_digits(text, 4);
	if (year < 0 || !take(text, '-'))
		return false;
	int month = take_digits(text, 2);
	if (month < 1 || month > 12 || !take(text, '-'))
		return false;
	int day = take_digits(text, 2);
	return day >= 1 && day <= month_days(year, month);
}

static bool take_hours_minutes(const char **text)
{
	int hours = take_digits(text, 2);
	if (hours < 0 || hours > 23 || !take(text, ':'))
		return false;
	int minutes = take_digits(text, 2);
	return minutes >= 0 && minutes <= 59;
}

static bool take_time(const char **text)
{
	if (!take_hours_minutes(text) || !take(text, ':'))
		return false;
	int seconds = take_digits(text, 2);
	if (seconds < 0 || seconds > 60) /* 60: a leap second */
		return false;
	if (!take(text, '.'))
		return true;
	if (!is_digit(**text))
		return false;
	while (is_digit(**text))
		(*text)++;
	return true;
}

static bool take_offset(const char **text)
{
	if (take(text, 'Z') || take(text, 'z'))
		return true;
	return (take(text, '+') || take(text, '-')) && take_hours_minutes(text);
}

bool timestamp_is_date(const char *text)
{
	return take_date(&text) && *text == '\0';
}

bool timestamp_is_date_time(const char *text)
{
	if (!take_date(&text) || !(take(&text, 'T') || take(&text, 't') || take(&text, ' ')))
		return false;
	return take_time(&text) && take_offset(&text) && *text == '\0';
}

bool timestamp_is_time(const char *text)
{
	if (!take_time(&text))
		return false;
	return *text == '\0' || (take_offset(&text) && *text == '\0');
}
