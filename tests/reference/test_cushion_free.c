/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/cushion_free.h"

/* A ball that touches only the nose of a cushion. Model: I. Han, J. Mech. Sci. Technol. 19, 976
 * (2005) (value from memory); rows of check-values.md 2.3, derived beside the program. */

#define CASES 20000

struct ball {
	struct vector3 velocity, spin_speed;
};

/* check-values.md 2.2: incidence from the rail, topspin and side in units of the speed 1. */
static struct ball arriving(double incidence, double topspin, double side)
{
	double c = cos(close_radians(incidence)), s = sin(close_radians(incidence));

	return (struct ball){{c, s, 0.0}, {-topspin * s, topspin * c, side}};
}

static int check_ball(const char *table, int row, const struct ball *wanted,
                      const struct ball *got, double tolerance)
{
	return close_miss(table, row, "vx", wanted->velocity.x, got->velocity.x, tolerance) +
	       close_miss(table, row, "vy", wanted->velocity.y, got->velocity.y, tolerance) +
	       close_miss(table, row, "vz", wanted->velocity.z, got->velocity.z, tolerance) +
	       close_miss(table, row, "R wx", wanted->spin_speed.x, got->spin_speed.x, tolerance) +
	       close_miss(table, row, "R wy", wanted->spin_speed.y, got->spin_speed.y, tolerance) +
	       close_miss(table, row, "R wz", wanted->spin_speed.z, got->spin_speed.z, tolerance);
}

/* check-values.md 2.3: s .4, mu .14, e .85, rolling; incidence, side, then vx, vy, vz before it is
 * set to zero, R wx, wy, wz. All slip. */
static const double rows[][8] = {
    {15, -1, .90526, -.14726, -.16666, -.23460, .90526, -.86099},
    {15, 0, .90658, -.14975, -.16096, -.21907, .90658, .13598},
    {15, 1, .91869, -.15910, -.13954, -.16062, .91869, 1.10824},
    {30, -1, .75328, -.29183, -.30513, -.40732, .75328, -.74166},
    {30, 0, .76324, -.30074, -.28472, -.35164, .76324, .23552},
    {30, 1, .81981, -.32073, -.23892, -.22670, .81981, 1.10589},
    {45, -1, .55814, -.42268, -.40868, -.51373, .55814, -.65868},
    {45, 0, .58842, -.43921, -.37079, -.41039, .58842, .27195},
    {45, 1, .69469, -.45869, -.32616, -.28863, .69469, 1.02845},
    {60, -1, .33554, -.52912, -.47431, -.55766, .33554, -.62318},
    {60, 0, .39721, -.55099, -.42419, -.42094, .39721, .23552},
    {60, 1, .53614, -.56073, -.40188, -.36009, .53614, .91719},
    {75, -1, .10127, -.60176, -.50243, -.54945, .10127, -.63902},
    {75, 0, .19947, -.62371, -.45213, -.41224, .19947, .13598},
    {75, 1, .34576, -.61999, -.46066, -.43551, .34576, .80078},
    {90, -1, -.13002, -.63344, -.49620, -.50349, -.13002, -.70209},
    {90, 0, 0, -.64895, -.46066, -.40656, 0, 0},
    {90, 1, .13002, -.63344, -.49620, -.50349, .13002, .70209}};

