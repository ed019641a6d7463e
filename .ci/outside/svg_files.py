"""Checks of one SVG file: true size in millimeters, and every line under the group of its role."""

import math
import re
import xml.etree.ElementTree as tree

SVG = "{http://www.w3.org/2000/svg}"
ROLES = {"cut", "drill", "engrave", "scribe", "label", "frame"}
DRAWN = {SVG + name for name in ("path", "circle", "ellipse", "line", "polyline", "polygon", "rect", "text")}
FORBIDDEN = {SVG + name for name in ("image", "script", "foreignObject", "use", "style")}


def check(report, path):
    """All checks of one file."""
    try:
        root = tree.parse(path).getroot()
    except (tree.ParseError, OSError, UnicodeError) as fault:
        report.check(path.name, "is XML", False, str(fault))
        return
    report.check(path.name, "is XML", True)
    if not report.check(path.name, "root is svg", root.tag == SVG + "svg", root.tag):
        return
    _scale(report, path, root)
    roles = {role_of(group) for group in root.iter(SVG + "g")} & ROLES
    report.check(path.name, "has a cut group", "cut" in roles, " ".join(sorted(roles)))
    stray = []
    cuts = _walk(root, None, stray)
    report.check(path.name, "every line lies in a role group", not stray, " ".join(stray[:3]))
    report.check(path.name, "the cut group holds a shape", cuts > 0, f"{cuts} shapes")
    foreign = sorted({e.tag.removeprefix(SVG) for e in root.iter() if e.tag in FORBIDDEN})
    report.check(path.name, "plain shapes only", not foreign, " ".join(foreign))
    report.checked("svg")


def _scale(report, path, root):
    width, height = (_millimeters(root.get(name, "")) for name in ("width", "height"))
    sized = width is not None and height is not None
    if not report.check(path.name, "size in mm", sized, f"{root.get('width')} x {root.get('height')}"):
        return
    try:
        box = [float(word) for word in re.split(r"[\s,]+", root.get("viewBox", "").strip())]
    except ValueError:
        box = []
    same = len(box) == 4 and math.isclose(box[2], width, rel_tol=1e-9) and math.isclose(box[3], height, rel_tol=1e-9)
    report.check(path.name, "one user unit is one mm", same, f"viewBox {root.get('viewBox')}")


def _millimeters(text):
    match = re.fullmatch(r"\s*(\d+(?:\.\d+)?)mm\s*", text)
    value = float(match[1]) if match else 0.0
    return value if value > 0.0 else None


def role_of(group):
    """The role a group names by its id or class; several knives on one sheet may number their ids: `cut-2`."""
    words = f"{group.get('id', '')} {group.get('class', '')} {group.get('data-role', '')}".split()
    return next((word.split("-")[0] for word in words if word.split("-")[0] in ROLES), None)


def _walk(element, role, stray):
    """Notes drawn elements outside a role group and scaling inside one; gives how many shapes are cut."""
    cuts = 0
    for child in element:
        inner = role
        if child.tag == SVG + "g":
            inner = role_of(child) or role
            if "scale" in child.get("transform", "").replace("scale(1,-1)", "").replace("scale(1 -1)", ""):
                stray.append("a scaled group")
        elif child.tag in DRAWN:
            if role is None:
                stray.append(child.tag.removeprefix(SVG))
            cuts += role == "cut" and child.tag != SVG + "text"
        if child.tag != SVG + "defs":
            cuts += _walk(child, inner, stray)
    return cuts
