/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_grid.h"

#include <string.h>

#include "advise/plan_shapes.h"

#define AXES 7
#define VALUES 8

/* One axis: the values that its digit stands for, ended by count. */
struct axis {
	int count;
	double values[VALUES];
};

struct kind_grid {
	unsigned needs; /* kit without which it cannot be told */
	struct axis axes[AXES];
	bool (*make)(const double *at, unsigned kit, struct shot_design *design);
};

/* Where the speeds and places of the shipped protocols lie, and about them (shots.md of common
 * practice: lags, stop and draw shots, cuts, kicks, touching pairs). */
static const struct kind_grid grids[PLAN_KINDS] = {
    [PLAN_LAG] = {0,
                  {{4, {0.5, 1, 1.5, 2}}, {6, {1.4, 1.6, 1.8, 2.0, 2.3, 2.6}}, {2, {1, 2}}},
                  plan_shape_lag},
    [PLAN_ROLL] = {0,
                   {{3, {0.5, 1, 1.5}}, {3, {1, 2, 3}}, {4, {0.45, 0.5, 0.6, 0.65}}},
                   plan_shape_roll},
    [PLAN_RAMP_ROLL] = {KIT_RAMP, {{3, {0.5, 1, 1.5}}, {3, {1, 2, 3}}}, plan_shape_ramp_roll},
    [PLAN_RAMP_CROSS] = {KIT_RAMP, {{3, {2, 3, 5}}, {3, {1, 1.5, 2}}}, plan_shape_ramp_cross},
    [PLAN_CROSS] = {0,
                    {{6, {2, 2.5, 3, 3.5, 4.5, 5}},
                     {4, {0.5, 0.75, 1, 1.25}},
                     {4, {2.2, 2.7, 3.2, 3.6}},
                     {6, {-0.45, -0.4, -0.3, 0.3, 0.4, 0.45}},
                     {2, {0, 0.2}},
                     {2, {0, 1}}},
                    plan_shape_cross},
    [PLAN_KICK] = {0,
                   {{4, {0.5, 1, 1.5, 2}},
                    {3, {0.5, 1, 1.5}},
                    {5, {1.5, 2, 2.5, 3, 3.5}},
                    {4, {1.8, 2.2, 2.8, 3.2}},
                    {2, {0, 1}}},
                   plan_shape_kick},
    [PLAN_RUNNING] = {0,
                      {{3, {3.5, 4.5, 5}},
                       {3, {2, 2.5, 3}},
                       {3, {3, 3.25, 3.5}},
                       {3, {2.4, 2.8, 3.2}},
                       {3, {0.2, 0.3, 0.4}},
                       {2, {0, 1}}},
                      plan_shape_running},
    [PLAN_THREE] = {0,
                    {{2, {0.5, 1}},
                     {2, {0.5, 1}},
                     {4, {5, 5.5, 6, 6.5}},
                     {2, {3.0, 3.6}},
                     {3, {-0.3, 0, 0.3}},
                     {2, {0, 1}}},
                    plan_shape_three},
    [PLAN_CUT] = {0,
                  {{4, {1, 2, 2.5, 3.25}},
                   {4, {1, 1.5, 1.75, 2.25}},
                   {5, {-2, 0, 1, 1.25, 2}},
                   {5, {-0.5, 0, 0.5, 1, 1.5}},
                   {6, {-0.75, -0.5, -0.25, 0.25, 0.5, 0.75}},
                   {3, {1.7, 2.1, 2.6}}},
                  plan_shape_cut},
    [PLAN_FULL] = {0,
                   {{4, {2, 2.5, 4, 5}},
                    {4, {1, 1.5, 2, 3}},
                    {5, {-1.5, -1, 1, 1.5, 2}},
                    {6, {-1, -0.5, 0, 0.5, 1, 2}},
                    {5, {-0.4, -0.25, -0.15, 0, 0.4}},
                    {4, {1.1, 1.4, 1.7, 2.2}}},
                   plan_shape_full},
    [PLAN_FOLLOW] = {0,
                     {{3, {1, 1.5, 2}}, {3, {3, 3.5, 4}}, {4, {0.7, 0.8, 0.9, 1.1}}},
                     plan_shape_follow},
    [PLAN_PAIR] = {0,
                   {{4, {0.5, 1, 2, 3}},
                    {3, {1, 1.5, 2}},
                    {3, {2, 3, 4}},
                    {3, {1, 2, 3}},
                    {4, {1.6, 2.0, 2.4, 2.8}},
                    {2, {0, 1}}},
                   plan_shape_pair},
    [PLAN_SPIN] =
	{KIT_WATCH,
         {{3, {2, 2.5, 3}}, {2, {0.75, 1}}, {3, {1.0, 1.4, 1.8}}, {4, {-0.45, -0.4, 0.4, 0.45}}},
         plan_shape_spin},
};

size_t plan_grid_size(enum plan_kind kind)
{
	size_t size = 1;

	for (int axis = 0; axis < AXES; axis++)
		if (grids[kind].axes[axis].count > 0)
			size *= (size_t)grids[kind].axes[axis].count;
	return size;
}

bool plan_grid_playable(enum plan_kind kind, unsigned kit)
{
	return (grids[kind].needs & ~kit) == 0;
}

bool plan_grid_make(enum plan_kind kind, size_t number, unsigned kit, struct shot_design *design)
{
	const struct kind_grid *grid = &grids[kind];
	double at[AXES] = {0.0};

	for (int axis = 0; axis < AXES; axis++) {
		size_t count = (size_t)grid->axes[axis].count;

		if (count == 0)
			break;
		at[axis] = grid->axes[axis].values[number % count];
		number /= count;
	}
	memset(design, 0, sizeof *design);
	return grid->make(at, kit, design);
}
