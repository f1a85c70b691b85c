/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_string.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "files/utf8.h"

static struct json_string_end fault_at(size_t offset, const char *accepted, const char *next)
{
	return (struct json_string_end){offset, accepted, next};
}

/* Reads \uXXXX at the offset; false when it is not there. */
static bool read_unit(const char *bytes, size_t length, size_t at, uint32_t *unit)
{
	if (length - at < 6 || bytes[at] != '\\' || bytes[at + 1] != 'u')
		return false;
	*unit = 0;
	for (size_t i = 2; i < 6; i++) {
		char digit = bytes[at + i];
		uint32_t value;
		if (digit >= '0' && digit <= '9')
			value = (uint32_t)(digit - '0');
		else if (digit >= 'a' && digit <= 'f')
			value = (uint32_t)(digit - 'a' + 10);
		else if (digit >= 'A' && digit <= 'F')
			value = (uint32_t)(digit - 'A' + 10);
		else
			return false;
		*unit = (*unit << 4) | value;
	}
	return true;
}

/* Length of the \u escape at the offset, a pair counted whole; 0 when it is no character. */
static size_t unicode_escape(const char *bytes, size_t length, size_t at)
{
	uint32_t high, low;
	if (!read_unit(bytes, length, at, &high) || high == 0)
		return 0;
	if (high < 0xD800 || high > 0xDFFF)
		return 6;
	if (high > 0xDBFF || !read_unit(bytes, length, at + 6, &low))
		return 0;
	return low >= 0xDC00 && low <= 0xDFFF ? 12 : 0;
}

/* Length of the escape at the offset, 0 when it is none. */
static size_t escape_length(const char *bytes, size_t length, size_t at)
{
	if (length - at < 2)
		return 0;
	if (bytes[at + 1] == 'u')
		return unicode_escape(bytes, length, at);
	return bytes[at + 1] != '\0' && strchr("\"\\/bfnrt", bytes[at + 1]) != NULL ? 2 : 0;
}

struct json_string_end json_string_scan(const char *bytes, size_t length)
{
	size_t at = 1;
	while (at < length && bytes[at] != '"') {
		size_t step;
		if (bytes[at] == '\\') {
			step = escape_length(bytes, length, at);
			if (step == 0 && at + 1 < length && bytes[at + 1] == 'u')
				return fault_at(at,
				                "\\u and four hexadecimal digits, not 0000, "
				                "surrogates in pairs",
				                "write the character itself");
			if (step == 0)
				return fault_at(at, "an escape that RFC 8259 knows",
				                "write a backslash itself as \\\\");
		} else if ((unsigned char)bytes[at] < 0x20) {
			return fault_at(
			    at, "a text that ends on its line, control characters as escapes",
			    "close the text with a double quote, or write \\n or \\t");
		} else {
			step = utf8_sequence(bytes + at, length - at, NULL);
			if (step == 0)
				return fault_at(at, "UTF-8", "save the file as UTF-8");
		}
		at += step;
	}
	if (at >= length)
		return fault_at(length, "a double quote that closes the text",
		                "close the text with a double quote");
	return fault_at(at + 1, NULL, NULL);
}
