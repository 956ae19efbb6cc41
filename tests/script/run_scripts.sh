#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# run_scripts.sh EMBERLAP SCRIPT: runs one script and compares with what its comments expect.
#   -- args: WORDS          options and values for the command line
#   -- command: WORD        in place of run
#   -- expect: TEXT         in a line of standard output, after the one expected before
#   -- expect error: TEXT   in standard error; status 2 unless said otherwise
#   -- expect note: TEXT    in standard error
#   -- expect silence       nothing on standard error
#   -- status: N            0 unless said otherwise
#   -- writes: NAME         a file below --out; no other may be there
# The script runs in its own folder; --out is an empty temporary one.
set -u
emberlap=$1
script=$2
cd "$(dirname "$script")" || exit 1
name=$(basename "$script")
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
bad=0

complain() {
  echo "$name: $1"
  bad=1
}

# The texts after "-- KEY" in the script.
said() {
  sed -n "s/^-- $1 \{0,1\}//p" "$name"
}

command=$(said 'command:')
read -r -a words <<<"$(said 'args:')"
"$emberlap" "${command:-run}" "$name" --out "$scratch/out" ${words[@]+"${words[@]}"} \
  >"$scratch/stdout" 2>"$scratch/stderr" </dev/null
status=$?

want=$(said 'status:')
if [ -z "$want" ]; then
  want=0
  [ -n "$(said 'expect error:')" ] && want=2
fi
[ "$status" = "$want" ] || complain "status $status, expected $want"

expectations=0
mapfile -t lines <"$scratch/stdout"
at=0
while IFS= read -r text; do
  expectations=$((expectations + 1))
  while [ "$at" -lt "${#lines[@]}" ] && [[ "${lines[$at]}" != *"$text"* ]]; do
    at=$((at + 1))
  done
  [ "$at" -lt "${#lines[@]}" ] || complain "not in the output, in this order: $text"
  at=$((at + 1))
done < <(said 'expect:')

while IFS= read -r text; do
  expectations=$((expectations + 1))
  grep -qF -- "$text" "$scratch/stderr" || complain "not on standard error: $text"
done < <(said 'expect error:'; said 'expect note:')

if grep -qx -- '-- expect silence' "$name"; then
  expectations=$((expectations + 1))
  [ ! -s "$scratch/stderr" ] || complain "standard error is not silent"
fi

written=$(cd "$scratch" && find out ! -type d 2>/dev/null | sed 's|^out/||' | sort)
[ "$written" = "$(said 'writes:' | sort)" ] || complain "written: ${written:-nothing}"

[ "$expectations" -gt 0 ] || complain "expects nothing"
if [ "$bad" -ne 0 ]; then
  echo "--- standard output"
  cat "$scratch/stdout"
  echo "--- standard error"
  cat "$scratch/stderr"
fi
exit "$bad"
