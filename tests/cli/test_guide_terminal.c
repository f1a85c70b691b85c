/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include "../unit/session_support.h"
#include "advise/guide.h"
#include "estimate/simulate.h"
#include "estimate/stroke_model.h"
#include "files/disk.h"
#include "files/measurement_file.h"
#include "report/guide_words.h"

/* A guided session at a terminal of 80 x 24, which is a pseudo-terminal here: typed at, killed in the
 * middle of a line, gone on with. What is typed are the readings of a simulated session, in the
 * order in which the state machine asks for them; what must stand in the file at every moment are
 * those that were answered. Nothing waits for a time: each step waits for what the screen shows. */

#define ROWS 24
#define COLUMNS 80
#define SCREEN 400000   /* bytes shown by one program at most */
#define PATIENCE 120000 /* until a test that hangs fails [ms] */

static int master = -1;
static pid_t child;
static char screen[SCREEN];
static size_t shown, looked; /* bytes on the screen, and those that were waited for already */
static char folder[200], file[260];
static struct protocol protocol;
static struct measurement wanted;

static void make_folder(void)
{
	const char *base = getenv("TMPDIR");

	snprintf(folder, sizeof folder, "%s/restpoint-guide-XXXXXX", base != NULL ? base : "/tmp");
	ck_assert_ptr_nonnull(mkdtemp(folder));
	snprintf(file, sizeof file, "%s/session.csv", folder);
}

static void setup(void)
{
	struct session session = session_default();
	struct constants constants;

	signal(SIGPIPE, SIG_IGN);
	make_folder();
	session_support_protocol(session_support_path("protocols/usual.json"), &protocol);
	session_support_constants(session_support_path("sample-measurements/constants-usual.json"),
	                          &constants);
	ck_assert_int_eq(simulate_session(&protocol, &session, &constants, 83, true, &wanted),
	                 STATUS_OK);
}

static void teardown(void)
{
	if (child > 0) {
		kill(child, SIGKILL);
		waitpid(child, NULL, 0);
	}
	child = 0;
	if (master >= 0)
		close(master);
	master = -1;
	measurement_free(&wanted);
	protocol_free(&protocol);
	unlink(file);
	rmdir(folder);
}

/* In the child: takes the slave as its terminal and becomes the program. */
static void become_program(const char *slave, const char *const *arguments)
{
	char path[400];
	int terminal;

	setsid();
	terminal = open(slave, O_RDWR);
	if (terminal < 0 || ioctl(terminal, TIOCSCTTY, 0) != 0)
		_exit(97);
	signal(SIGINT, SIG_DFL);
	for (int i = 0; i < 3; i++)
		dup2(terminal, i);
	setenv("TERM", "vt100", 1);
	setenv("LC_ALL", "C", 1);
	unsetenv("INPUTRC");
	setenv("HOME", folder, 1);
	snprintf(path, sizeof path, "%s/restpoint", getenv("abs_top_builddir"));
	execv(path, (char *const *)(uintptr_t)arguments);
	_exit(98);
}

static void start(const char *extra)
{
	const char *slave;
	struct winsize size = {.ws_row = ROWS, .ws_col = COLUMNS};
	const char *const arguments[] = {
	    "restpoint",        "guide",        "usual", "-o", file, "--player=AB",
	    "--ball-set=house", "--cloth=blue", extra,   NULL};

	shown = looked = 0;
	master = posix_openpt(O_RDWR | O_NOCTTY);
	ck_assert_int_ge(master, 0);
	ck_assert_int_eq(grantpt(master), 0);
	ck_assert_int_eq(unlockpt(master), 0);
	slave = ptsname(master);
	ck_assert_ptr_nonnull(slave);
	ck_assert_int_eq(ioctl(master, TIOCSWINSZ, &size), 0);
	child = fork();
	ck_assert_int_ge(child, 0);
	if (child == 0)
		become_program(slave, arguments);
}

/* Reads what the program shows next; false at its end. */
static bool look(void)
{
	struct pollfd watched = {.fd = master, .events = POLLIN};
	ssize_t count;

	ck_assert_msg(poll(&watched, 1, PATIENCE) > 0, "nothing more is shown behind: %s",
	              screen + looked);
	ck_assert_uint_lt(shown + 1, SCREEN);
	count = read(master, screen + shown, SCREEN - 1 - shown);
	if (count <= 0)
		return false;
	/* The zero bytes with which a slow terminal is given time show nothing. */
	for (size_t end = shown + (size_t)count, i = shown; i < end; i++)
		if (screen[i] != '\0')
			screen[shown++] = screen[i];
	screen[shown] = '\0';
	return true;
}

