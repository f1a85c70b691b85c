/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <errno.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <string.h>
#include <time.h>

#include "base/parallel.h"
#include "base/random.h"

/* What parallel.h promises: each piece once, results that do not depend on the number of threads,
 * work done even when the system gives no thread. The linker puts the function below in the place
 * of pthread_create (--wrap), so that threads can be refused. */

#define PIECES 1009
#define PATIENCE 60 /* [s] a piece waits for the others before it says that they do not come */

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *attributes,
                          void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes,
                          void *(*start)(void *), void *argument);

static int allowed;   /* how many more threads may be made */
static int requested; /* how many were asked for */

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes,
                          void *(*start)(void *), void *argument)
{
	requested++;
	if (allowed <= 0)
		return EAGAIN;
	allowed--;
	return __real_pthread_create(thread, attributes, start, argument);
}

struct sheet {
	atomic_int times[PIECES]; /* how often each piece was done */
	double results[PIECES];
};

/* Enough work that several threads get some of it. */
static void draw(size_t index, void *context)
{
	struct sheet *sheet = context;
	struct random_stream stream = random_start(2039, index);
	double sum = 0.0;

	for (int i = 0; i < 500; i++)
		sum += random_normal(&stream);
	atomic_fetch_add(&sheet->times[index], 1);
	sheet->results[index] = sum;
}

/* 1 unless exactly the pieces below count were done, each once. */
static int check_times(struct sheet *sheet, size_t count, int threads)
{
	int misses = 0;

	for (size_t i = 0; i < PIECES; i++)
		misses += atomic_load(&sheet->times[i]) != (i < count);
	return close_false("pieces", threads, "each is done once, no other is", misses == 0);
}

static struct sheet sheet, alone;

