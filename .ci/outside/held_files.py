"""Checks of cutting files, DXF and SVG, with a kerf allowed for, tabs and an engraved name: what a round cutter of that kerf would leave, by `shapely`."""

import math
import tempfile
from pathlib import Path

import ezdxf
import ezdxf.path
import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union
from shapely.strtree import STRtree

import dxf_files
import samples
import svg_files
import svg_shapes
from report import Report

# Chords of what is read leave its arcs by at most this, mm.
CHORD_MM = 0.001
# What a cut may be off the one `shapely` moves, and a tab off its width, mm: the curves of either became arcs within a hundredth first.
WITHIN_MM = 0.02
# A tab stands on a cut that turns by 3 degrees at most on either side of it; over its width the bend comes to less than this, mm.
BEND_MM = 0.1
QUARTER = 64


def read(path):
    """Open chains of the cut, closed cuts, and the strokes of the name."""
    chains, closed, strokes = [], [], []
    for entity in ezdxf.readfile(path).modelspace():
        if entity.dxf.layer not in ("cut", "drill", "engrave"):
            continue
        points = [(p.x, p.y) for p in ezdxf.path.make_path(entity).flattening(CHORD_MM)]
        if entity.dxf.layer == "engrave":
            strokes.append(LineString(points))
        elif entity.dxftype() == "CIRCLE" or getattr(entity, "is_closed", False):
            closed.append(Polygon(points))
        else:
            chains.append(points)
    return chains, closed, strokes


def read_svg(path):
    """The same of an SVG."""
    drawn = [shape for shape in svg_shapes.read(path) if shape.role in ("cut", "drill", "engrave")]
    strokes = [LineString(shape.points) for shape in drawn if shape.role == "engrave"]
    cut = [shape for shape in drawn if shape.role != "engrave"]
    return [s.points for s in cut if not s.closed], [s.polygon for s in cut if s.closed], strokes


def compare(report, path, plain, told):
    """One DXF, and the SVG beside it, against the contours of the plain file, the outline first."""
    svg = path.with_suffix(".svg")
    try:
        drawn, same = read(path), read_svg(svg)
        same = _laid_over(same, drawn)
    except Exception as fault:  # whatever a reader raises is a finding about the file
        report.check(path.name, "the held file can be read", False, f"{type(fault).__name__}: {fault}")
        return
    report.check(path.name, "the held file can be read", True)
    dxf_files.opened(report, path)
    svg_files.check(report, svg)
    judge(report, path.name, drawn, plain, told)
    _same(report, svg.name, same, drawn)


def _same(report, name, svg, dxf):
    """The SVG holds the same cuts, openings and strokes as the DXF, at the same places."""
    counts = [len(part) for part in svg], [len(part) for part in dxf]
    if not report.check(name, "the SVG holds what the DXF does", counts[0] == counts[1], f"{counts[0]} of {counts[1]}"):
        return
    lines = [chains + [c.exterior.coords for c in closed] + [s.coords for s in strokes] for chains, closed, strokes in (svg, dxf)]
    places = [[p for line in some for p in line] for some in lines]
    off = max(_off(places[0], lines[1]).max(), _off(places[1], lines[0]).max())
    report.check(name, "the SVG lies where the DXF does", off <= WITHIN_MM, f"{off:.4f} mm")


def _laid_over(drawn, other):
    """An SVG counts from the corner of its picture: moved so that its lowest and leftmost places are those of the other file."""
    low = [unary_union([LineString(c) for c in chains] + closed).bounds for chains, closed, _ in (drawn, other)]
    dx, dy = low[1][0] - low[0][0], low[1][1] - low[0][1]
    chains, closed, strokes = drawn
    moved = [[(x + dx, y + dy) for x, y in chain] for chain in chains]
    return moved, [translate(c, dx, dy) for c in closed], [translate(s, dx, dy) for s in strokes]


