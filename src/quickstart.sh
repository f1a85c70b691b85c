#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# From a fresh Debian 12 to a first answer: installs the packages of src/debian-packages.txt, builds
# the program where it stands and estimates the constants of one shipped session.
#
#   sh src/quickstart.sh                               all of it, from the top folder
#   sh src/quickstart.sh --packages-only [PACKAGE...]  the packages alone, and those named
set -eu

sample=sample-measurements/event-table-by-phone.csv
package_list=src/debian-packages.txt

say()
{
	printf '%s\n' "$*"
}

stop()
{
	printf 'quickstart: %s\n' "$*" >&2
	exit 1
}

# Runs a command with its output in $log; when it fails, shows the end of that and stops.
# Arguments: what to say then, and the command.
quietly()
{
	sentence=$1
	shift
	"$@" >"$log" 2>&1 && return 0
	tail -n 30 "$log" >&2
	stop "$sentence"
}

as_root()
{
	if [ "$(id -u)" -eq 0 ]; then
		env DEBIAN_FRONTEND=noninteractive "$@"
	else
		sudo env DEBIAN_FRONTEND=noninteractive "$@"
	fi
}

# Prints those of the packages named that are not installed.
missing_of()
{
	for package in "$@"; do
		state=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null) || state=
		[ "$state" = installed ] || printf '%s ' "$package"
	done
}

install_packages()
{
	command -v dpkg-query >/dev/null 2>&1 ||
		stop "this machine has no Debian package tools; install what $package_list lists" \
			"by its own means, then run: autoreconf -i && ./configure && make"
	# One word a package, on purpose.
	# shellcheck disable=SC2046
	missing=$(missing_of $(grep -v '^#' "$package_list") "$@")
	if [ -z "$missing" ]; then
		say "Packages: all are installed."
		return 0
	fi
	if [ "$(id -u)" -ne 0 ] && ! command -v sudo >/dev/null 2>&1; then
		stop "packages are missing and this is neither root nor is there sudo; as root run:" \
			"apt-get install $missing"
	fi
	say "Packages: installing $missing"
	as_root apt-get update >"$log" 2>&1 ||
		say "Packages: the lists could not be brought up to date; trying with those at hand."
	# shellcheck disable=SC2086
	quietly "the packages could not be installed; read the lines above, mend that, and run this again." \
		as_root apt-get install -y --no-install-recommends $missing
}

build_program()
{
	say "Preparing the build."
	quietly "autoreconf failed; the lines above say why." autoreconf -i
	say "Configuring."
	quietly "configure failed; the lines above say what is missing." ./configure
	say "Compiling."
	quietly "the program did not compile; the lines above say where." \
		make -j "$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1)"
}

run_sample()
{
	[ -r "$sample" ] || stop "the sample $sample is missing; this copy is not complete."
	say "Estimating the constants of $sample (an invented session):"
	say
	RESTPOINT_DATA=. ./restpoint fit "$sample" ||
		stop "the program ended with status $? on its own sample; please report this."
}

[ -r "$package_list" ] || stop "run this from the top folder of the project: sh src/quickstart.sh"
case "${1-}" in
'' | --packages-only) ;;
*) stop "unknown option $1; known: --packages-only [PACKAGE...]" ;;
esac

log=$(mktemp) || stop "no temporary file could be made; check the space below ${TMPDIR:-/tmp}."
trap 'rm -f "$log"' EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

if [ "${1-}" = --packages-only ]; then
	shift
	install_packages "$@"
	exit 0
fi
install_packages
build_program
run_sample
say
say "Done. The program is ./restpoint; 'make check' runs its tests."
