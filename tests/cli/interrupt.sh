#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Ctrl-C during a fit: the best point so far is printed, marked incomplete, no file is written, and
# the shell sees the signal (130 for SIGINT, 143 for SIGTERM). The measurement comes through a pipe,
# so the signal is sure to come after the start and before the fit.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
session session.csv
mkfifo pipe

# interrupted SIGNAL ARGUMENT...: a fit of the session that gets the signal while it reads. A shell
# starts its background work with SIGINT ignored; env puts that back.
interrupted()
{
	signal=$1
	shift
	label="signal $signal: restpoint fit pipe $*"
	status=0
	env --default-signal=INT "$restpoint" fit pipe "$@" >out 2>err &
	child=$!
	exec 3>pipe # waits until the program opened the pipe
	kill -s "$signal" "$child"
	cat session.csv >&3
	exec 3>&-
	wait "$child" || status=$?
}

interrupted INT -o profile.json
expect_status 130
holds out 'INCOMPLETE: the fit was interrupted. Below is the best point so far; it is no'
holds out 'Physical constants'
expect_err <<'END'
restpoint fit: interrupted; no profile was written
END
[ ! -e profile.json ] || fail "a profile was written"
[ -z "$(find . -name 'profile*')" ] || fail "something was left behind"

interrupted INT --json
expect_status 130
valid_json out
holds out '"complete": false'
holds out '"ending": "interrupted"'
valid_json_lines err

interrupted TERM -o profile.json
expect_status 143
holds out 'INCOMPLETE: the fit was interrupted.'
[ ! -e profile.json ] || fail "a profile was written"

# An old profile stays as it was.
echo old >profile.json
interrupted INT -o profile.json
expect_status 130
echo old | same profile.json
rm profile.json

# A signal that the parent ignores stays ignored: the fit ends as usual.
label='ignored signal'
status=0
(
	trap '' INT
	exec "$restpoint" fit pipe -o profile.json >out 2>err
) &
child=$!
exec 3>pipe
kill -s INT "$child"
cat session.csv >&3
exec 3>&-
wait "$child" || status=$?
expect_status 0
[ -s profile.json ] || fail "no profile was written"
lacks out INCOMPLETE
finish
