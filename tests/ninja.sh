#!/bin/sh
# A library of programs under ninja, each an edge of its own: everything once, then nothing, then
# after a shared procedure file was touched just its users.
# Arguments: the program, a folder to work in, how many programs.
set -eu

program=$1
folder=$2
count=$3
rm -rf "$folder"
mkdir -p "$folder"
cp tests/cli/jobs/shop.lay "$folder/shop.lay"
for kind in a b; do
  printf 'use "shop.lay" as w\nprocedure steady like w.steady { current 20%d A }\n' \
    "$(test $kind = a && echo 1 || echo 2)" >"$folder/proc_$kind.lay"
done

{
  echo 'rule lay'
  echo "  command = $program compile -q \$in -o \$out --depfile \$out.d"
  echo '  depfile = $out.d'
  echo '  deps = gcc'
} >"$folder/build.ninja"
i=0
while [ "$i" -lt "$count" ]; do
  # every fourth program uses procedure b
  kind=$(test $((i % 4)) -eq 0 && echo b || echo a)
  cat >"$folder/bore_$i.lay" <<LAY
use "proc_$kind.lay" as p
use "shop.lay" as w
shape seal round { diameter $((110 + i % 50)) mm }
envelope block { free seal { depths 0 .. 120 mm } }
overlay ring_wall { wall seal; depths 40 .. 48 mm; procedure p.steady; overlap 25 % }
job "bore $i" { cell w.bench; envelope block; at (10, 20, 150) mm; safe_height 40 mm }
LAY
  echo "build bore_$i.csv: lay bore_$i.lay" >>"$folder/build.ninja"
  i=$((i + 1))
done

expect() { # what ninja should do, its last line should hold
  ninja -C "$folder" >"$folder/said" 2>&1 || { cat "$folder/said"; exit 1; }
  tail -n 1 "$folder/said" | grep -qF "$2" || {
    echo "ninja: $1: wanted \"$2\", got:"
    tail -n 3 "$folder/said"
    exit 1
  }
}
expect 'everything' "[$count/$count]"
expect 'a second time' 'no work to do'
sleep 1.1 # a file system may tell times in whole seconds
touch "$folder/proc_b.lay"
users=$(((count + 3) / 4))
expect 'after a shared file was touched' "[$users/$users]"
expect 'and again' 'no work to do'
rm -rf "$folder"
echo "ninja: $count programs built once, none twice, $users again: 4 passed, 0 failed"
