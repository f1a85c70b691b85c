#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Reads the sources and fails on what the layout forbids: an include against the direction of the
# layers, a library's header outside its one file, a call that prints or exits below the commands,
# a file or function that is too long, a file that the build does not know, a stray top-level name.
# It first proves on planted violations that it finds each of them (layers_self_test.sh).
#
#   sh tests/layers.sh [TREE]     TREE: top of a source tree; default $top_srcdir
set -eu
export LC_ALL=C

# The folders that a folder may include, itself among them, into allowed; empty for a folder that is
# no layer. report may also use files/json_text.h.
set_allowed()
{
	case "$1" in
	base) allowed='base' ;;
	table) allowed='base table' ;;
	model) allowed='base table model' ;;
	physics) allowed='base table model physics' ;;
	shot) allowed='base table model physics shot' ;;
	estimate) allowed='base table model physics shot estimate' ;;
	advise) allowed='base table model physics shot estimate advise' ;;
	files) allowed='base table model files' ;;
	report) allowed='base table model physics shot estimate advise report' ;;
	cli) allowed='base table model physics shot estimate advise files report cli' ;;
	*) allowed= ;;
	esac
}

# The headers of ISO C11 and POSIX that any folder may include.
standard_headers=' assert.h complex.h ctype.h errno.h fcntl.h float.h inttypes.h limits.h locale.h
 math.h poll.h signal.h stdalign.h stdarg.h stdatomic.h stdbool.h stddef.h stdint.h stdio.h stdlib.h
 stdnoreturn.h string.h strings.h sys/ioctl.h sys/stat.h sys/types.h sys/wait.h time.h unistd.h
 dirent.h fenv.h getopt.h libgen.h sys/time.h sys/resource.h termios.h wchar.h '

