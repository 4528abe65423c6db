# SPDX-License-Identifier: Apache-2.0
"""Works the real kiosk as a person does: looks at what is drawn (the program's trace), touches it
and scans with the X server's own pointer and keyboard (xdotool)."""
import json
import os
import subprocess
import time


def next_answer(frame):
    keys = [target["key"] for target in frame["targets"]]
    if frame["screen"] == "look":
        return "answer.conforming" if "answer.conforming" in keys else None
    if frame["screen"] == "together":
        return "together.all" if "together.all" in keys else None
    return "done"


class Kiosk:
    def __init__(self, program, arguments, trace, patience_s=20.0):
        self.trace = trace
        self.patience_s = patience_s
        if os.path.exists(trace):
            os.remove(trace)
        # No tone on the machine that tests, unless it asks for one.
        environment = {"ALSOFT_DRIVERS": "null", **os.environ, "LASTLOOK_TRACE": trace}
        self.process = subprocess.Popen([program, *arguments], env=environment)

    def frames(self):
        if not os.path.exists(self.trace):
            return []
        with open(self.trace, encoding="utf-8") as lines:
            return [json.loads(line) for line in lines if line.endswith("\n")]

    def frame(self):
        frames = self.frames()
        return frames[-1] if frames else {"frame": 0, "screen": "", "targets": []}

    def wait_for(self, what, condition):
        end = time.monotonic() + self.patience_s
        while time.monotonic() < end:
            if self.process.poll() is not None:
                raise SystemExit(f"the kiosk ended by itself ({self.process.returncode})")
            frame = self.frame()
            found = condition(frame)
            if found:
                return found
            time.sleep(0.02)
        keys = [target["key"] for target in self.frame()["targets"]]
        raise SystemExit(f"waited in vain for {what}; on screen '{self.frame()['screen']}': {keys}")

    def wait_for_screen(self, screen):
        return self.wait_for(f"screen {screen}", lambda frame: frame["screen"] == screen and frame)

    def target(self, key):
        def find(frame):
            return next((t for t in frame["targets"] if t["key"] == key), None)

        return self.wait_for(f"target {key}", find)

    def touch(self, key, at=(0.5, 0.5)):
        target = self.target(key)
        before = self.frame()["frame"]
        x = round(target["x"] + at[0] * target["w"])
        y = round(target["y"] + at[1] * target["h"])
        run = ["xdotool", "mousemove", str(x), str(y)]
        subprocess.run(run, check=True)
        subprocess.run(["xdotool", "click", "1"], check=True)
        self.wait_for("a frame after the touch", lambda frame: frame["frame"] >= before + 3)
        time.sleep(0.25)  # longer than what counts as hitting twice

    def drag(self, key, begin, end):
        """Puts the finger down in a target, moves it, lifts it; places as fractions of it."""
        target = self.target(key)
        before = self.frame()["frame"]
        run = ["xdotool"]
        steps = 4
        for i in range(steps + 1):
            x, y = (round(target[side] + (a + (b - a) * i / steps) * target[size])
                    for side, size, a, b in (("x", "w", begin[0], end[0]), ("y", "h", begin[1], end[1])))
            run += ["mousemove", str(x), str(y)] + (["mousedown", "1"] if i == 0 else ["sleep", "0.05"])
        subprocess.run(run + ["mouseup", "1"], check=True)
        self.wait_for("a frame after the drag", lambda frame: frame["frame"] >= before + 3)
        time.sleep(0.25)  # longer than what counts as hitting twice

    def scan(self, code):
        subprocess.run(["xdotool", "type", "--delay", "4", code], check=True)
        subprocess.run(["xdotool", "key", "Return"], check=True)

    def sign_in(self, person, pin, to="waiting"):
        """Comes to the waiting screen, or to one before it, also where the program started locked."""
        self.wait_for_screen("sign_in")
        self.touch(f"person.{person}")
        for digit in pin:
            self.touch(f"pin.{digit}")
        self.touch("pin.done")
        self.touch_past(("start", "handover", "viewing"), to)

    def check_place(self, lux=1200):
        """The place of the look, as it should be."""
        self.touch("viewing.lamp.yes")
        self.touch("viewing.lux")
        for digit in str(lux):
            self.touch(f"keypad.{digit}")
        self.touch("keypad.done")
        self.touch("viewing.distance.yes")
        self.touch("viewing.go")

    def answer_all(self):
        """What is left of the open look, as conforming, the fast way where it is offered; how many touches."""
        touches = 0
        while True:
            key = self.wait_for("a step or the verdict", next_answer)
            if key == "done":
                return touches
            self.touch(key)
            touches += 1

    def touch_past(self, screens, to):
        """What comes between, whichever does: each has one way on."""
        while True:
            screen = self.wait_for(f"screen {to}", lambda frame: frame["screen"] in (*screens, to)
                                   and frame["screen"])
            if screen == to:
                return
            if screen == "viewing":
                self.check_place()
            else:
                self.touch(f"{screen}.go")

    def picture(self, file):
        subprocess.run(["import", "-window", "root", file], check=True)

    def close(self):
        self.process.terminate()
        self.process.wait(10)
