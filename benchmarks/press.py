"""How long a press takes until its row is on disk and the new room left is told.

Run: python benchmarks/press.py [PRESSES]
A season of 20,000 entries (5 rigs, 5 devices); each device keeps rows of its rig's bore through
the pages, one after another with a pause, while a sixth sends the 500 newest of its outbox again,
which are in the book already. Timed from the press to the page with the room of the next rod.
Figures, no test. Wanted: 50 ms for 95 in 100.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import random
import socket
import sys
import tempfile
import threading
import time
from http.client import HTTPConnection
from multiprocessing.connection import Connection
from pathlib import Path
from urllib.parse import urlencode

import uvicorn

from rodhand.book.opening import entries_in
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk
from rodhand.web.ready import make_ready

RIGS, ROWS, ENTRIES, AGAIN, PAUSE = 5, 60, 20_000, 500, 0.5
SENT_BY_DEVICES = ("reading", "event", "pass")
ROD_TYPE = {
    "name": "R-M", "tube_od_in": "2.375", "wall_in": "0.28", "length_ft": "10",
    "joint_od_in": "2.75", "joint_bore_in": "1.0", "joint_length_m": "0.18", "yield_ksi": "135",
    "build": "one-piece", "limit_radius_ft": "145", "makeup_ftlb": "4200",
}  # fmt: skip


def season() -> list[Entry]:
    """Entries of five rigs and devices: bores of 60 rods with events, looks and pullbacks."""
    chance = random.Random(1)
    chains = [Chain(f"{rig:016x}") for rig in range(RIGS)]
    made: list[Entry] = []

    def say(of: int, kind: str, day: str, **payload: str) -> None:
        made.append(chains[of].add(Draft(kind, payload, day, "+00:00", f"p{of}")))

    say(0, "rod-type", "2025-01-01", **ROD_TYPE)
    for rig in range(RIGS):
        name, rods = f"Rig-{rig}", f"S{rig}"
        say(rig, "rig", "2025-01-01", rig=name, rod_type="R-M")
        say(rig, "set", "2025-01-01", set=rods, rod_type="R-M", count="80",
            marks_start=f"M{rig}-01", rig=name)  # fmt: skip
        say(rig, "load", "2025-01-01", rig=name, things=rods, how="by row")
    number = 0
    while len(made) < ENTRIES - RIGS:
        rig = number % RIGS
        bore, day = f"B-{number}", f"2025-{2 + number // 50:02}-{1 + number % 50 // 2:02}"
        say(rig, "bore", day, bore=bore, rig=f"Rig-{rig}", rig_pitch_pct="-18")
        pitch = -18.0
        for station in range(1, ROWS + 1):
            pitch += chance.uniform(0.1, 0.9)
            say(rig, "reading", day, bore=bore, station=str(station), pitch_pct=f"{pitch:.1f}")
        say(rig, "event", day, bore=bore, station="40", what="jerk")
        say(rig, "check", day, things=f"M{rig}-{1 + number % 80:02}", item="full-look", found="ok")
        say(rig, "pass", day, bore=bore, what="pullback", **{"pass": "pullback"})
        number += 1
    for rig in range(RIGS):
        say(rig, "bore", "2025-12-01", bore=f"N-{rig}", rig=f"Rig-{rig}", rig_pitch_pct="-18")
    return made


class Device:
    """One device pressing: a row, then the page it is led to."""

    def __init__(self, port: int, rig: int) -> None:
        self.port = port
        self._line = HTTPConnection("127.0.0.1", port)
        self._line.connect()
        self._line.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.rig = rig
        self.took: list[float] = []

    def press(self, station: int) -> None:
        """Keep one row and read the page with the new room."""
        row = {"bore": f"N-{self.rig}", "station": str(station), "what": "read",
               "pitch_pct": f"{-18 + 0.4 * (station % 40):.1f}"}  # fmt: skip
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        start = time.perf_counter()
        self._line.request("POST", f"/rig-rod/Rig-{self.rig}", urlencode(row), kind)
        answer = self._line.getresponse()
        answer.read()
        assert answer.status == 303, answer.status
        self._line.request("GET", str(answer.headers["Location"]))
        page = self._line.getresponse()
        told = page.read().decode()
        self.took.append(time.perf_counter() - start)
        assert page.status == 200, page.status
        assert "room-scale" in told, "no room told"


def quantile(sorted_times: list[float], share: float) -> float:
    """The time that so many of the presses kept within. [s]"""
    return sorted_times[min(int(share * len(sorted_times)), len(sorted_times) - 1)]


def serve(folder: Path, port: Connection) -> None:
    """Serve the book's pages until told to stop; for a process of its own."""
    make_ready(folder)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        number = free.getsockname()[1]
    config = uvicorn.Config(create_app(BookDesk(folder)), port=number, log_level="warning")
    server = uvicorn.Server(config)
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.05)
    port.send(number)
    port.recv()
    worked = time.process_time()
    port.recv()
    port.send(time.process_time() - worked)
    server.should_exit = True


