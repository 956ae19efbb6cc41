#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# run.sh COPY [WORD]: what a 20 % error does.
# Copies the tree to COPY (an empty or absent folder outside the tree), and there, one by one,
# makes every formula of formulas.txt wrong by a fifth, builds what the tests need, and runs unit,
# reference and property tests until one fails. Prints the formula, and the test that found it.
# With a WORD, only formulas whose name holds it. Nothing in the tree itself is touched.
# Exit status: 0 every error was found, 1 one survived, 2 the copy, the list or the tests as they
# are do not work.
set -u
tree=$(cd "$(dirname "$0")/../.." && pwd)
list=$tree/tests/mutation/formulas.txt

stop() {
  echo "mutation: $1" >&2
  exit 2
}

[ $# -ge 1 ] && [ $# -le 2 ] || stop "usage: run.sh COPY [WORD]"
word=${2:-}
mkdir -p "$1" || exit 2
copy=$(cd "$1" && pwd)
[ -z "$(ls -A "$copy")" ] || stop "$copy is not empty"
case $copy/ in
"$tree"/build*/*) ;;
"$tree"/*) stop "$copy lies in the tree; below build/ is the only place for it there" ;;
esac
for part in CMakeLists.txt package.cmake LICENSE README.md DEVELOPERS.md engine tests tracks scripts docs; do
  cp -R "$tree/$part" "$copy/" || exit 2
done
cmake -S "$copy" -B "$copy/build" -G Ninja -DCMAKE_BUILD_TYPE=Release >"$copy/log" 2>&1 ||
  stop "the copy is not configured; see $copy/log"

# Programs of the tests, in the order they are tried: the quick ones first.
programs=()
for label in unit reference property; do
  while read -r name; do
    # tests that are no program of their name compare documents
    ninja -C "$copy/build" -t query "$name" >/dev/null 2>&1 && programs+=("$name")
  done < <(ctest --test-dir "$copy/build" -N -L "^$label\$" | sed -n 's/^ *Test *#[0-9]*: //p')
done
[ "${#programs[@]}" -gt 0 ] || stop "no tests found in $copy/build"

# The first test that fails, in `found`; "" when none does. The unit test of the file $1 comes
# first. A build that breaks is an error of the list, not a find.
try() {
  local program name own=test_$(basename "${1%.*}") order=() rest=()
  for program in "${programs[@]}"; do
    if [ "$program" = "$own" ]; then order+=("$program"); else rest+=("$program"); fi
  done
  found=
  for program in ${order[@]+"${order[@]}"} "${rest[@]}"; do
    cmake --build "$copy/build" -j "${MBL_JOBS:-2}" --target "$program" >"$copy/log" 2>&1 ||
      stop "$program does not build; see $copy/log"
    ctest --test-dir "$copy/build" -R "^$program\$" --output-on-failure >"$copy/log" 2>&1 &&
      continue
    name=$(sed -n 's/^\(.*: \)\{0,1\}\[  FAILED  \] \([a-z][a-z_0-9]*\).*/\2/p' "$copy/log" | head -n 1)
    found="$program: ${name:-it does not end}"
    return
  done
}

try none
[ -z "$found" ] || stop "before any change, a test fails: $found"

tried=0
survived=0
printf '| formula | 20 %% more in | found by |\n|---|---|---|\n'
while IFS='|' read -r -u 3 formula file change; do
  case $formula in '' | '#'*) continue ;; esac
  [[ $formula == *"$word"* ]] || continue
  tried=$((tried + 1))
  cp "$copy/$file" "$copy/right"
  sed -i "$change" "$copy/$file"
  ! cmp -s "$copy/right" "$copy/$file" || stop "$formula: nothing in $file matches $change"
  try "$file"
  cp "$copy/right" "$copy/$file"
  [ -n "$found" ] || survived=$((survived + 1))
  printf '| %s | `%s` | %s |\n' "$formula" "$file" "${found:-**nothing: it survives**}"
done 3<"$list"
echo
echo "$tried formulas, $((tried - survived)) errors found, $survived survived"
[ "$tried" -gt 0 ] || stop "no formula is called $word"
[ "$survived" = 0 ]
