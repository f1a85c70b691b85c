/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_glide_step.h"

#include <math.h>

/* The Runge-Kutta method of order 8(5, 3) of J. R. Dormand and P. J. Prince in the form of
 * E. Hairer, S. P. Norsett and G. Wanner, Solving Ordinary Differential Equations I (1993), II.5
 * (DOP853). A stage uses the first one and a run of those just before it, from `from` on; so do the
 * result and its difference from that of order 5. The places of the stages are not needed, as the
 * equations do not contain the time. */

#define STAGES 12
#define LATE 5 /* the first of the stages, but for the very first, that the result is made of */

struct row {
	double first, rest[8];
};

static const int from[STAGES] = {1, 1, 1, 2, 2, 3, 3, 3, 3, 3, 3, 3};

static const struct row rows[STAGES] = {
    {0.0, {0.0}},
    {0.0526001519587677318785587544488, {0.0}},
    {0.0197250569845378994544595329183, {0.0591751709536136983633785987549}},
    {0.0295875854768068491816892993775, {0.0887627564304205475450678981324}},
    {0.241365134159266685502369798665,
     {-0.884549479328286085344864962717, 0.924834003261792003115737966543}},
    {0.037037037037037037037037037037,
     {0.170828608729473871279604482173, 0.125467687566822425016691814123}},
    {0.037109375,
     {0.170252211019544039314978060272, 0.0602165389804559606850219397283, -0.017578125}},
    {0.0370920001185047927108779319836,
     {0.170383925712239993810214054705, 0.107262030446373284651809199168,
      -0.0153194377486244017527936158236, 0.00827378916381402288758473766002}},
    {0.624110958716075717114429577812,
     {-3.36089262944694129406857109825, -0.868219346841726006818189891453,
      27.5920996994467083049415600797, 20.1540675504778934086186788979,
      -43.4898841810699588477366255144}},
    {0.477662536438264365890433908527,
     {-2.48811461997166764192642586468, -0.590290826836842996371446475743,
      21.2300514481811942347288949897, 15.2792336328824235832596922938,
      -33.2882109689848629194453265587, -0.0203312017085086261358222928593}},
    {-0.93714243008598732571704021658,
     {5.18637242884406370830023853209, 1.09143734899672957818500254654,
      -8.14978701074692612513997267357, -18.5200656599969598641566180701,
      22.7394870993505042818970056734, 2.49360555267965238987089396762,
      -3.0467644718982195003823669022}},
    {2.27331014751653820792359768449,
     {-10.5344954667372501984066689879, -2.00087205822486249909675718444,
      -17.9589318631187989172765950534, 27.9488845294199600508499808837,
      -2.85899827713502369474065508674, -8.87285693353062954433549289258,
      12.3605671757943030647266201528, 0.643392746015763530355970484046}}};

static const struct row result = {0.0542937341165687622380535766363,
                                  {4.45031289275240888144113950566, 1.89151789931450038304281599044,
                                   -5.8012039600105847814672114227, 0.31116436695781989408891606237,
                                   -0.152160949662516078556178806805,
                                   0.201365400804030348374776537501,
                                   0.0447106157277725905176885569043}};

static const struct row error = {0.01312004499419488073250102996,
                                 {-1.225156446376204440720569753, -0.4957589496572501915214079952,
                                  1.664377182454986536961530415, -0.3503288487499736816886487290,
                                  0.3341791187130174790297318841, 0.08192320648511571246570742613,
                                  -0.02235530786388629528427845}};

/* What the roots change by. */
struct change {
	vector2 x, y;
};

struct step {
	struct change start;
	struct glide_law law;
	double length;
	struct change changes[STAGES];
	struct glide_sums sums, off;
};

static inline vector2 swapped(vector2 a)
{
	return (vector2){a[1], a[0]};
}

/* The roots at a stage. The compiler is to see the numbers of all stages: so done it takes half the
 * instructions. */
