/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_JSON_STRING_H
#define RESTPOINT_FILES_JSON_STRING_H

#include <stddef.h>

/* How the check of one JSON string ended. */
struct json_string_end {
	size_t offset;        /* bytes of the string with its quotes, or of the first fault */
	const char *accepted; /* NULL: the string is good; else what is accepted there */
	const char *next;     /* what to do about it */
};

/* Checks the string whose opening quote is the first of length bytes: well-formed UTF-8, no raw
 * control character, only the escapes of RFC 8259, surrogates in pairs, no \u0000. */
struct json_string_end json_string_scan(const char *bytes, size_t length);

#endif
