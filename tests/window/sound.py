# SPDX-License-Identifier: Apache-2.0
"""What the kiosk sounds like: a unit that is accepted and one that is not, as the audio library would send
them to a loudspeaker, read from a file; and that the work goes on where there is no loudspeaker, and
where it hangs.  sound.py LASTLOOK MAKE_STATION"""
import os
import shutil
import subprocess
import sys
import tempfile
import time

import numpy
from scipy.io import wavfile

from by_hand import Kiosk


class Station:
    def __init__(self, program, make_station, place, name, drivers):
        self.wav = os.path.join(place, "heard.wav")
        folder = os.path.join(place, name)
        subprocess.run([make_station, folder], check=True)
        config = os.path.join(place, "alsoft.conf")
        with open(config, "w", encoding="utf-8") as out:
            out.write(f"[wave]\nfile = {self.wav}\n")
        os.environ.update(ALSOFT_CONF=config, ALSOFT_DRIVERS=drivers)
        self.kiosk = Kiosk(program, ["kiosk", "--dir", folder, "--window", "1280x800", "--mm-per-px",
                                     "0.2"], os.path.join(place, f"{name}.jsonl"))

    def __enter__(self):
        self.kiosk.sign_in("p-ada", "2100")
        return self

    def __exit__(self, *_):
        self.kiosk.close()

    def look(self, serial, bad):
        kiosk = self.kiosk
        kiosk.scan(f"CP210-{serial}")
        kiosk.wait_for_screen("look")
        if bad:
            for key in ("answer.conforming", "answer.nonconforming", "defect.seal_missing", "place.none"):
                kiosk.touch(key)
        while kiosk.frame()["screen"] == "look":
            kiosk.touch("answer.conforming")
        kiosk.wait_for_screen("verdict")
        time.sleep(1)  # what was told on the way has sounded

    def close(self, disposition):
        self.kiosk.touch(f"close.{disposition}")
        self.kiosk.wait_for_screen("closed")


def heard(station, disposition):
    """The file of the tone with which a look is closed; the library makes one each time."""
    if os.path.exists(station.wav):
        os.remove(station.wav)
    station.close(disposition)
    time.sleep(2)
    kept = station.wav + f".{disposition}"
    shutil.copy(station.wav, kept)
    rate, samples = wavfile.read(kept)
    if samples.dtype != numpy.float32:
        samples = samples / float(numpy.iinfo(samples.dtype).max)
    return rate, samples.reshape(len(samples), -1).mean(axis=1)


def beats(rate, samples):
    """Where it is louder than -36 dBFS, in windows of 5 ms: begin, length, and the strongest frequency."""
    window = rate // 200
    loud = [numpy.abs(samples[i:i + window]).max() > 0.016 for i in range(0, len(samples), window)]
    found, begin = [], None
    for i, is_loud in enumerate([*loud, False]):
        if is_loud and begin is None:
            begin = i
        if not is_loud and begin is not None:
            part = samples[begin * window:i * window]
            spectrum = numpy.abs(numpy.fft.rfft(part * numpy.hanning(len(part)), 1 << 18))
            found.append((begin / 200, (i - begin) / 200, spectrum.argmax() * rate / (1 << 18)))
            begin = None
    return found


def check(rate, samples, frequencies):
    found = beats(rate, samples)
    print([(f"{begin:.3f} s", f"{length:.3f} s", f"{hz:.0f} Hz") for begin, length, hz in found])
    assert len(found) == len(frequencies), found
    for (_, _, hz), wanted in zip(found, frequencies):
        assert abs(hz - wanted) < 5, (hz, wanted)
    level = 20 * numpy.log10(numpy.abs(samples).max())
    assert -13.5 < level < -11.5, f"{level:.1f} dBFS"
    # No click: no step is higher than in a sine of the highest tone.
    steepest = 0.26 * 2 * numpy.pi * max(frequencies) / rate
    assert numpy.abs(numpy.diff(samples)).max() < steepest * 1.1
    return found


def tells_apart(program, make_station, place):
    with Station(program, make_station, place, "LL-1", "wave") as station:
        station.look("26330-00417", bad=False)
        check(*heard(station, "accept"), (660, 880))
        station.look("26330-00418", bad=True)
        low = check(*heard(station, "rework"), (294, 294))
        assert abs(low[0][1] - low[1][1]) <= 0.01, "the two beats are not alike"


def works_without(program, make_station, place):
    with Station(program, make_station, place, "LL-2", "none") as station:
        station.look("26330-00417", bad=False)
        station.close("accept")


def works_with_one_that_hangs(program, make_station, place):
    """Opening a pipe that nobody reads never ends."""
    with Station(program, make_station, place, "LL-3", "wave") as station:
        if os.path.exists(station.wav):
            os.remove(station.wav)
        os.mkfifo(station.wav)
        station.look("26330-00417", bad=False)
        station.close("accept")
        station.look("26330-00418", bad=True)
        station.close("rework")


def main():
    program, make_station = sys.argv[1:3]
    for trial in (tells_apart, works_without, works_with_one_that_hangs):
        with tempfile.TemporaryDirectory() as place:
            trial(program, make_station, place)


main()
