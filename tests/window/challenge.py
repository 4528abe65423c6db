# SPDX-License-Identifier: Apache-2.0
"""The demo's kiosk proves its camera by touch, then gives an opinion; the rows read back from
SQLite.  challenge.py LASTLOOK"""
import os
import sqlite3
import sys
import tempfile

from by_hand import Kiosk


def rows(folder, query):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query).fetchall()


def opinions(folder):
    return rows(folder, "SELECT count(*) FROM entry WHERE kind = 'opinion_given'")[0][0]


def prove(kiosk):
    """The line's camera shows the four challenge parts first."""
    for _ in range(4):
        kiosk.wait_for_screen("waiting")
        kiosk.target("proofs")  # says that the proof is due
        kiosk.touch("offered")
        kiosk.wait_for_screen("judged")
        kiosk.touch("judged.go_on")
    kiosk.wait_for("the proof held", lambda frame: frame["screen"] == "waiting" and not any(
        target["key"] == "proofs" for target in frame["targets"]))


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "demo")
        kiosk = Kiosk(program, ["demo", "--dir", folder, "--window", "1280x800"],
                      os.path.join(place, "trace.jsonl"), patience_s=120)
        try:
            kiosk.sign_in("p-6b1e40c7", "2101")  # it starts locked
            looks = rows(folder, "SELECT count(*) FROM look")
            prove(kiosk)
            parts = rows(folder, "SELECT state, unmet, proof FROM showing ORDER BY shown_us")
            assert [(state, unmet) for state, unmet, _ in parts] == [("judged", 0)] * 4, parts
            assert sorted(proof for _, _, proof in parts) == ["begun", "begun", "held", "held"], parts
            assert rows(folder, "SELECT count(*) FROM look") == looks, "a part became a look"
            assert opinions(folder) == 0
            kiosk.touch("offered")
            kiosk.wait_for_screen("look")
            kiosk.wait_for("an opinion on record", lambda frame: opinions(folder) == 1)
            for frame in kiosk.frames():
                assert "does_not_fit" not in frame, frame
        finally:
            kiosk.close()


main()
