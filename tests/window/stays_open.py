# SPDX-License-Identifier: Apache-2.0
"""A kiosk that fills its monitor: nobody closes it but an administrator, a monitor that goes and
comes does not end it, a touch in the dark only makes light.  stays_open.py LASTLOOK MAKE_STATION"""
import json
import os
import re
import sqlite3
import subprocess
import sys
import tempfile
import time

from by_hand import Kiosk


def press(keys):
    subprocess.run(["xdotool", "key", keys], check=True)


def output():
    """The name of the X server's output, and whether it shows anything."""
    said = subprocess.run(["xrandr"], check=True, capture_output=True, text=True).stdout
    name, shows = re.search(r"^(\S+) connected( [0-9]+x)?", said, re.MULTILINE).groups()
    return name, bool(shows)


def refuses_to_close(kiosk):
    kiosk.wait_for_screen("sign_in")
    press("alt+F4")
    kiosk.touch("notice")
    press("Escape")
    kiosk.sign_in("p-ada", "2100")
    press("alt+F4")
    kiosk.touch("notice")
    assert kiosk.process.poll() is None


def unplug(name):
    # It is off, and then complains that a screen of no size cannot be.
    subprocess.run(["xrandr", "--output", name, "--off"], check=False, stderr=subprocess.DEVNULL)
    assert not output()[1], "the monitor is still there"
    time.sleep(1)


def outlives_its_monitor(kiosk):
    name, _ = output()
    widest = kiosk.frame()["targets"]
    unplug(name)
    assert kiosk.process.poll() is None, "it ended with its monitor"
    # Another one in its place, that shows less.
    small = "small 25 1024 1048 1184 1344 600 603 609 625".split()
    subprocess.run(["xrandr", "--newmode", *small], check=True)
    subprocess.run(["xrandr", "--addmode", name, "small"], check=True)
    subprocess.run(["xrandr", "--output", name, "--mode", "small"], check=True)
    kiosk.wait_for("all of it on the smaller monitor", lambda frame: frame["targets"] != widest and all(
        t["x"] + t["w"] <= 1024 and t["y"] + t["h"] <= 600 for t in frame["targets"]))
    unplug(name)
    subprocess.run(["xrandr", "--output", name, "--mode", "1280x800"], check=True)
    time.sleep(1)
    kiosk.scan("CP210-26330-00417")  # the scanner types into it again
    kiosk.wait_for_screen("look")


def answers(folder):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute("SELECT count(*) FROM entry WHERE kind = 'step_answered'").fetchone()[0]


def touch_in_the_dark_only_makes_light(kiosk, folder):
    kiosk.touch("answer.conforming")
    answered = answers(folder)
    place = kiosk.target("answer.conforming")
    x, y = (str(round(place[side] + place[size] / 2)) for side, size in (("x", "w"), ("y", "h")))
    kiosk.patience_s = 90
    kiosk.wait_for_screen("dark")
    kiosk.patience_s = 20
    subprocess.run(["xdotool", "mousemove", x, y, "click", "1"], check=True)
    kiosk.wait_for_screen("look")
    time.sleep(0.5)
    assert answers(folder) == answered, "a touch that was made in the dark answered a step"
    kiosk.touch("answer.conforming")
    assert answers(folder) == answered + 1


def administrator_closes(program, folder, trace):
    said = subprocess.run([program, "people", "add", "--json", "--dir", folder, "--name",
                           "Frieda Sample", "--role", "administrator"], input="5101\n", text=True,
                          check=True, capture_output=True).stdout
    kiosk = Kiosk(program, ["kiosk", "--dir", folder], trace)
    try:
        kiosk.sign_in(json.loads(said)["id"], "5101")
        press("alt+F4")
        assert kiosk.process.wait(20) == 0
    finally:
        kiosk.close()


def main():
    program, make_station = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as place:
        folder, other = os.path.join(place, "LL-1"), os.path.join(place, "LL-2")
        trace = os.path.join(place, "trace.jsonl")
        for station in (folder, other):
            subprocess.run([make_station, station], check=True)
        kiosk = Kiosk(program, ["kiosk", "--dir", folder, "--dark-after", "1"], trace)
        try:
            refuses_to_close(kiosk)
            outlives_its_monitor(kiosk)
            touch_in_the_dark_only_makes_light(kiosk, folder)
        finally:
            kiosk.close()
        administrator_closes(program, other, trace)


main()
