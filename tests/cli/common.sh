# SPDX-License-Identifier: GPL-3.0-or-later
#
# Read by every test of this folder. Each test works in a scratch folder of its own, which is taken
# away at the end, with the program in $restpoint. A test goes on after a failure and ends with
# `finish`, which tells how many there were.
set -eu
LC_ALL=C
TZ=UTC
export LC_ALL TZ
unset SOURCE_DATE_EPOCH LANG LANGUAGE LC_NUMERIC LC_MESSAGES NO_COLOR

restpoint=${abs_top_builddir:?must name the top of the build folder}/restpoint
: "${abs_top_srcdir:?must name the top of the source folder}"
here=$abs_top_srcdir/tests/cli
failures=0
label=start

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
trap 'exit 130' INT TERM
cd "$scratch"
mkdir -p data/protocols
RESTPOINT_DATA=$scratch/data
export RESTPOINT_DATA

# fail WORDS: counts a failure of the present label.
fail()
{
	failures=$((failures + 1))
	echo "FAILED ($label): $*"
}

finish()
{
	[ "$failures" -eq 0 ] || echo "$failures failed"
	[ "$failures" -eq 0 ]
	exit
}

# run ARGUMENT...: runs the program; its output in out and err, its exit status in $status.
run()
{
	label="restpoint $*"
	status=0
	"$restpoint" "$@" >out 2>err </dev/null || status=$?
}

expect_status()
{
	[ "$status" -eq "$1" ] || {
		fail "exit status $status, wanted $1"
		cat err
	}
}

# same FILE: the standard input is what must stand in FILE.
same()
{
	cat >wanted
	cmp -s "$1" wanted || {
		fail "$1 differs (< wanted, > found)"
		diff wanted "$1" || true
	}
}

expect_out() { same out; }
expect_err() { same err; }
expect_no_out() { same out </dev/null; }
expect_no_err() { same err </dev/null; }

# holds FILE TEXT: a line of FILE holds TEXT.
holds()
{
	grep -q -F -e "$2" "$1" || {
		fail "$1 does not hold: $2"
		cat "$1"
	}
}

# lacks FILE TEXT
lacks()
{
	if grep -q -F -e "$2" "$1"; then
		fail "$1 holds: $2"
	fi
}

# at_most_80 FILE: no line has more than 80 columns (bytes of UTF-8 that continue do not count).
at_most_80()
{
	awk '{ line = $0; gsub(/[\200-\277]/, "", line); if (length(line) > 80) { print; bad = 1 } }
		END { exit bad }' "$1" || fail "$1 has lines of more than 80 columns"
}

# valid_json FILE: exactly one JSON text by the grammar of RFC 8259, no key twice in one object.
valid_json()
{
	awk '
	function refuse(words) { print "JSON: " words " at: " substr(text, at, 40); exit 1 }
	function blanks() { while (substr(text, at, 1) ~ /^[ \t\n\r]$/) at++ }
	function pattern(form, words)
	{
		if (!match(substr(text, at), form) || RSTART != 1)
			refuse(words)
		at += RLENGTH
		return substr(text, at - RLENGTH, RLENGTH)
	}
	function word() { return pattern("^\"([^\"\\\\\001-\037]|\\\\[\"\\\\/bfnrt]|\\\\u[0-9a-fA-F][0-9a-fA-F][0-9a-fA-F][0-9a-fA-F])*\"", "a string was wanted") }
	function object(depth, key)
	{
		at++
		blanks()
		if (substr(text, at, 1) == "}") { at++; return }
		objects++
		object_of[depth] = objects
		for (;;) {
			blanks()
			key = word()
			if ((object_of[depth] SUBSEP key) in seen)
				refuse("key twice " key)
			seen[object_of[depth] SUBSEP key] = 1
			blanks()
			pattern("^:", "a colon was wanted")
			value(depth + 1)
			if (pattern("^[,}]", "a comma or brace was wanted") == "}")
				return
		}
	}
	function array(depth)
	{
		at++
		blanks()
		if (substr(text, at, 1) == "]") { at++; return }
		for (;;) {
			value(depth + 1)
			if (pattern("^[],]", "a comma or bracket was wanted") == "]")
				return
		}
	}
	function value(depth, first)
	{
		blanks()
		first = substr(text, at, 1)
		if (first == "{")
			object(depth)
		else if (first == "[")
			array(depth)
		else if (first == "\"")
			word()
		else if (first ~ /^[-0-9]$/)
			pattern("^-?(0|[1-9][0-9]*)(\\.[0-9]+)?([eE][-+]?[0-9]+)?", "a number was wanted")
		else
			pattern("^(true|false|null)", "a value was wanted")
		blanks()
	}
	{ text = text $0 "\n" }
	END {
		at = 1
		value(1)
		if (at <= length(text))
			refuse("text behind the end")
	}' "$1" || fail "$1 is no valid JSON"
}

# valid_json_lines FILE: each line is one valid JSON text, and there is at least one.
valid_json_lines()
{
	[ -s "$1" ] || fail "$1 is empty"
	while IFS= read -r line; do
		printf '%s\n' "$line" >line.json
		valid_json line.json
	done <"$1"
}

# The protocol of these tests: five shots of invented design that together determine most
# constants. Puts it among the installed protocols.
make_protocol()
{
	cat "$here/trial.json" >data/protocols/trial.json
}

# Constants of an invented table.
make_constants()
{
	cat >constants.json <<'END'
{ "sliding_friction": 0.2125, "rolling_resistance": 0.00985, "spin_friction": 0.0117,
  "cushion_restitution": 0.947, "cushion_friction": 0.1532, "ball_restitution": 0.957,
  "ball_friction": 0.0612 }
END
}

# session FILE [OPTION]...: a simulated session of the trial protocol.
session()
{
	file=$1
	shift
	"$restpoint" simulate --protocol trial --constants constants.json --output "$file" "$@" \
		2>session.err || {
		fail "no session $file"
		cat session.err
	}
}
