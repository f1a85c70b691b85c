/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_UTF8_H
#define RESTPOINT_FILES_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

/* Bytes of the well-formed sequence at the start of left bytes (Unicode Standard, table 3-7), or 0
 * when there is none. *code (may be NULL) receives the code point. */
size_t utf8_sequence(const char *bytes, size_t left, uint32_t *code);

/* True for a code point that moves a cursor or a terminal instead of showing something: C0 and C1
 * controls and DEL. Tab and line feed count as controls, too. */
bool utf8_is_control(uint32_t code);

/* Offset of the first byte that is not well-formed UTF-8 or that begins a control character, tab,
 * line feed and carriage return excepted; length when there is none. */
size_t utf8_first_bad(const char *bytes, size_t length);

/* True when the text is one line that shows as it is: no control character, tab and line feed
 * included. The text must be well-formed. */
bool utf8_is_plain(const char *text);

/* The bytes in double quotes as a message shows them: at most 48 characters (then an ellipsis),
 * line ends and tabs as blanks, anything else that cannot be shown as `?`. NULL when memory is
 * out. */
char *utf8_quote(struct arena *arena, const char *bytes, size_t length);

#endif
