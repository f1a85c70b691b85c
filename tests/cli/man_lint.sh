#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The man pages: no warning of mandoc, the sections that a reader looks for (man-pages(7)), the
# version of configure.ac in each title line, no reference to a page that is not there. Skipped
# (status 77) where there is no mandoc; the rest is then checked by nobody, so install it.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

version=$(sed -n 's/^AC_INIT(\[restpoint\], \[\(.*\)\])$/\1/p' "$abs_top_srcdir/configure.ac")
[ -n "$version" ] || fail "configure.ac tells no version"

has_sections()
{
	for section; do
		grep -q -x -F -e ".SH $section" "$page" || fail "lacks the section $section"
	done
}

count=0
for page in "$abs_top_srcdir"/man/*.[157]; do
	label=man/${page##*/}
	count=$((count + 1))
	grep -q -E "^\.TH [A-Z-]+ [157] [0-9-]{10} \"restpoint $version\" " "$page" ||
		fail "the title line does not tell restpoint $version"
	case $page in
	*.1) has_sections NAME SYNOPSIS DESCRIPTION OPTIONS 'EXIT STATUS' EXAMPLES 'SEE ALSO' ;;
	*.5) has_sections NAME DESCRIPTION EXAMPLES 'SEE ALSO' ;;
	*.7) has_sections NAME DESCRIPTION CAVEATS 'SEE ALSO' ;;
	esac
	if grep -n '[^ -~]' "$page" >odd; then
		fail "holds tabs or characters beyond ASCII; write blanks or escapes"
		cat odd
	fi
	# Own pages that are referred to: restpoint\-NAME (N) in bold.
	sed -n 's/\\//g; s/^\.BR \(restpoint[a-z-]*\) (\([157]\)).*/\1.\2/p' "$page" | sort -u |
		while IFS= read -r other; do
			[ -f "$abs_top_srcdir/man/$other" ] || echo "$other"
		done >missing
	[ ! -s missing ] || fail "refers to pages that are not there: $(tr '\n' ' ' <missing)"
	command -v mandoc >/dev/null 2>&1 || continue
	lint=$(mandoc -T lint -W warning "$page" 2>&1) || fail "mandoc warns:
$lint"
done
label='the folder man'
wanted=$(grep -c '^	man/restpoint' "$abs_top_srcdir/Makefile.am")
[ "$count" -eq "$wanted" ] || fail "holds $count pages, Makefile.am lists $wanted"
if [ "$failures" -eq 0 ] && ! command -v mandoc >/dev/null 2>&1; then
	echo "mandoc is not installed: its warnings were not looked for"
	exit 77
fi
finish
