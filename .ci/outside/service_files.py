"""Checks of DXF files written as one service asks for them: its unit, its layers, and the same contours as in the plain files, by `ezdxf` and `shapely`."""

import tempfile
from pathlib import Path

import ezdxf
from shapely.affinity import scale

import contours
import dxf_files
import samples
from report import Report

# What `$INSUNITS` says of a unit, and how many mm it is (DXF reference, header).
UNITS = {"mm": (4, 1.0), "inch": (1, 25.4)}
# Arcs are fitted before the unit is changed, so both files hold the same ones; ten decimals of an inch are far below this, mm.
SAME_MM = 1e-6
# Roles a knife's cutting file has besides what is cut.
OTHERS = {"drill", "engrave", "scribe"}


def check(report, folder, knives, unit, layers):
    """All `.dxf` of a folder against those of the same name in another."""
    files = sorted(Path(folder).glob("*.dxf"))
    report.check("service", "there are files", files, f"{len(files)} files")
    for path in files:
        _file(report, path, Path(knives) / path.name, unit, layers)


def _file(report, path, plain, unit, layers):
    doc = dxf_files.opened(report, path)
    if doc is None:
        return
    number, factor = UNITS[unit]
    report.check(path.name, "the unit is told", doc.header.get("$INSUNITS", 0) == number, f"$INSUNITS {doc.header.get('$INSUNITS', 0)}")
    entities = list(doc.modelspace())
    kind, name = layers.split(":")
    used = {entity.dxf.layer for entity in entities}
    others = set() if kind == "one" else OTHERS
    report.check(path.name, "layers are as asked", name in used and used <= {name} | others, " ".join(sorted(used)))
    known = {layer.dxf.name for layer in doc.layers}
    report.check(path.name, "layers are defined", used <= known, " ".join(sorted(used - known)))
    cut = {name} if kind == "one" else {name, "drill"}
    try:
        own = _shapes([e for e in entities if e.dxf.layer in cut], factor)
        theirs = _shapes([e for e in ezdxf.readfile(plain).modelspace() if e.dxf.layer in dxf_files.CUT_LAYERS], 1.0)
    except (contours.Fault, OSError, ezdxf.DXFError) as fault:
        report.check(path.name, "every cut is one closed entity", False, str(fault))
        return
    report.check(path.name, "every cut is one closed entity", True)
    same = len(own) == len(theirs)
    off = max((_off(a, b) for a, b in zip(own, theirs)), default=0.0) if same else None
    report.check(path.name, "contours are those of the plain file", same and off <= SAME_MM, f"{len(own)} of {len(theirs)}, {off} mm off")


def _shapes(entities, factor):
    shapes = [scale(contours.read(e).polygon, factor, factor, origin=(0.0, 0.0)) for e in entities]
    return sorted(shapes, key=lambda s: (-round(s.area, 3), tuple(round(v, 3) for v in s.bounds)))


def _off(a, b):
    """How far corners that belong together are apart at most, mm: both are read by the same chords."""
    pairs = zip(a.exterior.coords, b.exterior.coords)
    if len(a.exterior.coords) != len(b.exterior.coords):
        return float("inf")
    return max(max(abs(p[0] - q[0]), abs(p[1] - q[1])) for p, q in pairs)


def _planted(path, factor=1 / 25.4, units=1, layer="PROFILE", holes=samples.HOLES, stray=None):
    """The sample knife in inches on one layer."""

    def outline(space, _kind):
        corners = [(x * factor, y * factor, bulge) for x, y, bulge in samples.arc_outline()]
        space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": layer})
        for (x, y), r in holes:
            space.add_circle((x * factor, y * factor), r * factor, dxfattribs={"layer": layer})
        if stray:
            space.add_line((0, 0), (1, 1), dxfattribs={"layer": stray})

    doc = samples.new_drawing("R2000")
    doc.layers.add("PROFILE")
    outline(doc.modelspace(), "arcs")
    doc.header["$INSUNITS"] = units
    doc.saveas(path)


FAULTS = [
    ("a sound file", set(), {}),
    ("inches called mm", {"the unit is told"}, {"units": 4}),
    ("mm called inches", {"contours are those of the plain file"}, {"factor": 1.0}),
    ("an inch of 25.401 mm", {"contours are those of the plain file"}, {"factor": 1 / 25.401}),
    ("a layer of another name", {"layers are as asked", "contours are those of the plain file"}, {"layer": "cut"}),
    ("a mark on a layer of its own", {"layers are as asked"}, {"stray": "scribe"}),
    ("a mark among the cuts", {"every cut is one closed entity"}, {"stray": "PROFILE"}),
    ("a layer that is not defined", {"layers are as asked", "layers are defined"}, {"stray": "nowhere"}),
    ("a hole too few", {"contours are those of the plain file"}, {"holes": samples.HOLES[:1]}),
]


def selftest(report):
    """Planted faults, each found by the check meant for it and by no other."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        plain = folder / "plain.dxf"
        samples.dxf(plain, "arcs")
        for what, wanted, how in FAULTS:
            own = Report(quiet=True)
            path = folder / "planted.dxf"
            _planted(path, **how)
            _file(own, path, plain, "inch", "one:PROFILE")
            report.check("planted", f"service: {what}", own.failed == wanted, str(sorted(own.failed)))
    own = Report(quiet=True)
    check(own, "no-such-folder", ".", "inch", "one:PROFILE")
    report.check("planted", "service: no files", own.failed == {"there are files"}, str(sorted(own.failed)))
