"""A printer that is not true, played on the program's own pages: its two bars are measured as `pymupdf` reads them, what a maker would find with calipers is
told to the program, and the next templates must come out true: their check bars, and every line that is cut, drilled or scribed, knife by knife, folded and
together; pages that are joined lie on each other, and the build sheet goes by the same bars."""

import json
import os
import subprocess
from pathlib import Path

import pymupdf

import folded_files
import join_files
import paper_files
import pdf_files
import scribed_files

# What the played printer makes of a millimeter along the shorter and the longer side of the paper.
PRINTER = (0.9873, 1.0061)
# Sheets it prints on.
PAPERS = ("a4", "letter")
# A knife beside the design whose back a rule touches at two places, thinner in front.
TAPERED = "kinds/skinner.tangwright"
# Calipers are read to this, mm.
READ_TO_MM = 0.1
# Of a length, after correction.
TRUE_TO = 0.0005


def on_paper(page, printer):
    """What the printer makes of level and upright lengths on this page, which may lie on its side."""
    short, long = printer
    return (long, short) if page.mediabox.width > page.mediabox.height else (short, long)


def check_bars(report, name, page, printer):
    """The check bars of a page as they come out of the printer."""
    lengths = pdf_files.straight_lines(page)
    for axis, share in zip(("across", "up"), on_paper(page, printer)):
        for bar, wanted in pdf_files.BARS_MM.items():
            found = min((length * share for length in lengths[axis]), key=lambda mm: abs(mm - wanted), default=0.0)
            good = abs(found / wanted - 1.0) <= TRUE_TO
            report.check(name, f"{bar} bar {axis} on paper", good, f"{found:.4f} mm")


def check(report, program, design, folder):
    """Prints, measures, corrects and prints again, on a sheet that is long and on one that is wide."""
    for paper in PAPERS:
        _check_paper(report, program, design, Path(folder) / paper, paper)


def _check_paper(report, program, design, folder, paper):
    folder.mkdir(parents=True, exist_ok=True)
    env = {**os.environ, "TANGWRIGHT_HOME": str(folder / "home")}

    def run(*words):
        done = subprocess.run([program, *words], env=env, capture_output=True, text=True, check=False)
        report.check(words[0], "ends well", done.returncode == 0, done.stderr.strip())

    page_file = folder / f"printer-{paper}.pdf"
    run("printer", "--out", str(page_file), "--paper", paper)
    page = pymupdf.open(page_file)[0]
    lengths = pdf_files.straight_lines(page)
    # The border of the page is a contour of its own; the bars are the longest single lines.
    drawn = [max(lengths[axis], default=0.0) for axis in ("across", "up")]
    report.check(page_file.name, "lies on its side", page.mediabox.width > page.mediabox.height)
    measured = [round(mm * share / READ_TO_MM) * READ_TO_MM for mm, share in zip(drawn, on_paper(page, PRINTER))]
    run("printer", "--paper", paper, "--long", f"{measured[0]:.1f}", "--short", f"{measured[1]:.1f}")
    run("template", design, "--paper", paper, "--pdf", "--folded", "--svg", "--out", str(folder / "template"))
    run("template", design, "--paper", paper, "--together", "--out", str(folder / "together"))
    run("build", design, "--paper", paper, "--out", str(folder / f"build-{paper}.pdf"))
    tapered = Path(design).parent / TAPERED
    run("template", str(tapered), "--paper", paper, "--folded", "--svg", "--out", str(folder / "tapered"))
    files = sorted([*(folder / "template").glob("*.pdf"), *(folder / "together").glob("*.pdf")])
    report.check("template", "was printed", len(files) > 1, f"{len(files)} files")
    pages, printed = {}, {}
    for file in [*files, folder / f"build-{paper}.pdf", *(folder / "tapered").glob("*.pdf")]:
        pages[file] = list(pymupdf.open(file))
        for page in pages[file]:
            check_bars(report, f"{file.name} page {page.number + 1}", page, PRINTER)
        printed[file] = [paper_files.printed_on(page, on_paper(page, PRINTER)) for page in pages[file]]
    of_templates = {file: pages[file] for file in files}
    _check_papers(report, folder, paper, json.loads(Path(design).read_text()), of_templates, printed)
    _check_joins(report, of_templates, printed)
    for knife in json.loads(tapered.read_text())["knives"]:
        _check_fold(report, folder / "tapered", paper, knife, printed, places=2)