static inline __attribute__((always_inline)) struct change reach(const struct step *step, int which)
{
	const struct change *k = step->changes;
	vector2 first = vector2_both(rows[which].first);
	struct change at;

	at.x = step->start.x + first * k->x;
	at.y = step->start.y + first * k->y;
#pragma GCC unroll 8
	for (int i = from[which]; i < which; i++) {
		vector2 factor = vector2_both(rows[which].rest[i - from[which]]);

		at.x += factor * k[i].x;
		at.y += factor * k[i].y;
	}
	return at;
}

/* Adds a stage's part to the result and to its error. */
static inline __attribute__((always_inline)) void add(struct step *step, int which, vector2 amount)
{
	vector2 weight = vector2_both(which == 0 ? result.first : result.rest[which - LATE]);
	vector2 off = vector2_both(which == 0 ? error.first : error.rest[which - LATE]);
	const struct change *change = &step->changes[which];

	step->sums.root_x += weight * change->x;
	step->sums.root_y += weight * change->y;
	step->sums.amount += weight * amount;
	step->off.root_x += off * change->x;
	step->off.root_y += off * change->y;
	step->off.amount += off * amount;
}

/* What a stage gives: (own + x + i y) times the root and its conjugate, each with its terms, and
 * last what half the direction at the nose along y is waited for, as its quotient takes long. */
static inline __attribute__((always_inline)) void find_change(struct step *step, int which,
                                                              struct change at)
{
	const struct glide_law *law = &step->law;
	vector2 xx = at.x * at.x, yy = at.y * at.y, xy = at.x * at.y;
	vector2 size = xx + yy, upward = xy / size;
	vector2 other = swapped(size), other_x = swapped(xx - yy), other_xy = swapped(xy);
	vector2 own = law->own * other + law->own_lean * other_xy;
	vector2 x = law->x * other_x, y = law->normal * other + law->y * other_xy;
	vector2 lean_x = law->lean_x * other_x;
	vector2 lean_y = law->uneven * other + law->lean_y * other_xy;
	struct change *change = &step->changes[which];

	change->x = ((own + x) * at.x + y * at.y) + upward * (lean_x * at.x + lean_y * at.y);
	change->y = ((own - x) * at.y + y * at.x) + upward * (lean_y * at.x - lean_x * at.y);
	if (which == 0 || which >= LATE) {
		double impulse = step->length * size[0] * size[1];

		add(step, which, impulse * (vector2){1.0, xy[1] - xy[0]});
	}
}

static struct glide_law scaled(const struct glide_law *law, double length)
{
	vector2 factor = vector2_both(length);

	return (struct glide_law){.own = factor * law->own,
	                          .own_lean = factor * law->own_lean,
	                          .x = factor * law->x,
	                          .y = factor * law->y,
	                          .normal = factor * law->normal,
	                          .lean_x = factor * law->lean_x,
	                          .lean_y = factor * law->lean_y,
	                          .uneven = factor * law->uneven};
}

VECTOR_CLONES double glide_step(const struct glide *glide, double length, struct glide_sums *change)
{
	const vector2 none = {0.0, 0.0};
	struct step step;
	vector2 off, amount;

	step.start = (struct change){glide->at.root_x, glide->at.root_y};
	step.length = length / (glide->size[0] + glide->size[1]);
	step.law = scaled(&glide->law, step.length);
	step.sums = step.off = (struct glide_sums){none, none, none};
	find_change(&step, 0, step.start);
#pragma GCC unroll 11
	for (int which = 1; which < STAGES; which++)
		find_change(&step, which, reach(&step, which));
	step.sums.amount[1] *= 2.0 * glide->cosine * glide->lever;
	*change = step.sums;
	off = step.off.root_x * step.off.root_x + step.off.root_y * step.off.root_y;
	off *= 40.0 * (glide->size + 0.01);
	amount = glide->weight * step.off.amount;
	amount *= amount;
	return larger(larger(off[0], off[1]), larger(amount[0], amount[1]) / (glide->pace + 0.1));
}

/* The halves are those of the equation of a root, and a slip along y is twice the product of the
 * root's parts. */
