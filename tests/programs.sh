#!/bin/sh
# The programs as a library to learn from: docs/programs.md names every file of programs/ and no other;
# each begins with what it is, a whole job with what it shows; and every key, every word of a key's table
# and every function of the language stands in one of them at least.
set -eu
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0
passed=0

fault() {
  echo "$1"
  failed=$((failed + 1))
}

ls programs/*.lay | sed 's|.*/||' | sort >"$scratch/files"
grep -o '[a-z_0-9]*\.lay' docs/programs.md | sort -u >"$scratch/page"
diff "$scratch/files" "$scratch/page" || fault "docs/programs.md does not name the files of programs/"

for file in programs/*.lay; do
  head -1 "$file" | grep -q '^# [A-Z]' || fault "$file does not begin with what it is"
  if grep -qE '^ *job +"' "$file" && ! grep -q '^# Shows: ' "$file"; then
    fault "$file does not say what it shows"
  fi
  passed=$((passed + 1))
done

# What comments say does not count.
sed 's/#.*//' programs/*.lay >"$scratch/text"
words() { # of the tables of keys, and of functions
  sed -n 's/.*\.name = "\([a-z_0-9]*\)".*/\1/p' src/resolve/keys_*.c
  echo sqrt atan2 max | tr ' ' '\n'
  echo spiral stepped rings round racetrack rectangle outline leading trailing deeper shallower clockwise | tr ' ' '\n'
  echo param range let like use as auto endless | tr ' ' '\n'
}
for word in $(words | sort -u); do
  grep -qw -- "$word" "$scratch/text" || fault "no program has \`$word\`"
  passed=$((passed + 1))
done
echo "programs: $passed passed, $failed failed"
test "$failed" -eq 0