def judge(report, name, drawn, plain, told):
    chains, closed, strokes = drawn
    kerf, tab, tabs = told["kerf_mm"], told["tab_mm"], told["tabs"]
    if not report.check(name, "as many cuts as tabs", len(chains) == tabs, f"{len(chains)} of {tabs}"):
        return
    outline, holes = plain[0], plain[1:]
    chains = _in_order(chains)
    wanted = outline.buffer(kerf / 2.0, quad_segs=QUARTER).exterior
    corners = _off([p for chain in chains for p in chain], [wanted.coords])
    report.check(name, "every place of the cut is half a kerf out", corners.max() <= WITHIN_MM, f"{corners.max():.4f} mm")
    places = np.array(wanted.segmentize(1.0).coords)
    off = _off(places, chains) > WITHIN_MM + BEND_MM
    reach = (tab + kerf) / 2.0 + WITHIN_MM
    middles = [((a[-1][0] + b[0][0]) / 2.0, (a[-1][1] + b[0][1]) / 2.0) for a, b in zip(chains, chains[1:] + chains[:1])]
    beside = [p for p in places[off] if min(math.dist(p, middle) for middle in middles) > reach]
    report.check(name, "the cut leaves nothing out but the tabs", not beside, str(beside[:1]))
    _bridges(report, name, chains, (kerf, tab))
    _holes(report, name, holes, closed, kerf)
    _name(report, name, strokes, outline, holes)


def _off(places, lines):
    """How far each place is from the nearest of the lines, mm."""
    corners = [np.array(line) for line in lines]
    sides = STRtree(shapely.linestrings(np.concatenate([np.stack([c[:-1], c[1:]], axis=1) for c in corners])))
    found = sides.query_nearest(shapely.points(places), return_distance=True, all_matches=False)
    return found[1]


def _in_order(chains):
    """The chains as they follow each other round the part: each begins nearest to where the one before ended."""
    rest, order = list(chains[1:]), [chains[0]]
    while rest:
        end = order[-1][-1]
        nearest = min(rest, key=lambda chain: (chain[0][0] - end[0]) ** 2 + (chain[0][1] - end[1]) ** 2)
        rest.remove(nearest)
        order.append(nearest)
    return order


def _bridges(report, name, chains, sizes):
    """What the cutter leaves hangs together by as many bridges as there are tabs, each as wide as asked."""
    kerf, tab = sizes
    cut = unary_union([LineString(chain).buffer(kerf / 2.0, quad_segs=QUARTER) for chain in chains])
    low_x, low_y, high_x, high_y = cut.bounds
    around = Polygon([(low_x - 9, low_y - 9), (high_x + 9, low_y - 9), (high_x + 9, high_y + 9), (low_x - 9, high_y + 9)])
    left = around.difference(cut)
    whole = left.geom_type == "Polygon"
    report.check(name, "the part hangs in the sheet", whole, left.geom_type)
    widths, parted = [], cut
    for i, chain in enumerate(chains):
        end, begin = Point(chain[-1]), Point(chains[(i + 1) % len(chains)][0])
        widths.append(end.distance(begin) - kerf)
        parted = parted.union(LineString([end, begin]).buffer(kerf / 2.0 + 1e-6))
    report.check(name, "each tab is as wide as asked", all(abs(w - tab) <= WITHIN_MM for w in widths), f"{widths} for {tab}")
    parts = around.difference(parted)
    pieces = len(getattr(parts, "geoms", [parts]))
    report.check(name, "broken at its tabs the part is free", pieces == 2, f"{pieces} pieces")


def _holes(report, name, holes, closed, kerf):
    """Openings go in by half a kerf."""
    wanted = sorted((h.buffer(-kerf / 2.0, quad_segs=QUARTER) for h in holes), key=lambda s: -s.area)
    got = sorted(closed, key=lambda s: -s.area)
    same = len(wanted) == len(got)
    off = max((a.symmetric_difference(b).area / b.length for a, b in zip(wanted, got)), default=0.0) if same else 9.0
    report.check(name, "openings go in by half a kerf", same and off <= WITHIN_MM, f"{len(got)} of {len(wanted)}, {off:.4f} mm")


def _name(report, name, strokes, outline, holes):
    """The letters stand on steel, clear of every cut."""
    steel = outline.difference(unary_union(holes)) if holes else outline
    inner = steel.buffer(-0.9)
    clear = bool(strokes) and all(inner.contains(stroke) for stroke in strokes)
    report.check(name, "the name stands on steel, clear of the cuts", clear, f"{len(strokes)} strokes")


OUTLINE = Polygon([(0, 0), (100, 0), (100, 30), (0, 30)])
HOLE = Polygon([(20, 10), (30, 10), (30, 20), (20, 20)])
TOLD = {"kerf_mm": 1.0, "tab_mm": 2.0, "tabs": 1}


