/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/line_input.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <readline/history.h>
#include <readline/readline.h>

#include "base/text.h"
#include "cli/signals.h"

#define BLOCK 4096
#define LONGEST_LINE 65536 /* a longer one is no answer of a person */

struct line_input {
	FILE *prompts;
	const char *const *words;
	bool edited;
	bool echo;         /* plain: the line is repeated, as nobody sees it typed */
	bool waiting;      /* a prompt stands there */
	bool put_away;     /* edited: and was taken off the screen */
	bool ended;        /* plain: no more bytes come */
	struct text bytes; /* plain: read and not yet used */
	char *line;
	bool line_ready, line_ended; /* edited: set by take_line */
};

/* readline calls functions without a context: the input that is open is kept here. */
static struct line_input *current;

/* The program was stopped (Ctrl-Z) and goes on. */
static volatile sig_atomic_t continued;

static void note_going_on(int signal_number)
{
	(void)signal_number;
	continued = 1;
}

static void take_line(char *line)
{
	rl_callback_handler_remove();
	free(current->line);
	current->line = line;
	current->line_ready = line != NULL;
	current->line_ended = line == NULL;
}

static char *next_word(const char *start, int state)
{
	static size_t place;
	size_t length = strlen(start);

	if (state == 0)
		place = 0;
	while (current->words[place] != NULL) {
		const char *word = current->words[place++];

		if (strncmp(word, start, length) == 0)
			return strdup(word);
	}
	return NULL;
}

static char **complete(const char *start, int from, int to)
{
	(void)from;
	(void)to;
	rl_attempted_completion_over = 1; /* file names are no answers */
	return rl_completion_matches(start, next_word);
}

static void set_up_editing(struct line_input *input)
{
	struct sigaction action = {.sa_handler = note_going_on};

	sigaction(SIGCONT, &action, NULL);
	rl_readline_name = "restpoint";
	rl_instream = stdin;
	rl_outstream = input->prompts;
	rl_catch_signals = 0; /* cli/signals.c does */
	rl_attempted_completion_function = complete;
	using_history();
}

struct line_input *line_input_open(FILE *prompts, const char *const *words)
{
	struct line_input *input = calloc(1, sizeof *input);

	if (input == NULL)
		return NULL;
	input->prompts = prompts;
	input->words = words;
	input->edited = isatty(STDIN_FILENO) && isatty(fileno(prompts));
	input->echo = !isatty(STDIN_FILENO);
	current = input;
	if (input->edited)
		set_up_editing(input);
	return input;
}

static void leave_prompt(struct line_input *input)
{
	if (input->edited && input->waiting)
		rl_callback_handler_remove();
	if (input->waiting && !input->put_away)
		fputc('\n', input->prompts);
	fflush(input->prompts);
	input->waiting = false;
	input->put_away = false;
}

void line_input_close(struct line_input *input)
{
	if (input == NULL)
		return;
	leave_prompt(input);
	if (input->edited)
		clear_history();
	text_free(&input->bytes);
	free(input->line);
	free(input);
	current = NULL;
}

bool line_input_is_edited(const struct line_input *input)
{
	return input->edited;
}

/* Shows the prompt, or brings it back with what was typed. */
static void show_prompt(struct line_input *input, const char *prompt)
{
	if (input->edited && !input->waiting) {
		input->line_ready = false;
		input->line_ended = false;
		rl_callback_handler_install(prompt, take_line);
	} else if (input->edited && input->put_away) {
		rl_on_new_line();
		rl_forced_update_display();
	} else if (!input->edited && (!input->waiting || input->put_away)) {
		fputs(prompt, input->prompts);
		fflush(input->prompts);
	}
	input->waiting = true;
	input->put_away = false;
}

static void put_prompt_away(struct line_input *input)
{
	if (input->edited)
		rl_clear_visible_line();
	else
		fputc('\n', input->prompts);
	fflush(input->prompts);
	input->put_away = true;
}

/* The shell has changed the terminal meanwhile, and its lines stand there. */
static void take_terminal_back(struct line_input *input)
{
	continued = 0;
	if (!input->edited || !input->waiting || input->put_away)
		return;
	rl_deprep_terminal();
	rl_prep_terminal(1);
	rl_on_new_line();
	rl_forced_update_display();
}

