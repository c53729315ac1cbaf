"""Kill a writer at a random moment and look at what it left; used by tests and benchmarks."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries

PAIR = 2
"""Entries of one call: none or both may be left of it."""


def in_child(work: Callable[[int], None]) -> tuple[int, int]:
    """Run work in a forked process that starts at once; it gets a pipe's end to speak through.

    Returns its process id and the end of the pipe to listen at.
    """
    listen, speak = os.pipe()
    pid = os.fork()
    if pid:
        os.close(speak)
        return pid, listen
    code = 1
    try:
        os.close(listen)
        work(speak)
        code = 0
    except BaseException as error:
        print(repr(error), file=sys.stderr)
    finally:
        os._exit(code)


def write_until_killed(folder: Path) -> Callable[[int], None]:
    """Work that opens (and the first time makes) a book and writes pairs, naming each when kept."""

    def work(speak: int) -> None:
        with Journal.open(folder) as journal:
            while True:
                pair = [Draft("remark", {"text": f"{n} " + "x" * 300}) for n in range(PAIR)]
                for entry in journal.write_many(pair):
                    os.write(speak, f"{entry.id}\n".encode())

    return work


def kill_once(folder: Path, dice: Random, longest: float, writing: bool) -> list[str]:
    """Start a writer, kill it after a random time, give back the ids it acknowledged.

    The time counts from the first acknowledgement, so that the kill falls among the writes, or
    from the start, so that it falls into the opening.
    """
    pid, listen = in_child(write_until_killed(folder))
    if writing:
        select.select([listen], [], [], 30.0)
    time.sleep(dice.uniform(0.0, longest))
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    heard = b""
    while part := os.read(listen, 65536):
        heard += part
    os.close(listen)
    return [line.decode() for line in heard.split(b"\n") if len(line) == 32]


def losses(folder: Path, acknowledged: list[str], kills: int) -> list[str]:
    """What is wrong with a book after its writers were killed; empty if nothing is."""
    with Journal.open(folder) as journal:  # as the crew does: open it and go on
        entries = journal.entries()
        journal.check_file()
    known = {entry.id for entry in entries}
    wrong = [f"lost: {id}" for id in acknowledged if id not in known]
    wrong += [f"chain: {broken}" for broken in verify_entries(entries).broken]
    if len(entries) % PAIR:
        wrong.append(f"half a call: {entries[-1].id}")
    spare = len(known) - len(acknowledged)
    if spare > PAIR * kills:  # kept but not yet acknowledged: at most one call for each kill
        wrong.append(f"{spare} entries nobody wrote")
    return wrong


def kill_many(folder: Path, kills: int, seed: int, longest: float = 0.06) -> tuple[int, list[str]]:
    """Kill so many writers of one book; the number of entries acknowledged, and what is wrong."""
    dice = Random(seed)
    acknowledged: list[str] = []
    wrong: list[str] = []
    for kill in range(1, kills + 1):
        acknowledged += kill_once(folder, dice, longest, writing=kill % 2 == 0)
        wrong += losses(folder, acknowledged, kill)
    return len(acknowledged), wrong
