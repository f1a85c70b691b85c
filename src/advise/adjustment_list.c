/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/adjustment.h"

/* A rolling ball along the middle from the head string; it stops half a diamond from a rail. */
#define LAG(number, text, rails, stops)                                                            \
	{                                                                                          \
		.key = "lag-" number, .title = text, .setup = "", .group = GROUP_LAG,              \
		.varied = ADJUST_SPEED, .kept = KEEP_RUN, .along = 2.0, .across = 2.0,             \
		.height = 0.4, .aim = RAIL_FOOT, .at = 2.0, .contact = (rails), .wanted = (stops), \
		.lowest = 0.1, .start = 1.5, .highest = 8.0, .headline = true,                     \
	}

/* A straight shot with draw or none at all. */
#define STRAIGHT(name, text, apart, returns)                                                       \
	{                                                                                          \
		.key = name, .title = text, .setup = "", .group = GROUP_TIP,                       \
		.varied = ADJUST_HEIGHT, .kept = KEEP_RETURN, .along = 3.5, .across = 2.0,         \
		.speed = 3.5, .aim = RAIL_FOOT, .at = 2.0, .distance = (apart),                    \
		.wanted = -(returns), .lowest = -0.5, .start = -0.25, .highest = 0.5,              \
		.headline = true,                                                                  \
	}

#define SQUIRT(name, text, pace)                                                                   \
	{                                                                                          \
		.key = name, .title = text, .setup = "", .group = GROUP_SQUIRT,                    \
		.varied = ADJUST_AIM, .kept = KEEP_RAIL, .elevated = true, .along = 4.0,           \
		.across = 2.0, .speed = (pace), .side = 0.3, .aim = RAIL_FOOT, .contact = 1,       \
		.arrives = RAIL_FOOT, .wanted = 2.0, .lowest = 0.5, .start = 2.0, .highest = 3.5,  \
		.headline = true,                                                                  \
	}

#define CUT(state, set, spin, angle, pace, name, text)                                             \
	{                                                                                          \
		.key = state name, .title = text, .setup = "", .group = set,                       \
		.varied = ADJUST_CUT, .kept = KEEP_CUT, .speed = (pace), .height = (spin),         \
		.wanted = (angle), .lowest = 0.0, .start = (angle) + 2.0, .highest = 70.0,         \
		.headline = (pace) == 2.0,                                                         \
	}

#define CUTS(state, set, spin)                                                                     \
	CUT(state, set, spin, 15.0, 1.0, "-15-soft", "15 deg, 1 m/s"),                             \
	    CUT(state, set, spin, 15.0, 2.0, "-15-medium", "15 deg, 2 m/s"),                       \
	    CUT(state, set, spin, 15.0, 4.0, "-15-firm", "15 deg, 4 m/s"),                         \
	    CUT(state, set, spin, 30.0, 1.0, "-30-soft", "30 deg, 1 m/s"),                         \
	    CUT(state, set, spin, 30.0, 2.0, "-30-medium", "30 deg, 2 m/s"),                       \
	    CUT(state, set, spin, 30.0, 4.0, "-30-firm", "30 deg, 4 m/s"),                         \
	    CUT(state, set, spin, 45.0, 1.0, "-45-soft", "45 deg, 1 m/s"),                         \
	    CUT(state, set, spin, 45.0, 2.0, "-45-medium", "45 deg, 2 m/s"),                       \
	    CUT(state, set, spin, 45.0, 4.0, "-45-firm", "45 deg, 4 m/s")

