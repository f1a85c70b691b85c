/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_INTEGRATOR_H
#define RESTPOINT_TESTS_OUTSIDE_INTEGRATOR_H

#include <stdbool.h>

/* The solver CVODE of SUNDIALS (Hindmarsh et al., ACM Trans. Math. Softw. 31, 363 (2005)), as the
 * outside reference uses it: one accepted step at a time, stopped at the roots of functions of the
 * state. Everything is in the units of the caller. */

#define OUTSIDE_ROOTS 64 /* root functions at most */

/* dy/dt = rates(t, y), for `size` numbers, and what stops a step. */
struct outside_system {
	int size, root_count;
	void (*rates)(const void *data, const double *y, double *rates);
	/* A root counts where its function changes its sign; by `falling`, only from above. */
	void (*roots)(const void *data, const double *y, double *roots);
	const bool *falling; /* root_count of them */
	/* by[column * size + row], zero on entry. With it the formula of a step is solved by
	 * Newton's iteration, for systems that are stiff in places; NULL: by fixed-point
	 * iteration. */
	void (*jacobian)(const void *data, const double *y, double *by);
	/* The formula of a step: backward differentiation, robust where a system is very stiff, or
	 * Adams's, faster elsewhere. */
	bool backward;
	const void *data;
};

/* How exactly to integrate: errors of a step are held below relative |y| + absolute. */
struct outside_accuracy {
	double relative, absolute;
	double longest_step; /* 0: no limit */
};

struct outside_integrator;

enum outside_step { OUTSIDE_STEPPED, OUTSIDE_ROOT, OUTSIDE_FAILED };

/* NULL when memory is out or SUNDIALS refuses. The system is copied, its data are not. */
struct outside_integrator *outside_integrator_open(const struct outside_system *system,
                                                   const struct outside_accuracy *accuracy);
void outside_integrator_close(struct outside_integrator *integrator);

/* Begins at t = 0 from y, forgetting what was before. */
bool outside_integrator_restart(struct outside_integrator *integrator, const double *y);

/* One step, or to the first root within it: t and y receive where it ended; found[k] is then true
 * where function k has its root. */
enum outside_step outside_integrator_step(struct outside_integrator *integrator, double *t,
                                          double *y, bool *found);

#endif
