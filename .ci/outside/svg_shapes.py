"""The lines of an SVG with their roles: exact areas by Green's theorem, dense points for `shapely`.

A cubic is a polynomial of degree 3, so x dy - y dx has degree 5 and Gauss's rule with three nodes is exact; an arc adds its circular segment to its chord.
"""

import math
import re
import xml.etree.ElementTree as tree
from dataclasses import dataclass, field

import numpy as np
from shapely.geometry import Polygon

import svg_files

# Chords to a cubic or an arc; only for `shapely`, never for areas.
STEPS = 128
COMMANDS = re.compile(r"([a-df-zA-DF-Z])([^a-df-zA-DF-Z]*)")
NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")
NODES, WEIGHTS = np.polynomial.legendre.leggauss(3)


@dataclass
class Drawn:
    """One shape, y up."""

    role: str
    points: list
    area: float = 0.0  # mm2, counterclockwise positive, as long as it is closed
    closed: bool = False
    polygon: Polygon = field(init=False, default=None)

    def seal(self):
        """Closes it with a line to its beginning."""
        self.line(self.points[0])
        self.closed, self.polygon = True, Polygon(self.points)

    def line(self, q):
        p = self.points[-1]
        self.area += _cross(p, q) / 2.0
        self.points.append(q)

    def cubic(self, a, b, q):
        p = self.points[-1]
        corners = np.array([p, a, b, q])
        for node, weight in zip(NODES, WEIGHTS):
            t = (node + 1.0) / 2.0
            at = _weights(t) @ corners
            slope = 3.0 * np.array([(1 - t) ** 2, 2 * t * (1 - t), t * t]) @ np.diff(corners, axis=0)
            self.area += weight / 4.0 * float(_cross(at, slope))
        self.points += cubic_points(p, a, b, q)

    def arc(self, r, large, counterclockwise, q):
        """By the end point form of SVG 1.1, appendix F.6, for circles; y up. One that ends where it begins is none (F.6.2), and nothing to be cut."""
        p = self.points[-1]
        half = math.dist(p, q) / 2.0
        if half == 0.0:
            raise ValueError(f"an arc of no length at {p[0]:.4f}, {p[1]:.4f}")
        r = max(r, half)
        turn = 2.0 * math.asin(min(half / r, 1.0))
        turn = 2.0 * math.pi - turn if large else turn
        turn = turn if counterclockwise else -turn
        self.area += _cross(p, q) / 2.0 + r * r / 2.0 * (turn - math.sin(turn))
        # The center, from the middle of the chord to the left of its direction.
        off = half / math.tan(turn / 2.0) / (2.0 * half)
        cx = (p[0] + q[0]) / 2.0 - off * (q[1] - p[1])
        cy = (p[1] + q[1]) / 2.0 + off * (q[0] - p[0])
        start = math.atan2(p[1] - cy, p[0] - cx)
        turns = [start + turn * i / STEPS for i in range(1, STEPS)]
        self.points += [(cx + r * math.cos(t), cy + r * math.sin(t)) for t in turns] + [q]


def cubic_points(p, a, b, q):
    """Points of a cubic after its first."""
    corners = np.array([p, a, b, q])
    return [tuple(_weights(i / STEPS) @ corners) for i in range(1, STEPS + 1)]


def path_points(text):
    """Points of a closed path as it stands in the file, y down."""
    drawn = _path(None, text)
    if not drawn.closed:
        raise ValueError("a path is open")
    return [(x, -y) for x, y in drawn.points]


def _weights(t):
    return np.array([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3])


def _cross(p, q):
    return p[0] * q[1] - q[0] * p[1]


def read(path):
    """Everything drawn but words; `ValueError` for what is not known."""
    shapes = []
    _walk(tree.parse(path).getroot(), None, shapes)
    return shapes


def _walk(element, role, shapes):
    for child in element:
        tag = child.tag.removeprefix(svg_files.SVG)
        if tag == "circle":
            x, y, r = (float(child.get(name)) for name in ("cx", "cy", "r"))
            turns = [2.0 * math.pi * i / (8 * STEPS) for i in range(8 * STEPS)]
            shape = Drawn(role, [(x + r * math.cos(t), -y + r * math.sin(t)) for t in turns], math.pi * r * r, True)
            shape.polygon = Polygon(shape.points)
            shapes.append(shape)
        elif tag == "path":
            shapes.append(_path(role, child.get("d")))
        _walk(child, (svg_files.role_of(child) if tag == "g" else None) or role, shapes)


def _path(role, text):
    drawn = None
    for command, rest in COMMANDS.findall(text):
        values = [float(word) for word in NUMBER.findall(rest)]
        # SVG points down.
        pairs = [(x, -y) for x, y in zip(values[::2], values[1::2])]
        if command == "M" and drawn is None:
            drawn, pairs = Drawn(role, pairs[:1]), pairs[1:]
        if command in "ML":
            for q in pairs:
                if q == drawn.points[-1]:
                    raise ValueError(f"a line of no length at {q[0]:.4f}, {q[1]:.4f}")
                drawn.line(q)
        elif command in "HV":
            for v in values:
                x, y = drawn.points[-1]
                drawn.line((v, y) if command == "H" else (x, -v))
        elif command == "C":
            for i in range(0, len(pairs), 3):
                drawn.cubic(*pairs[i : i + 3])
        elif command == "A":
            for i in range(0, len(values), 7):
                r, _, _, large, sweep, x, y = values[i : i + 7]
                drawn.arc(r, large, not sweep, (x, -y))
        elif command == "Z":
            drawn.seal()
        else:
            raise ValueError(f"a path has the command {command}")
    return drawn
