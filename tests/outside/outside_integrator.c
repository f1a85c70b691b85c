/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_integrator.h"

#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_nonlinearsolver.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#define STEPS_MOST 100000 /* between two starts; more means that something went wrong */

struct outside_integrator {
	struct outside_system system;
	struct outside_accuracy accuracy;
	SUNContext context;
	N_Vector y, rates;
	SUNMatrix matrix;
	SUNLinearSolver linear;
	SUNNonlinearSolver nonlinear;
	void *cvode;
	long steps;
	double time; /* where the last step ended */
};

static int call_rates(double t, N_Vector y, N_Vector rates, void *user)
{
	const struct outside_integrator *integrator = user;
	const double *from = N_VGetArrayPointer(y);

	(void)t;
	for (int i = 0; i < integrator->system.size; i++)
		if (!isfinite(from[i]))
			return 1; /* a trial step that went too far: CVODE shortens it */
	integrator->system.rates(integrator->system.data, from, N_VGetArrayPointer(rates));
	return 0;
}

static int call_roots(double t, N_Vector y, double *roots, void *user)
{
	const struct outside_integrator *integrator = user;

	(void)t;
	integrator->system.roots(integrator->system.data, N_VGetArrayPointer(y), roots);
	return 0;
}

static int call_jacobian(double t, N_Vector y, N_Vector rates, SUNMatrix by, void *user,
                         N_Vector one, N_Vector two, N_Vector three)
{
	const struct outside_integrator *integrator = user;

	(void)t, (void)rates, (void)one, (void)two, (void)three;
	integrator->system.jacobian(integrator->system.data, N_VGetArrayPointer(y),
	                            SUNDenseMatrix_Data(by));
	return 0;
}

/* Warnings are no news: a root function that is zero at the start of a step is expected here. */
static void stay_silent(int code, const char *module, const char *function, char *text, void *user)
{
	(void)code, (void)module, (void)function, (void)text, (void)user;
}

/* The iteration that solves the implicit formula of a step. */
static bool attach_iteration(struct outside_integrator *integrator)
{
	int size = integrator->system.size;

	if (integrator->system.jacobian == NULL) {
		integrator->nonlinear =
		    SUNNonlinSol_FixedPoint(integrator->y, 0, integrator->context);
		return integrator->nonlinear != NULL &&
		       CVodeSetNonlinearSolver(integrator->cvode, integrator->nonlinear) ==
		           CV_SUCCESS;
	}
	integrator->matrix = SUNDenseMatrix(size, size, integrator->context);
	integrator->linear =
	    SUNLinSol_Dense(integrator->y, integrator->matrix, integrator->context);
	return integrator->matrix != NULL && integrator->linear != NULL &&
	       CVodeSetLinearSolver(integrator->cvode, integrator->linear, integrator->matrix) ==
	           CV_SUCCESS &&
	       CVodeSetJacFn(integrator->cvode, call_jacobian) == CV_SUCCESS &&
	       CVodeSetLSetupFrequency(integrator->cvode, 1) == CV_SUCCESS &&
	       CVodeSetJacEvalFrequency(integrator->cvode, 1) == CV_SUCCESS;
}

static bool set_roots(struct outside_integrator *integrator)
{
	int directions[OUTSIDE_ROOTS], count = integrator->system.root_count;

	if (count > OUTSIDE_ROOTS)
		return false;
	for (int i = 0; i < count; i++)
		directions[i] = integrator->system.falling[i] ? -1 : 0;
	return CVodeRootInit(integrator->cvode, count, call_roots) == CV_SUCCESS &&
	       CVodeSetRootDirection(integrator->cvode, directions) == CV_SUCCESS &&
	       CVodeSetNoInactiveRootWarn(integrator->cvode) == CV_SUCCESS;
}

