#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# --json: one valid object with format and version on standard output, the facts of the text; each
# message one object on a line of standard error.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

# The checker itself refuses what is no JSON.
for wrong in '{"a": 1,}' '{"a": 01}' '{"a": 1, "a": 2}' '[1 2]' '{"a": nan}' '"a' '{} {}' '' \
	'{"a": "	"}' "{'a': 1}" '{"a"; 1}' '[1.]'; do
	label="checker on $wrong"
	printf '%s\n' "$wrong" >wrong.json
	if (valid_json wrong.json; [ "$failures" -eq 0 ]) >/dev/null; then
		fail "was accepted"
	fi
done
label=checker
printf '%s\n' '{"a": [1, -2.5e-3, "x\"\u00e9±", null, {}, [], true], "b": {"a": {"a": false}}}' >right.json
valid_json right.json

make_protocol
make_constants

# object FORMAT: the last run answered with one object of that format.
object()
{
	expect_status 0
	expect_no_err
	valid_json out
	[ "$(sed -n 1p out)" = '{' ] || fail "no object"
	holds out "\"format\": \"$1\""
	holds out '"version": 1'
}

run protocols --json
object restpoint-protocols
run protocols --tables --json
object restpoint-tables
run protocols trial --json
object restpoint-protocol
run simulate --protocol trial --constants constants.json --seed 8 --json
object restpoint-simulation
holds out '"seed": 8'
holds out '"sliding_friction": 0.2125'
holds out '"measurement": "#table,pool-9ft\n#protocol,trial\n'
run simulate --protocol trial --constants constants.json --seed 8 --json -o session.csv
expect_status 0
valid_json out
holds out '"file": "session.csv"'
lacks out '"measurement"'
valid_json_lines err
holds err '"level": "note"'
run check session.csv --json
object restpoint-check
holds out '"separator": ","'
holds out '"tries_designed": 3'
holds out '"cue_rest_long": { "count": 3, "pockets": 0, "lowest_diamonds": '
holds out "\"sha256\": \"$(sha256sum session.csv | cut -d ' ' -f 1)\""
run fit session.csv --json
object restpoint-fit
holds out '"complete": true'
holds out '"profile": {'
holds out '"format": "restpoint-profile"'
cp out fit.json
run fit session.csv --json -o profile.json
expect_status 0
valid_json_lines err
holds err '"message": "profile written to profile.json"'
run show profile.json --json
object restpoint-profile

# What stands in the text stands in the object: each value that is not a dash, found by its digits.
run fit session.csv
label='facts of text and JSON'
sed -n "/^Physical/,/^\$/s/^  \\([a-z ]*[a-z]\\)   *\\([0-9.]*\\) ± .*/\\1 \\2/p" out | while read -r line; do
	name=$(printf '%s' "${line% *}" | tr ' ' '_') value=${line##* }
	full=$(sed -n "s/.*\"$name\": { \"value\": \\([^,]*\\),.*/\\1/p" fit.json)
	digits=${value#*.}
	[ "$(printf "%.${#digits}f" "$full")" = "$value" ] || echo "$name: $value in the text, $full"
done >differences
same differences </dev/null

# Errors: one object a line, with the place in parts.
sed 's/^timed-lag,2,.*/timed-lag,2,31\/2/; s/^cross-side,1,.*/cross-sides,1/' session.csv >bad.csv
run check bad.csv --json
expect_status 3
expect_no_out
valid_json_lines err
[ "$(grep -c '"level": "error"' err)" -ge 2 ] || fail "not every fault was told"
holds err '"file": "bad.csv", "line": 6'
holds err '"next": "'
run fit --json --seed=x session.csv
expect_status 2
expect_no_out
valid_json_lines err
holds err '"status": "usage"'
holds err '"usage": "restpoint fit '
run nothing --json
expect_status 2
valid_json_lines err
# Behind -- it is no option.
run check -- --json
expect_status 3
expect_err <<'END'
--json: opening: found No such file or directory; check the spelling of the path.
END
finish
