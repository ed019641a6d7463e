"""Nests of the open instances, judged by `shapely`: nothing overlaps, the strip is kept, the density is what it is said to be and near the best published."""

import json
import math
from itertools import combinations
from pathlib import Path

from shapely.geometry import Polygon, box

from report import Report

# The share of the best published density, and the time it may take, s.
SHARE, SECONDS = 0.95, 60.0
MOST_OVERLAP = 1e-6
ROUNDING = 1e-9


def check(report, path):
    """Every instance of a file that `examples/nest_instances.rs` wrote."""
    try:
        answers = json.loads(Path(path).read_text())
        report.check(Path(path).name, "is a list of instances", answers, f"{len(answers)} instances")
    except (OSError, ValueError, TypeError) as fault:
        report.check(Path(path).name, "is a list of instances", False, f"{type(fault).__name__}: {fault}")
        return
    for answer in answers:
        _instance(report, answer)


def _instance(report, answer):
    name = answer["instance"]
    pieces = [Polygon(corners) for corners in answer["placed"]]
    report.check(name, "all pieces are placed", len(pieces) == answer["pieces"], f"{len(pieces)} of {answer['pieces']}")
    if not report.check(name, "pieces are sound", all(piece.is_valid for piece in pieces)):
        return
    overlap = max((a.intersection(b).area for a, b in combinations(pieces, 2)), default=math.inf)
    report.check(name, "nothing overlaps", overlap <= MOST_OVERLAP, f"{overlap:.1e}")
    strip = box(0.0, 0.0, answer["used_length"], answer["width"]).buffer(ROUNDING, join_style="mitre")
    out = sum(not strip.contains(piece) for piece in pieces)
    report.check(name, "all lie in the strip", out == 0, f"{out} outside")
    area = sum(piece.area for piece in pieces)
    density = area / (max((piece.bounds[2] for piece in pieces), default=math.inf) * answer["width"])
    report.check(name, "the density is true", math.isclose(density, answer["density"], rel_tol=1e-9), f"{density:.6f}")
    share = density / answer["published"]
    report.check(name, f"{100 * SHARE:.0f} % of the best published density", share >= SHARE, f"{100 * share:.2f} %")
    took = answer["seconds_to_95"]
    report.check(name, f"within {SECONDS:.0f} s", took is not None and took <= SECONDS, f"{took} s")


def _sample():
    """Two unit squares in a strip one wide and two long: density 1."""
    square = lambda x: [[x, 0.0], [x + 1.0, 0.0], [x + 1.0, 1.0], [x, 1.0]]
    return {
        "instance": "squares",
        "pieces": 2,
        "width": 1.0,
        "used_length": 2.0,
        "density": 1.0,
        "published": 1.0,
        "seconds_to_95": 0.1,
        "placed": [square(0.0), square(1.0)],
    }


def _planted(**changes):
    answer = _sample()
    answer.update(changes)
    return answer


FAULTS = [
    ("a piece that is missing", "all pieces are placed", _planted(pieces=3)),
    ("a piece that crosses itself", "pieces are sound", _planted(placed=[[[0, 0], [1, 1], [1, 0], [0, 1]], _sample()["placed"][1]])),
    ("pieces that overlap by 0.01 mm", "nothing overlaps", _planted(placed=[_sample()["placed"][0], [[0.99, 0], [1.99, 0], [1.99, 1], [0.99, 1]]])),
    ("a piece over the edge of the strip", "all lie in the strip", _planted(width=0.999)),
    ("a density too good", "the density is true", _planted(density=1.01)),
    ("a nest that wastes too much", "95 % of the best published density", _planted(published=1.06)),
    ("a search that took too long", "within 60 s", _planted(seconds_to_95=61.0)),
    ("a search that never came there", "within 60 s", _planted(seconds_to_95=None)),
]


def selftest(report):
    """A sound nest passes, and each planted fault is found."""
    sound = Report(quiet=True)
    _instance(sound, _sample())
    report.check("sound instance", "passes", not sound.failures, "; ".join(sound.failures[:3]))
    bitten = set()
    for name, wanted, answer in FAULTS:
        found = Report(quiet=True)
        _instance(found, answer)
        bitten |= found.failed
        report.check("planted", name, wanted in found.failed, f"found {found.failures[:3]}")
    toothless = sorted(sound.seen - bitten)
    report.check("all", "every check of an instance can fail", not toothless, "; ".join(toothless))
