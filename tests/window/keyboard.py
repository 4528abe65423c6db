# SPDX-License-Identifier: Apache-2.0
"""One good and one bad unit by the keyboard alone, and what must answer nothing: a scanner's burst, Enter,
Tab, Space, a key that is held down.  keyboard.py LASTLOOK MAKE_STATION"""
import os
import sqlite3
import subprocess
import sys
import tempfile
import time

from by_hand import Kiosk

REST_S = 0.45  # a burst's pause, the time in which a touch is not meant twice, and some


def press(*keys):
    subprocess.run(["xdotool", "key", *keys], check=True)


class Keys:
    """Finds a way by the focus that the program says it shows."""

    def __init__(self, kiosk):
        self.kiosk = kiosk

    def focus(self):
        return self.kiosk.frame().get("focus")

    def arrow(self, key):
        before = self.kiosk.frame()["frame"]
        press(key)
        self.kiosk.wait_for("a frame after the key", lambda frame: frame["frame"] > before + 1)
        return self.focus()

    def go_to(self, key):
        """The arrow that the goal lies in most, and where that leads back the other."""
        goal = middle(self.kiosk.target(key))
        at, been = self.focus() or self.arrow("Home"), set()
        while at != key:
            assert len(been) < 40, f"no way by arrow keys to {key}; was at {been}"
            been.add(at)
            x, y = (there - here for there, here in zip(goal, middle(self.kiosk.target(at))))
            arrows = ["Right" if x > 0 else "Left", "Down" if y > 0 else "Up"]
            for arrow in arrows if abs(x) > abs(y) else reversed(arrows):
                at = self.arrow(arrow)
                if at not in been:
                    break

    def touch(self, key):
        if self.focus() != key:
            self.go_to(key)
        press("F5")
        time.sleep(REST_S)


def middle(target):
    return target["x"] + target["w"] / 2, target["y"] + target["h"] / 2


def answer(key):
    press(key)
    time.sleep(REST_S)


def scan(kiosk, code):
    kiosk.scan(code)
    kiosk.wait_for_screen("look")
    time.sleep(REST_S)  # what comes right after a burst is a part of it


def answers(folder):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute("SELECT count(*) FROM entry WHERE kind = 'step_answered'").fetchone()[0]


def sign_in(kiosk, keys):
    kiosk.wait_for_screen("sign_in")
    press("F5", "F9", "Return", "Tab", "space")  # there is no focus yet, and no answer
    time.sleep(REST_S)
    keys.touch("person.p-ada")
    for digit in "2100":
        keys.touch(f"pin.{digit}")
    keys.touch("pin.done")
    screen = "sign_in"
    while screen != "waiting":
        before = screen
        screen = kiosk.wait_for("what comes after signing in", lambda frame: frame["screen"] != before
                                and frame["screen"])
        if screen != "waiting":
            keys.touch(f"{screen}.go")


def good_unit(kiosk, keys):
    scan(kiosk, "CP210-26330-00417")
    for step in range(9):
        assert kiosk.frame()["screen"] == "look", f"at the verdict after {step} answers"
        answer("F9")
    keys.touch("answer.conforming")  # the tenth by the focus
    kiosk.wait_for_screen("verdict")
    answer("F9")
    answer("F10")
    answer("F5")  # the focus was forgotten with the screen
    assert kiosk.frame()["screen"] == "verdict", "a key that answers steps closed the look"
    keys.touch("close.accept")
    kiosk.wait_for_screen("closed")


def bad_unit(kiosk, keys, folder):
    scan(kiosk, "CP210-26330-00418")
    answer("F9")
    answer("F10")
    keys.touch("defect.seal_missing")
    keys.touch("place.none")
    refuses(kiosk, keys, folder)
    while kiosk.frame()["screen"] == "look":
        answer("F9")
    kiosk.wait_for_screen("verdict")
    keys.touch("close.rework")
    kiosk.wait_for_screen("closed")


def call_help(kiosk, keys):
    """From a screen that has no target for it."""
    press("F1")
    kiosk.wait_for_screen("help")
    keys.touch("help.here")
    kiosk.wait_for_screen("closed")


def refuses(kiosk, keys, folder):
    """On the third step, with the focus on an answer."""
    time.sleep(REST_S)
    keys.go_to("answer.conforming")
    before = answers(folder)

    def expect(more, what):
        time.sleep(REST_S)
        assert answers(folder) == before + more, f"{what} answered {answers(folder) - before}"
        assert kiosk.frame()["screen"] == "look", what

    # Another unit's code, and what a scanner may end it with.
    kiosk.scan("CP210-26330-00417")
    press("Tab", "Return", "KP_Enter", "space", "Return")
    expect(0, "a scanner's burst")
    # A scanner that sends the separators of a code as function keys.
    run = ["xdotool"]
    for part in ("F9", "0", "6", "F9", "1", "F5", "F10", "Return"):
        run += ["key", part]
    subprocess.run(run, check=True)
    expect(0, "function keys in a burst")
    # With a hand that rests on it.
    subprocess.run(["xdotool", "keydown", "F5"], check=True)
    time.sleep(2.5)
    subprocess.run(["xdotool", "keyup", "F5"], check=True)
    expect(1, "F5 that was held down")
    subprocess.run(["xdotool", "keydown", "F9"], check=True)
    time.sleep(2.5)
    subprocess.run(["xdotool", "keyup", "F9"], check=True)
    expect(2, "F9 that was held down")
    # A finger takes the focus away.
    kiosk.touch("park")
    kiosk.touch("park.back")
    answer("F5")
    expect(2, "F5 after a touch")


def check_focus_is_seen(kiosk, keys, place):
    """What changes on the screen when the focus comes are its outline's pixels, round its target alone."""
    kiosk.picture(os.path.join(place, "before.png"))
    focus = kiosk.target(keys.arrow("Home"))
    kiosk.picture(os.path.join(place, "after.png"))
    changed = subprocess.run(
        ["convert", os.path.join(place, "before.png"), os.path.join(place, "after.png"), "-compose",
         "difference", "-composite", "-threshold", "0", "-trim", "-format", "%w %h %X %Y", "info:"],
        check=True, capture_output=True, text=True).stdout.split()
    w, h, x, y = (int(number) for number in changed)
    assert 0 < focus["x"] - x < 12 and 0 < focus["y"] - y < 12, (changed, focus)
    assert 0 < w - focus["w"] < 24 and 0 < h - focus["h"] < 24, (changed, focus)


def check_rows(folder):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        looks = dict(records.execute("SELECT serial, disposition FROM look").fetchall())
        findings = records.execute("SELECT component, defect, place_x FROM finding").fetchall()
    assert looks == {"26330-00417": "accept", "26330-00418": "rework"}, looks
    assert findings == [("seal", "seal_missing", None)], findings
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        calls = records.execute("SELECT came_us >= called_us FROM help_call").fetchall()
    assert calls == [(1,)], calls
    assert answers(folder) == 20, f"{answers(folder)} answers on file"


def main():
    program, make_station = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "LL-1")
        subprocess.run([make_station, folder], check=True)
        kiosk = Kiosk(program, ["kiosk", "--dir", folder, "--window", "1280x800", "--mm-per-px", "0.2"],
                      os.path.join(place, "trace.jsonl"))
        keys = Keys(kiosk)
        try:
            sign_in(kiosk, keys)
            check_focus_is_seen(kiosk, keys, place)
            good_unit(kiosk, keys)
            bad_unit(kiosk, keys, folder)
            call_help(kiosk, keys)
        finally:
            kiosk.close()
        check_rows(folder)


main()