START_TEST(slipping_impacts_match_the_table)
{
	struct cushion_contact contact = {.nose_sine = 0.4, .restitution = 0.85, .friction = 0.14};
	int misses = 0;

	for (int i = 0; i < (int)(sizeof rows / sizeof *rows); i++) {
		const double *row = rows[i];
		struct ball wanted = {{row[2], row[3], row[4]}, {row[5], row[6], row[7]}};
		struct ball ball = arriving(row[0], 1.0, row[1]);
		struct cushion_outcome outcome;

		ck_assert_int_eq(cushion_free_solve(&contact, &ball.velocity, &ball.spin_speed,
		                                    &outcome),
		                 STATUS_OK);
		misses += check_ball("2.3", i, &wanted, &ball, 6e-6) +
		          close_false("2.3", i, "slips", outcome.sticks == 0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* check-values.md 2.3, the two samples that stick. */
START_TEST(sticking_impacts_match_the_samples)
{
	struct cushion_contact contacts[2] = {
	    {.nose_sine = 0.2, .restitution = 0.80, .friction = 0.5},
	    {.nose_sine = 0.2, .restitution = 0.80, .friction = 0.6}};
	struct ball balls[2] = {arriving(30.0, 1.0, -0.2), arriving(60.0, 0.0, 0.3)};
	struct ball wanted[2] = {{{.51311, -.39829, -.00840}, {-.07143, .68957, .66445}},
	                         {{.44113, -.64036, -.25698}, {.12372, -.02944, .44421}}};
	int misses = 0;

	for (int i = 0; i < 2; i++) {
		struct cushion_outcome outcome;

		ck_assert_int_eq(cushion_free_solve(&contacts[i], &balls[i].velocity,
		                                    &balls[i].spin_speed, &outcome),
		                 STATUS_OK);
		misses += check_ball("2.3 stick", i, &wanted[i], &balls[i], 6e-6) +
		          close_false("2.3 stick", i, "sticks", outcome.sticks == 1);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct ball random_ball(struct random_stream *random)
{
	double vx = between(random, -2.0, 2.0), vy = between(random, 0.01, 2.0);
	double wx = between(random, -2.0, 2.0), wy = between(random, -2.0, 2.0);

	return (struct ball){{vx, vy, between(random, -1.0, 1.0)},
	                     {wx, wy, between(random, -2.0, 2.0)}};
}

static struct cushion_contact random_contact(struct random_stream *random, double lowest_sine)
{
	return (struct cushion_contact){.nose_sine = between(random, lowest_sine, 0.9),
	                                .restitution = between(random, 0.3, 1.0),
	                                .friction = between(random, 0.02, 0.6)};
}

static struct vector3 normal_of(const struct cushion_contact *contact)
{
	double s = contact->nose_sine;

	return vector3_make(0.0, sqrt(1.0 - s * s), s);
}

static double energy(const struct ball *ball)
{
	return vector3_dot(ball->velocity, ball->velocity) +
	       0.4 * vector3_dot(ball->spin_speed, ball->spin_speed);
}

/* By vectors: Newton's restitution along n, torque of the impulse at n, no rise of energy (all of
 * check-values.md 2.3); and the unit of speed does not matter. */
static int check_impact(int i, const struct cushion_contact *contact, const struct ball *before,
                        const struct ball *after)
{
	struct vector3 n = normal_of(contact), v = after->velocity;
	struct vector3 push = vector3_subtract(v, before->velocity);
	struct vector3 turned = vector3_scale(2.5, vector3_cross(n, push));
	struct ball scaled = {vector3_scale(7.3, before->velocity),
	                      vector3_scale(7.3, before->spin_speed)};
	int misses;

	turned = vector3_subtract(turned, vector3_subtract(after->spin_speed, before->spin_speed));
	misses = close_miss("laws", i, "restitution",
	                    -contact->restitution * vector3_dot(before->velocity, n),
	                    vector3_dot(v, n), 1e-14) +
	         close_miss("laws", i, "torque", 0.0, vector3_norm(turned), 1e-14) +
	         close_false("laws", i, "energy does not rise",
	                     energy(after) <= energy(before) * (1.0 + 1e-14));
	cushion_free_solve(contact, &scaled.velocity, &scaled.spin_speed, NULL);
	scaled.velocity = vector3_scale(1.0 / 7.3, scaled.velocity);
	scaled.spin_speed = vector3_scale(1.0 / 7.3, scaled.spin_speed);
	return misses + check_ball("unit", i, after, &scaled, 1e-14);
}

START_TEST(impacts_obey_their_laws)
{
	struct random_stream random = random_start(7301, 1);
	int misses = 0, refused = 0;

	for (int i = 0; i < CASES; i++) {
		struct cushion_contact contact = random_contact(&random, -0.9);
		struct ball ball = random_ball(&random), before = ball;
		bool comes = vector3_dot(ball.velocity, normal_of(&contact)) > 0.0;
		enum status status =
		    cushion_free_solve(&contact, &ball.velocity, &ball.spin_speed, NULL);

		misses += close_false("laws", i, "status", status == (comes ? STATUS_OK
		                                                           : STATUS_INTERNAL));
		if (comes)
			misses += check_impact(i, &contact, &before, &ball);
		else
			misses += check_ball("refused", i, &before, &ball, 0.0);
		refused += !comes;
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(refused, CASES / 100);
}
END_TEST

START_TEST(nonsense_is_refused)
{
	struct cushion_contact contact = {.nose_sine = 1.0, .restitution = 0.8, .friction = 0.2};
	struct ball ball = arriving(40.0, 1.0, 0.0);

	ck_assert_int_eq(cushion_free_solve(&contact, &ball.velocity, &ball.spin_speed, NULL),
	                 STATUS_INTERNAL);
	contact.nose_sine = 0.2;
	ball.spin_speed.z = (double)NAN;
	ck_assert_int_eq(cushion_free_solve(&contact, &ball.velocity, &ball.spin_speed, NULL),
	                 STATUS_INTERNAL);
	ball.spin_speed.z = 0.0;
	contact.friction = (double)INFINITY;
	ck_assert_int_eq(cushion_free_solve(&contact, &ball.velocity, &ball.spin_speed, NULL),
	                 STATUS_INTERNAL);
}
END_TEST

/* Below the centre the nose only lifts: a hop goes on to the end, and its two parts, with energetic
 * restitution, make the whole impact with Newton's. */
START_TEST(parts_of_a_hop_make_the_impact)
{
	struct random_stream random = random_start(7301, 2);
	int misses = 0, done = 0;

	for (int i = 0; i < CASES; i++) {
		struct cushion_contact contact = random_contact(&random, -0.9);
		struct ball whole = random_ball(&random);
		struct free_impact hop = {.velocity = whole.velocity,
		                          .spin_speed = whole.spin_speed};
		double e = contact.restitution, approach;
		struct ball parts;

		whole.velocity.z = hop.velocity.z = 50.0; /* too fast up to come down again */
		approach = vector3_dot(whole.velocity, normal_of(&contact));
		if (cushion_free_solve(&contact, &whole.velocity, &whole.spin_speed, NULL) !=
		        STATUS_OK ||
		    whole.velocity.z < 0.0)
			continue;
		done++;
		misses += close_false("hop", i, "compression ends",
		                      free_impact_advance(&contact, FREE_COMPRESSION, &hop) ==
		                          FREE_PART_ENDED) +
		          close_miss("hop", i, "work", 0.5, hop.work / (approach * approach),
		                     1e-13);
		hop.work *= e * e;
		misses += close_false("hop", i, "restitution ends",
		                      free_impact_advance(&contact, FREE_RESTITUTION, &hop) ==
		                          FREE_PART_ENDED) +
		          close_miss("hop", i, "impulse", 1.0 + e, hop.impulse / approach, 1e-13);
		parts = (struct ball){hop.velocity, hop.spin_speed};
		misses += check_ball("hop", i, &whole, &parts, 1e-12);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(done, CASES / 4);
}
END_TEST

/* One step of the rates of physics.md 2 without the bed, vertical velocity free. */
static void step_rates(const struct cushion_contact *contact, double step, struct free_impact *hop)
{
	struct vector3 n = normal_of(contact), v = hop->velocity;
	struct vector3 slip = vector3_add(v, vector3_cross(hop->spin_speed, n)), push;
	double size;

	slip = vector3_subtract(slip, vector3_scale(vector3_dot(slip, n), n));
	size = vector3_norm(slip);
	push = vector3_scale(-step, n);
	if (size > 0.0) /* not past the end of the slip */
		push = vector3_subtract(
		    push, vector3_scale(fmin(contact->friction * step / size, 2.0 / 7.0), slip));
	hop->velocity = vector3_add(v, push);
	hop->spin_speed = vector3_add(hop->spin_speed, vector3_scale(2.5, vector3_cross(n, push)));
	hop->work += 0.5 * step * (vector3_dot(v, n) + vector3_dot(hop->velocity, n));
	hop->impulse += step;
}

/* A rolling ball whose cushion friction lifts it: up while the nose slips, then down, and back on
 * the bed, or away before that. Against small steps of the rates. */
START_TEST(hops_match_small_steps)
{
	struct random_stream random = random_start(7301, 3);
	const double step = 1e-4;
	int misses = 0, back = 0, lifted = 0;

	for (int i = 0; i < 600; i++) {
		struct cushion_contact contact = {.nose_sine = between(&random, 0.05, 0.3),
		                                  .friction = between(&random, 0.1, 0.6)};
		struct ball ball = arriving(between(&random, 20.0, 90.0),
		                            between(&random, 0.2, 1.5), 0.0);
		struct free_impact hop = {ball.velocity, ball.spin_speed, 0.0, 0.0}, steps = hop;
		struct ball wanted, got;
		enum free_end end;

		end = free_impact_advance(&contact, FREE_COMPRESSION, &hop);
		if (!cushion_lifts(&contact, ball.velocity, ball.spin_speed)) {
			misses += close_false("steps", i, "the bed is there at once",
			                      end == FREE_BED_BACK && hop.impulse <= 0.0);
			continue;
		}
		lifted++;
		while (steps.impulse < hop.impulse)
			step_rates(&contact, fmin(step, hop.impulse - steps.impulse), &steps);
		wanted = (struct ball){steps.velocity, steps.spin_speed};
		got = (struct ball){hop.velocity, hop.spin_speed};
		back += end == FREE_BED_BACK;
		misses += check_ball("steps", i, &wanted, &got, 3.0 * step) +
		          close_miss("steps", i, "work", steps.work, hop.work, step) +
		          close_false("steps", i, "end",
		                      end == FREE_BED_BACK
		                          ? hop.velocity.z >= 0.0 && hop.velocity.z <= 0.0
		                          : fabs(vector3_dot(hop.velocity,
		                                             normal_of(&contact))) < 1e-14);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(lifted, 100);
	ck_assert_int_ge(back, 20);
	ck_assert_int_ge(lifted - back, 20);
}
END_TEST

/* By hand, s = 0.1, friction 0.5, a ball that slides square into the rail at 1 with no spin: the
 * slip is -s upward, so K = s - 0.5 c, until the impulse s / (3.5 * 0.5) ends it; then the nose
 * presses down with s, and vz is gone after another (0.5 c - s) / s of that. */
START_TEST(a_hop_ends_where_theory_says)
{
	const double s = 0.1, c = sqrt(1.0 - 0.01), first = s / 1.75;
	const double second = first * (0.5 * c - s) / s;
	struct cushion_contact contact = {.nose_sine = s, .friction = 0.5};
	struct free_impact hop = {.velocity = {0.0, 1.0, 0.0}};

	ck_assert(cushion_lifts(&contact, hop.velocity, hop.spin_speed));
	ck_assert_int_eq(free_impact_advance(&contact, FREE_COMPRESSION, &hop), FREE_BED_BACK);
	ck_assert_double_eq_tol(hop.impulse, first + second, 1e-15);
	ck_assert_double_eq_tol(hop.spin_speed.x, 2.5 * 0.5 * first, 1e-15);
	ck_assert_double_eq_tol(hop.velocity.y, 1.0 - c * (first + second) - 0.5 * s * first, 1e-15);
	ck_assert_double_eq(hop.velocity.z, 0.0);
	/* From there on the nose presses the ball down, for there is no slip. */
	ck_assert(!cushion_lifts(&contact, hop.velocity, hop.spin_speed));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("a ball at the nose alone");
	TCase *tests = tcase_create("free");

	tcase_add_test(tests, slipping_impacts_match_the_table);
	tcase_add_test(tests, sticking_impacts_match_the_samples);
	tcase_add_test(tests, impacts_obey_their_laws);
	tcase_add_test(tests, nonsense_is_refused);
	tcase_add_test(tests, parts_of_a_hop_make_the_impact);
	tcase_add_test(tests, hops_match_small_steps);
	tcase_add_test(tests, a_hop_ends_where_theory_says);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
