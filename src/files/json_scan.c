/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_scan.h"

#include <string.h>

#include "files/json_string.h"
#include "files/refusal.h"
#include "files/utf8.h"
#include "files/words.h"

struct scanner {
	const char *file;
	const char *bytes;
	size_t length;
	size_t at;
	size_t placed, line, column; /* place of the byte at offset `placed` */
	int depth;
	struct arena *arena;
	struct json_marks *marks;
	struct fault_list *faults;
	enum status status; /* the worst so far */
};

static bool scan_value(struct scanner *scan);

/* Moves the place to an offset at or behind the present one. */
static void place_at(struct scanner *scan, size_t offset)
{
	for (; scan->placed < offset; scan->placed++) {
		unsigned char byte = (unsigned char)scan->bytes[scan->placed];
		unsigned char next = 0;
		if (scan->placed + 1 < scan->length)
			next = (unsigned char)scan->bytes[scan->placed + 1];
		if (byte == '\n' || (byte == '\r' && next != '\n')) {
			scan->line++;
			scan->column = 1;
		} else if ((next & 0xC0) != 0x80) {
			scan->column++;
		}
	}
}

static void add_fault(struct scanner *scan, size_t offset, const char *found, const char *accepted,
                      const char *next)
{
	place_at(scan, offset);
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = scan->file,
	                      .line = scan->line,
	                      .column = scan->column,
	                      .what = "JSON",
	                      .found = found,
	                      .accepted = accepted,
	                      .next = next};
	fault_list_add(scan->faults, &fault);
	scan->status = STATUS_INPUT;
}

/* Adds a fault about what stands at the offset. Always false, for the caller to pass on. */
static bool refuse(struct scanner *scan, size_t offset, const char *accepted, const char *next)
{
	const char *found = "the end of the file";
	if (offset < scan->length) {
		size_t step = utf8_sequence(scan->bytes + offset, scan->length - offset, NULL);
		found = utf8_quote(scan->arena, scan->bytes + offset, step == 0 ? 1 : step);
		if (step == 0)
			found = "bytes that are not UTF-8";
		else if (scan->bytes[offset] == '\n' || scan->bytes[offset] == '\r')
			found = "the end of the line";
		else if ((unsigned char)scan->bytes[offset] < 0x20)
			found = scan->bytes[offset] == '\t' ? "a tab" : "a control character";
	}
	add_fault(scan, offset, found, accepted, next);
	return false;
}

static bool out_of_memory(struct scanner *scan)
{
	scan->status = refusal_memory(scan->file, scan->faults);
	return false;
}

static void skip_blanks(struct scanner *scan)
{
	while (scan->at < scan->length && strchr(" \t\n\r", scan->bytes[scan->at]) != NULL &&
	       scan->bytes[scan->at] != '\0')
		scan->at++;
}

/* The next byte, or 0 at the end (a zero byte in the text is nowhere accepted either). */
static char peek(const struct scanner *scan)
{
	return scan->at < scan->length ? scan->bytes[scan->at] : '\0';
}

/* Notes a key or value that begins here; its number is in *index. */
static bool add_mark(struct scanner *scan, bool key, size_t *index)
{
	struct json_marks *marks = scan->marks;
	if (marks->count >= JSON_MARK_LIMIT)
		return refuse(scan, scan->at, "at most 200000 keys and values",
		              "check that this is the file you mean");
	struct json_mark *grown = arena_grow(scan->arena, marks->items, marks->count,
	                                     &marks->capacity, sizeof *marks->items);
	if (grown == NULL)
		return out_of_memory(scan);
	marks->items = grown;
	place_at(scan, scan->at);
	*index = marks->count++;
	marks->items[*index] = (struct json_mark){
	    .key = key, .offset = scan->at, .line = scan->line, .column = scan->column};
	return true;
}

static void end_mark(struct scanner *scan, size_t index)
{
	scan->marks->items[index].length = scan->at - scan->marks->items[index].offset;
}

static bool scan_string(struct scanner *scan)
{
	struct json_string_end end =
	    json_string_scan(scan->bytes + scan->at, scan->length - scan->at);
	if (end.accepted != NULL)
		return refuse(scan, scan->at + end.offset, end.accepted, end.next);
	scan->at += end.offset;
	return true;
}

static bool is_digit(char byte)
{
	return byte >= '0' && byte <= '9';
}

/* At least one digit. */
static bool scan_digits(struct scanner *scan, const char *next)
{
	if (!is_digit(peek(scan)))
		return refuse(scan, scan->at, "a digit", next);
	while (is_digit(peek(scan)))
		scan->at++;
	return true;
}

static bool scan_number_parts(struct scanner *scan)
{
	if (peek(scan) == '-')
		scan->at++;
	size_t first = scan->at;
	if (!scan_digits(scan, "write a number as 0.5 or -2"))
		return false;
	if (scan->bytes[first] == '0' && scan->at > first + 1)
		return refuse(scan, first, "a number without leading zeros",
		              "remove the zeros in front");
	if (peek(scan) == '.') {
		scan->at++;
		if (!scan_digits(scan, "write a digit after the point"))
			return false;
	}
	if (peek(scan) == 'e' || peek(scan) == 'E') {
		scan->at++;
		if (peek(scan) == '+' || peek(scan) == '-')
			scan->at++;
		return scan_digits(scan, "write a number as 1e-3");
	}
	return true;
}