/* Waits until the text is shown behind what was waited for before. */
static void expect(const char *text)
{
	for (;;) {
		char *at = strstr(screen + looked, text);

		if (at != NULL && looked < shown) {
			looked = (size_t)(at - screen) + strlen(text);
			return;
		}
		ck_assert_msg(look(), "the program ended without \"%s\":\n%s", text, screen);
	}
}

static void type(const char *keys)
{
	ck_assert_int_eq(write(master, keys, strlen(keys)), (ssize_t)strlen(keys));
}

/* How the program ended, after everything that it shows. */
static int end(void)
{
	int status;

	while (look())
		continue;
	ck_assert_int_eq(waitpid(child, &status, 0), child);
	child = 0;
	close(master);
	master = -1;
	return status;
}

static void kill_program(void)
{
	int status;

	kill(child, SIGKILL);
	ck_assert_int_eq(waitpid(child, &status, 0), child);
	ck_assert(WIFSIGNALED(status));
	child = 0;
	close(master);
	master = -1;
}

static const struct protocol *find(void *context, const char *name, const char *asked,
                                   struct fault_list *faults)
{
	(void)context;
	(void)name;
	(void)asked;
	(void)faults;
	return &protocol;
}

/* The file as the commands read it: without a fault, whatever happened to the program. */
static void read_file(struct measurement *measurement)
{
	struct protocol_finder finder = {find, NULL};
	const struct protocol *found;
	struct fault_list faults;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	if (measurement_file_read(file, &finder, measurement, &found, &faults) != STATUS_OK)
		session_support_print(&faults);
	ck_assert_uint_eq(faults.count, 0);
	fault_list_free(&faults);
}

/* What a person would type for a reading. */
static void write_reading(const struct reading *reading, char typed[64])
{
	if (reading->kind == READING_MISSING)
		snprintf(typed, 64, "-");
	else if (reading->kind == READING_POCKET)
		snprintf(typed, 64, "pocket");
	else if (reading->rail_named)
		snprintf(typed, 64, "%s %.3f", rail_name(reading->rail), reading->value);
	else
		snprintf(typed, 64, "%.3f", reading->value);
}

/* The question that the state machine asks, as the prompt shows it. */
static void expect_question(const struct guide *guide)
{
	struct guide_question question = guide_ask(guide);
	enum rail rails[BALL_ROLES][RAIL_READINGS];
	struct quantity quantity = quantity_at(question.quantity);
	enum rail rail = RAIL_COUNT;
	struct text prompt = {0};
	const char *why;

	ck_assert(stroke_design_rails(question.shot, &guide->measurement->session, rails, &why));
	if (quantity.kind == QUANTITY_RAIL)
		rail = rails[quantity.ball][quantity.number - 1];
	guide_words_prompt(&question, rail, false, &prompt);
	expect(text_bytes(&prompt));
	text_free(&prompt);
}

/* Answers the question with what the simulated session has there. */
static void answer(struct guide *guide, bool with_return)
{
	size_t row = guide->measurement->row_count - (guide->open ? 1 : 0);
	struct reading *reading = &wanted.rows[row].readings[guide_ask(guide).quantity];
	char typed[64];

	write_reading(reading, typed);
	type(typed);
	if (!with_return) {
		expect(typed);
		return;
	}
	type("\r");
	/* The file must hold what a person typed, not what was simulated. */
	if (reading->kind == READING_VALUE)
		reading->value = strtod(typed + strcspn(typed, "0123456789"), NULL);
	expect("    = ");
	guide_answer(guide, reading);
}

/* Whether two measurements have the same readings in the same rows. */
static void same_rows(const struct measurement *found, const struct measurement *expected)
{
	ck_assert_uint_eq(found->row_count, expected->row_count);
	for (size_t i = 0; i < found->row_count; i++) {
		ck_assert_str_eq(found->rows[i].shot, expected->rows[i].shot);
		for (int q = 0; q < QUANTITY_COUNT; q++) {
			const struct reading *a = &found->rows[i].readings[q];
			const struct reading *b = &expected->rows[i].readings[q];

			ck_assert_int_eq(a->kind, b->kind);
			if (a->kind == READING_VALUE)
				ck_assert_double_eq_tol(a->value, b->value, 1e-12);
		}
	}
}

