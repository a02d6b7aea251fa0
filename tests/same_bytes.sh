#!/bin/sh
# Compiles every job in programs/ with several builds of the program and compares the bytes.  A job
# that is refused on purpose must be refused by each in the same words: its JOB.expected.txt.
# Arguments: the builds.
# Each build also gets another locale, time zone and working folder, which must not matter either.
set -eu

jobs=$(grep -lE '^ *job +"' programs/*.lay)
passed=0
failed=0

compile() { # build number, build, job
  case $1 in
  1) "$2" compile -q "$3" -o - ;;
  2) LC_ALL=de_DE.UTF-8 TZ=Asia/Kolkata "$2" compile -q "$3" -o - ;;
  *) (cd programs && LC_ALL=C.UTF-8 "$2" compile -q "$(basename "$3")" -o -) ;;
  esac
}

refuse() { # build, job
  (cd programs && "$1" compile -q "$(basename "$2")" -o - 2>&1) || true
}

for job in $jobs; do
  expected=${job%.lay}.expected.txt
  if [ -e "$expected" ]; then
    for build in "$@"; do
      build=$(cd "$(dirname "$build")" && pwd)/$(basename "$build")
      if refuse "$build" "$job" | cmp -s - "$expected"; then
        passed=$((passed + 1))
      else
        failed=$((failed + 1))
        echo "$job: $build says something else than $expected"
      fi
    done
    continue
  fi
  number=0
  first=
  for build in "$@"; do
    number=$((number + 1))
    build=$(cd "$(dirname "$build")" && pwd)/$(basename "$build")
    sum=$(compile $number "$build" "$job" | sha256sum) || sum=failed
    first=${first:-$sum}
    if [ "$sum" = "$first" ] && [ "$(printf '' | sha256sum)" != "$sum" ]; then
      passed=$((passed + 1))
    else
      failed=$((failed + 1))
      echo "$job: $build gives other bytes than $1"
    fi
  done
done
test "$passed" -gt 0 || failed=1
echo "same bytes: $passed passed, $failed failed"
test "$failed" -eq 0