START_TEST(each_piece_is_done_once)
{
	static const size_t counts[] = {0, 1, 2, 3, 64, 65, 1000, PIECES};
	static const unsigned threads[] = {0, 1, 2, 3, 7, 64, 65, 4000000000u};
	int misses = 0;

	for (size_t c = 0; c < sizeof counts / sizeof counts[0]; c++)
		for (size_t t = 0; t < sizeof threads / sizeof threads[0]; t++) {
			memset(&sheet, 0, sizeof sheet);
			allowed = 1000;
			misses += close_false("run", (int)threads[t], "status",
			                      parallel_run(counts[c], threads[t], draw, &sheet) ==
			                          STATUS_OK);
			misses += check_times(&sheet, counts[c], (int)threads[t]);
		}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Against a plain loop over the pieces. */
START_TEST(results_do_not_depend_on_threads)
{
	static const unsigned threads[] = {0, 1, 2, 3, 7};

	for (size_t i = 0; i < PIECES; i++)
		draw(i, &alone);
	for (size_t t = 0; t < sizeof threads / sizeof threads[0]; t++) {
		memset(&sheet, 0, sizeof sheet);
		allowed = 1000;
		ck_assert_int_eq(parallel_run(PIECES, threads[t], draw, &sheet), STATUS_OK);
		ck_assert_mem_eq(sheet.results, alone.results, sizeof sheet.results);
	}
}
END_TEST

/* A machine that gives no thread, or one of the six asked for: the work is done all the same. */
START_TEST(refused_threads_are_done_without)
{
	for (int given = 0; given < 2; given++) {
		memset(&sheet, 0, sizeof sheet);
		allowed = given;
		requested = 0;
		ck_assert_int_eq(parallel_run(PIECES, 7, draw, &sheet), STATUS_OK);
		ck_assert_int_eq(requested, given + 1);
		ck_assert_int_eq(check_times(&sheet, PIECES, given), 0);
	}
}
END_TEST

/* One thread is the calling one, and there are no more threads than pieces. */
START_TEST(no_thread_is_made_in_vain)
{
	allowed = 1000;
	requested = 0;
	ck_assert_int_eq(parallel_run(PIECES, 1, draw, &sheet), STATUS_OK);
	ck_assert_int_eq(parallel_run(1, 7, draw, &sheet), STATUS_OK);
	ck_assert_int_eq(parallel_run(0, 7, draw, &sheet), STATUS_OK);
	ck_assert_int_eq(requested, 0);
	ck_assert_int_eq(parallel_run(3, 7, draw, &sheet), STATUS_OK);
	ck_assert_int_eq(requested, 2);
}
END_TEST

struct meeting {
	atomic_int arrived;
	atomic_int met; /* who saw all of them there */
};

static void meet(size_t index, void *context)
{
	struct meeting *meeting = context;
	const struct timespec pause = {0, 1000000};
	time_t start = time(NULL);

	(void)index;
	atomic_fetch_add(&meeting->arrived, 1);
	while (atomic_load(&meeting->arrived) < 3 && time(NULL) - start < PATIENCE)
		nanosleep(&pause, NULL);
	if (atomic_load(&meeting->arrived) == 3)
		atomic_fetch_add(&meeting->met, 1);
}

/* Three pieces that wait for one another end only when three threads do them at the same time. */
START_TEST(pieces_run_at_the_same_time)
{
	struct meeting meeting = {0};

	allowed = 1000;
	ck_assert_int_eq(parallel_run(3, 3, meet, &meeting), STATUS_OK);
	ck_assert_int_eq(atomic_load(&meeting.met), 3);
}
END_TEST

struct masks {
	pthread_t caller;
	atomic_int open_helpers; /* pieces done by a helper that SIGINT could reach */
	atomic_int closed_caller;
};

static void look_at_mask(size_t index, void *context)
{
	struct masks *masks = context;
	sigset_t set;
	bool closed;

	(void)index;
	pthread_sigmask(SIG_SETMASK, NULL, &set);
	closed = sigismember(&set, SIGINT) == 1;
	if (pthread_equal(pthread_self(), masks->caller))
		atomic_fetch_add(&masks->closed_caller, closed);
	else
		atomic_fetch_add(&masks->open_helpers, !closed);
}

/* The person's interrupt comes to the calling thread, during the run and after it. */
START_TEST(signals_are_left_to_the_caller)
{
	struct masks masks = {.caller = pthread_self()};

	allowed = 1000;
	ck_assert_int_eq(parallel_run(PIECES, 3, look_at_mask, &masks), STATUS_OK);
	look_at_mask(0, &masks);
	ck_assert_int_eq(atomic_load(&masks.open_helpers), 0);
	ck_assert_int_eq(atomic_load(&masks.closed_caller), 0);
}
END_TEST

START_TEST(numbers_of_threads)
{
	ck_assert_uint_ge(parallel_threads(0), 1);
	ck_assert_uint_le(parallel_threads(0), PARALLEL_THREADS);
	ck_assert_uint_eq(parallel_threads(1), 1);
	ck_assert_uint_eq(parallel_threads(PARALLEL_THREADS), PARALLEL_THREADS);
	ck_assert_uint_eq(parallel_threads(PARALLEL_THREADS + 1), PARALLEL_THREADS);
	ck_assert_int_eq(parallel_run(3, 2, NULL, NULL), STATUS_INTERNAL);
}
END_TEST

struct beside {
	atomic_int go, done;
	struct masks masks;
};

static void work_beside(void *context)
{
	struct beside *beside = context;

	while (atomic_load(&beside->go) == 0)
		continue;
	look_at_mask(0, &beside->masks);
	atomic_store(&beside->done, 1);
}

/* The caller goes on while the task waits for it; the task has no signals. */
START_TEST(a_task_runs_beside)
{
	struct beside beside = {.masks = {.caller = pthread_self()}};
	struct parallel_task *task;

	allowed = 1;
	task = parallel_start(work_beside, &beside);
	ck_assert_ptr_nonnull(task);
	ck_assert_int_eq(atomic_load(&beside.done), 0);
	atomic_store(&beside.go, 1);
	parallel_join(task);
	ck_assert_int_eq(atomic_load(&beside.done), 1);
	ck_assert_int_eq(atomic_load(&beside.masks.open_helpers), 0);
	look_at_mask(0, &beside.masks);
	ck_assert_int_eq(atomic_load(&beside.masks.closed_caller), 0);
	allowed = 0;
	ck_assert_ptr_null(parallel_start(work_beside, &beside));
	parallel_join(NULL);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("work in parallel");
	TCase *parallel = tcase_create("parallel");

	tcase_add_test(parallel, each_piece_is_done_once);
	tcase_add_test(parallel, results_do_not_depend_on_threads);
	tcase_add_test(parallel, refused_threads_are_done_without);
	tcase_add_test(parallel, no_thread_is_made_in_vain);
	tcase_add_test(parallel, pieces_run_at_the_same_time);
	tcase_add_test(parallel, signals_are_left_to_the_caller);
	tcase_add_test(parallel, numbers_of_threads);
	tcase_add_test(parallel, a_task_runs_beside);
	suite_add_tcase(suite, parallel);
	return close_run(suite);
}
