"""The search of `nest` on a terminal, which Enter stops: run on a pseudo-terminal."""

import json
import os
import pty
import select
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from report import Report

# Far longer than any check waits.
SECONDS = 120
# How long the search goes on before Enter, s; and how soon it must end then: a round of the search, and writing the files.
BEFORE, SOON = 3.0, 20.0


def check(report, program, design):
    """The program's own search of a set, with more knives than it is soon done with."""
    judge(report, [program, "nest", design, "--bar", "130x4000", "--gap", "3", "--count", "6", "--mirror"])


def judge(report, words):
    """Starts the search, lets it go on, presses Enter, and looks at what was kept."""
    with tempfile.TemporaryDirectory() as folder:
        ran = Ran(words, folder)
        told = ran.wait_for(b"press Enter", SOON)
        report.check("enter", "the way to stop is told", told, repr(ran.said[-60:]))
        ran.go_on(BEFORE)
        report.check("enter", "the search goes on until then", ran.is_running(), f"{BEFORE} s")
        ran.press(b"\n")
        begun = time.monotonic()
        code = ran.end(SOON)
        report.check("enter", "Enter stops it", code == 0, f"code {code} after {time.monotonic() - begun:.1f} s")
        _kept(report, ran.out, folder)


def _kept(report, text, folder):
    try:
        answer = json.loads(text)
    except ValueError as fault:
        report.check("enter", "the best so far is kept", False, str(fault))
        return
    kept = len(answer["pieces"]) > 0 and 0.0 < answer["density"] <= 1.0
    report.check("enter", "the best so far is kept", kept, f"{len(answer['pieces'])} knives, density {answer['density']:.3f}")
    files = sorted(path.name for path in Path(folder).rglob("*.dxf"))
    report.check("enter", "its cutting file is written", files, " ".join(files))


class Ran:
    """The program with its input and its errors on a pseudo-terminal, its answer in a pipe."""

    def __init__(self, words, folder):
        self.master, terminal = pty.openpty()
        words = [*words, "--seconds", str(SECONDS), "--json", "--out", f"{folder}/nest"]
        self.child = subprocess.Popen(words, stdin=terminal, stderr=terminal, stdout=subprocess.PIPE)
        os.close(terminal)
        self.said, self.out = b"", ""

    def _listen(self, seconds):
        if select.select([self.master], [], [], seconds)[0]:
            try:
                self.said += os.read(self.master, 4096)
            except OSError:  # the program has let go of the terminal
                time.sleep(seconds)

    def wait_for(self, words, seconds):
        end = time.monotonic() + seconds
        while words not in self.said and time.monotonic() < end and self.is_running():
            self._listen(0.1)
        return words in self.said

    def go_on(self, seconds):
        end = time.monotonic() + seconds
        while time.monotonic() < end and self.is_running():
            self._listen(0.1)

    def is_running(self):
        return self.child.poll() is None

    def press(self, key):
        os.write(self.master, key)

    def end(self, seconds):
        """The exit code; `None` for a program that had to be stopped."""
        end = time.monotonic() + seconds
        while self.is_running() and time.monotonic() < end:
            self._listen(0.1)
        code = self.child.poll()
        if code is None:
            self.child.kill()
        self.out = self.child.communicate()[0].decode(errors="replace")
        os.close(self.master)
        return code


FAKE = """
import json, os, sys, time
folder = sys.argv[sys.argv.index("--out") + 1]
sys.stderr.write("press Enter to stop"); sys.stderr.flush()
{wait}
os.makedirs(folder, exist_ok=True)
{write}
print(json.dumps({{"pieces": {pieces}, "density": 0.5}}))
"""
READ, DEAF, AT_ONCE = "sys.stdin.readline()", "time.sleep(60)", "pass"
WRITE = "open(folder + '/nest.dxf', 'w').close()"
FAULTS = [
    ("a program that stops", set(), (READ, WRITE, "[1]")),
    ("a program deaf to Enter", {"Enter stops it", "the best so far is kept"}, (DEAF, WRITE, "[1]")),
    ("a program that ends by itself", {"the search goes on until then"}, (AT_ONCE, WRITE, "[1]")),
    ("a program that keeps nothing", {"the best so far is kept"}, (READ, WRITE, "[]")),
    ("a program that writes nothing", {"its cutting file is written"}, (READ, AT_ONCE, "[1]")),
]


def selftest(report):
    """Planted faults: small programs of Python in place of ours."""
    global BEFORE, SOON
    usual = BEFORE, SOON
    BEFORE, SOON = 0.5, 2.0
    for what, wanted, (wait, write, pieces) in FAULTS:
        with tempfile.TemporaryDirectory() as folder:
            script = Path(folder) / "fake.py"
            script.write_text(FAKE.format(wait=wait, write=write, pieces=pieces))
            own = Report(quiet=True)
            judge(own, [sys.executable, str(script)])
        report.check("planted", f"enter: {what}", own.failed == wanted, str(sorted(own.failed)))
    BEFORE, SOON = usual
