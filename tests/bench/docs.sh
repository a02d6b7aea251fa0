#!/bin/sh
# Puts the benchmark's table, as it comes out now, between the two markers of a page, and its plot
# beside the page.  Arguments: the page without .md, then the benchmark with its arguments.
set -eu
page=$1.md plot=$1.svg
shift
table=$(mktemp)
trap 'rm -f "$table" "$table.page"' EXIT
"$@" --plot "$plot" >"$table"
awk -v table="$table" '
  /^<!-- end of the table -->$/ { inside = 0 }
  !inside { print }
  /^<!-- the table -->$/ {
    inside = found = 1
    print "```"
    while ((getline line <table) > 0) print line
    print "```"
  }
  END { exit !found }' "$page" >"$table.page"
cat "$table.page" >"$page"
