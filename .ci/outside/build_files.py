"""The build sheet on paper as `pymupdf` reads it: every page of its size with its check bars, no word cut short or off the paper, all steps in the order of the
work, every knife at its steps, and at every stage the mass and the balance of the weigh-up."""

import json
import re

import pdf_files
from report import Report

import pymupdf

# The steps in the order of the work; the knives of the orchard set need all but the grinding after hardening.
STEPS = [
    "Cut the stock",
    "Profile to the template",
    "Drill before hardening",
    "Scribe before grinding",
    "Grind",
    "Heat treatment",
    "Fit the guard",
    "Fit the handle",
    "Finish and weigh",
]
# The steps that end on the scale, and the stage of the weigh-up.
WEIGHED = {
    "Profile to the template": "blank as cut",
    "Drill before hardening": "drilled",
    "Grind": "ground",
    "Finish and weigh": "finished",
}
SCALE = re.compile(r"On the scale: ([\d.]+) g ± ([\d.]+) g, balances at ([+−]?[\d.]+) mm\. Said: _+ at _+")
# Common printers leave this much of the paper free, mm.
FREE_MM = 4.0


def check(report, path, weigh):
    """All checks of a build sheet of all knives of a weigh-up."""
    knives = json.loads(weigh.read_text())["knives"]
    pdf_files.check(report, path)
    try:
        pages = list(pymupdf.open(path))
    except Exception as fault:  # whatever the reader raises is a finding about the file
        report.check(path.name, "opens", False, f"{type(fault).__name__}: {fault}")
        return
    check_pages(report, path.name, pages, knives)


def check_pages(report, name, pages, knives):
    """What is on the pages."""
    for page in pages:
        _bars(report, f"{name} page {page.number + 1}", page)
        _inside(report, f"{name} page {page.number + 1}", page)
    lines = [line for page in pages for line in _lines(page)]
    steps = _steps(lines)
    told = [heading for heading, _ in steps]
    report.check(name, "every step is there in its order", told == STEPS, ", ".join(told))
    for heading, own in steps:
        wanted = [knife for knife in knives if heading in WEIGHED or heading == "Cut the stock"]
        missing = [knife["name"] for knife in wanted if knife["name"] not in own]
        report.check(name, "every knife is named at its step", not missing, f"{heading}: {' '.join(missing)}" if missing else heading)
        if heading in WEIGHED:
            _foretold(report, name, heading, own, knives)
    fire = dict(steps).get("Heat treatment", [])
    first = next((i for i, line in enumerate(fire) if "Local codes and licensed practice come first" in line), None)
    ahead = first is not None and all(knife["name"] in fire[first:] for knife in knives)
    report.check(name, "local codes come before the fire", ahead)


# A knife of a weigh-up, made up.
PLATE = {
    "name": "Plate",
    "stages": [
        {"stage": stage, "mass_g": mass, "balance_mm": balance}
        for stage, mass, balance in [("blank as cut", 94.2, 60.0), ("drilled", 91.73, 61.1), ("ground", 70.4, -5.04), ("finished", 88.0, -12.3)]
    ],
}


def _sheet(words=lambda page, line: line, steps=STEPS, pages=2, bar=100.0, size=(595.28, 841.89), name="Plate"):
    """A build sheet of two pages for one knife, its words as a fault would have them."""
    document = pymupdf.open()
    font = pymupdf.Font("helv").buffer
    for number in range(pages):
        page = document.new_page(width=size[0], height=size[1])
        page.insert_font(fontname="plain", fontbuffer=font)
        for i, length in enumerate((bar if number else 100.0, 101.6)):
            start = pymupdf.Point(60.0, 780.0 - 9.0 * i)
            page.draw_line(start, start + (length / pdf_files.MM_PER_POINT, 0.0))
            start = pymupdf.Point(40.0 + 9.0 * i, 400.0)
            page.draw_line(start, start + (0.0, length / pdf_files.MM_PER_POINT))
        y = 40.0
        for place, heading in list(enumerate(steps, 1))[number * 5 : number * 5 + 5]:
            lines = [f"{place}  {heading}"]
            lines += ["Local codes and licensed practice come first."] if heading == "Heat treatment" else []
            lines += [name, "to do"]
            stage = next((stage for stage in PLATE["stages"] if stage["stage"] == WEIGHED.get(heading)), None)
            if stage:
                lines += [f"On the scale: {stage['mass_g']:.1f} g ± 0.3 g, balances at {stage['balance_mm']:+.1f} mm. Said:".replace("-", "−"), "______ at ______"]
            for line in lines:
                page.insert_text((80.0, y), words(heading, line), fontname="plain", fontsize=9.0)
                y += 12.0
    return document


