#!/bin/bash
# SPDX-License-Identifier: MIT
# The layers use only what lies left of them, each foreign library has one place, and units are
# converted at the two doors. Usage: includes.sh SOURCE_DIR
set -euo pipefail
cd "$1/engine"
layers=(base num matter parts road brake heat drive study out host)
bad=0
complain() {
    echo "$1" >&2
    bad=1
}
awk -v order="${layers[*]}" '
    BEGIN { n = split(order, names, " "); for (i = 1; i <= n; i++) rank[names[i]] = i }
    function complain(text) { print FILENAME ": " text > "/dev/stderr"; bad = 1 }
    FNR == 1 {
        here = FILENAME
        sub("/.*", "", here)
        if (!(here in rank)) complain("its folder is not a layer; add it to the list in its place")
    }
    /^#include "/ {
        split($0, quoted, "\"")
        there = quoted[2]
        sub("/.*", "", there)
        if (!(there in rank)) complain("includes \"" quoted[2] "\", which is not layer/file.h")
        else if (rank[there] > rank[here])
            complain("includes \"" quoted[2] "\", to its right; move the code or turn the call round")
    }
    END { exit bad }
' */*.[ch] || bad=1
only() { # only HEADER PLACE
    local file
    for file in $(grep -l "#include <$1" -- */*.[ch] || true); do
        case $file in
        $2) ;;
        *) complain "$file: <$1> belongs to $2 alone" ;;
        esac
    done
}
only yaml.h 'parts/document.c'
only lua.h 'host/*'
only lauxlib.h 'host/*'
only jansson.h 'out/*'
only expat.h 'road/gpx.c'
# a factor such as 3.6 or 25.4e-3 or 6894.757 in the physics is a conversion in the wrong room
for file in $(grep -lE '\b(25\.4|0\.0254|0\.3048|0\.4536|0\.45359237|6894\.7[0-9]*|4\.4482[0-9]*|1\.609[0-9]*)\b' -- */*.[ch] || true); do
    case $file in
    parts/units* | out/units*) ;;
    *) complain "$file: a unit factor outside parts/units and out/units" ;;
    esac
done
exit $bad
