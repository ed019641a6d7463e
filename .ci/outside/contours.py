"""Closed contours read from DXF entities: exact area, length, and a dense polygon.

Areas come from Green's theorem, area = 1/2 closed integral of (x dy - y dx), on the entities themselves:

- a straight piece gives half the cross product of its ends;
- an arc of bulge b = tan(angle / 4) adds its circular segment r^2/2 (angle - sin angle) to its chord;
- a spline without weights is a polynomial of degree p between two knots, so x dy has degree 2 p - 1 and Gauss's rule with p nodes is
  exact; with weights, 40 nodes leave nothing that matters at the accuracy asked for here.

Nothing here uses the program under test, nor its way of computing.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely.geometry import Polygon

# Points per curved piece of the polygons given to shapely; only their topology is judged, not their area.
DENSE = 128
# Ends of a contour that are further apart than this are a gap, mm.
CLOSED_MM = 1e-6
NODES_WITH_WEIGHTS = 40


@dataclass
class Contour:
    """One closed entity."""

    kind: str
    layer: str
    area: float  # mm2, positive
    length: float  # mm
    points: np.ndarray  # dense, one row each
    curved: bool

    @cached_property
    def polygon(self):
        return Polygon(self.points)


class Fault(Exception):
    """The entity is not a closed contour; the text says why."""


def read(entity):
    """The contour of an entity, or `Fault`."""
    reader = {"CIRCLE": _circle, "LWPOLYLINE": _light, "POLYLINE": _old, "SPLINE": _spline}.get(entity.dxftype())
    if reader is None:
        raise Fault(f"{entity.dxftype()} is not a closed contour")
    area, length, points, curved = reader(entity)
    if not all(math.isfinite(value) for value in (area, length)):
        raise Fault("has coordinates that are not numbers")
    if abs(area) < 1e-9:
        raise Fault("encloses nothing")
    return Contour(entity.dxftype(), entity.dxf.layer, abs(area), length, np.asarray(points), curved)


def _circle(entity):
    r = entity.dxf.radius
    x, y, _ = entity.dxf.center
    return math.pi * r * r, 2.0 * math.pi * r, _round((x, y), r, 2.0 * math.pi * np.arange(8 * DENSE) / (8 * DENSE)), True


def _round(center, radius, turns):
    return np.column_stack([center[0] + radius * np.cos(turns), center[1] + radius * np.sin(turns)])


def _light(entity):
    if not entity.closed:
        raise Fault("is open")
    return _bulged([(x, y, bulge) for x, y, bulge in entity.get_points("xyb")])


def _old(entity):
    if not entity.is_2d_polyline:
        raise Fault("is not a flat polyline")
    if not entity.is_closed:
        raise Fault("is open")
    vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    return _bulged(vertices)


def _bulged(vertices):
    if len(vertices) < 2:
        raise Fault("has fewer than two points")
    area = length = 0.0
    curved = False
    points = []
    # Local origin: the products below would otherwise lose digits far from zero.
    ox, oy, _ = vertices[0]
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        chord = math.hypot(x1 - x0, y1 - y0)
        if chord == 0.0:
            raise Fault(f"has a piece of no length at {x0:.3f}, {y0:.3f}")
        area += 0.5 * ((x0 - ox) * (y1 - oy) - (x1 - ox) * (y0 - oy))
        points.append([(x0, y0)])
        if bulge == 0.0:
            length += chord
            continue
        curved = True
        angle = 4.0 * math.atan(bulge)
        radius = chord / (2.0 * math.sin(angle / 2.0))  # negative for clockwise arcs
        area += 0.5 * radius * radius * (angle - math.sin(angle))
        length += radius * angle
        # Center: from the middle of the chord, to the left of its direction.
        off = radius * math.cos(angle / 2.0)
        cx = (x0 + x1) / 2.0 - off * (y1 - y0) / chord
        cy = (y0 + y1) / 2.0 + off * (x1 - x0) / chord
        start = math.atan2(y0 - cy, x0 - cx)
        points.append(_round((cx, cy), abs(radius), start + angle * np.arange(1, DENSE) / DENSE))
    return area, length, np.vstack(points), curved


def _spline(entity):
    if not len(entity.control_points):
        raise Fault("has no control points")
    curve = entity.construction_tool()
    knots = sorted(set(curve.knots()))
    low, high = curve.knots()[curve.degree], curve.knots()[-curve.degree - 1]
    knots = [k for k in knots if low <= k <= high]
    first, last = (curve.point(k) for k in (low, high))
    if (first - last).magnitude > CLOSED_MM:
        raise Fault(f"is open by {(first - last).magnitude:.6f} mm")
    if curve.is_rational:
        nodes, weights = np.polynomial.legendre.leggauss(NODES_WITH_WEIGHTS)
    else:
        nodes, weights = np.polynomial.legendre.leggauss(curve.degree)
    fine_nodes, fine_weights = np.polynomial.legendre.leggauss(NODES_WITH_WEIGHTS)
    area = length = 0.0
    points = []
    for a, b in zip(knots, knots[1:]):
        half, middle = (b - a) / 2.0, (a + b) / 2.0
        for node, weight in zip(nodes, weights):
            point, slope = curve.derivative(middle + half * node, 1)
            point = point - first
            area += 0.5 * half * weight * (point.x * slope.y - point.y * slope.x)
        for node, weight in zip(fine_nodes, fine_weights):
            _, slope = curve.derivative(middle + half * node, 1)
            length += half * weight * math.hypot(slope.x, slope.y)
        for i in range(DENSE):
            point = curve.point(a + (b - a) * i / DENSE)
            points.append((point.x, point.y))
    return area, length, points, True
