#!/bin/sh
# The files named become one C source that holds their bytes: src/report/assets.h.
set -eu

echo '/* Made by src/report/embed.sh. */'
echo '#include "report/assets.h"'
number=0
for file in "$@"; do
  number=$((number + 1))
  echo "static const unsigned char ASSET_$number[] = {"
  od -An -v -tu1 "$file" | sed 's/  */,/g; s/^,//; s/$/,/'
  echo '};'
done
echo 'const struct asset REPORT_ASSETS[] = {'
number=0
for file in "$@"; do
  number=$((number + 1))
  echo "    {\"$(basename "$file")\", ASSET_$number, sizeof ASSET_$number},"
done
echo '};'
echo 'const size_t REPORT_ASSET_COUNT = sizeof REPORT_ASSETS / sizeof REPORT_ASSETS[0];'
