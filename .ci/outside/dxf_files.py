"""Checks of one DXF file: read by `ezdxf`, its plane judged by `shapely`, its area against what the program weighs."""

import logging

import ezdxf
from ezdxf import recover

import contours
import dxf_tags

LAYERS = {"cut", "drill", "engrave", "scribe", "label", "frame"}
# Layers that steel is cut on: every entity there must be one closed contour.
CUT_LAYERS = {"cut", "drill"}
# Entity types and file version of each kind of file.
KINDS = {
    "arcs": ("AC1015", {"LWPOLYLINE", "CIRCLE", "LINE", "TEXT"}),
    "splines": ("AC1015", {"LWPOLYLINE", "SPLINE", "CIRCLE", "LINE", "TEXT"}),
    "r12": ("AC1009", {"POLYLINE", "CIRCLE", "LINE", "TEXT"}),
}
MILLIMETERS = 4
# How far the program lets its arcs leave the drawn curve, mm; an area may then be off by this times the length of the contours.
ARC_TOLERANCE_MM = 0.01
RELATIVE_AREA = 1e-6


class Warnings(logging.Handler):
    """Collects what ezdxf complains about while it loads."""

    def __init__(self):
        super().__init__(logging.WARNING)
        self.said = []

    def emit(self, record):
        self.said.append(record.getMessage())


def shapes(path):
    """Everything of a file that steel is cut on, as polygons."""
    entities = [e for e in ezdxf.readfile(path).modelspace() if e.dxf.layer in CUT_LAYERS]
    return [contours.read(entity).polygon for entity in entities]


def kind_of(stem):
    """Kind of file by the end of its name."""
    for kind in ("splines", "r12"):
        if stem.endswith("-" + kind):
            return kind
    return "arcs"


def check(report, path, knife):
    """All checks of one file. `knife` is its entry in weigh.json, or None for a fitted plate, whose area is not weighed there.

    Gives what steel is cut on as contours; none when the file or one of them could not be read.
    """
    kind = kind_of(path.stem)
    doc = opened(report, path)
    if doc is None:
        return []
    version, allowed = KINDS[kind]
    report.check(path.name, f"written as {version}", doc.dxfversion == version, doc.dxfversion)
    units = doc.header.get("$INSUNITS", 0)
    report.check(path.name, "units are millimeters", units == MILLIMETERS, f"$INSUNITS {units}")
    entities = list(doc.modelspace())
    if not report.check(path.name, "holds something", entities, f"{len(entities)} entities"):
        return []
    found = {entity.dxftype() for entity in entities}
    report.check(path.name, "entity types", found <= allowed, " ".join(sorted(found)))
    layers = {entity.dxf.layer for entity in entities}
    report.check(path.name, "layers are roles", layers <= LAYERS and "cut" in layers, " ".join(sorted(layers)))
    known = {layer.dxf.name for layer in doc.layers}
    report.check(path.name, "layers are defined", layers <= known, " ".join(sorted(layers - known)))
    flat = all(abs(z) < 1e-12 for z in _heights(entities))
    report.check(path.name, "everything lies flat at z = 0", flat)
    closed = _contours(report, path, [e for e in entities if e.dxf.layer in CUT_LAYERS])
    if closed:
        ordered = sorted(closed, key=lambda contour: -contour.area)
        plane(report, path, [contour.polygon for contour in ordered])
        if knife is not None:
            _weighed(report, path, kind, closed, knife)
    report.checked("plate" if knife is None else kind)
    return closed


def opened(report, path):
    """The file as `ezdxf` reads it, after its tags and its audit were looked at; None where it can't be read."""
    wrong = dxf_tags.faults(path)
    report.check(path.name, "handles and owners", not wrong, "; ".join(wrong[:3]))
    watch = Warnings()
    log = logging.getLogger("ezdxf")
    log.addHandler(watch)
    log.propagate = False
    try:
        doc = ezdxf.readfile(path)
        auditor = doc.audit()
    except Exception as fault:  # whatever the reader raises is a finding about the file
        report.check(path.name, "opens strictly", False, f"{type(fault).__name__}: {fault}")
        return None
    finally:
        log.removeHandler(watch)
    report.check(path.name, "opens strictly", True)
    report.check(path.name, "loads without a warning", not watch.said, "; ".join(watch.said[:3]))
    _audit(report, path, "audit", auditor)
    try:
        _, auditor = recover.readfile(path)
        _audit(report, path, "recovery", auditor)
    except Exception as fault:
        report.check(path.name, "recovery finds nothing", False, f"{type(fault).__name__}: {fault}")
    return doc


def _audit(report, path, name, auditor):
    findings = [entry.message for entry in auditor.errors + auditor.fixes]
    detail = f"{len(auditor.errors)} errors, {len(auditor.fixes)} repairs" + "".join(f"; {m}" for m in findings[:3])
    report.check(path.name, f"{name} finds nothing", not findings, detail)


def _heights(entities):
    for entity in entities:
        for name in ("elevation", "center", "start", "end", "insert"):
            if entity.dxf.hasattr(name):
                value = entity.dxf.get(name)
                yield value if isinstance(value, (int, float)) else value[2]
        if entity.dxftype() == "SPLINE":
            yield from (point[2] for point in entity.control_points)


def _contours(report, path, entities):
    closed, faults = [], []
    for entity in entities:
        try:
            closed.append(contours.read(entity))
        except contours.Fault as fault:
            faults.append(f"{entity.dxftype()} {fault}")
    good = closed and not faults
    report.check(path.name, "every cut is one closed entity", good, "; ".join(faults[:3]) or f"{len(closed)} contours")
    return closed if good else []


def plane(report, path, polygons):
    """The first and largest polygon is the outline; it must be simple, and the others must be holes in it, apart from one another."""
    outline, *holes = polygons
    simple = outline.is_valid and all(hole.is_valid for hole in holes)
    if not report.check(path.name, "no contour crosses itself", simple):
        return
    inside = all(outline.contains(hole) and not outline.exterior.intersects(hole.exterior) for hole in holes)
    report.check(path.name, "holes lie inside the outline", inside, f"{len(holes)} holes")
    apart = all(not a.intersects(b) for i, a in enumerate(holes) for b in holes[i + 1 :])
    report.check(path.name, "holes lie apart", apart)


def _weighed(report, path, kind, closed, knife):
    ordered = sorted((contour.area for contour in closed), reverse=True)
    area = ordered[0] - sum(ordered[1:])
    steel = knife.get("steel") or {}
    weighed = steel.get("area_mm2")
    if not isinstance(weighed, (int, float)) or weighed <= 0:
        report.check(path.name, "area agrees with weigh", False, f"weigh gives {weighed}")
        return
    # Straight pieces and circles are exact in any file; only fitted arcs may be off.
    allowed = RELATIVE_AREA * weighed
    if kind != "splines":
        allowed += ARC_TOLERANCE_MM * sum(c.length for c in closed if c.kind != "CIRCLE" and c.curved)
    off = abs(area - weighed)
    detail = f"{area:.6f} read, {weighed:.6f} weighed, off {off:.2e}, allowed {allowed:.2e} mm2"
    report.check(path.name, "area agrees with weigh", off <= allowed, detail)
    expected = 1 + len(knife.get("cut_outs", []))
    report.check(path.name, "one contour for the outline and each cut-out", len(closed) == expected, f"{len(closed)} of {expected}")
