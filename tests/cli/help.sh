#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Help and version: on standard output alone, exit status 0, 80 columns (GNU standards 4.8); the
# options of help and of the man pages are the same.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

commands='protocols plan card guide check fit show predict compare effects simulate'

# help_of FILE ARGUMENT...: help goes to standard output and is kept in FILE.
help_of()
{
	kept=$1
	shift
	run "$@"
	expect_status 0
	expect_no_err
	at_most_80 out
	cp out "$kept"
}

help_of whole --help
for form in -h help; do
	help_of again "$form"
	cmp -s whole again || fail "differs from --help"
done
for command in $commands; do
	holds whole "  $command "
	help_of "$command.help" "$command" --help
	[ "$(head -c "$((17 + ${#command}))" "$command.help")" = "Usage: restpoint $command" ] ||
		fail "does not begin with the usage line"
	help_of again "$command" -h
	cmp -s "$command.help" again || fail "differs from --help"
	help_of again help "$command"
	cmp -s "$command.help" again || fail "differs from --help"
	holds "$command.help" ' --json '
done
# The list of commands holds these and help, and no other.
label='list of commands'
sed -n '/^Commands:/,/^$/s/^  \([a-z][a-z]*\) .*/\1/p' whole | tr '\n' ' ' >list
echo "$commands help " | tr -d '\n' | same list

# Every option of help stands in the man page, and the reverse: those of each command in
# restpoint-COMMAND.1, section OPTIONS; those of the program in restpoint.1.
options_of_help()
{
	sed -n '/^Options:/,/^$/p' "$1" | grep -o -E -e '(^|[ ,])--?[a-zA-Z][a-z-]*' |
		tr -d ' ,' | sort -u
}

# Font changes and the escapes of hyphens are taken away; the section ends at the next .SH.
options_of_page()
{
	sed -n '/^\.SH *"*OPTIONS/,/^\.SH *"*[^O]/p' "$1" | sed 's/\\f[A-Z]//g; s/\\f([A-Z]*//g; s/\\-/-/g' |
		grep -E '^\.(B|BR|BI|IP|TP|OP|It|SS)|^-' | grep -o -E -e '(^|[ ,"])--?[a-zA-Z][a-z-]*' |
		tr -d ' ,"' | sort -u
}

for command in program $commands; do
	page=$abs_top_srcdir/man/restpoint-$command.1 text=$command.help
	[ "$command" != program ] || page=$abs_top_srcdir/man/restpoint.1 text=whole
	label="man page ${page##*/}"
	if [ ! -f "$page" ]; then
		fail "is missing"
		continue
	fi
	options_of_help "$text" >from_help
	options_of_page "$page" >from_page
	[ -s from_help ] || fail "no option found in help"
	cmp -s from_help from_page || {
		fail "options differ (< help, > man page)"
		diff from_help from_page || true
	}
done

run --version
expect_status 0
expect_no_err
cp out version
run -V
cmp -s version out || fail "differs from --version"
label=version
grep -q -x -E 'restpoint [0-9]+\.[0-9]+\.[0-9]+' version || fail "the first line is not name and version"
[ "$(sed -n 1p version | grep -c restpoint)" -eq 1 ] || fail "the first line is not name and version"
holds version 'Copyright (C) '
holds version 'GNU GPL version 3 or later'
holds version 'There is NO WARRANTY, to the extent permitted by law.'
finish
