# SPDX-License-Identifier: Apache-2.0
"""systemd understands every line of the units, with the program that was built in its place.
units.py LASTLOOK UNITS"""
import os
import shutil
import subprocess
import sys
import tempfile

SKIPPED = 77
STANDS_IN = {"/usr/lib/xorg/Xorg": "/bin/true"}  # on a machine without a screen


def complaints(units):
    said = subprocess.run(["systemd-analyze", "verify", *units], capture_output=True, text=True)
    return said.stderr + (f"exit code {said.returncode}\n" if said.returncode else "")


def main():
    program, folder = sys.argv[1:3]
    if not shutil.which("systemd-analyze"):
        print("there is no systemd-analyze on this machine")
        sys.exit(SKIPPED)
    with tempfile.TemporaryDirectory() as place:
        units = []
        for name in sorted(os.listdir(folder)):
            if not name.endswith(".service"):
                continue
            with open(os.path.join(folder, name), encoding="utf-8") as unit:
                text = unit.read().replace("/opt/lastlook/lastlook", program)
            for there, here in STANDS_IN.items():
                text = text.replace(there, here)
            units.append(os.path.join(place, name))
            with open(units[-1], "w", encoding="utf-8") as unit:
                unit.write(text)
        assert len(units) == 2, units
        said = complaints(units)
        assert not said, said
        # And it would say if a line were wrong.
        with open(units[-1], "a", encoding="utf-8") as unit:
            unit.write("[Service]\nWatchdogSec=often\n")
        assert complaints(units), "a period that is none was taken"


main()
