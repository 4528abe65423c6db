# SPDX-License-Identifier: Apache-2.0
"""Two inspectors rate an agreement study by touch in the real window, which is killed in the middle
and opened again, while results of tests come into the station's folder; then the rows are read back
from SQLite and the command line is asked what it came to.  study.py LASTLOOK SAMPLES"""
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile

from by_hand import Kiosk

truth = {"01": "conforming", "02": "nonconforming", "03": "conforming"}
good_file = ("serial,variant,test,result,value,measured\n"
             "26330-00999,CP-210,leak,passed,0.4 cm3/min,2026-11-20T06:12:03+01:00\n"
             "26330-00999,,functional,failed,,2026-11-20T06:14:03+01:00\n")
bad_file = ("serial,test,result,measured\n"
            "26330-00998,leak,passed,2026-11-20T06:12:03+01:00\n"
            "26330-00998,functional,perhaps,2026-11-20T06:14:03+01:00\n")


def rows(folder, query):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query).fetchall()


def has(key):
    return lambda frame: any(target["key"] == key for target in frame["targets"])


class Line:
    """A station with its people and its studies, made by the command line."""

    def __init__(self, program, folder, samples):
        self.program, self.folder = program, folder
        assets = os.path.join(os.path.dirname(os.path.dirname(samples)), "assets")
        made = self.ask("station", "make", "--name", "LL-1", "--engineer", "Emil Template", "--master",
                        os.path.join(assets, "plant", "coolant-pumps.json"), pin="4101")
        self.engineer = made["approved_by"]
        self.ina, self.ivo = (self.ask("people", "add", "--name", name, pin=pin)["id"]
                              for name, pin in (("Ina Example", "2101"), ("Ivo Example", "2102")))
        self.seen = self.plan("Seen", [f"{i},{i}.jpg" for i in ("07", "08")], "item,picture",
                              [self.ina], trials=1)
        self.seals = self.plan("Seals", [f"{i},{what}" for i, what in truth.items()], "item,reference",
                               [self.ina, self.ivo], trials=2)

    def ask(self, *arguments, pin=None):
        said = subprocess.run([self.program, *arguments, "--json", "--dir", self.folder], check=True,
                              input=pin and pin + "\n", capture_output=True, text=True)
        return json.loads(said.stdout)

    def plan(self, title, items, header, inspectors, trials):
        file = os.path.join(os.path.dirname(self.folder), "items.csv")
        with open(file, "w", encoding="utf-8") as out:
            out.write("\n".join([header, *items]) + "\n")
        people = [word for person in inspectors for word in ("--inspector", person)]
        return self.ask("study", "plan", file, "--title", title, "--trials", str(trials), *people,
                        "--approved-by", self.engineer, pin="4101")["study"]

    def ratings(self, study):
        return rows(self.folder, "SELECT person, trial, item, rating FROM study_rating WHERE study = "
                                 f"'{study}' ORDER BY nth")


def item_on_screen(kiosk):
    def find(frame):
        return next((t["key"] for t in frame["targets"] if t["key"].startswith("study.taken.")), None)

    return kiosk.wait_for("the next item", find).removeprefix("study.taken.")


def rate(kiosk, rating_of):
    """Rates the item that is asked for; returns what was touched."""
    item = item_on_screen(kiosk)
    assert not any(t["key"].startswith("study.rate.") for t in kiosk.frame()["targets"])
    kiosk.touch(f"study.taken.{item}")
    rating = rating_of(item)
    kiosk.touch(f"study.rate.{rating}")
    return item, rating


def put(folder, name, text):
    path = os.path.join(folder, "incoming", name)
    with open(path + ".part", "w", encoding="utf-8") as out:
        out.write(text)
    os.rename(path + ".part", path)


def take_in(kiosk, folder):
    """Results come from testers while somebody rates."""
    incoming = os.path.join(folder, "incoming")
    put(folder, "leak.csv", good_file)
    kiosk.wait_for("a file taken in",
                   lambda frame: os.path.exists(os.path.join(incoming, "taken", "leak.csv")))
    put(folder, "torn.csv", bad_file)
    refused = os.path.join(incoming, "refused", "torn.csv")
    kiosk.wait_for("a file refused", lambda frame: os.path.exists(refused))
    with open(refused + ".why.txt", encoding="utf-8") as why:
        assert "line 3, column 3 (result): expected passed or failed" in why.read()
    kiosk.touch("notice")
    found = rows(folder, "SELECT serial, test, passed FROM upstream_result ORDER BY test")
    assert found == [("26330-00999", "functional", 0), ("26330-00999", "leak", 1)], found
    assert kiosk.frame()["screen"] == "study_rate"


