#!/bin/sh
# The loop of docs/reader.md, at most 30 lines, drives a machine on paper.
# Arguments: the program borelay; the loop linked with that machine; the loop's source.
set -eu
borelay=$1
machine=$2
loop=$3
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
lines=$(sed -n '/^bool machine_runs.*{/,/^}/p' "$loop" | wc -l)
passed=0

expect() { # the line to come, stream, event, number
  got=$("$machine" "$2" "$3" "$4") || { echo "reader example: $3 $4 of $2: $got"; exit 1; }
  case $got in
  $1) passed=$((passed + 1)) ;;
  *) echo "reader example: $3 $4 of $2: wanted $1, got $got"; exit 1 ;;
  esac
}

test "$lines" -le 30 || { echo "reader example: $lines lines, 30 at most"; exit 1; }
for kind in csv spt; do
  stream=$scratch/stream.$kind
  "$borelay" compile -q tests/example/rings.lay -o "$stream"
  rows=$(sed -n 's/^# rows //p' "$scratch/stream.csv")
  bytes=$(wc -c <"$stream")
  expect "ran rows $rows touches 2 waits 1 arc 0" "$stream" whole 0
  expect "stopped rows *" "$stream" cut $((bytes - 1))
  expect "stopped rows *" "$stream" cut $((bytes / 2))
  expect "stopped rows 0 touches 0 waits 0 arc 0" "$stream" cut 0
  expect "stopped rows * waits *" "$stream" flip $((bytes / 2))
  expect "stopped rows 0 *" "$stream" flip 20
  expect "stopped rows 700 *" "$stream" stop 700
  expect "stopped rows * touches 2 waits 1 arc 0" "$stream" wall 2
  expect "stopped rows 0 *" "$stream" refuse 0
done
"$borelay" compile -q --rehearse tests/example/rings.lay -o "$scratch/rehearsal.spt"
expect "stopped rows 0 *" "$scratch/rehearsal.spt" whole 0
echo "reader example: $passed passed, 0 failed"