def _check_papers(report, folder, paper, design, pages, printed):
    """What is cut, drilled and scribed is on the knife's own paper, on the folded one twice, and on the one of all knives."""
    template = folder / "template"
    together = [file for file in pages if file.parent.name == "together"]
    own = sum(len(found) for file, found in pages.items() if file not in together and "-folded-" not in file.name)
    few = sum(len(pages[file]) for file in together)
    report.check("together", "takes fewer pages", 0 < few < own, f"{few} of {own}")
    lines = {file: [scribed_files.lines_on(page, on_paper(page, PRINTER)) for page in found] for file, found in pages.items()}
    every = {file: [shape for page in printed[file] for shape in page] for file in pages}
    for file in together:
        paper_files.check_names(report, file.name, pages[file], [knife["name"] for knife in design["knives"]])
    for knife in design["knives"]:
        slug = _slug(knife)
        whole, folded = template / f"{slug}-{paper}.pdf", template / f"{slug}-folded-{paper}.pdf"
        for svg in sorted(template.glob(f"{slug}*.svg")):
            drawn, scribed = paper_files.drawn_in(svg), scribed_files.scribed_in(svg)
            for file in [whole, *together]:
                paper_files.check_sizes(report, f"{svg.name} in {file.name}", drawn, every[file])
                # A guard is pricked, not scribed.
                if scribed or "-guard" not in svg.name:
                    scribed_files.check(report, f"{svg.name} in {file.name}", drawn, scribed, list(zip(printed[file], lines[file])))
        drawn = paper_files.drawn_in(template / f"{slug}.svg")
        paper_files.check_sizes(report, folded.name, drawn, every[folded], times=2, any_turn=True)
        _check_fold(report, template, paper, knife, printed)
        if "taper" not in knife["grinding"]:
            outline = max(drawn, key=lambda shape: shape.area)
            paper_files.check_fold(report, folded.name, every[folded], outline, knife["stock"]["thickness_mm"])


def _slug(knife):
    return "-".join(knife["name"].lower().split())


def _check_fold(report, folder, paper, knife, printed, places=1):
    """The faces of a folded template, on its first page."""
    file = folder / f"{_slug(knife)}-folded-{paper}.pdf"
    outline = max(paper_files.drawn_in(folder / f"{_slug(knife)}.svg"), key=lambda shape: shape.area)
    folded_files.check(report, file.name, knife, outline, printed[file][0], places)


def _check_joins(report, pages, printed):
    """Pages that belong together where a drawing is longer than the paper; knives together stand on pages of their own."""
    files = [file for file in pages if file.parent.name != "together"]
    joins = sum(join_files.check(report, file.name, pages[file], printed[file]) for file in files)
    report.check("template", "some are longer than the paper", joins > 1, f"{joins} joins")


def selftest(report):
    """Bars that are true on the screen are not on such a printer."""
    from report import Report

    document = pymupdf.open()
    page = document.new_page(width=595.0, height=842.0)
    for i, length in enumerate(pdf_files.BARS_MM.values()):
        points = length / pdf_files.MM_PER_POINT
        start = pymupdf.Point(50.0, 50.0 + 9.0 * i)
        page.draw_line(start, start + (points, 0.0))
        page.draw_line(start, start + (0.0, points))
    for printer, wanted in (((1.0, 1.0), 0), (PRINTER, 4), ((1.0, 1.0006), 2)):
        own = Report(quiet=True)
        check_bars(own, "planted", page, printer)
        report.check("planted", f"a printer off by {printer} is found", len(own.failures) == wanted, f"{len(own.failures)} of {wanted}")
