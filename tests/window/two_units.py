# SPDX-License-Identifier: Apache-2.0
"""One good and one bad unit through the real window, by touch and scanner, then the rows read back
from SQLite.  two_units.py LASTLOOK MAKE_STATION"""
import os
import sqlite3
import subprocess
import sys
import tempfile

from by_hand import Kiosk


def good_unit(kiosk):
    kiosk.scan("CP210-26330-00417")
    kiosk.wait_for_screen("look")
    touches = 0
    while kiosk.frame()["screen"] == "look":
        kiosk.touch("answer.conforming")
        touches += 1
    assert touches == 10, f"ten steps took {touches} touches"
    kiosk.wait_for_screen("verdict")
    # A scanner that fires now must not accept anything.
    kiosk.scan("CP210-26330-00417")
    kiosk.touch("notice")
    assert kiosk.frame()["screen"] == "verdict"
    kiosk.touch("close.accept")
    kiosk.wait_for_screen("closed")


def bad_unit(kiosk):
    kiosk.scan("CP210-26330-00418")  # from the verdict of the one before
    kiosk.wait_for_screen("look")
    kiosk.touch("answer.conforming")
    kiosk.touch("answer.nonconforming")
    kiosk.touch("defect.seal_missing")
    kiosk.touch("place.none")
    while kiosk.frame()["screen"] == "look":
        kiosk.touch("answer.conforming")
    kiosk.wait_for_screen("verdict")
    kiosk.touch("close.rework")
    kiosk.wait_for_screen("closed")


def rows(folder, query, *values):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query, values).fetchall()


def kinds(folder):
    return [kind for (kind,) in rows(folder, "SELECT kind FROM entry ORDER BY seq")]


def check_rows(folder):
    print(kinds(folder))
    looks = dict(rows(folder, "SELECT serial, disposition FROM look"))
    assert looks == {"26330-00417": "accept", "26330-00418": "rework"}, looks
    findings = rows(folder, "SELECT component, defect FROM finding")
    assert findings == [("seal", "seal_missing")], findings
    answered = kinds(folder).count("step_answered")
    assert answered == 20, f"{answered} answers on file"
    assert kinds(folder).count("look_closed") == 2


def check_drawing(kiosk):
    for frame in kiosk.frames():
        assert "does_not_fit" not in frame, frame
    times = sorted(f["touch_to_pixel_us"] for f in kiosk.frames() if "touch_to_pixel_us" in f)
    print(f"touch to pixel: median {times[len(times) // 2] / 1000:.0f} ms, "
          f"longest {times[-1] / 1000:.0f} ms, of {len(times)}")


def main():
    program, make_station = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "LL-1")
        subprocess.run([make_station, folder], check=True)
        # The camera that was set up is not there: the work goes on without it.
        kiosk = Kiosk(program, ["kiosk", "--dir", folder, "--pictures", os.path.join(place, "none"),
                                "--window", "1280x800", "--mm-per-px", "0.2"],
                      os.path.join(place, "trace.jsonl"))
        try:
            kiosk.touch("languages")
            kiosk.touch("language.de")
            kiosk.touch("languages")
            kiosk.touch("language.en")  # offered, so German was spoken
            kiosk.sign_in("p-ada", "2100")
            good_unit(kiosk)
            bad_unit(kiosk)
            check_drawing(kiosk)
        finally:
            kiosk.close()
        check_rows(folder)


main()
