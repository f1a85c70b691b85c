#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# An environment with a decimal comma changes no byte. The locale is made here where localedef can;
# elsewhere the variables alone are set.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
session session.csv
SOURCE_DATE_EPOCH=1795650401
export SOURCE_DATE_EPOCH

# all FOLDER: every answer into a folder.
all()
{
	mkdir "$1"
	for command in 'simulate --protocol trial --constants constants.json' 'check session.csv' \
		'fit session.csv' 'fit session.csv --json' 'protocols trial' 'protocols --tables' \
		'fit' 'check missing.csv'; do
		# shellcheck disable=SC2086 # words of a command line
		run $command
		cat out err >"$1/$(echo "$command" | tr ' /' '__')"
	done
	run fit session.csv -o "$1/profile.json"
}

all plain
localedef -i de_DE -f UTF-8 ./de_DE.UTF-8 >/dev/null 2>&1 && export LOCPATH="$scratch"
LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 LC_NUMERIC=de_DE.UTF-8
export LC_ALL LANG LC_NUMERIC
all comma
label='decimal comma'
grep -q -e '"value": 0\.' comma/profile.json || fail "no number in the profile"
diff -r plain comma || fail "the locale changed the output"
finish
