# SPDX-License-Identifier: Apache-2.0
"""The quality engineer teaches the camera by touch in the real window: a reference, two components
marked with a finger, good and bad pictures, the contact sheet, the approval; then the proof, and a
unit is judged with the new model.  teach.py LASTLOOK MAKE_STATION SAMPLES"""
import csv
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile

from by_hand import Kiosk

# In the order in which they come under the camera.
pictures = ["reference.jpg",                                  # a good one
            "teach-002.jpg", "teach-003.jpg", "teach-010.jpg",  # good ones under three lights
            "check-021.jpg", "check-022.jpg",                  # without inlet cap; without lid
            "check-034.jpg", "check-015.jpg",                  # the challenge parts
            "check-045.jpg"]                                   # a unit


def rows(folder, query):
    with sqlite3.connect(f"file:{folder}/records.db?mode=ro", uri=True) as records:
        return records.execute(query).fetchall()


def bodies(folder, kind):
    return [json.loads(body) for (body,) in
            rows(folder, f"SELECT body FROM entry WHERE kind = '{kind}' ORDER BY seq")]


def labels(folder):
    path = os.path.join(folder, "teaching", "labels.csv")
    if not os.path.exists(path):
        return []
    with open(path, encoding="utf-8") as file:
        return list(csv.DictReader(file))


def has(key):
    return lambda frame: any(target["key"] == key for target in frame["targets"])


def mark(kiosk, component, box):
    """box: x, y, w, h as fractions of the reference."""
    x, y, w, h = box
    kiosk.drag("picture", (x, y), (x + w, y + h))
    kiosk.touch(f"name.{component}")
    kiosk.touch("mark.done")


def take(kiosk, folder, shots):
    """Until so many pictures are on file; a touch that comes before the camera's next picture is
    told so and may be repeated."""
    def taken():
        return len({row["file"] for row in labels(folder)}) >= shots
    while not taken():
        kiosk.touch("teach.take")
        kiosk.wait_for("an answer", lambda frame: taken() or has("notice")(frame))


def teach(kiosk, folder):
    kiosk.touch("teach")
    kiosk.wait_for_screen("teach_home")
    kiosk.touch("teach.CP-210")
    kiosk.wait_for_screen("teach_reference")
    while kiosk.frame()["screen"] == "teach_reference":
        kiosk.touch("teach.take")
        kiosk.wait_for("an answer", lambda frame: frame["screen"] != "teach_reference"
                       or has("notice")(frame))
    kiosk.wait_for_screen("teach_mark")
    mark(kiosk, "lid", (0.196, 0.243, 0.284, 0.240))
    mark(kiosk, "inlet_plug", (0.68, 0.26, 0.141, 0.185))
    kiosk.touch("mark.go_on")
    kiosk.wait_for_screen("teach_shoot")
    take(kiosk, folder, 1)


def go_on(kiosk, folder):
    """After the program was killed: it starts locked, and goes on where the folder is."""
    kiosk.sign_in("p-emil", "4101")
    kiosk.touch("teach")
    kiosk.wait_for_screen("teach_home")
    kiosk.target("teach.afresh")  # the folder has been read
    kiosk.touch("teach.CP-210")
    kiosk.wait_for_screen("teach_shoot")
    for _ in range(2):  # its camera shows the first picture again
        kiosk.touch("teach.next_picture")
    for shots in (2, 3):
        take(kiosk, folder, shots)
    for shots, component in ((4, "inlet_plug"), (5, "lid")):
        kiosk.touch("teach.fault")
        kiosk.touch(f"fault.{component}")
        kiosk.touch("seen.absent")
        take(kiosk, folder, shots)
    kiosk.touch("teach.learn")
    kiosk.wait_for_screen("teach_sheet")


def approve(kiosk):
    for _ in range(2):  # where scores overlap, it takes a decision
        if has("sheet.accept")(kiosk.frame()):
            kiosk.touch("sheet.accept")
        kiosk.touch("sheet.next")
    kiosk.touch("sheet.approve")
    kiosk.touch("approve.yes")
    kiosk.wait_for_screen("teach_home")
    kiosk.touch("teach.back")
    kiosk.wait_for_screen("waiting")


def check_labels(folder):
    found = [(row["file"], row["component"], row["state"], row["ok"]) for row in labels(folder)
             if row["ok"] == "0"]
    assert found == [("shot-004.jpg", "inlet_plug", "absent", "0"),
                     ("shot-005.jpg", "lid", "absent", "0")], found
    with open(os.path.join(folder, "teaching", "components.json"), encoding="utf-8") as file:
        boxes = {one["name"]: one for one in json.load(file)["components"]}
    assert set(boxes) == {"lid", "inlet_plug"}, boxes
    # Where the sample's own marks are, as near as a finger gets.
    for name, x, y in (("lid", 251, 233), ("inlet_plug", 871, 249)):
        assert abs(boxes[name]["x"] - x) < 20 and abs(boxes[name]["y"] - y) < 20, boxes


def prove_and_judge(kiosk, folder):
    for _ in range(2):
        kiosk.touch("offered")
        kiosk.wait_for_screen("judged")
        kiosk.touch("judged.go_on")
        kiosk.wait_for_screen("waiting")
    kiosk.touch("offered")
    kiosk.wait_for_screen("look")
    kiosk.wait_for("an opinion on record", lambda frame: bodies(folder, "opinion_given"))


def main():
    program, make_station, samples = sys.argv[1:4]
    with tempfile.TemporaryDirectory() as place:
        folder, camera = os.path.join(place, "LL-1"), os.path.join(place, "camera")

        subprocess.run([make_station, folder, "teaching"], check=True)
        os.mkdir(camera)
        for i, name in enumerate(pictures):
            shutil.copy(os.path.join(samples, name), os.path.join(camera, f"{i:02}-{name}"))
        def open_kiosk():
            return Kiosk(program, ["kiosk", "--dir", folder, "--pictures", camera, "--window",
                                   "1280x800", "--mm-per-px", "0.2"],
                         os.path.join(place, "trace.jsonl"), patience_s=60)
        kiosk = open_kiosk()
        try:
            kiosk.sign_in("p-emil", "4101")
            teach(kiosk, folder)
            kiosk.process.kill()
            kiosk.process.wait(10)
            kiosk = open_kiosk()
            go_on(kiosk, folder)
            check_labels(folder)
            assert bodies(folder, "model_approved") == []
            approve(kiosk)
            approved, = bodies(folder, "model_approved")
            assert approved["pictures"] == 5 and approved["variants"] == ["CP-210"], approved
            assert os.path.exists(os.path.join(folder, "pictures", approved["file"][:2], approved["file"]))
            prove_and_judge(kiosk, folder)
            opinion, = bodies(folder, "opinion_given")
            assert opinion["model"] == approved["model"], opinion
            assert {one["component"]: one["conforming"] for one in opinion["components"]} == {
                "lid": "yes", "inlet_plug": "yes"}, opinion
            assert all(part["model"] == approved["model"] for part in bodies(folder, "part_judged"))
            for frame in kiosk.frames():
                assert "does_not_fit" not in frame, frame
        finally:
            kiosk.close()
        # The same folder, from the command line.
        subprocess.run([program, "teach", os.path.join(folder, "teaching"), "--out",
                        os.path.join(place, "again.model")], check=True, stdout=subprocess.DEVNULL)
        subprocess.run([program, "records", "verify", "--dir", folder], check=True,
                       stdout=subprocess.DEVNULL)


main()
