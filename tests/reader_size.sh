#!/bin/sh
# The reader library is small and leans on nothing: code and constants of all files stay under
# the limit, as size(1) counts them, and no symbol is left for a C library to provide.
# Arguments: bytes; an archive or object files of one target.
set -eu
most=$1
shift
bytes=$(size "$@" | awk '$1 ~ /^[0-9]+$/ { sum += $1 } END { print sum + 0 }')
size "$@"
# What position-independent code of 32 bits asks of its linker is no function.
foreign=$(nm -u "$@" | sed -n 's/^ *U //p' | grep -v -e '^borelay_' -e '^_GLOBAL_OFFSET_TABLE_$' || true)
test -z "$foreign" || { echo "reader: leans on $foreign"; exit 1; }
test "$bytes" -gt 0 && test "$bytes" -lt "$most" || { echo "reader: $bytes bytes, $most at most"; exit 1; }
echo "reader: $bytes of $most bytes: passed"
