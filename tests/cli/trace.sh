#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# simulate --trace: its four forms, what is refused, and that the measurement stays as it is.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

make_protocol
make_constants
session plain.csv

# trace FILE [OPTION]...: a trace of the trial protocol; the measurement goes to out.
trace()
{
	run simulate --protocol trial --constants constants.json --trace "$@"
}

# The measurement is the same with a trace, to the byte.
trace all.csv
expect_status 0
cmp -s out plain.csv || fail "the measurement changed"
expect_err <<'END'
restpoint simulate: the paths of 4 shots as designed written to all.csv
END
[ "$(sed -n 1p all.csv)" = "shot,ball,time_s,long,short,height_mm,speed_m_s,spin_long_rad_s,spin_short_rad_s,spin_up_rad_s,phase,event,number,rail,other_ball,approach_m_s" ] ||
	fail "the header differs"
awk -F , 'NF != 16 { exit 1 }' all.csv || fail "rows of other lengths"
[ "$(cut -d , -f 1 all.csv | uniq | tr '\n' ' ')" = "shot timed-lag firm-half cross-side spin-on-the-spot " ] ||
	fail "not the shots of the protocol in its order"

# Neither seed nor noise changes a trace; the constants do. Where the cue ball of the first shot
# stops is what a simulation without noise reads.
for option in --seed=5 --noise=no; do
	trace again.csv "$option"
	expect_status 0
	cmp -s all.csv again.csv || fail "the trace changed"
done
awk -F , '$1 == "timed-lag" && $12 == "rest" { print $4 }' all.csv >stops
awk -F , '$1 == "timed-lag" { print $3 }' out | same stops
sed 's/0.00985/0.0105/' constants.json >slower.json
run simulate --protocol trial --constants slower.json --trace again.csv
if cmp -s all.csv again.csv; then fail "another rolling resistance, the same trace"; fi

trace all.json --noise=no
expect_status 0
valid_json all.json
holds all.json '"format": "restpoint-trace"'
[ "$(grep -c '"event": "strike"' all.json)" -eq 4 ] || fail "not one strike for each shot"
[ "$(grep -c '"phase": ' all.json)" -eq "$(awk -F , '$11 != ""' all.csv | sed 1d | wc -l)" ] ||
	fail "not the points of the CSV form"

trace one.csv --shot=firm-half
expect_status 0
expect_err <<'END'
restpoint simulate: the path of shot firm-half as designed written to one.csv
END
awk -F , 'NR == 1 || $1 == "firm-half"' all.csv | same one.csv

# Drawings, with the ending in any case.
for file in drawing.svg drawing.PNG; do
	trace "$file" --shot firm-half
	expect_status 0
	trace "again-$file" --shot firm-half
	cmp -s "$file" "again-$file" || fail "two drawings of one shot differ"
done
[ "$(head -c 5 drawing.svg)" = '<?xml' ] || fail "no XML"
[ "$(tail -c 7 drawing.svg)" = '</svg>' ] || fail "the SVG is cut off"
if command -v xmllint >/dev/null 2>&1; then
	xmllint --noout --nonet drawing.svg || fail "the SVG is not well-formed"
fi
[ "$(head -c 8 drawing.PNG | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || fail "no PNG"

# With --json the answer is an object as ever, and the message is one too.
trace one.csv --shot=firm-half --json
expect_status 0
valid_json out
holds out '"trace": "one.csv"'
valid_json_lines err
run simulate --protocol trial --constants constants.json --json
if grep -q '"trace"' out; then fail "a trace is named that was not written"; fi

# refused STATUS COMPLAINT OPTION...: nothing is written and nothing answered.
refused()
{
	wanted_status=$1 complaint=$2
	shift 2
	run simulate --protocol trial --constants constants.json "$@"
	expect_status "$wanted_status"
	expect_no_out
	holds err "$complaint"
	[ ! -e new.svg ] && [ ! -e new.csv ] && [ ! -e new.pdf ] || fail "something was written"
}
refused 2 'option --trace: found "new.pdf"; accepted: a file whose name ends in .csv, .json, .svg or .png' \
	--trace=new.pdf
refused 2 'option --trace: found ".csv"; accepted:' --trace=.csv
refused 2 'option --shot: protocol trial has no shot "firm-haf"; did you mean firm-half?' \
	--trace=new.csv --shot=firm-haf
refused 2 'has no shot "zzzzzzzzzzzz"; accepted: timed-lag, firm-half, cross-side, spin-on-the-spot' \
	--trace=new.csv --shot=zzzzzzzzzzzz
refused 2 'a drawing shows one shot, and protocol trial has 4; choose one with --shot: timed-lag,' \
	--trace=new.svg
refused 2 'option --shot says which shot --trace shows; give --trace=FILE too' --shot=firm-half
refused 2 'constants.json is read or written by this simulation and would be lost; name another file for --trace' \
	--trace=constants.json
refused 2 'new.csv is read or written by this simulation' --trace=new.csv -o ./new.csv
refused 5 'missing/new.csv cannot be written: folder missing: No such file or directory' \
	--trace=missing/new.csv
[ "$(wc -l <err)" -eq 1 ] || fail "more than one message"
mkdir folder.csv
refused 5 'folder.csv is a folder; name a file in it' --trace=folder.csv

# A folder that may not be written to; root may write anywhere.
mkdir closed
chmod 555 closed
if [ ! -w closed ]; then
	refused 5 'closed/new.csv cannot be written: folder closed: Permission denied' \
		--trace=closed/new.csv
fi
chmod 755 closed

# A shot that has no room on the table names itself, and the old file stays.
echo old >kept.csv
sed 's/"long": 3, "short": 2.25/"long": 2.63, "short": 2.25/' data/protocols/trial.json \
	>data/protocols/crowded.json
run simulate --protocol crowded --constants constants.json --trace kept.csv
expect_status 3
expect_no_out
holds err 'shot spin-on-the-spot: no trace of it on this table: found two balls stand inside one another'
echo old | same kept.csv
finish