def _drawn(by=0.5, gap=3.0, hole=None, strokes=None, short=False):
    """The plate with one tab on its upper side, moved by hand."""
    ring = list(OUTLINE.buffer(by, quad_segs=QUARTER).exterior.coords)[:-1]
    top = 30 + by
    sides = [p for p in ring if not (abs(p[1] - top) < 1e-9)]
    # Round from left of the tab over the left, the bottom and the right to right of it.
    left = sorted([p for p in sides if p[0] < 50], key=lambda p: -p[1])
    right = sorted([p for p in sides if p[0] >= 50], key=lambda p: p[1])
    chain = [(50 - gap / 2, top), (0, top), *left, *right, (100, top), (50 + gap / 2, top)]
    if short:
        chain = chain[: len(left) + 2]
    closed = [hole or HOLE.buffer(-0.5)]
    return [chain], closed, strokes if strokes is not None else [LineString([(60, 10), (64, 16)])]


FAULTS = [
    ("sound files", set(), {}),
    ("a cut 0.03 mm too far out", {"every place of the cut is half a kerf out"}, {"by": 0.53}),
    ("a side that is not cut", {"the cut leaves nothing out but the tabs", "each tab is as wide as asked"}, {"short": True}),
    ("a tab 0.1 mm too narrow", {"each tab is as wide as asked"}, {"gap": 2.9}),
    ("a tab that is cut through", {"each tab is as wide as asked", "the part hangs in the sheet"}, {"gap": 0.5}),
    ("a hole left as it was", {"openings go in by half a kerf"}, {"hole": HOLE}),
    ("a letter over a hole", {"the name stands on steel, clear of the cuts"}, {"strokes": [LineString([(15, 15), (25, 15)])]}),
]


def _svg_of(drawn, role="engrave", less=0, off=0.0):
    """The same as an SVG by hand, elsewhere on its page."""
    chains, closed, strokes = drawn
    path = lambda points, end: '<path d="M' + "L".join(f"{x + 7:.4f} {40 - y:.4f}" for x, y in points) + end + '"/>'
    cut = "".join(path(c, "") for c in chains) + "".join(path(list(c.exterior.coords)[:-1], "Z") for c in closed[less:])
    name = "".join(path([(x + off, y) for x, y in s.coords], "") for s in strokes)
    return f'<g id="cut">{cut}</g><g id="{role}">{name}</g>'


SVG_FAULTS = [
    ("sound files", set(), {}),
    ("a name among the cuts", {"the SVG holds what the DXF does"}, {"role": "cut"}),
    ("a hole missing", {"the SVG holds what the DXF does"}, {"less": 1}),
    ("a role nobody knows", {"every line lies in a role group", "the SVG holds what the DXF does"}, {"role": "letters"}),
    ("a name 0.03 mm aside", {"the SVG lies where the DXF does"}, {"off": 0.03}),
]


def _svg_selftest(report):
    """Faults planted in a whole DXF and its SVG."""
    for what, wanted, how in SVG_FAULTS:
        own = Report(quiet=True)
        with tempfile.TemporaryDirectory() as place:
            path = Path(place) / "planted.dxf"
            drawn = _drawn()
            chains, closed, strokes = drawn

            def lines(space, _kind):
                for points, layer, close in [(c, "cut", False) for c in chains] + [(c.exterior.coords[:-1], "cut", True) for c in closed]:
                    space.add_lwpolyline(points, close=close, dxfattribs={"layer": layer})
                for stroke in strokes:
                    space.add_lwpolyline(stroke.coords, dxfattribs={"layer": "engrave"})

            samples.dxf(path, "arcs", holes=[], outline=lines)
            body = _svg_of(drawn, **how)
            samples.svg(path.with_suffix(".svg"), 'width="120mm" height="50mm" viewBox="0 0 120 50"', body, "<g>")
            compare(own, path, [OUTLINE, HOLE], TOLD)
        report.check("planted", f"held SVG: {what}", own.failed == wanted, str(sorted(own.failed)))


def selftest(report):
    """Planted faults, each found by the check meant for it and by no other."""
    _svg_selftest(report)
    for what, wanted, how in FAULTS:
        own = Report(quiet=True)
        judge(own, "planted", _drawn(**how), [OUTLINE, HOLE], TOLD)
        report.check("planted", f"held: {what}", own.failed == wanted, str(sorted(own.failed)))
    own = Report(quiet=True)
    judge(own, "planted", ([[(0, 0), (1, 1)]] * 2, [], []), [OUTLINE], TOLD)
    report.check("planted", "held: a chain too many", own.failed == {"as many cuts as tabs"}, str(sorted(own.failed)))