def selftest(report):
    """A sound sheet passes; each planted fault is found, and every check was seen to fail."""
    swapped = ["Cut the stock", "Drill before hardening", "Profile to the template", *STEPS[3:]]
    other = lambda old, new, at=None: {"words": lambda heading, line: line.replace(old, new) if at in (None, heading) else line}
    seen, bitten = set(), set()
    for planted, change, wanted in [
        ("nothing", {}, None),
        ("two steps that changed places", {"steps": swapped}, "every step is there in its order"),
        ("a step left out", {"steps": STEPS[:8]}, "every step is there in its order"),
        ("one page of two", {"pages": 1}, "every step is there in its order"),
        ("a knife left out of a step", other("Plate", "Knife", "Grind"), "every knife is named at its step"),
        ("a mass of 0.1 g too much", other("91.7 g", "91.8 g"), "mass and balance are those of the weigh-up"),
        ("the balance of another stage", other("−5.0 mm", "+61.1 mm"), "mass and balance are those of the weigh-up"),
        ("no room to write", other("______ at ______", ""), "mass and balance are those of the weigh-up"),
        ("no word on local codes", other("Local codes", "Codes"), "local codes come before the fire"),
        ("a short bar on the second page", {"bar": 99.9}, "100 mm bar across on every page"),
        ("a short bar on the second page, upright", {"bar": 99.9}, "100 mm bar up on every page"),
        ("words cut short", other("to do", "to d…"), "no words are cut short"),
        ("words over the edge", other("to do", "to do " * 40), "all words are on the paper"),
    ]:
        own = Report(quiet=True)
        check_pages(own, "sheet", list(_sheet(**change)), [PLATE])
        seen |= own.seen
        bitten |= own.failed
        found = not own.failures if wanted is None else wanted in own.failed
        report.check("planted", f"{planted} on a build sheet", found, f"found {own.failures[:3]}")
    # The inch bars are looked for in the same way.
    toothless = sorted(what for what in seen - bitten if not what.startswith("4 in"))
    report.check("build sheet", "every check can fail", not toothless, "; ".join(toothless))


def _bars(report, name, page):
    lengths = pdf_files.straight_lines(page)
    for axis, found in lengths.items():
        for bar, wanted in pdf_files.BARS_MM.items():
            nearest = min(found, key=lambda mm: abs(mm - wanted), default=0.0)
            report.check(name, f"{bar} bar {axis} on every page", abs(nearest - wanted) <= pdf_files.TOLERANCE_MM, f"{nearest:.4f} mm")


def _inside(report, name, page):
    free = FREE_MM / pdf_files.MM_PER_POINT
    room = page.mediabox + (free, free, -free, -free)
    out = [word[4] for word in page.get_text("words") if not room.contains(pymupdf.Rect(word[:4]).tl) or not room.contains(pymupdf.Rect(word[:4]).br)]
    report.check(name, "all words are on the paper", not out, " ".join(out[:3]))
    cut = [word[4] for word in page.get_text("words") if "…" in word[4]]
    report.check(name, "no words are cut short", not cut, " ".join(cut[:3]))


def _lines(page):
    """Level lines of words, in the order they are written: a knife's share is written whole before the one beside it."""
    found = []
    for block in page.get_text("dict")["blocks"]:
        for line in block.get("lines", []):
            if abs(line["dir"][0] - 1.0) < 1e-6:
                found.append("".join(span["text"] for span in line["spans"]).strip())
    return [line for line in found if line]


def _steps(lines):
    """Headings, each with the lines that follow it."""
    steps = []
    for line in lines:
        heading = re.fullmatch(r"(\d+)\s+(\D+)", line)
        if heading and int(heading[1]) == len(steps) + 1 and heading[2] in STEPS:
            steps.append((heading[2], []))
        elif steps:
            steps[-1][1].append(line)
    return steps


def _near(text, wanted):
    """Whether a printed number is the wanted one to its last digit."""
    decimals = len(text.split(".")[1]) if "." in text else 0
    return abs(float(text.replace("−", "-")) - wanted) <= 0.5 * 10.0**-decimals + 1e-9


def _foretold(report, name, heading, lines, knives):
    """A knife's share ends with what the scale should say; that line may be broken."""
    text = " ".join(lines)
    wrong = []
    for knife in knives:
        share = text[text.find(knife["name"]) :]
        said = SCALE.search(share)
        stage = next(stage for stage in knife["stages"] if stage["stage"] == WEIGHED[heading])
        if not said or not _near(said[1], stage["mass_g"]) or not _near(said[3], stage["balance_mm"]):
            wrong.append(f"{knife['name']}: {said[0] if said else 'nothing'} of {stage['mass_g']:.1f} g at {stage['balance_mm']:.1f}")
    report.check(name, "mass and balance are those of the weigh-up", not wrong, "; ".join(wrong) or f"{heading}: {len(knives)} knives")
