# SPDX-License-Identifier: Apache-2.0
"""The kiosk as systemd sees it: it says when it is ready and, for as long as its loop turns, that it
lives; one that hangs is silent; asked to end it ends in order.  service.py LASTLOOK MAKE_STATION"""
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time

from by_hand import Kiosk

PERIOD_S = 2


class Listener:
    def __init__(self, name):
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(name)

    def wait_for(self, message):
        self.socket.settimeout(20)
        try:
            while self.socket.recv(256).decode() != message:
                pass
        except socket.timeout:
            raise SystemExit(f"waited in vain for {message}") from None

    def pending(self):
        self.socket.setblocking(False)
        messages = []
        try:
            while True:
                messages.append(self.socket.recv(256).decode())
        except BlockingIOError:
            return messages


def work(kiosk, listener, folder):
    listener.wait_for("READY=1")
    assert kiosk.frames(), "it was ready before it had drawn anything"
    kiosk.wait_for_screen("sign_in")
    for _ in range(3):  # though nothing happens on the screen
        listener.wait_for("WATCHDOG=1")
    kiosk.process.send_signal(signal.SIGSTOP)
    time.sleep(0.2)
    listener.pending()
    time.sleep(2 * PERIOD_S)
    assert not listener.pending(), "a loop that stands still said that it turns"
    kiosk.process.send_signal(signal.SIGCONT)
    listener.wait_for("WATCHDOG=1")
    kiosk.process.terminate()
    listener.wait_for("STOPPING=1")
    assert kiosk.process.wait(20) == 0, kiosk.process.returncode
    with open(os.path.join(folder, "lock"), encoding="utf-8") as lock:
        assert lock.read() == "", "the next one would take it for one that was cut off"


def main():
    program, make_station = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as place:
        folder = os.path.join(place, "LL-1")
        subprocess.run([make_station, folder], check=True)
        listener = Listener(os.path.join(place, "notify"))
        os.environ["NOTIFY_SOCKET"] = os.path.join(place, "notify")
        os.environ["WATCHDOG_USEC"] = str(PERIOD_S * 1_000_000)
        os.environ.pop("WATCHDOG_PID", None)
        kiosk = Kiosk(program, ["kiosk", "--dir", folder], os.path.join(place, "trace.jsonl"))
        try:
            work(kiosk, listener, folder)
        finally:
            kiosk.process.kill()
            kiosk.process.wait(10)


main()