static int run_command(const char *command)
{
	char line[700];
	int status;

	snprintf(line, sizeof line, "'%s/restpoint' %s '%s' >/dev/null 2>&1",
	         getenv("abs_top_builddir"), command, file);
	status = system(line);
	return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* A whole session, killed at every fourth answer while it is being typed. */
START_TEST(killed_again_and_again)
{
	struct measurement model = {.arena = arena_create()}, found;
	struct guide guide;
	int answers = 0;

	model.session = session_default();
	ck_assert(guide_start(&guide, &protocol, &model));
	start("--table=pool-9ft");
	expect("Name of the table: ");
	type("Table 3\r");
	while (!guide.finished) {
		expect_question(&guide);
		answers++;
		if (answers % 4 != 0) {
			answer(&guide, true);
			continue;
		}
		answer(&guide, false);
		kill_program();
		read_file(&found);
		same_rows(&found, &model);
		ck_assert_str_eq(found.session.notes[NOTE_TABLE_NAME], "Table 3");
		measurement_free(&found);
		start(NULL);
	}
	expect("All strokes are played (enough, shot NAME, undo, help): ");
	type("enough\r");
	expect("11 strokes of usual, 0 set aside; 0");
	ck_assert_int_eq(end(), 0);
	read_file(&found);
	same_rows(&found, &model);
	measurement_free(&found);
	ck_assert_int_eq(run_command("check"), 0);
	ck_assert_int_eq(run_command("fit"), 0);
	guide_free(&guide);
	measurement_free(&model);
}
END_TEST

/* The line can be edited, earlier lines come back, words are completed; every line fits 80 columns
 * and there is no colour. */
START_TEST(edits_the_line)
{
	start("--no-fit");
	expect("Table (Enter: pool-9ft): ");
	type("\r");
	expect("Name of the table: ");
	type("\r");
	expect("cue ball stops at long: ");
	type("6.4\x7f"
	     "5\r");
	expect("    = long 6.50 diamonds");
	expect("cue ball stops at long: ");
	type("\x10\r"); /* Ctrl-P: the line before */
	expect("    = long 6.50 diamonds");
	expect("cue ball stops at long: ");
	type("und\t\r");
	expect("Taken back.");
	expect("cue ball stops at long: ");
	type("\x04"); /* Ctrl-D */
	expect("1 stroke of usual, 0 set aside; 10");
	ck_assert_int_eq(end(), 0);
	ck_assert_ptr_null(strstr(screen, "\x1b[3"));
	for (const char *line = screen; *line != '\0'; line += strcspn(line, "\n") + 1)
		ck_assert_msg(strcspn(line, "\r\n") <= COLUMNS + 60, "a long line: %.120s", line);
}
END_TEST

/* Ctrl-C ends at once, by the signal as a shell wants to see it, and loses nothing. */
START_TEST(stopped_by_the_person)
{
	struct measurement found;
	int status;

	start("--no-fit");
	expect("Table (Enter: pool-9ft): ");
	type("\r");
	expect("Name of the table: ");
	type("\r");
	expect("cue ball stops at long: ");
	type("6.5\r");
	expect("    = long 6.50 diamonds");
	expect("cue ball stops at long: ");
	type("5.\x03");
	expect("interrupted; every answer is in ");
	status = end();
	ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == SIGINT);
	read_file(&found);
	ck_assert_uint_eq(found.row_count, 1);
	ck_assert_double_eq_tol(found.rows[0].readings[0].value, 6.5, 1e-12);
	measurement_free(&found);
}
END_TEST

/* What a fit found appears above the prompt while it waits, and what was typed stays. */
START_TEST(news_while_typing)
{
	start("--table-name=a");
	expect("Table (Enter: pool-9ft): ");
	type("\r");
	expect("cue ball stops at long: ");
	type("6.5\r");
	expect("Stroke kept in ");
	expect("cue ball stops at long: ");
	type("5.");
	expect("1 standard error after 1 stroke: sliding friction");
	expect("cue ball stops at long: 5.");
	type("25\r");
	expect("    = long 5.25 diamonds");
	kill_program();
}
END_TEST

#define SKIPPED 77 /* automake's */

/* A container without a file system of pseudo-terminals has none to give. */
static bool has_terminals(void)
{
	int one = posix_openpt(O_RDWR | O_NOCTTY), other = -1;
	bool has = one >= 0 && grantpt(one) == 0 && unlockpt(one) == 0 && ptsname(one) != NULL &&
	           (other = open(ptsname(one), O_RDWR | O_NOCTTY)) >= 0;

	if (other >= 0)
		close(other);
	if (one >= 0)
		close(one);
	return has;
}

int main(void)
{
	Suite *suite = suite_create("guide at a terminal");
	TCase *cases = tcase_create("guide at a terminal");

	if (!has_terminals()) {
		printf("this machine gives no pseudo-terminal: not tested\n");
		return SKIPPED;
	}
	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, killed_again_and_again);
	tcase_add_test(cases, edits_the_line);
	tcase_add_test(cases, stopped_by_the_person);
	tcase_add_test(cases, news_while_typing);
	return close_run(suite);
}
