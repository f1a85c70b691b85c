# SPDX-License-Identifier: GPL-3.0-or-later
#
# Part of tests/layers.sh, which reads it: plants one violation after the other in a small tree and
# stops when the checks do not find exactly that one.

licence='/* SPDX-License-Identifier: GPL-3.0-or-later */'

plant_file()
{
	mkdir -p "$plot/$(dirname "$1")"
	{ echo "$licence" && cat; } >"$plot/$1"
}

# A tree without a fault, with what looks like one and is none.
plant_clean()
{
	rm -rf "$plot"
	mkdir -p "$plot/tests/unit"
	plant_file src/base/text.c <<-'TEXT'
		#include "base/text.h"
		#include <stdio.h>
		/* A comment may say printf(x), abort() and
		 * #include "cli/main.h" and stdout. */
		static const char words[] = "exit(1); // stdout";
		static int quote(char c)
		{
			return c == '"' || snprintf(0, 0, "printf(\"%s\")", words); // abort()
		}
	TEXT
	plant_file src/base/text.h </dev/null
	plant_file src/shot/event.c <<-'TEXT'
		#include "physics/ball.h"
		#include "base/text.h"
	TEXT
	plant_file src/files/csv.c <<-'TEXT'
		#include <csv.h>
		#include "model/measurement.h"
	TEXT
	plant_file src/report/page.c <<-'TEXT'
		#include "files/json_text.h"
		#include <cairo/cairo.h>
		#include <cairo/cairo-svg.h>
	TEXT
	plant_file src/estimate/fit.c <<-'TEXT'
		#include <gsl/gsl_multifit_nlinear.h>
	TEXT
	plant_file src/cli/main.c <<-'TEXT'
		#include <stdio.h>
		static int stop;
		int main(void)
		{
			return printf("x");
		}
	TEXT
	plant_file tests/unit/test_text.c </dev/null
	plant_file tests/unit/corpus/bad/one.csv </dev/null
	plant_file tests/unit/two.json </dev/null
	echo 'bin_SOURCES = src/cli/main.c' >"$plot/Makefile.am"
	echo 'all = tests/unit/test_text tests/unit/two.json tests/unit/corpus' >"$plot/tests/tests.mk"
	{
		echo 'all = \'
		(cd "$plot" && find src -name '*.[ch]' | sed 's/$/ \\/')
	} >"$plot/src/sources.mk"
}

# Adds a line to a planted file and expects exactly the finding that holds the text given.
expect_found()
{
	planted_file=$1 planted_line=$2 expected=$3
	plant_clean
	printf '%s\n' "$planted_line" >>"$plot/$planted_file"
	check_tree "$plot" >"$findings"
	if [ "$(wc -l <"$findings")" -ne 1 ] || ! grep -q -F -e "$expected" "$findings"; then
		echo "self-test: '$planted_line' in $planted_file should give one finding with" \
			"'$expected'; found:"
		cat "$findings"
		exit 1
	fi
	planted=$((planted + 1))
}

repeated()
{
	awk -v n="$1" -v line="$2" 'BEGIN { while (n-- > 0) print line }'
}

expect_layers_found()
{
	expect_found src/base/text.c '#include "table/table.h"' 'base may not include "table/table.h"'
	expect_found src/shot/event.c ' # include "estimate/fit.h"' 'shot may not include'
	expect_found src/shot/event.c '#include "files/csv.h"' 'shot may not include'
	expect_found src/files/csv.c '#include "physics/ball.h"' 'files may not include'
	expect_found src/files/csv.c '#include "report/page.h"' 'files may not include'
	expect_found src/report/page.c '#include "files/disk.h"' 'report may not include'
	expect_found src/report/page.c '#include "cli/options.h"' 'report may not include'
	expect_found src/estimate/fit.c '#include "files/json_text.h"' 'estimate may not include'
	expect_found src/estimate/fit.c '#include "advise/assess.h"' 'estimate may not include'
	expect_found src/base/text.c '#include "text.h"' 'names no folder'
	expect_found src/shot/event.c '#include <gsl/gsl_math.h>' 'for src/estimate and src/advise'
	expect_found src/report/page.c '#include <csv.h>' 'for one file of src/files'
	expect_found src/base/text.h '#include <cjson/cJSON.h>' 'for one file of src/files'
	expect_found src/cli/main.c '#include <nettle/sha2.h>' 'for one file of src/files'
	expect_found src/files/csv.c '#include <cairo.h>' 'for one file of src/report'
	expect_found src/report/page.c '#include <readline/readline.h>' 'for one file of src/cli'
	expect_found src/files/csv.c '#include <curl/curl.h>' 'neither standard nor'
}

