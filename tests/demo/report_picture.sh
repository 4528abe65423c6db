#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A picture of a shift's report as it prints, for the README:
#   tests/demo/report_picture.sh PLANT/shift-report.html OUT.png
# Needs chromium and pdftoppm (poppler-utils); says so where they are missing.
set -euo pipefail
report=$(realpath "$1")
out=$2
for program in chromium pdftoppm; do
  command -v "$program" >/dev/null || { echo "report_picture: $program is not installed" >&2; exit 2; }
done
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
chromium --headless --no-sandbox --disable-gpu --no-pdf-header-footer \
  --print-to-pdf="$folder/report.pdf" "file://$report" 2>/dev/null
pdftoppm -r 80 -f 1 -l 1 -singlefile -png "$folder/report.pdf" "${out%.png}"
