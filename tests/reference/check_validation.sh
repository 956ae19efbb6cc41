#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# check_validation.sh SOURCE_DIR BUILD_DIR ROWS_DIR [ABSENT]: does docs/validation.md say what the
# tests found, all but what the engine gave to the letter, and that to three figures? Rows that the
# test ABSENT would leave are passed over.
set -euo pipefail
source=$1
build=$2
rows=$3
absent=${4:-}
fresh=$build/validation.md
[ -z "$absent" ] || rm -f "$rows/$absent"
"$source/tests/reference/write_validation.sh" "$build" "$fresh" "$rows"
awk -F' [|] ' -v absent="$absent" '
  function complain(text) { print text > "/dev/stderr"; bad = 1 }
  function is_number(x) { return x ~ /^-?[0-9.]+(e[-+]?[0-9]+)?$/ }
  function size(x) { return x < 0 ? -x : x }
  # what a row says besides what the engine gave
  function rest() { return NF == 6 ? $1 " | " $2 " | " $3 " | " $5 " | " $6 : $0 }
  FNR == 1 { file++ ; skipping = 0 }
  file == 1 && absent != "" && /^## / { held = $0; pending = 1; next }
  file == 1 && pending {
    if ($0 == "") next
    pending = 0
    skipping = ($0 == "`tests/reference/" absent ".c`")
    if (!skipping) { line[++n] = held; got[n] = "" }
  }
  file == 1 && skipping { next }
  /^$/ { next }
  absent == "test_cvode" && /CVODE, BDF/ { next }
  file == 1 { line[++n] = rest(); got[n] = NF == 6 ? $4 : ""; whole[n] = $0; tolerance[n] = $5; next }
  {
    m++
    if (m > n) { complain("not in the file: " $0); next }
    if (rest() != line[m]) {
      complain("in the file: " whole[m] "\nnow:         " $0)
      if (++off == 5) exit 1
      next
    }
    if (NF != 6 || got[m] == $4) next
    if (!is_number(got[m]) || !is_number($4)) { complain("got: " got[m] ", now " $4 ": " $0); next }
    slack = 2e-3 * size($4)
    if (is_number(tolerance[m]) && 2e-3 * tolerance[m] > slack) slack = 2e-3 * tolerance[m]
    if (size(got[m] - $4) > slack) complain("got " got[m] ", now " $4 ": " $0)
  }
  END {
    if (m < n) complain("no longer there: " whole[m + 1])
    if (n < 100) complain("the file has only " n " lines")
    if (bad) print "write it again: tests/reference/write_validation.sh BUILD docs/validation.md" > "/dev/stderr"
    exit bad
  }' "$source/docs/validation.md" "$fresh"