static const struct adjustment adjustments[] = {
    LAG("1", "1 length, to long 7.5", 0, 7.5),
    LAG("2", "2 lengths, to long 0.5", 1, 0.5),
    LAG("3", "3 lengths, to long 7.5", 2, 7.5),
    LAG("4", "4 lengths, to long 0.5", 3, 0.5),
    {.key = "kick-one-rail", .title = "one rail, rolling",
     .setup = "from long 1 short 0.5 off the right rail to the left rail at long 6; 2 m/s, "
              "rolling, no side",
     .group = GROUP_KICK, .varied = ADJUST_AIM, .kept = KEEP_RAIL, .along = 1.0, .across = 0.5,
     .speed = 2.0, .height = 0.4, .aim = RAIL_RIGHT, .contact = 2, .arrives = RAIL_LEFT,
     .wanted = 6.0, .lowest = 1.5, .start = 3.3, .highest = 7.5, .headline = true},
    {.key = "kick-two-rails", .title = "two rails, with side",
     .setup = "from long 2 short 1 off the right and the foot rail to the left rail at long 6; "
              "3 m/s, running side: tip 0.2 high and 0.3 left of the radius",
     .group = GROUP_KICK, .varied = ADJUST_AIM, .kept = KEEP_RAIL, .along = 2.0, .across = 1.0,
     .speed = 3.0, .height = 0.2, .side = -0.3, .aim = RAIL_RIGHT, .contact = 3,
     .arrives = RAIL_LEFT, .wanted = 6.0, .lowest = 3.0, .start = 5.5, .highest = 7.7,
     .headline = true},
    {.key = "kick-three-rails", .title = "three rails, to corner",
     .setup = "from long 1 short 0.5 off the right, foot and left rail to the corner of head and "
              "right rail; 3.5 m/s, tip 0.2 high and 0.3 left of the radius",
     .group = GROUP_KICK, .varied = ADJUST_AIM, .kept = KEEP_CORNER, .along = 1.0,
     .across = 0.5, .speed = 3.5, .height = 0.2, .side = -0.3, .aim = RAIL_RIGHT, .contact = 4,
     .arrives = RAIL_RIGHT, .lowest = 2.5, .start = 5.0, .highest = 7.7, .headline = true},
    {.key = "bank-across", .title = "bank across",
     .setup = "object ball from long 3 short 0.5 off the right rail to the left rail at long 5; "
              "sent at 2 m/s without spin",
     .group = GROUP_KICK, .varied = ADJUST_AIM, .kept = KEEP_RAIL, .object_ball = true,
     .along = 3.0, .across = 0.5, .speed = 2.0, .aim = RAIL_RIGHT, .contact = 2,
     .arrives = RAIL_LEFT, .wanted = 5.0, .lowest = 3.0, .start = 4.0, .highest = 7.0,
     .headline = true},
    STRAIGHT("stop-1", "stop, 1 diamond apart", 1.0, 0.0),
    STRAIGHT("stop-2", "stop, 2 diamonds apart", 2.0, 0.0),
    STRAIGHT("stop-4", "stop, 4 diamonds apart", 4.0, 0.0),
    STRAIGHT("draw-2", "draw 2 diamonds", 2.0, 2.0),
    STRAIGHT("draw-4", "draw 4 diamonds", 2.0, 4.0),
    {.key = "side-return", .title = "square, 1 diamond back",
     .setup = "sent square from long 4 short 1 to the right rail, back to the left rail at long 3; "
              "2 m/s, height of the centre",
     .group = GROUP_SIDE, .varied = ADJUST_SIDE, .kept = KEEP_RAIL, .against_squirt = true,
     .along = 4.0, .across = 1.0,
     .speed = 2.0, .aim = RAIL_RIGHT, .at = 4.0, .contact = 2, .arrives = RAIL_LEFT,
     .wanted = 3.0, .lowest = -0.5, .start = 0.3, .highest = 0.5, .headline = true},
    SQUIRT("side-soft", "soft, 1.5 m/s", 1.5),
    SQUIRT("side-medium", "medium, 2.5 m/s", 2.5),
    SQUIRT("side-firm", "firm, 4 m/s", 4.0),
    CUTS("stun", GROUP_STUN_CUT, 0.0),
    CUTS("rolling", GROUP_ROLLING_CUT, 0.4),
};

const struct adjustment *adjustment_list(size_t *count)
{
	*count = sizeof(adjustments) / sizeof(adjustments[0]);
	return adjustments;
}

double adjustment_threshold(enum adjustment_varied varied)
{
	static const double thresholds[] = {[ADJUST_SPEED] = 3.0,
	                                    [ADJUST_AIM] = 0.1,
	                                    [ADJUST_HEIGHT] = 0.05,
	                                    [ADJUST_SIDE] = 0.05,
	                                    [ADJUST_CUT] = 0.5};

	return thresholds[varied];
}
