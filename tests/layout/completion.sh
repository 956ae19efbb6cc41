#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# completion.sh EMBERLAP SOURCE_DIR: what bash is offered after some beginnings of a line.
set -u
completion=$2/scripts/completion/emberlap.bash
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 1
touch one.lua 'with space.lua' log.csv notes.txt
mkdir below
PATH=$(dirname "$1"):$PATH
# shellcheck disable=SC1090
source "$completion" || exit 1
bad=0

# offers WANTED WORDS...: separated by bars, in any order
offers() {
  local want=$1 got
  shift
  COMP_WORDS=("$@")
  COMP_CWORD=$(($# - 1))
  COMPREPLY=()
  _emberlap 2>/dev/null # compopt wants a line that is being typed
  got=$(printf '%s\n' ${COMPREPLY[@]+"${COMPREPLY[@]}"} | sort -u | paste -sd'|')
  [ "$got" = "$want" ] && return
  echo "after \"$*\": \"$got\", not \"$want\""
  bad=1
}

offers 'check' emberlap ch
offers 'run' emberlap --units us --quiet ru
offers 'below|one.lua|with space.lua' emberlap run ''
offers 'one.lua' emberlap check --out below o
offers 'below|log.csv|notes.txt' emberlap log ''
offers 'below' emberlap run --out ''
offers 'si|us' emberlap run --units ''
offers '--strict' emberlap run --st
offers 'rotor' emberlap help ro
offers '' emberlap new ''
offers '' emberlap --allowance ''
exit "$bad"
