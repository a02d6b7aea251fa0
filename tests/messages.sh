#!/bin/sh
# Every code of include/borelay/diag_codes.def stands in docs/messages.md with the same words, and no other
# does; every code is used in src/.
set -eu
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
sed -n -e 's/^DIAG([A-Z_0-9]*, \([0-9]*\), "\(.*\)")$/E \1 \2/p' \
  -e 's/^DIAG_W([A-Z_0-9]*, \([0-9]*\), "\(.*\)")$/W \1 \2/p' include/borelay/diag_codes.def |
  sed 's/\\"/"/g' | awk '{ s = $1; n = $2; sub(/^. [0-9]* /, ""); printf "%s%04d | %s |\n", s, n, $0 }' | sort >"$scratch/codes"
sed -n 's/^| \([EW][0-9][0-9][0-9][0-9] | .*\)$/\1/p' docs/messages.md | sort >"$scratch/page"
failed=0
diff "$scratch/codes" "$scratch/page" || failed=1
for name in $(sed -n -e 's/^DIAG(\([A-Z_0-9]*\),.*/\1/p' -e 's/^DIAG_W(\([A-Z_0-9]*\),.*/\1/p' include/borelay/diag_codes.def); do
  grep -rqE "DIAG_$name\b" src || { echo "DIAG_$name is used nowhere"; failed=1; }
done
test "$failed" -eq 0 && echo "$(wc -l <"$scratch/codes") passed, 0 failed" || { echo "0 passed, 1 failed"; exit 1; }