/* Waits until there is something to read. Signals are let in only while it waits, so that none is
 * missed between the look at the flag and the wait. */
static enum line_event wait_for_input(int called)
{
	struct pollfd watched[2] = {{.fd = STDIN_FILENO, .events = POLLIN},
	                            {.fd = called, .events = POLLIN}};
	sigset_t held, before;
	int count;

	sigemptyset(&held);
	sigaddset(&held, SIGINT);
	sigaddset(&held, SIGTERM);
	sigaddset(&held, SIGHUP);
	sigprocmask(SIG_BLOCK, &held, &before);
	count = *signals_flag() != 0 ? 0 : ppoll(watched, 2, NULL, &before);
	sigprocmask(SIG_SETMASK, &before, NULL);
	if (*signals_flag() != 0)
		return LINE_STOPPED;
	if (count < 0)
		return errno == EINTR ? LINE_CALLED : LINE_FAILED;
	if (watched[0].revents != 0)
		return LINE_READ;
	return LINE_CALLED;
}

/* Takes a line out of the bytes that were read; at the end of input what is left is one. */
static bool cut_line(struct line_input *input)
{
	const char *bytes = text_bytes(&input->bytes);
	size_t length = strcspn(bytes, "\n"), used;

	if (length == input->bytes.length && (!input->ended || length == 0))
		return false;
	used = length + (bytes[length] == '\n');
	free(input->line);
	input->line = strndup(bytes, length > 0 && bytes[length - 1] == '\r' ? length - 1 : length);
	memmove(input->bytes.bytes, input->bytes.bytes + used, input->bytes.length - used + 1);
	input->bytes.length -= used;
	return true;
}

/* Reads some bytes; a zero byte ends the input, as text has none. */
static bool read_block(struct line_input *input)
{
	char block[BLOCK];
	ssize_t count = read(STDIN_FILENO, block, sizeof block);

	if (count < 0)
		return errno == EINTR || errno == EAGAIN;
	if (count == 0 || memchr(block, '\0', (size_t)count) != NULL)
		input->ended = true;
	else
		text_add_bytes(&input->bytes, block, (size_t)count);
	return !input->bytes.failed && input->bytes.length < LONGEST_LINE;
}

static enum line_event finish_line(struct line_input *input, const char **line)
{
	if (input->line == NULL)
		return LINE_FAILED;
	if (!input->edited && input->echo)
		fprintf(input->prompts, "%s\n", input->line);
	else if (input->edited && input->line[0] != '\0')
		add_history(input->line);
	fflush(input->prompts);
	input->waiting = false;
	*line = input->line;
	return LINE_READ;
}

/* The line, or LINE_CALLED where it is not complete yet. */
static enum line_event advance(struct line_input *input, const char **line)
{
	if (input->edited) {
		rl_callback_read_char();
		if (input->line_ready)
			return finish_line(input, line);
		return input->line_ended ? LINE_END : LINE_CALLED;
	}
	if (!read_block(input))
		return LINE_FAILED;
	if (cut_line(input))
		return finish_line(input, line);
	return input->ended ? LINE_END : LINE_CALLED;
}

enum line_event line_input_read(struct line_input *input, const char *prompt, int called,
                                const char **line)
{
	show_prompt(input, prompt);
	if (!input->edited && cut_line(input))
		return finish_line(input, line);
	if (!input->edited && input->ended) {
		leave_prompt(input);
		return LINE_END;
	}
	for (;;) {
		enum line_event event = wait_for_input(called);

		if (continued != 0) {
			take_terminal_back(input);
			if (event == LINE_CALLED)
				continue;
		}
		if (event == LINE_READ) {
			event = advance(input, line);
			if (event == LINE_END)
				leave_prompt(input);
			if (event != LINE_CALLED)
				return event;
		} else if (event == LINE_CALLED) {
			put_prompt_away(input);
			return event;
		} else {
			leave_prompt(input);
			return event;
		}
	}
}
