#!/bin/sh
# SPDX-License-Identifier: CC0-1.0
# Renders the terminal box (56 renders of 10 to 20 s on two cores) and writes 394 labelled pictures:
#   sh make.sh FOLDER        renders stay in FOLDER/renders; pictures and labels go to FOLDER
# Needs: apt-get install blender python3-opencv python3-numpy python3-pil fonts-dejavu-core
set -e
here=$(cd "$(dirname "$0")" && pwd)
blender -b -P "$here/scene.py" -- --lights "$here/lights.json" --out "$1/renders"
python3 "$here/compose.py" --plan "$here/plan.json" --renders "$1/renders" --out "$1"