def ina_rates(kiosk, line, open_kiosk):
    """Right but for the last item, where she changes her mind. Killed with an item before her."""
    kiosk.sign_in(line.ina, "2101")
    touched = []

    def begin():
        kiosk.touch("study.rate")
        kiosk.wait_for_screen("study_rate")

    def rating_of(item):
        return "nonconforming" if len(touched) > 2 and item == "03" else truth[item]

    begin()
    touched.append(rate(kiosk, rating_of))
    take_in(kiosk, line.folder)
    touched.append(rate(kiosk, rating_of))
    before = item_on_screen(kiosk)
    kiosk.touch(f"study.taken.{before}")
    kiosk.process.kill()
    kiosk.process.wait(10)
    kiosk = open_kiosk()
    kiosk.sign_in(line.ina, "2101")  # it starts locked
    begin()
    assert item_on_screen(kiosk) == before, "it goes on with another item than it stopped at"
    kiosk.touch("study.later")
    kiosk.wait_for_screen("waiting")
    begin()
    while len(touched) < 6:
        touched.append(rate(kiosk, rating_of))
    kiosk.wait_for_screen("waiting")
    return kiosk, [(line.ina, 1 + i // 3, *one) for i, one in enumerate(touched)]


def pictures_rated(kiosk):
    kiosk.touch("study.rate")
    kiosk.wait_for_screen("study_rate")
    touched = [rate(kiosk, lambda item: "conforming") for _ in range(2)]
    kiosk.wait_for("no study left", lambda frame: frame["screen"] == "waiting"
                   and not has("study.rate")(frame))
    return touched


def next_person(kiosk, person, pin):
    kiosk.touch("sign_out")
    kiosk.touch("leave.yes")
    kiosk.sign_in(person, pin)


def ivo_rates(kiosk, line):
    """Lets everything pass."""
    next_person(kiosk, line.ivo, "2102")
    kiosk.touch("study.rate")
    touched = [rate(kiosk, lambda item: "conforming") for _ in range(6)]
    return [(line.ivo, 1 + i // 3, *one) for i, one in enumerate(touched)]


def engineer_looks(kiosk, line):
    assert not any(has("study.show")(frame) for frame in kiosk.frames()), "an inspector saw results"
    next_person(kiosk, line.engineer, "4101")
    kiosk.touch("study.show")
    kiosk.wait_for_screen("study_results")
    kiosk.touch(f"study.{line.seen}")
    kiosk.touch("study.back")
    kiosk.wait_for_screen("waiting")


def check_agreement(line):
    said = line.ask("agreement", "--study", line.seals)
    own = {one["inspector"]: one for one in said["self"]}
    assert abs(own[line.ina]["agree"] - 2 / 3) < 1e-9 and own[line.ivo]["agree"] == 1, own
    rates = {one["inspector"]: (one["miss_rate"], one["false_alarm_rate"])
             for one in said["with_reference"]}
    assert rates == {line.ina: (0, 0.25), line.ivo: (1, 0)}, rates


def main():
    program, samples = sys.argv[1], os.path.abspath(sys.argv[2])
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "LL-1")
        for label, name in (("07", "teach-002.jpg"), ("08", "check-022.jpg")):
            shutil.copy(os.path.join(samples, name), os.path.join(place, f"{label}.jpg"))
        line = Line(program, folder, samples)

        def open_kiosk():
            return Kiosk(program, ["kiosk", "--dir", folder, "--window", "1280x800", "--mm-per-px", "0.2"],
                         os.path.join(place, "trace.jsonl"), patience_s=60)

        kiosk = open_kiosk()
        try:
            kiosk, by_ina = ina_rates(kiosk, line, open_kiosk)
            seen = pictures_rated(kiosk)
            by_ivo = ivo_rates(kiosk, line)
            engineer_looks(kiosk, line)
            for frame in kiosk.frames():
                assert "does_not_fit" not in frame, frame
        finally:
            kiosk.close()
        assert line.ratings(line.seals) == by_ina + by_ivo, line.ratings(line.seals)
        for start in range(0, 12, 3):
            assert {item for _, _, item, _ in line.ratings(line.seals)[start:start + 3]} == set(truth)
        assert line.ratings(line.seen) == [(line.ina, 1, *one) for one in seen]
        assert rows(folder, "SELECT count(*) FROM look") == [(0,)], "an item became production"
        check_agreement(line)
        subprocess.run([program, "records", "verify", "--dir", folder], check=True,
                       stdout=subprocess.DEVNULL)


main()
