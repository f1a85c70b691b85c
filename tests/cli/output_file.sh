#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Writing files: never over an input, whole or not at all, and known before the work begins.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
session session.csv
cp session.csv kept.csv
cp data/protocols/trial.json kept.json

# refused ARGUMENT...: exit status 2, and the inputs as they were.
refused()
{
	run "$@"
	expect_status 2
	expect_no_out
	holds err 'and would be lost; name another file for --output'
	cmp -s session.csv kept.csv || fail "the session was changed"
	cmp -s data/protocols/trial.json kept.json || fail "the protocol was changed"
}

ln -s session.csv link.csv
ln session.csv hard.csv
refused fit session.csv -o session.csv
refused fit session.csv -o ./session.csv
refused fit session.csv -o link.csv
refused fit session.csv -o hard.csv
refused fit session.csv -o data/protocols/trial.json
refused simulate --protocol trial --constants constants.json -o data/protocols/trial.json
refused simulate --protocol trial --constants constants.json -o constants.json

run fit session.csv -o missing/profile.json
expect_status 5
expect_no_out
expect_err <<'END'
restpoint fit: missing/profile.json cannot be written: folder missing: No such file or directory; choose another place
END
mkdir folder
run fit session.csv -o folder
expect_status 5
expect_no_out
expect_err <<'END'
restpoint fit: folder is a folder; name a file in it
END

# An old file is replaced whole and keeps its mode; nothing else is left.
echo old >folder/profile.json
chmod 640 folder/profile.json
run fit session.csv -o folder/profile.json
expect_status 0
valid_json folder/profile.json
[ "$(ls folder)" = profile.json ] || fail "something was left behind"
[ "$(stat -c %a folder/profile.json)" = 640 ] || fail "the mode was changed"

# A session can be made anew from its own profile.
run simulate --protocol trial --constants folder/profile.json -o session.csv
expect_status 0
run check session.csv
expect_status 0
finish
