#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# installed.sh CMAKE BUILD_DIR: the program finds what was installed with it, wherever that is, and
# the Debian package holds the same.
set -u
cmake=$1
build=$2
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
bad=0

complain() {
  echo "$1"
  bad=1
}

# uses PREFIX: everything is below it, and scripts elsewhere find it
uses() {
  local prefix=$1 file here
  for file in bin/emberlap share/man/man1/emberlap.1 share/bash-completion/completions/emberlap \
    share/emberlap/scripts/harrow_vale.lua share/emberlap/scripts/library/emberlap.lua \
    share/emberlap/tracks/harrow_vale_log.csv share/doc/emberlap/README.md \
    share/doc/emberlap/copyright share/doc/emberlap/docs/input.md; do
    [ -s "$prefix/$file" ] || complain "$file is not below $prefix"
  done
  here=$(mktemp -d "$scratch/work.XXXX")
  cd "$here" || exit 1
  cat >probe.lua <<'LUA'
local el = require "emberlap"
print(el.trace { file = "tracks/harrow_vale_log.csv" } ~= nil)
LUA
  [ "$("$prefix/bin/emberlap" run probe.lua --quiet)" = true ] ||
    complain "a script elsewhere does not find what is installed"
  "$prefix/bin/emberlap" new mine >/dev/null && "$prefix/bin/emberlap" run mine.lua >page 2>notes ||
    complain "new and run: $(cat notes)"
  "$prefix/bin/emberlap" run "$prefix/share/emberlap/scripts/harrow_vale.lua" hot=2 >page 2>notes
  [ $? -le 1 ] && [ -s harrow_vale_1.csv ] || complain "the demo: $(cat notes)"
  cd "$scratch" || exit 1
}

"$cmake" --install "$build" --prefix "$scratch/one" >log 2>&1 || complain "install: $(tail -5 log)"
uses "$scratch/one"
mv "$scratch/one" "$scratch/two" && uses "$scratch/two"

if command -v dpkg-deb >/dev/null && command -v dpkg-shlibdeps >/dev/null; then
  (cd "$scratch" && cpack -G DEB --config "$build/CPackConfig.cmake" -B "$scratch/package" >log 2>&1) ||
    complain "cpack: $(tail -5 "$scratch/log")"
  deb=$(ls "$scratch"/package/*.deb)
  dpkg-deb -x "$deb" "$scratch/root" || complain "the package does not unpack"
  uses "$scratch/root/usr"
  for field in 'Package: emberlap' 'Section: science' 'liblua5.4-0' 'libexpat1' 'libjansson4' 'libyaml-0-2'; do
    dpkg-deb -I "$deb" | grep -qF "$field" || complain "the package does not say: $field"
  done
fi
exit "$bad"