# Prints a C file with comments and the contents of strings blanked, its lines kept, and its
# includes, <header> or "folder/header", to the file named by includes.
strip_comments='
function next_mark(text)
{
	return match(text, /\/\*|\/\/|"|\047/) ? substr(text, RSTART, 1) == "/" ? \
	    substr(text, RSTART, 2) : substr(text, RSTART, 1) : ""
}
function quoted_length(text, quote, i)
{
	for (i = 2; i <= length(text); i++) {
		if (substr(text, i, 1) == "\\")
			i++
		else if (substr(text, i, 1) == quote)
			return i
	}
	return length(text)
}
{
	rest = $0
	out = kept = ""
	while (rest != "") {
		if (inside) {
			if (!(i = index(rest, "*/")))
				break
			inside = 0
			rest = substr(rest, i + 2)
			continue
		}
		mark = next_mark(rest)
		if (mark == "") {
			out = out rest
			kept = kept rest
			break
		}
		out = out substr(rest, 1, RSTART - 1)
		kept = kept substr(rest, 1, RSTART - 1)
		rest = substr(rest, RSTART)
		if (mark == "//")
			break
		if (mark == "/*") {
			inside = 1
			rest = substr(rest, 3)
			continue
		}
		n = quoted_length(rest, mark)
		kept = kept substr(rest, 1, n)
		out = out mark mark
		rest = substr(rest, n + 1)
	}
	print out
	if (kept ~ /^[ \t]*#[ \t]*include[ \t]*[<"]/) {
		sub(/^[^<"]*/, "", kept)
		sub(/[ \t]*$/, "", kept)
		print kept >> includes
	}
}'

# Reports "FILE:LINE: NAME" for calls and names forbidden in that folder.
forbidden_names='
function is_word(character)
{
	return character ~ /[A-Za-z0-9_]/
}
function check(name, call, rest, at, before, after)
{
	rest = $0
	while ((at = index(rest, name)) > 0) {
		before = at > 1 ? substr(rest, at - 1, 1) : " "
		rest = substr(rest, at + length(name))
		after = substr(rest, 1, 1)
		if (!is_word(before) && before != "." && !is_word(after) &&
		    (!call || rest ~ /^[ \t]*\(/))
			printf "%s:%d: %s is for src/cli alone\n", file, FNR, name
	}
}
BEGIN {
	count = split(calls, call_names, " ")
	others = split(words, word_names, " ")
}
{
	for (i = 1; i <= count; i++)
		check(call_names[i], 1)
	for (i = 1; i <= others; i++)
		check(word_names[i], 0)
}
words != "" && /^[ \t]*static [^(]*[;=]/ && !/const/ {
	printf "%s:%d: a variable that keeps its value between calls\n", file, FNR
}'

calls_below_cli='printf vprintf puts putchar perror exit _exit _Exit quick_exit abort assert'
calls_below_cli="$calls_below_cli signal sigaction setlocale atexit"
words_below_cli='stdout stderr PACKAGE_VERSION RESTPOINT_DATADIR'
calls_in_pure='fopen fdopen freopen open creat remove unlink rename tmpfile popen system getenv'
calls_in_pure="$calls_in_pure rand srand random time clock gettimeofday clock_gettime"

# Reports a file over 400 lines and functions over 80, counted from the first line of the head to the
# closing brace, and prints every function's length to the file named by lengths.
sizes='
/^$/ || /^}/ || /;$/ { if (!body) head = 0 }
/^[A-Za-z]/ && !body && !head { head = FNR; text = $0 }
/^{/ && head { body = 1 }
/^}/ && body {
	n = FNR - head + 1
	print n >> lengths
	if (n > 80)
		printf "%s:%d: a function of %d lines, more than 80: %s\n", file, head, n, text
	body = 0
	head = 0
}
END {
	if (FNR > 400)
		printf "%s: %d lines, more than 400\n", file, FNR
}
'

# Third-party headers and the one place of each: "src/FOLDER" any file there, else one file.
check_library()
{
	file=$1 folder=$2 header=$3
	case "$header" in
	gsl/*)
		case "$folder" in
		estimate | advise) ;;
		*) echo "$file: <$header> is for src/estimate and src/advise alone" ;;
		esac
		return
		;;
	csv.h | cJSON.h | cjson/* | nettle/*) place=files ;;
	cairo*) place=report ;;
	pthread.h) place=base ;;
	readline/*) place=cli ;;
	*)
		case "$standard_headers" in
		*[[:space:]]"$header"[[:space:]]*) ;;
		*) echo "$file: <$header> is neither standard nor a library of the layout" ;;
		esac
		return
		;;
	esac
	if [ "$folder" = "$place" ]; then
		echo "${header%%[./]*} $file" | sed 's/^cjson/cJSON/; s/^cairo[^ ]*/cairo/' >>"$users"
	else
		echo "$file: <$header> is for one file of src/$place"
	fi
}

check_includes()
{
	file=$1 folder=$2
	while read -r include; do
		case "$include" in
		'<'*)
			include=${include#<}
			check_library "$file" "$folder" "${include%>}"
			;;
		'"files/json_text.h"' | '"config.h"')
			case "$folder$include" in
			report*json_text.h* | files*json_text.h* | cli*) ;;
			*) echo "$file: $folder may not include $include" ;;
			esac
			;;
		*/*)
			include=${include#?}
			case " $allowed " in
			*" ${include%%/*} "*) ;;
			*) echo "$file: $folder may not include \"$include" ;;
			esac
			;;
		*) echo "$file: $include names no folder" ;;
		esac
	done <"$includes"
}

check_file()
{
	file=$1
	folder=${file#src/}
	folder=${folder%%/*}
	set_allowed "$folder"
	if [ -z "$allowed" ]; then
		echo "$file: src/$folder is no layer"
		return
	fi
	read -r first <"$tree/$file" || first=
	[ "$first" = '/* SPDX-License-Identifier: GPL-3.0-or-later */' ] ||
		echo "$file:1: the line of the licence is missing"
	: >"$includes"
	awk -v includes="$includes" "$strip_comments" "$tree/$file" >"$stripped"
	check_includes "$file" "$folder"
	case "$folder" in
	cli) calls='' words='' ;;
	files | report) calls=$calls_below_cli words=$words_below_cli ;;
	*) calls="$calls_below_cli $calls_in_pure" words=$words_below_cli ;;
	esac
	awk -v file="$file" -v lengths="$lengths" -v calls="$calls" -v words="$words" \
		"$sizes$forbidden_names" "$stripped"
}