def outbox_again(book: str, made: list[Entry]) -> str:
    """The newest entries of one device as it sends its outbox once more."""
    own = [e for e in made if e.device == made[-1].device and e.kind in SENT_BY_DEVICES][-AGAIN:]
    rows = [
        {"id": e.id, "counter": e.counter, "happened": e.happened, "zone": e.zone,
         "entered": e.entered, "by": e.by, "kind": e.kind, "payload": dict(e.payload)}
        for e in own
    ]  # fmt: skip
    return json.dumps({"book": book, "device": own[0].device, "entries": rows})


def send_again(port: int, sent: str, done: threading.Event, took: list[float]) -> None:
    """Send an outbox every few seconds until done; every entry must be known."""
    while not done.wait(10.0 * PAUSE):
        line = HTTPConnection("127.0.0.1", port)
        begun = time.perf_counter()
        line.request("POST", "/outbox", sent, {"Content-Type": "application/json"})
        answers = json.loads(line.getresponse().read())["answers"]
        took.append(time.perf_counter() - begun)
        assert [each["state"] for each in answers] == ["known"] * AGAIN
        line.close()


def work(device: Device, presses: int) -> None:
    """Press one row after another, with a pause as long as chance has it."""
    chance = random.Random(device.rig)
    for station in range(1, presses + 1):
        time.sleep(chance.uniform(0.0, 2.0 * PAUSE))
        device.press(station)


def main() -> None:
    """Print the times."""
    presses = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "book"
        made = season()
        with Journal.open(folder) as journal:
            journal.append(made)
            sent = outbox_again(journal.book_id, made)
        here, there = multiprocessing.Pipe()
        context = multiprocessing.get_context("spawn")
        server = context.Process(target=serve, args=(folder, there))
        server.start()
        devices = [Device(here.recv(), 0)]
        devices += [Device(devices[0].port, rig) for rig in range(1, RIGS)]
        devices[0].press(1)
        print(f"{len(made)} entries; the first press takes {devices[0].took.pop():.2f} s")
        here.send("begin")
        done, resent = threading.Event(), [0.0]
        sixth = threading.Thread(target=send_again, args=(devices[0].port, sent, done, resent))
        sixth.start()
        threads = [threading.Thread(target=work, args=(each, presses)) for each in devices]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        done.set()
        sixth.join()
        here.send("done")
        worked = here.recv()
        server.join()
        took = sorted(time for device in devices for time in device.took)
        shown = ", ".join(
            f"p{100 * share:.0f} {1e3 * quantile(took, share):.0f} ms"
            for share in (0.5, 0.95, 0.99)
        )
        print(f"{len(took)} presses of {RIGS} devices: {shown}, longest {1e3 * took[-1]:.0f} ms")
        print(f"{1e3 * worked / len(took):.0f} ms of the server's processor for each press")
        print(f"{AGAIN} entries sent again: {1e3 * max(resent):.0f} ms at most, none kept twice")
        print(f"load of the machine over the last minute: {os.getloadavg()[0]:.1f}")
        assert len(entries_in(folder)) == len(made) + len(took) + 1


if __name__ == "__main__":
    main()
