#!/usr/bin/env python3
"""Replays many receipts, one a line, none of them kept anywhere.

    replay.py BUILT-COMMAND [COUNT]

The receipts are made while they are replayed, no two for the same facts, and go through a pipe.
One in every thousand is altered and must be found. The error output is a terminal, where progress
must show. Memory is held against that of a tenth as many receipts: it must not grow with their
number. Time is told and never judged. COUNT is 2,000 unless it is given; 1,000,000 is for people.
"""

import json
import os
import pathlib
import pty
import re
import subprocess
import sys
import tempfile
import threading

ROOT = pathlib.Path(__file__).resolve().parents[2]
PACKS = ROOT / "tests/golden/packs"
CHUNK = 1000
ALTERED_EVERY = 1000
# What an allocator may keep more of after a long run than after a short one.
MEMORY_SLACK_KIB = 8 * 1024


def facts(number):
    """A case of its own for every number: heights from 0.001 ft in steps of 1/1000 ft."""
    known = {"machine": ("boom", "scissor")[number % 2]}
    known["height"] = {"value": f"{number % 400000 / 1000 + 0.001:.3f} ft", "from": "tape measure"}
    known["line"] = f"{number // 400000 + 1} ft"
    if number % 3:
        known["rails"] = ("yes", "no")[number % 3 - 1]
    return {"case": f"case {number}", "facts": known}


def make(command, count, into):
    """Writes receipts to a descriptor; closes it."""
    with tempfile.TemporaryDirectory() as folder, os.fdopen(into, "wb") as out:
        kept = pathlib.Path(folder) / "receipts"
        for start in range(0, count, CHUNK):
            cases = [facts(i) for i in range(start, min(start + CHUNK, count))]
            words = ["decide", "--facts", "-", "--on", "2024-06-01", "--packs", PACKS]
            subprocess.run(
                [command, *words, "--length", "answer", "--receipt", kept],
                input=json.dumps({"cases": cases}).encode(),
                stdout=subprocess.DEVNULL,
                check=False,
            )
            lines = kept.read_bytes()
            kept.unlink()
            for at in range(0, len(cases), ALTERED_EVERY):
                case = f'"case":"{cases[at]["case"]}"'.encode()
                lines = lines.replace(case, case.replace(b"case ", b"Case "), 1)
            out.write(lines)


def open_screen():
    """A terminal; where the machine has none to give, a pipe, on which no progress is shown."""
    try:
        return pty.openpty()
    except OSError:
        return os.pipe()


def has_terminals():
    screen, other = open_screen()
    try:
        return os.isatty(other)
    finally:
        os.close(screen)
        os.close(other)


def replay(command, count):
    """What was printed, what the terminal showed, seconds of one processor, KiB of memory."""
    back, into = os.pipe()
    maker = threading.Thread(target=make, args=(command, count, into))
    screen, terminal = open_screen()
    shown = []

    def watch():
        try:
            while piece := os.read(screen, 1 << 16):
                # The end is what is looked at; all of it would be long.
                shown[:] = [(b"".join(shown) + piece)[-4096:]]
        except OSError:
            pass  # the terminal is closed at the end

    watcher = threading.Thread(target=watch)
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(
            [command, "replay", "--threads", "1", "--packs", PACKS, "-"],
            stdin=back,
            stdout=said,
            stderr=terminal,
        )
        os.close(back)
        os.close(terminal)
        maker.start()
        watcher.start()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        maker.join()
        watcher.join()
        os.close(screen)
        said.seek(0)
        printed = said.read().decode()
    return printed, b"".join(shown).decode(), used.ru_utime + used.ru_stime, used.ru_maxrss


def main():
    command = pathlib.Path(sys.argv[1]).resolve()
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    troubles = []
    memory = []
    terminals = has_terminals()
    if not terminals:
        print("this machine gives no terminal: whether progress is shown was not looked at")
    for many in (count // 10, count):
        printed, shown, seconds, kib = replay(command, many)
        altered = -(-many // ALTERED_EVERY)
        rest = many - altered
        wanted = f"{altered} ALTERED; {rest} other receipts: {rest} identical"
        last = printed.splitlines()[-1] if printed else "nothing"
        if last != wanted:
            troubles.append(f"it said {last!r}, not {wanted!r}")
        if terminals and not re.search(rf"\r{many} receipts, {altered} to look at", shown):
            troubles.append(f"progress was not shown for {many} receipts")
        memory.append(kib)
        print(f"{many} receipts: {seconds:.1f} s of one processor, {kib} KiB at most")
    if memory[1] > memory[0] + MEMORY_SLACK_KIB:
        troubles.append(f"memory grew from {memory[0]} to {memory[1]} KiB")
    for trouble in troubles:
        print(trouble)
    return 1 if troubles else 0


if __name__ == "__main__":
    sys.exit(main())