# A library with one place must be met in one file.
check_single_users()
{
	sort -u "$users" | awk '{ n[$1]++; files[$1] = files[$1] " " $2 }
		END { for (name in n) if (n[name] > 1)
			printf "%s is used in more than one file:%s\n", name, files[name] }'
}

# Every source is in src/sources.mk (the program's own file in Makefile.am), every test and what it
# reads in tests/tests.mk: a file that is not would be missing from a release.
check_listed()
{
	for list in Makefile.am src/sources.mk tests/tests.mk; do
		grep -v '^#' "$tree/$list" | tr -s ' \t\\' '\n' | sed "s,^,$list ,"
	done >"$listed"
	(cd "$tree" && find src -mindepth 2 -name '*.[ch]' && find tests -mindepth 2 -name '*.[ch]' \
		-o -path 'tests/*/*' \( -name '*.sh' -o -name '*.json' -o -name '*.csv' -o -name '*.txt' \)
	) | sort | awk -v listed="$listed" '
		BEGIN {
			while ((getline line < listed) > 0)
				known[line] = 1
		}
		{
			list = /^src/ ? "src/sources.mk" : "tests/tests.mk"
			if ($0 == "src/cli/main.c")
				list = "Makefile.am"
			program = folder = $0
			sub(/\.c$/, "", program) # a program of one file is listed without its ending
			found = (list " " $0) in known || (list " " program) in known
			while (!found && sub(/\/[^\/]*$/, "", folder)) # data also as a whole folder
				found = (list " " folder) in known
			if (!found)
				print $0 ": " list " does not name it"
		}'
}

top_level='DEVELOPERS.md LICENSE Makefile.am README.md configure.ac man protocols
sample-measurements src tests'

# Only a checkout tells what belongs to the project: a build leaves its own files at the top.
check_top_level()
{
	[ -e "$tree/.git" ] || return 0
	if ! command -v git >/dev/null 2>&1; then
		echo "note: git is not installed, so the names at the top were not checked" >&2
		return 0
	fi
	found=$(git -C "$tree" ls-files --cached --others --exclude-standard | sed 's,/.*,,' |
		grep -v '^\.' | sort -u)
	wanted=$(echo "$top_level" | tr ' ' '\n' | sort)
	for name in $found; do
		echo "$wanted" | grep -q -x -F -e "$name" ||
			echo "$name: not on the list of the top level"
	done
	for name in $wanted; do
		echo "$found" | grep -q -x -F -e "$name" || echo "$name: missing at the top level"
	done
}

# All findings about a tree, one a line; nothing when it is in order.
check_tree()
{
	tree=$1
	: >"$users"
	: >"$lengths"
	(cd "$tree" && find src -mindepth 2 -name '*.[ch]') | sort >"$sources"
	while read -r source; do
		check_file "$source"
	done <"$sources"
	check_single_users
	check_listed
	check_top_level
}

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
trap 'exit 130' INT TERM
plot=$scratch/plot
findings=$scratch/findings
sources=$scratch/sources
users=$scratch/users
lengths=$scratch/lengths
listed=$scratch/listed
includes=$scratch/includes
stripped=$scratch/stripped

# shellcheck source=tests/layers_self_test.sh
. "$(dirname "$0")/layers_self_test.sh"
prove_findings
check_tree "${1:-${top_srcdir:-.}}" >"$findings"
sort -n "$lengths" | awk '{ n[NR] = $1 } END { if (NR)
	printf "%d functions, median %d lines, longest %d\n", NR, n[int((NR + 1) / 2)], n[NR] }'
cat "$findings"
[ ! -s "$findings" ]
