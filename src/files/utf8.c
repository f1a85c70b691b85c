/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/utf8.h"

#include <string.h>

#define QUOTED_CHARACTERS 48

/* Length that the lead byte announces and the narrowed range of the byte after it. */
static size_t lead_length(unsigned char lead, unsigned char *lowest, unsigned char *highest)
{
	*lowest = 0x80;
	*highest = 0xBF;
	if (lead >= 0xC2 && lead <= 0xDF)
		return 2;
	if (lead >= 0xE0 && lead <= 0xEF) {
		if (lead == 0xE0)
			*lowest = 0xA0;
		if (lead == 0xED)
			*highest = 0x9F; /* surrogates are no characters */
		return 3;
	}
	if (lead >= 0xF0 && lead <= 0xF4) {
		if (lead == 0xF0)
			*lowest = 0x90;
		if (lead == 0xF4)
			*highest = 0x8F;
		return 4;
	}
	return 0;
}

size_t utf8_sequence(const char *bytes, size_t left, uint32_t *code)
{
	if (left == 0)
		return 0;
	unsigned char lead = (unsigned char)bytes[0];
	uint32_t value = lead;
	size_t length = 1;
	if (lead >= 0x80) {
		unsigned char lowest, highest;
		length = lead_length(lead, &lowest, &highest);
		if (length == 0 || length > left)
			return 0;
		value = lead & (0x7Fu >> length);
		for (size_t i = 1; i < length; i++) {
			unsigned char byte = (unsigned char)bytes[i];
			if (byte < lowest || byte > highest)
				return 0;
			value = (value << 6) | (byte & 0x3Fu);
			lowest = 0x80;
			highest = 0xBF;
		}
	}
	if (code != NULL)
		*code = value;
	return length;
}

bool utf8_is_control(uint32_t code)
{
	return code < 0x20 || (code >= 0x7F && code < 0xA0);
}

static bool is_blank_control(uint32_t code)
{
	return code == '\t' || code == '\n' || code == '\r';
}

size_t utf8_first_bad(const char *bytes, size_t length)
{
	size_t at = 0;
	while (at < length) {
		uint32_t code = 0;
		size_t step = utf8_sequence(bytes + at, length - at, &code);
		if (step == 0 || (utf8_is_control(code) && !is_blank_control(code)))
			break;
		at += step;
	}
	return at;
}

bool utf8_is_plain(const char *text)
{
	size_t length = strlen(text);
	return utf8_first_bad(text, length) == length && strpbrk(text, "\t\n\r") == NULL;
}

char *utf8_quote(struct arena *arena, const char *bytes, size_t length)
{
	char shown[QUOTED_CHARACTERS * 4 + 8];
	size_t used = 0, at = 0;
	for (size_t i = 0; i < QUOTED_CHARACTERS && at < length; i++) {
		uint32_t code = 0;
		size_t step = utf8_sequence(bytes + at, length - at, &code);
		if (step == 0 || utf8_is_control(code)) {
			shown[used++] = step > 0 && is_blank_control(code) ? ' ' : '?';
			at += step == 0 ? 1 : step;
			continue;
		}
		for (size_t k = 0; k < step; k++)
			shown[used++] = bytes[at + k];
		at += step;
	}
	shown[used] = '\0';
	return arena_format(arena, "\"%s%s\"", shown, at < length ? "…" : "");
}
