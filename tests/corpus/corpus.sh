#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# corpus.sh EMBERLAP LOG: the report on a log of the corpus is LOG.report.txt to the letter, and
# what --save makes of the log needs no repair and has the same laps. Wishes for LOG stand in
# LOG.wishes, one a line. With UPDATE=1 the report is written in place of compared: read it then.
set -u
emberlap=$(realpath "$1")
log=$(basename "$2")
cd "$(dirname "$2")" || exit 1
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
wishes=()
[ ! -f "$log.wishes" ] || mapfile -t wishes <"$log.wishes"
bad=0

"$emberlap" log "$log" ${wishes[@]+"${wishes[@]}"} >"$scratch/report" 2>&1
status=$?
if [ "${UPDATE:-0}" = 1 ]; then
  cp "$scratch/report" "$log.report.txt"
elif ! diff "$log.report.txt" "$scratch/report"; then
  echo "the report is not $log.report.txt"
  bad=1
fi
[ "$status" = 0 ] || { echo "status $status"; exit 1; }

# the table of laps, without the doubts after it
laps() {
  sed -n '/^LAPS$/,/^DOUBTS$/p'
}
repairs() {
  sed -n '/^REPAIRS$/,/^$/p'
}

"$emberlap" log "$log" --save --out "$scratch/out" ${wishes[@]+"${wishes[@]}"} >"$scratch/saving" 2>&1
saved=$scratch/out/${log%.*}_clean.csv
[ -f "$saved" ] || { echo "nothing was saved"; cat "$scratch/saving"; exit 1; }
"$emberlap" log "$saved" >"$scratch/again" 2>&1 || { cat "$scratch/again"; exit 1; }
if ! repairs <"$scratch/again" | grep -q '^  None was needed'; then
  echo "what was saved needs repair:"
  repairs <"$scratch/again"
  bad=1
fi
if ! diff <(laps <"$scratch/report") <(laps <"$scratch/again"); then
  echo "what was saved has other laps"
  bad=1
fi
exit "$bad"
