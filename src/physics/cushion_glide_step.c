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

/* What directions, share, pace and the difference of the slips along Y change by. */
struct change {
	vector2 x, y, pace;
	double apart;
};

struct step {
	const struct glide *glide;
	double length, apart; /* apart: the slips along Y at the start */
	vector2 lengths,
	    tilt; /* times nose's and bed's share: lengths + tilt times that of the nose */
	struct change changes[STAGES];
	struct glide_sums sums, off; /* of off: directions in place of slips */
};

static inline __attribute__((always_inline)) void find_rates(const struct glide *glide, vector2 x,
                                                             vector2 y, struct glide_rates *rates)
{
	rates->grip = glide->grip + glide->lean * vector2_both(y[0]);
	rates->x = vector2_both(x[0]) * glide->nose_x + rates->grip * (vector2_both(x[1]) * glide->bed_x);
	rates->y = (vector2_both(y[0]) * glide->nose_y + glide->normal_y) +
	           rates->grip * (vector2_both(y[1]) * glide->bed_y);
	rates->turn = x * rates->y - y * rates->x;
	rates->growth = x * rates->x + y * rates->y;
}

/* The state of a stage, but for slips, impulse and work. The compiler is to see the numbers of all
 * stages: so done it takes half the instructions. */
static inline __attribute__((always_inline)) struct change reach(const struct step *step, int which)
{
	const struct change *k = step->changes;
	vector2 first = vector2_both(rows[which].first);
	struct change at;

	at.x = step->glide->direction_x + first * k->x;
	at.y = step->glide->direction_y + first * k->y;
	at.pace = step->glide->pace + first * k->pace;
	at.apart = step->apart + rows[which].first * k->apart;
#pragma GCC unroll 8
	for (int i = from[which]; i < which; i++) {
		double factor = rows[which].rest[i - from[which]];

		at.x += vector2_both(factor) * k[i].x;
		at.y += vector2_both(factor) * k[i].y;
		at.pace += vector2_both(factor) * k[i].pace;
		at.apart += factor * k[i].apart;
	}
	return at;
}

/* Adds a stage's part to the result and to its error. */
static inline __attribute__((always_inline)) void add(struct step *step, int which, double impulse,
                                                      const struct glide_rates *rates, double apart)
{
	double weight = which == 0 ? result.first : result.rest[which - LATE];
	double off = which == 0 ? error.first : error.rest[which - LATE];
	vector2 amount = {impulse, impulse * apart};

	step->sums.x += vector2_both(weight * impulse) * rates->x;
	step->sums.y += vector2_both(weight * impulse) * rates->y;
	step->sums.amount += vector2_both(weight) * amount;
	step->off.x += vector2_both(off) * step->changes[which].x;
	step->off.y += vector2_both(off) * step->changes[which].y;
	step->off.amount += vector2_both(off) * amount;
}

/* What a stage gives. */
static inline __attribute__((always_inline)) void
find_change(struct step *step, int which, const struct change *at, const struct glide_rates *rates)
{
	struct change *change = &step->changes[which];
	double share = at->pace[0], other = 1.0 - share, impulse = step->length * at->pace[1];
	vector2 lengths = step->lengths + step->tilt * vector2_both(share);
	vector2 angle = lengths * rates->turn, growth = lengths * rates->growth;

	change->x = -angle * at->y;
	change->y = angle * at->x;
	change->pace = (vector2){share * other * (growth[1] - growth[0]),
	                         at->pace[1] * (share * growth[0] + other * growth[1])};
	change->apart = impulse * (rates->y[1] - rates->y[0]);
	if (which == 0 || which >= LATE)
		add(step, which, impulse, rates, at->apart);
}

static inline __attribute__((always_inline)) void take_stage(struct step *step, int which)
{
	struct change at = reach(step, which);
	struct glide_rates rates;

	find_rates(step->glide, at.x, at.y, &rates);
	find_change(step, which, &at, &rates);
}

double glide_step(const struct glide *glide, double length, struct glide_sums *change)
{
	struct step step;
	struct change start;
	vector2 turned, amount;

	step.glide = glide;
	step.length = length;
	step.apart = glide->at.y[1] - glide->at.y[0];
	step.lengths = (vector2){0.0, length};
	step.tilt = (vector2){length, -length};
	step.sums = step.off = (struct glide_sums){{0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}};
	start = (struct change){glide->direction_x, glide->direction_y, glide->pace, step.apart};
	find_change(&step, 0, &start, &glide->rates);
#pragma GCC unroll 11
	for (int which = 1; which < STAGES; which++)
		take_stage(&step, which);
	step.sums.amount[1] *= glide->cosine * glide->lever;
	*change = step.sums;
	turned = vector2_absolute(step.off.x) + vector2_absolute(step.off.y);
	turned *= turned * glide->size * (glide->size + 0.01);
	amount = step.off.amount * step.off.amount;
	return larger(larger(turned[0], turned[1]), larger(amount[0], amount[1]) / glide->pace[1]);
}

void glide_make(struct glide *glide, const struct impact *impact)
{
	const vector2 *own = impact->own;
	vector2 shared = impact->shared;

	glide->cosine = impact->cosine;
	glide->friction = impact->friction[CONTACT_NOSE];
	glide->grip = vector2_both(impact->friction[CONTACT_BED] * impact->sine);
	glide->lean = vector2_both(impact->friction[CONTACT_BED] * impact->cosine * glide->friction);
	glide->nose_x = -glide->friction * (vector2){own[CONTACT_NOSE][0], shared[0]};
	glide->nose_y = -glide->friction * (vector2){own[CONTACT_NOSE][1], shared[1]};
	glide->bed_x = -(vector2){shared[0], own[CONTACT_BED][0]};
	glide->bed_y = -(vector2){shared[1], own[CONTACT_BED][1]};
	glide->normal_y =
	    (vector2){impact->normal[CONTACT_NOSE][1], impact->normal[CONTACT_BED][1]};
	glide->lever = 1.0 / (1.0 + impact->sine);
}

void glide_measure(struct glide *glide)
{
	vector2 square = glide->at.x * glide->at.x + glide->at.y * glide->at.y;

	glide->size = (vector2){sqrt(square[0]), sqrt(square[1])};
}

void glide_bring_up(struct glide *glide)
{
	vector2 inverse = 1.0 / glide->size;
	double share = glide->size[1] / (glide->size[0] + glide->size[1]);

	glide->direction_x = glide->at.x * inverse;
	glide->direction_y = glide->at.y * inverse;
	glide->pace = (vector2){share, share * glide->size[0]};
	find_rates(glide, glide->direction_x, glide->direction_y, &glide->rates);
}
