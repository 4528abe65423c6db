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


def sign_in(kiosk):
    kiosk.sign_in("p-6b1e40c7", "2101")


def prove(kiosk, folder=None):
    """The line's camera shows the challenge parts first."""
    for part in range(4):
        kiosk.wait_for_screen("waiting")
        kiosk.touch("offered")
        kiosk.wait_for_screen("judged")
        if folder and part == 1:
            take(kiosk, folder, "challenge")
        kiosk.touch("judged.go_on")


def open_offered(kiosk):
    kiosk.wait_for_screen("waiting")
    kiosk.touch("offered")
    kiosk.wait_for("an open look", lambda frame: frame["screen"] in ("look", "together", "returned"))
    if kiosk.frame()["screen"] == "returned":
        kiosk.touch("returned.same")
        kiosk.wait_for("an open look", lambda frame: frame["screen"] in ("look", "together"))
    time.sleep(1.5)  # the camera's opinion


def find(kiosk):
    """The second sample lacks its third grommet: the finding at its step, placed by touch."""
    kiosk.touch("step.grommet_3")
    kiosk.touch("answer.nonconforming")
    # Where it was drawn to be answered first, the camera may have differed.
    yield "defect"
    kiosk.touch("defect.missing")
    kiosk.touch("picture", (0.69, 0.73))
    kiosk.answer_all()


def light(kiosk, folder):
    sign_in(kiosk)
    kiosk.touch("sign_out")
    kiosk.touch("leave.yes")
    kiosk.wait_for_screen("sign_in")
    take(kiosk, folder, "sign-in")
    sign_in(kiosk)
    kiosk.target("offered")
    take(kiosk, folder, "proof-due")
    prove(kiosk, folder)
    kiosk.wait_for_screen("waiting")
    kiosk.target("offered")
    take(kiosk, folder, "waiting")
    open_offered(kiosk)
    kiosk.touch("step.inlet_plug")
    take(kiosk, folder, "look")
    kiosk.touch("answer.conforming")
    while kiosk.frame()["screen"] == "look":
        kiosk.touch("answer.conforming")
    if kiosk.frame()["screen"] == "together":
        take(kiosk, folder, "together")
    kiosk.answer_all()
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
    sign_in(kiosk)
    kiosk.touch("review")
    take(kiosk, folder, "review")
    kiosk.touch("review.back")


def dark(kiosk, folder):
    sign_in(kiosk)
    prove(kiosk)
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


if __name__ == "__main__":
    main()
