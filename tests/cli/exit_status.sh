#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The exit statuses of formats.md 6 that other tests do not show: 3 and 4, and that nothing is
# written then.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
session good.csv

# 3: a file that is not there, and one that is refused; every file is read and told.
sed 's/^timed-lag,1,.*/timed-lag,1,31\/2/' good.csv >bad.csv
run fit good.csv bad.csv missing.csv -o profile.json
expect_status 3
expect_no_out
holds err 'bad.csv:'
holds err 'missing.csv: opening: found No such file or directory'
[ ! -e profile.json ] || fail "a profile was written"
run show missing.json
expect_status 3
expect_no_out
run simulate --protocol trial --constants missing.json
expect_status 3
expect_no_out

# 3: files of different tables are not fitted together.
session other.csv --set table=pool-8ft
run fit good.csv other.csv -o profile.json
expect_status 3
expect_no_out
[ -s err ] || fail "nothing was said"
[ ! -e profile.json ] || fail "a profile was written"

# 4: one rest of one lag tells no constant, not even roughly; the best point is printed.
grep -e '^#' -e '^shot,' good.csv >little.csv
grep '^timed-lag,1,' good.csv | awk -F , '{ OFS = ","; for (i = 4; i <= NF; i++) $i = ""; print }' \
	>>little.csv
run fit little.csv -o profile.json
expect_status 4
holds out 'NO RESULT: these shots determine no constant, not even roughly.'
holds out 'to settle it: play a timed lag'
holds err 'restpoint fit: these shots determine no constant, not even roughly; no profile was written; '
[ ! -e profile.json ] || fail "a profile was written"
run fit little.csv -o profile.json --json
expect_status 4
valid_json out
holds out '"complete": false'
holds out '"ending": "undetermined"'
valid_json_lines err
[ ! -e profile.json ] || fail "a profile was written"

# 0: some constants not determined is an answer. Positions alone have no clock.
awk -F , 'BEGIN { OFS = "," } /^#/ { print; next }
	/^shot,/ { for (i = 1; i <= NF; i++) if ($i ~ /^(watch|sound)/) timed[i] = 1; print; next }
	{ for (i in timed) $i = ""; print }' good.csv >untimed.csv
run fit untimed.csv
expect_status 0
holds out 'positions alone have no'
holds out 'rolling resistance             -                               not known'
holds out 'sliding friction               -                               not known'
finish
