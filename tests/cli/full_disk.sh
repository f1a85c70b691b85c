#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Standard output that cannot take the answer is an error, not a silent loss: exit status 5 for a
# full disk and for a closed descriptor; a reader that went away ends the program by SIGPIPE.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
session session.csv

for arguments in --help --version 'help fit' protocols 'protocols trial' 'check session.csv' \
	'fit session.csv --json' 'simulate --protocol trial --constants constants.json'; do
	label="$arguments >/dev/full"
	status=0
	# shellcheck disable=SC2086 # words of a command line
	"$restpoint" $arguments >/dev/full 2>err || status=$?
	expect_status 5
	holds err 'standard output could not be written: No space left on device; make room there or choose another place'
	[ "$(wc -l <err)" -eq 1 ] || fail "more than one message"
done

label='closed standard output'
status=0
"$restpoint" check session.csv >&- 2>err || status=$?
expect_status 5
expect_err <<'END'
restpoint check: standard output could not be written: Bad file descriptor; make room there or choose another place
END

# With closed streams no file lands on descriptor 1 or 2.
label='closed streams'
status=0
"$restpoint" fit session.csv -o profile.json >&- 2>&- || status=$?
expect_status 5
valid_json profile.json

label='nothing to say'
status=0
"$restpoint" simulate --protocol trial --constants constants.json -o made.csv >/dev/full 2>err || status=$?
expect_status 0

# Standard error that is full or closed takes nothing from the answer.
label='full standard error'
status=0
"$restpoint" fit session.csv -o profile.json >out 2>/dev/full || status=$?
expect_status 0
holds out 'Physical constants'

# The reader of standard output goes away while the program waits for its measurement.
label='reader gone'
mkfifo pipe measurement
exec 4<>pipe
env --default-signal=PIPE "$restpoint" check measurement >pipe 2>err 4<&- &
child=$!
exec 3>measurement # waits until the program opened it, its own output long since open
exec 4<&-
cat session.csv >&3
exec 3>&-
status=0
wait "$child" || status=$?
expect_status 141
expect_no_err
finish