static bool scan_number(struct scanner *scan)
{
	size_t begin = scan->at;
	if (!scan_number_parts(scan))
		return false;
	/* The tree's library copies a number into a buffer of 64 bytes and cuts the rest. */
	if (scan->at - begin > JSON_NUMBER_LENGTH) {
		add_fault(scan, begin,
		          utf8_quote(scan->arena, scan->bytes + begin, scan->at - begin),
		          "a number of at most 60 characters", "round the number");
		return false;
	}
	return true;
}

static const char *advice_for_value(char first)
{
	if (first == '+' || first == '.')
		return "write a number as 0.5 or -2";
	if (first == '\'')
		return "use double quotes";
	return first == '/' ? "remove the remark: JSON has none" : "write a value here";
}

static bool scan_word(struct scanner *scan)
{
	static const char *const words[] = {"true", "false", "null"};
	size_t left = scan->length - scan->at, length = 0;
	const char *begin = scan->bytes + scan->at;
	while (length < left && ((begin[length] >= 'a' && begin[length] <= 'z') ||
	                         (begin[length] >= 'A' && begin[length] <= 'Z')))
		length++;
	for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
		if (length == strlen(words[i]) && memcmp(begin, words[i], length) == 0) {
			scan->at += length;
			return true;
		}
	}
	if (length == 0)
		return refuse(
		    scan, scan->at,
		    "a value: an object, a list, a text in double quotes, a number, true, "
		    "false or null",
		    advice_for_value(peek(scan)));
	char *word = arena_copy(scan->arena, begin, length);
	if (word == NULL)
		return out_of_memory(scan);
	add_fault(scan, scan->at, utf8_quote(scan->arena, begin, length),
	          "true, false, null, a text in double quotes, a number (not NaN or Infinity)",
	          words_advice(scan->arena, word, words, sizeof words / sizeof words[0],
	                       "put a text in double quotes, or write a number"));
	return false;
}

static const char *advice_for_key(char first)
{
	if (first == '}')
		return "remove the comma before the bracket";
	return first == '/' ? "remove the remark: JSON has none" : "put the key in double quotes";
}

static bool scan_member(struct scanner *scan)
{
	size_t key;
	if (peek(scan) != '"')
		return refuse(scan, scan->at, "a key in double quotes", advice_for_key(peek(scan)));
	if (!add_mark(scan, true, &key) || !scan_string(scan))
		return false;
	end_mark(scan, key);
	skip_blanks(scan);
	if (peek(scan) != ':')
		return refuse(scan, scan->at, "a colon after the key", "write a colon here");
	scan->at++;
	skip_blanks(scan);
	return scan_value(scan);
}

/* The content of an object or array, opening bracket at the present place. */
static bool scan_inside(struct scanner *scan, char closing)
{
	bool object = closing == '}';
	if (++scan->depth > JSON_DEPTH_LIMIT)
		return refuse(scan, scan->at, "brackets at most 32 deep",
		              "check that this is the file you mean");
	scan->at++;
	skip_blanks(scan);
	if (peek(scan) != closing) {
		for (;;) {
			if (!object && peek(scan) == closing)
				return refuse(scan, scan->at, "a value after the comma",
				              "remove the comma before the bracket");
			if (!(object ? scan_member(scan) : scan_value(scan)))
				return false;
			skip_blanks(scan);
			if (peek(scan) != ',')
				break;
			scan->at++;
			skip_blanks(scan);
		}
	}
	if (peek(scan) != closing)
		return refuse(scan, scan->at, object ? "a comma or }" : "a comma or ]",
		              "write the missing comma or bracket");
	scan->at++;
	scan->depth--;
	return true;
}

static bool scan_value(struct scanner *scan)
{
	size_t index;
	if (!add_mark(scan, false, &index))
		return false;
	char first = peek(scan);
	bool good;
	if (first == '{')
		good = scan_inside(scan, '}');
	else if (first == '[')
		good = scan_inside(scan, ']');
	else if (first == '"')
		good = scan_string(scan);
	else if (first == '-' || is_digit(first))
		good = scan_number(scan);
	else
		good = scan_word(scan);
	if (good)
		end_mark(scan, index);
	return good;
}

enum status json_scan(const char *file, const char *bytes, size_t length, struct arena *arena,
                      struct json_marks *marks, struct fault_list *faults)
{
	struct scanner scan = {.file = file,
	                       .bytes = bytes,
	                       .length = length,
	                       .line = 1,
	                       .column = 1,
	                       .arena = arena,
	                       .marks = marks,
	                       .faults = faults,
	                       .status = STATUS_OK};
	if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0)
		scan.at = scan.placed = 3;
	skip_blanks(&scan);
	if (scan.at == length) {
		refuse(&scan, length, "one JSON object", "check that this is the file you mean");
		return scan.status;
	}
	if (scan_value(&scan)) {
		skip_blanks(&scan);
		if (scan.at < length)
			refuse(&scan, scan.at, "nothing after the value",
			       "remove what follows, or a bracket too many");
	}
	return scan.status;
}