static bool set_up(struct outside_integrator *integrator)
{
	const struct outside_accuracy *accuracy = &integrator->accuracy;
	int size = integrator->system.size;

	if (SUNContext_Create(NULL, &integrator->context) != 0)
		return false;
	integrator->y = N_VNew_Serial(size, integrator->context);
	if (integrator->y == NULL)
		return false;
	integrator->rates = N_VClone(integrator->y);
	integrator->cvode =
	    CVodeCreate(integrator->system.backward ? CV_BDF : CV_ADAMS, integrator->context);
	if (integrator->rates == NULL || integrator->cvode == NULL)
		return false;
	memset(N_VGetArrayPointer(integrator->y), 0, (size_t)size * sizeof(double));
	return CVodeSetErrHandlerFn(integrator->cvode, stay_silent, NULL) == CV_SUCCESS &&
	       CVodeInit(integrator->cvode, call_rates, 0.0, integrator->y) == CV_SUCCESS &&
	       CVodeSStolerances(integrator->cvode, accuracy->relative, accuracy->absolute) ==
	           CV_SUCCESS &&
	       CVodeSetUserData(integrator->cvode, integrator) == CV_SUCCESS &&
	       CVodeSetMaxStep(integrator->cvode, accuracy->longest_step) == CV_SUCCESS &&
	       CVodeSetMaxErrTestFails(integrator->cvode, 40) == CV_SUCCESS &&
	       CVodeSetMaxConvFails(integrator->cvode, 40) == CV_SUCCESS &&
	       attach_iteration(integrator) && set_roots(integrator);
}

struct outside_integrator *outside_integrator_open(const struct outside_system *system,
                                                   const struct outside_accuracy *accuracy)
{
	struct outside_integrator *integrator = calloc(1, sizeof *integrator);

	if (integrator == NULL)
		return NULL;
	integrator->system = *system;
	integrator->accuracy = *accuracy;
	if (!set_up(integrator)) {
		outside_integrator_close(integrator);
		return NULL;
	}
	return integrator;
}

void outside_integrator_close(struct outside_integrator *integrator)
{
	if (integrator == NULL)
		return;
	CVodeFree(&integrator->cvode);
	if (integrator->nonlinear != NULL)
		SUNNonlinSolFree(integrator->nonlinear);
	if (integrator->linear != NULL)
		SUNLinSolFree(integrator->linear);
	if (integrator->matrix != NULL)
		SUNMatDestroy(integrator->matrix);
	if (integrator->rates != NULL)
		N_VDestroy(integrator->rates);
	if (integrator->y != NULL)
		N_VDestroy(integrator->y);
	if (integrator->context != NULL)
		SUNContext_Free(&integrator->context);
	free(integrator);
}

bool outside_integrator_restart(struct outside_integrator *integrator, const double *y)
{
	memcpy(N_VGetArrayPointer(integrator->y), y,
	       (size_t)integrator->system.size * sizeof(double));
	integrator->steps = 0;
	integrator->time = 0.0;
	return CVodeReInit(integrator->cvode, 0.0, integrator->y) == CV_SUCCESS;
}

enum outside_step outside_integrator_step(struct outside_integrator *integrator, double *t,
                                          double *y, bool *found)
{
	int at[OUTSIDE_ROOTS];
	int flag = CVode(integrator->cvode, integrator->time + 1.0, integrator->y, t, CV_ONE_STEP);

	/* It refuses to go on from a root with another one right after it: start anew there. */
	if (flag == CV_ILL_INPUT &&
	    CVodeReInit(integrator->cvode, integrator->time, integrator->y) == CV_SUCCESS)
		flag =
		    CVode(integrator->cvode, integrator->time + 1.0, integrator->y, t, CV_ONE_STEP);
	integrator->time = *t;
	if (flag < 0 || ++integrator->steps > STEPS_MOST)
		return OUTSIDE_FAILED;
	memcpy(y, N_VGetArrayPointer(integrator->y),
	       (size_t)integrator->system.size * sizeof(double));
	if (flag != CV_ROOT_RETURN)
		return OUTSIDE_STEPPED;
	if (CVodeGetRootInfo(integrator->cvode, at) != CV_SUCCESS)
		return OUTSIDE_FAILED;
	for (int i = 0; i < integrator->system.root_count; i++)
		found[i] = at[i] != 0;
	return OUTSIDE_ROOT;
}
