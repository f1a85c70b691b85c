#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Every form of an option means the same: --name=value, --name value, -o value, -ovalue, before and
# behind the operands; `--` ends the options.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants

session wanted.csv --seed 21
set -- simulate --protocol=trial --constants=constants.json --seed=21
for form in '--output=made.csv' '--output made.csv' '-o made.csv' '-omade.csv'; do
	# shellcheck disable=SC2086 # the form is two words where it shall be
	run "$@" $form
	expect_status 0
	expect_no_out
	cmp -s made.csv wanted.csv || fail "differs"
	rm -f made.csv
done
run simulate --seed 21 --constants constants.json --protocol trial
cmp -s out wanted.csv || fail "differs"

run check wanted.csv
cp out wanted
for form in 'wanted.csv --protocol=trial' '--protocol trial wanted.csv' '--protocol=trial -- wanted.csv' \
	'-- wanted.csv'; do
	# shellcheck disable=SC2086
	run check $form
	expect_status 0
	cmp -s out wanted || fail "differs"
done
cp wanted.csv ./-o
run check -- -o
expect_status 0
holds out '-o: understood, no fault found'

# --protocol goes before the file's own, and says so; a path in the file is relative to the file, a
# path on the command line to the current folder.
mkdir sub
cp data/protocols/trial.json sub/mine.json
sed 's/^#protocol,.*/#protocol,mine.json/' wanted.csv >sub/session.csv
run check sub/session.csv
expect_status 0
expect_no_err
holds out '(sub/mine.json)'
run check sub/session.csv --protocol trial
expect_status 0
expect_err <<'END'
restpoint check: sub/session.csv: --protocol trial is used in place of the file's #protocol mine.json
END
run check sub/session.csv --protocol ./mine.json
expect_status 3
holds err 'mine.json: opening: found No such file or directory'
run check sub/session.csv --protocol sub/mine.json
expect_status 0

# A protocol given by path is named in the new file as seen from there.
run simulate --protocol sub/mine.json --constants constants.json -o sub/here.csv
expect_status 0
holds sub/here.csv '#protocol,mine.json'
mkdir other
run simulate --protocol sub/mine.json --constants constants.json -o other/there.csv
expect_status 0
holds other/there.csv '#protocol,../sub/mine.json'
run check other/there.csv
expect_status 0
run simulate --protocol ./sub/mine.json --constants constants.json
holds out '#protocol,sub/mine.json'
cp sub/mine.json sub/plain
run simulate --protocol sub/plain --constants constants.json -o sub/here.csv
expect_status 0
holds sub/here.csv '#protocol,./plain'
run check sub/here.csv
expect_status 0

# --set, more than once; a setting that is refused is told like one in a file.
run simulate --protocol trial --constants constants.json --set table=pool-8ft --set=position_error=0.031
expect_status 0
holds out '#table,pool-8ft'
holds out '#position_error,0.031'
run simulate --protocol trial --constants constants.json --set tabel=pool-8ft
expect_status 2
expect_no_out
holds err 'tabel'
finish
