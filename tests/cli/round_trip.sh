#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Simulate, check, fit, show: one command's output is the next one's input; the seed is told by each
# that used it; the same command gives the same bytes. Wanted: the constants put in.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants

run simulate --protocol trial --constants constants.json --seed 4711
expect_status 0
expect_no_err
holds out '#note,simulated with seed 4711; sliding_friction 0.2125; '
holds out '#protocol,trial'
[ "$(grep -c '^timed-lag,' out)" -eq 3 ] || fail "not three lags"
cp out first.csv
run simulate --protocol trial --constants constants.json --seed 4711
cmp -s out first.csv || fail "the same seed gave another session"
run simulate --protocol trial --constants constants.json --seed 4712
if cmp -s out first.csv; then fail "another seed gave the same session"; fi
run simulate --protocol trial --constants constants.json --seed 4711 -o second.csv
expect_status 0
expect_no_out
expect_err <<'END'
restpoint simulate: 12 strokes written to second.csv, seed 4711
END
cmp -s first.csv second.csv || fail "the file differs from standard output"

run check second.csv
expect_status 0
expect_no_err
at_most_80 out
holds out 'second.csv: understood, no fault found'
holds out 'Shots: 12 strokes that count, '
holds out '  timed-lag: 3 strokes, 9 readings'
holds out '  protocol       trial: Shots for the tests of the commands'

# The fit, its profile and its show.
SOURCE_DATE_EPOCH=1795650401
export SOURCE_DATE_EPOCH
run fit second.csv --seed 12 -o profile.json
expect_status 0
at_most_80 out
expect_err <<'END'
restpoint fit: profile written to profile.json
END
holds out 'seed 12'
holds out 'In players'\'' terms'
holds out 'rolling resistance   '
cp out fitted
run fit second.csv --seed 12 --output=again.json
cmp -s out fitted || fail "the same command gave another answer"
cmp -s profile.json again.json || fail "the same command gave another profile"
holds profile.json '"made": "2026-11-25T23:46:41Z"'
holds profile.json '"seed": 12'
holds profile.json "\"sha256\": \"$(sha256sum second.csv | cut -d ' ' -f 1)\""
holds profile.json "\"protocol_sha256\": \"$(sha256sum data/protocols/trial.json | cut -d ' ' -f 1)\""
valid_json profile.json

run show profile.json
expect_status 0
expect_no_err
at_most_80 out
head -n "$(wc -l <out)" fitted >beginning
cmp -s out beginning || fail "differs from what the fit printed"
run show profile.json --json
expect_status 0
cmp -s out profile.json || fail "differs from the profile"

# The truth lies within four standard errors of every constant that is known. (Two would be missed
# by one session in twenty; coverage is the business of the recovery studies.)
label='constants found again'
sed -n 's/^ *"\([a-z_]*\)": { "value": \([^,]*\), "standard_error": \([^,]*\), .*"state": "\([a-z-]*\)".*/\1 \2 \3 \4/p' \
	profile.json | grep _ >found
sed 's/[{}",:]/ /g' constants.json | tr -s ' ' '\n' | sed '/^$/d' | paste -d ' ' - - >truth
[ "$(wc -l <truth)" -eq 7 ] || fail "seven constants were put in"
awk 'NR == FNR { truth[$1] = $2; next }
	($1 in truth) && $4 != "not-determined" {
		known++
		if (($2 - truth[$1])^2 > (4 * $3)^2) { print $0 ", put in " truth[$1]; bad = 1 }
	}
	END { if (known < 3) { print known + 0 " are known"; bad = 1 } exit bad }' truth found ||
	fail "the constants put in were not found again"

# A profile is also a file of constants, and brings its table.
run simulate --protocol trial --constants profile.json --set note='by hand, later' --noise no
expect_status 0
holds out '#note,"by hand, later; simulated without noise; '
cp out exact.csv
run check exact.csv
expect_status 0
holds out '  note           by hand, later; simulated without noise;'

# Exact readings are written in full and read back to the same.
run simulate --protocol trial --constants constants.json --noise=no --set table=carom-10ft
expect_status 0
holds out '#table,carom-10ft'
grep -q -E '^timed-lag,1,.*[0-9]\.[0-9]{10}' out || fail "readings are not written in full"
finish
