/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects_setup_lists.h"

size_t effects_setup_count(void)
{
	return effects_setups_cloth_count + effects_setups_rails_count + effects_setups_balls_count;
}

const struct effect_setup *effects_setup_at(size_t number)
{
	if (number < effects_setups_cloth_count)
		return &effects_setups_cloth[number];
	number -= effects_setups_cloth_count;
	if (number < effects_setups_rails_count)
		return &effects_setups_rails[number];
	number -= effects_setups_rails_count;
	return number < effects_setups_balls_count ? &effects_setups_balls[number] : NULL;
}