expect_calls_found()
{
	expect_found src/files/csv.c 'int f(void) { return printf ("x"); }' 'printf is for src/cli'
	expect_found src/report/page.c 'FILE *f = stdout;' 'stdout is for src/cli'
	expect_found src/base/text.c 'int y(void) { exit(3); }' 'exit is for src/cli'
	expect_found src/estimate/fit.c 'void y(void) { abort(); }' 'abort is for src/cli'
	expect_found src/files/csv.c 'void y(void) { signal(2, f); }' 'signal is for src/cli'
	expect_found src/files/csv.c 'void y(void) { setlocale(0, ""); }' 'setlocale is for src/cli'
	expect_found src/shot/event.c 'void *y(void) { return fopen("x", "r"); }' 'fopen is for'
	expect_found src/shot/event.c 'static int counter;' 'keeps its value'
}

expect_sizes_found()
{
	expect_found src/files/csv.c "$(repeated 398 'x;')" '401 lines, more than 400'
	expect_found src/base/text.c "$(printf '\nint f(void)\n{\n' && repeated 78 '	x();' && echo '}')" \
		'a function of 81 lines'
}

expect_lists_found()
{
	plant_clean
	plant_file src/table/rail.c </dev/null
	plant_file tests/unit/test_rail.c </dev/null
	plant_file tests/unit/stray.json </dev/null
	echo 'int x;' >"$plot/src/base/text.h"
	plant_file src/files/json.c <<-'TEXT'
		#include <csv.h>
	TEXT
	check_tree "$plot" >"$findings"
	for expected in 'src/table/rail.c: src/sources.mk does not' \
		'tests/unit/test_rail.c: tests/tests.mk does not' \
		'tests/unit/stray.json: tests/tests.mk does not' \
		'src/base/text.h:1: the line of the licence' \
		'csv is used in more than one file: src/files/csv.c src/files/json.c'; do
		grep -q -F -e "$expected" "$findings" || {
			echo "self-test: '$expected' was not found in:"
			cat "$findings"
			exit 1
		}
		planted=$((planted + 1))
	done
}

expect_top_level_found()
{
	command -v git >/dev/null 2>&1 || return 0
	plant_clean
	git -C "$plot" init -q
	for name in $top_level; do
		[ -e "$plot/$name" ] || { mkdir "$plot/$name" && : >"$plot/$name/kept"; }
	done
	check_tree "$plot" >"$findings"
	[ ! -s "$findings" ] || {
		echo "self-test: a top level in order gave findings:"
		cat "$findings"
		exit 1
	}
	rm -r "$plot/man"
	: >"$plot/NOTES"
	check_tree "$plot" >"$findings"
	for expected in 'NOTES: not on the list' 'man: missing at the top'; do
		grep -q -F -e "$expected" "$findings" || {
			echo "self-test: '$expected' was not found in:"
			cat "$findings"
			exit 1
		}
		planted=$((planted + 1))
	done
}

prove_findings()
{
	planted=0
	plant_clean
	check_tree "$plot" >"$findings"
	if [ -s "$findings" ]; then
		echo "self-test: a tree without a fault gave findings:"
		cat "$findings"
		exit 1
	fi
	expect_layers_found
	expect_calls_found
	expect_sizes_found
	expect_lists_found
	expect_top_level_found
	echo "self-test: $planted planted violations found"
}
