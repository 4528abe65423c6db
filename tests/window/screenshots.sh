#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes the pictures of the README from the real program, worked by hand on the demo's plant.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
out=${1:-assets/screenshots}
mkdir -p "$out"
plant=$(mktemp -d)
trap 'rm -rf "$plant"' EXIT
in_display() { xvfb-run -a -s "-screen 0 1280x800x24" python3 tests/window/screenshots.py "$@"; }
in_display build/lastlook "$plant/demo" light "$out"
build/lastlook demo --dir "$plant/demo" --headless >"$plant/shift.txt"
in_display build/lastlook "$plant/demo" review "$out"
in_display build/lastlook "$plant/demo" dark "$out"
# Flat areas and one photograph: 256 colours are plenty, and a tenth of the size.
mogrify -dither None -colors 200 "$out"/*.png
