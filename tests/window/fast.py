# SPDX-License-Identifier: Apache-2.0
"""A good unit the fast way, counted in touches: what is answered singly, then all the rest by one touch, then
the decision; and a call for help meanwhile. The rows are read back from SQLite.  fast.py LASTLOOK"""
import os
import sqlite3
import sys
import tempfile

from by_hand import Kiosk
from screenshots import open_offered, prove


def rows(folder, query, *values):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query, values).fetchall()


def call_help(kiosk):
    before = kiosk.frame()["screen"]
    kiosk.touch("help")
    kiosk.wait_for_screen("help")
    kiosk.touch("help.here")
    kiosk.wait_for_screen(before)


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as place:
        plant = os.path.join(place, "demo")
        kiosk = Kiosk(program, ["demo", "--dir", plant, "--window", "1280x800"],
                      os.path.join(place, "trace.jsonl"), patience_s=120)
        try:
            kiosk.sign_in("p-6b1e40c7", "2101")
            prove(kiosk)
            open_offered(kiosk)
            call_help(kiosk)
            touches = kiosk.answer_all()
            kiosk.wait_for_screen("verdict")
            kiosk.touch("close.accept")
            kiosk.wait_for_screen("closed")
            for frame in kiosk.frames():
                assert "does_not_fit" not in frame, frame
        finally:
            kiosk.close()
        (look, disposition), = rows(plant, "SELECT look, disposition FROM look ORDER BY closed_us DESC LIMIT 1")
        assert disposition == "accept", disposition
        answers = rows(plant, "SELECT component, together, drawn, opinion_shown FROM step_answer WHERE look = ?",
                       look)
        together = [row for row in answers if row[1]]
        singly = [row for row in answers if not row[1]]
        print(f"{len(answers)} components in {touches} touches, then the decision: {len(singly)} singly, "
              f"{len(together)} together")
        assert len(answers) == 10 and len(together) >= 2, answers
        assert "ground_strap" in [row[0] for row in singly], "it takes a hand"
        # A step that was asked twice, because the two differed, is one touch more.
        assert len(singly) + 1 <= touches <= 2 * len(singly) + 1, (touches, answers)
        for component, _, drawn, shown in answers:
            assert not (drawn and shown), f"{component}: drawn, and the opinion was shown"
        assert all(row[3] for row in together), together
        calls = rows(plant, "SELECT look, came_us >= called_us FROM help_call WHERE came_us > 0")
        assert calls == [(look, 1)], calls
        checks = rows(plant, "SELECT lux FROM viewing_check ORDER BY checked_us DESC LIMIT 1")
        assert checks == [(1200,)], checks


main()
