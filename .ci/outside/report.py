"""Tally of checks: one line each, and a count at the end."""

from collections import Counter


class Report:
    """Collects check results; a failure never stops the checks that follow."""

    def __init__(self, quiet=False):
        self.quiet = quiet
        self.passed = 0
        self.failures = []
        self.seen = set()  # what was checked, wherever
        self.failed = set()
        self.kinds = Counter()

    def check(self, place, what, good, detail=""):
        """Notes one result and returns it, so that callers can skip what depends on it."""
        self.seen.add(what)
        if good:
            self.passed += 1
        else:
            self.failed.add(what)
            self.failures.append(f"{place}: {what}")
        if not self.quiet:
            mark = "ok  " if good else "FAIL"
            print(f"{mark} {place}: {what}" + (f" ({detail})" if detail else ""))
        return bool(good)

    def checked(self, kind):
        """Notes that a file of this kind was looked at."""
        self.kinds[kind] += 1

    def finish(self):
        """Prints the count and returns the exit code."""
        print(f"{self.passed} passed, {len(self.failures)} failed")
        return 1 if self.failures or not self.passed else 0
