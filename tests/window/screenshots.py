# SPDX-License-Identifier: Apache-2.0
"""Works the demo's kiosk and takes pictures.  screenshots.py LASTLOOK PLANT light|review|dark FOLDER"""
import os
import sys
import time

from by_hand import Kiosk


def take(kiosk, folder, name):
    time.sleep(0.5)
    kiosk.picture(os.path.join(folder, f"{name}.png"))


def keys(kiosk):
    return [target["key"] for target in kiosk.frame()["targets"]]


def sign_in(kiosk, pin):
    kiosk.wait_for_screen("sign_in")
    kiosk.touch(next(key for key in keys(kiosk) if key.startswith("person.")))
    for digit in pin:
        kiosk.touch(f"pin.{digit}")
    kiosk.touch("pin.done")
    kiosk.wait_for_screen("start")


def open_offered(kiosk):
    kiosk.wait_for_screen("waiting")
    kiosk.touch("offered")
    kiosk.wait_for("an open look", lambda frame: frame["screen"] in ("look", "returned"))
    if kiosk.frame()["screen"] == "returned":
        kiosk.touch("returned.same")
        kiosk.wait_for_screen("look")
    time.sleep(1.5)  # the camera's opinion


def answer_all(kiosk):
    while kiosk.frame()["screen"] == "look":
        kiosk.touch("answer.conforming")


def find(kiosk):
    """One finding at the second step, its place touched on the picture."""
    kiosk.touch("answer.conforming")
    kiosk.touch("answer.nonconforming")
    yield "defect"
    kiosk.touch(next(key for key in keys(kiosk) if key.startswith("defect.")))
    kiosk.touch("picture", (0.11, 0.35))
    answer_all(kiosk)


def light(kiosk, folder):
    kiosk.wait_for_screen("sign_in")
    take(kiosk, folder, "sign-in")
    sign_in(kiosk, "2101")
    kiosk.touch("start.go")
    kiosk.target("offered")
    take(kiosk, folder, "waiting")
    open_offered(kiosk)
    for _ in range(4):
        kiosk.touch("answer.conforming")
    take(kiosk, folder, "look")
    answer_all(kiosk)
    kiosk.touch("close.accept")
    kiosk.wait_for_screen("closed")
    take(kiosk, folder, "accepted")
    kiosk.touch("next_unit")
    open_offered(kiosk)
    for name in find(kiosk):
        take(kiosk, folder, name)
    kiosk.wait_for_screen("verdict")
    take(kiosk, folder, "verdict")
    kiosk.touch("close.rework")
    kiosk.touch("next_unit")


def review(kiosk, folder):
    """After a whole shift."""
    sign_in(kiosk, "2101")
    kiosk.touch("start.go")
    kiosk.touch("review")
    take(kiosk, folder, "review")
    kiosk.touch("review.back")


def dark(kiosk, folder):
    # The one before ended while signed in: the station opens where it was.
    kiosk.wait_for_screen("waiting")
    open_offered(kiosk)
    take(kiosk, folder, "look-dark")


def main():
    program, plant, part, folder = sys.argv[1:5]
    theme = "dark" if part == "dark" else "light"
    arguments = ["demo", "--dir", plant, "--window", "1280x800", "--theme", theme]
    kiosk = Kiosk(program, arguments, f"{plant}.trace.jsonl", patience_s=120)
    try:
        {"light": light, "review": review, "dark": dark}[part](kiosk, folder)
    finally:
        kiosk.close()


main()
