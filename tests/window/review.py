# SPDX-License-Identifier: Apache-2.0
"""The demo's supervisor reviews a shift by touch: from a bar to a unit and its picture, to what
really changed, to what waits, to a note for
the next shift and the reports of two; checked against rows and files.  review.py LASTLOOK"""
import os
import sqlite3
import subprocess
import sys
import tempfile

from by_hand import Kiosk


def rows(folder, query):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query).fetchall()


def keys(kiosk, begin):
    return [target["key"] for target in kiosk.frame()["targets"] if target["key"].startswith(begin)]


def colours_in(picture, area):
    """How many colours the middle of an area shows."""
    w, h = area["w"] * 0.4, area["h"] * 0.4
    x, y = area["x"] + area["w"] * 0.3, area["y"] + area["h"] * 0.3
    crop = f"{w:.0f}x{h:.0f}+{x:.0f}+{y:.0f}"
    said = subprocess.run(["convert", picture, "-crop", crop, "-format", "%k", "info:"], check=True,
                          capture_output=True, text=True)
    return int(said.stdout)


def drill_down(kiosk, folder, place):
    """The largest bar, a unit behind it that is told, its picture; and back the same way."""
    kiosk.wait_for_screen("review")
    kiosk.touch(keys(kiosk, "kind.")[0])
    kiosk.wait_for_screen("review_behind")
    story = keys(kiosk, "story.")[0]
    kiosk.touch(story)
    kiosk.wait_for_screen("review_story")
    look = story.split(".", 1)[1]
    findings = rows(folder, f"SELECT count(*) FROM finding WHERE look = '{look}' AND withdrawn = 0")
    assert findings[0][0] > 0, f"no finding in {look}"
    shot = os.path.join(place, "story.png")
    left = {"x": 0, "y": 60, "w": 800, "h": 560}  # of 1280x800: where the picture is

    def shows_picture(_):
        kiosk.picture(shot)
        return colours_in(shot, left) > 500

    kiosk.wait_for("the unit's picture", shows_picture)
    back = kiosk.target("review.back")
    kiosk.touch("review.back")
    kiosk.wait_for_screen("review_behind")
    assert kiosk.target("review.back") == back, "the way back has moved"
    kiosk.touch("review.back")
    kiosk.wait_for_screen("review")
    assert kiosk.target("review.back") == back, "the way back has moved"


def hand_over(kiosk, folder):
    """Whether the look works, what the next shift must know, the report as a file; of another shift
    too."""
    kiosk.touch("question.look")
    kiosk.wait_for_screen("review_look")
    kiosk.touch("question.next")
    kiosk.wait_for_screen("review_next")
    reports = os.path.join(folder, "reports")

    kiosk.touch("review.note")
    for key in ("L", "I", "D", "space", "7"):
        kiosk.touch("keypad." + key)
    kiosk.touch("keypad.done")
    kiosk.wait_for("the note on record", lambda _: rows(
        folder, "SELECT note FROM handover_note") == [("LID 7",)])

    def whole():  # not those still being written
        return [name for name in os.listdir(reports) if name.endswith(".html")]

    def write(count):
        kiosk.touch("review.report")
        kiosk.wait_for("the report", lambda _: os.path.isdir(reports) and len(whole()) == count)

    write(1)
    kiosk.touch("review.shift")
    kiosk.wait_for_screen("review_shifts")
    kiosk.touch(keys(kiosk, "shift.")[-1])
    kiosk.wait_for_screen("review_next")
    write(2)
    for name in whole():
        with open(os.path.join(reports, name), encoding="utf-8") as page:
            text = page.read()
        date = name.removeprefix("shift-")[:10]
        assert date in text and "Journal checked" in text, name


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "demo")
        subprocess.run([program, "demo", "--dir", folder, "--headless"], check=True,
                       stdout=subprocess.DEVNULL)
        kiosk = Kiosk(program, ["demo", "--dir", folder, "--window", "1280x800"],
                      os.path.join(place, "trace.jsonl"), patience_s=60)
        try:
            kiosk.sign_in("p-d0429b6e", "3101")
            entries = rows(folder, "SELECT count(*) FROM entry")
            kiosk.touch("review")
            drill_down(kiosk, folder, place)
            kiosk.touch("question.usual")
            kiosk.wait_for_screen("review_usual")
            kiosk.touch("usual.changes")
            kiosk.touch("review.back")
            kiosk.target("usual.changes")  # back at the shifts
            kiosk.touch("question.waiting")
            kiosk.wait_for_screen("review_waiting")
            waits = [look for (look,) in rows(
                folder, "SELECT look FROM waiting WHERE why <> 'second_look' ORDER BY since_us, look")]
            shown = [key.split(".", 1)[1] for key in keys(kiosk, "story.")]
            assert shown and shown == waits[:len(shown)], (shown, waits)
            hand_over(kiosk, folder)
            kiosk.touch("review.back")
            kiosk.wait_for_screen("waiting")
            noted = rows(folder, "SELECT count(*) FROM entry WHERE kind = 'handover_noted'")
            assert noted == [(1,)], noted
            after = rows(folder, "SELECT count(*) FROM entry")
            assert after[0][0] == entries[0][0] + 1, "but for the note a review writes no entry"
            for frame in kiosk.frames():
                assert "does_not_fit" not in frame, frame
        finally:
            kiosk.close()


main()
