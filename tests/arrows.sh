#!/bin/sh
# Rooms include only what they may.  Arguments, one a room: 'NAME:ROOMS IT NEEDS:HEADERS IT OWNS'
# A header include/borelay/H.h belongs to the room that lists H; vec.h belongs to nobody.
# A header src/ROOM/x.h is private to that room and its tests.
set -eu

for room in "$@"; do
  name=${room%%:*}
  files=$(find "src/$name" "tests/$name" -name '*.[ch]' 2>/dev/null || true)
  for header in ${room##*:}; do
    test -f "include/borelay/$header.h" && files="$files include/borelay/$header.h"
  done
  # shellcheck disable=SC2086
  test -z "$files" || grep -Hn '^ *# *include *"' $files | sed "s/^/$name /"
done | awk -v rooms="$(printf '%s;' "$@")" '
  BEGIN {
    count = split(rooms, list, ";")
    for (i = 1; i < count; i++) {
      split(list[i], part, ":")
      is_room[part[1]] = 1
      may[part[1], part[1]] = 1
      n = split(part[2], need, " ")
      for (k = 1; k <= n; k++) may[part[1], need[k]] = 1
      n = split(part[3], header, " ")
      for (k = 1; k <= n; k++) owner[header[k]] = part[1]
    }
  }
  {
    room = $1
    is_test = $2 ~ /^tests\//
    split($0, quoted, "\"")
    path = quoted[2]
    checked++
    split(path, step, "/")
    if (path ~ /^borelay\//) {
      sub(/\.(h|def)$/, "", step[2])
      if (step[2] == "vec") next
      if (!(step[2] in owner)) bad("no room owns " path)
      else if (!is_test && !may[room, owner[step[2]]]) bad("room " room " does not need room " owner[step[2]])
    } else if (path ~ /\.\./ || (is_room[step[1]] && step[1] != room && path ~ /\//)) {
      bad("private to another room")
    }
  }
  function bad(why) { print $2 " " path ": " why; failed++ }
  END { print "arrows: " (checked - failed) " passed, " (failed + 0) " failed"; exit failed > 0 }
'
