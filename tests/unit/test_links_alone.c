/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

/* Linked with every object of the pure layers and with GSL alone: that it links is the test. A
 * layer that came to need a file reader, a drawing library or a command would not. */
int main(void)
{
	return EXIT_SUCCESS;
}