static void make_law(struct glide_law *law, const struct impact *impact)
{
	double nose = impact->friction[CONTACT_NOSE], bed = impact->friction[CONTACT_BED];
	double steady = bed * impact->sine, lean = bed * impact->cosine * nose;
	const vector2 *own = impact->own, *normal = impact->normal;
	vector2 shared = impact->shared;

	law->own = -0.5 * (vector2){nose * own[CONTACT_NOSE][0], steady * own[CONTACT_BED][0]};
	law->own_lean = (vector2){0.0, -lean * own[CONTACT_BED][0]};
	law->x = -0.5 * shared[0] * (vector2){steady, nose};
	law->y = -shared[1] * (vector2){steady, nose};
	law->normal = 0.5 * (vector2){normal[CONTACT_NOSE][1], normal[CONTACT_BED][1]};
	law->lean_x = (vector2){-lean * shared[0], 0.0};
	law->lean_y = (vector2){-2.0 * lean * shared[1], 0.0};
	law->uneven = (vector2){nose * (own[CONTACT_NOSE][0] - own[CONTACT_NOSE][1]), 0.0};
}

void glide_make(struct glide *glide, const struct impact *impact)
{
	const vector2 *own = impact->own;
	vector2 shared = impact->shared;

	make_law(&glide->law, impact);
	glide->cosine = impact->cosine;
	glide->friction = impact->friction[CONTACT_NOSE];
	glide->grip = vector2_both(impact->friction[CONTACT_BED] * impact->sine);
	glide->lean =
	    vector2_both(impact->friction[CONTACT_BED] * impact->cosine * glide->friction);
	glide->nose_x = -glide->friction * (vector2){own[CONTACT_NOSE][0], shared[0]};
	glide->nose_y = -glide->friction * (vector2){own[CONTACT_NOSE][1], shared[1]};
	glide->bed_x = -(vector2){shared[0], own[CONTACT_BED][0]};
	glide->bed_y = -(vector2){shared[1], own[CONTACT_BED][1]};
	glide->normal_y =
	    (vector2){impact->normal[CONTACT_NOSE][1], impact->normal[CONTACT_BED][1]};
	glide->lever = 1.0 / (1.0 + impact->sine);
}

/* The larger part of a root is taken first, which loses no digits. */
void glide_set(struct glide *glide, const vector2 slip[CONTACT_PLACES])
{
	for (int place = 0; place < CONTACT_PLACES; place++) {
		double size = sqrt(vector2_dot(slip[place], slip[place])), x = slip[place][0];
		double large = sqrt(0.5 * (size + fabs(x)));
		double small = large > 0.0 ? 0.5 * slip[place][1] / large : 0.0;

		glide->at.root_x[place] = x < 0.0 ? small : large;
		glide->at.root_y[place] = x < 0.0 ? large : small;
	}
	glide_measure(glide);
}

void glide_measure(struct glide *glide)
{
	vector2 x = glide->at.root_x, y = glide->at.root_y;

	glide->size = x * x + y * y;
	glide->slip_x = x * x - y * y;
	glide->slip_y = 2.0 * (x * y);
	glide->into = glide->lever * (glide->slip_y[1] - glide->slip_y[0]);
}

double glide_into_after(const struct glide *glide, const struct glide_sums *change)
{
	vector2 xy = (glide->at.root_x + change->root_x) * (glide->at.root_y + change->root_y);

	return 2.0 * glide->lever * (xy[1] - xy[0]);
}

VECTOR_CLONES void glide_bring_up(struct glide *glide)
{
	vector2 inverse = 1.0 / glide->size;
	vector2 x = glide->slip_x * inverse, y = glide->slip_y * inverse;
	struct glide_rates *rates = &glide->rates;

	glide->direction_x = x;
	glide->direction_y = y;
	glide->share = glide->size[1] / (glide->size[0] + glide->size[1]);
	glide->pace = glide->share * glide->size[0];
	rates->grip = glide->grip + glide->lean * vector2_both(y[0]);
	rates->x =
	    vector2_both(x[0]) * glide->nose_x + rates->grip * (vector2_both(x[1]) * glide->bed_x);
	rates->y = (vector2_both(y[0]) * glide->nose_y + glide->normal_y) +
	           rates->grip * (vector2_both(y[1]) * glide->bed_y);
	rates->turn = x * rates->y - y * rates->x;
	rates->growth = x * rates->x + y * rates->y;
}
