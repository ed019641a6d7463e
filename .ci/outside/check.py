#!/usr/bin/env python3
"""Reads what the program wrote with other people's readers.

    check.py --weigh weigh.json FOLDER...     check all .dxf, .svg and .pdf files of the folders
    check.py --nest FOLDER --knives FOLDER --stock LENGTH WIDTH --gap MM --edge MM
                                              check nest.dxf and nest.json against the knives' own files
    check.py --printer PROGRAM --design FILE FOLDER
                                              print, measure and correct on a printer that is not true
    check.py --enter PROGRAM --design FILE    stop the search of a nest by Enter on a pseudo-terminal
    check.py --allowance MM --knives FOLDER FOLDER
                                              cutting files with steel left on, against the plain ones
    check.py --many FOLDER --count N          check the files of many random knives
    check.py --batch FOLDER --knives FOLDER --count N
                                              files of several knives, against those of each
    check.py --service FOLDER --knives FOLDER --unit mm|inch --layers one:NAME|cut:NAME
                                              files as a service asks for them, against the plain ones
    check.py --build FILE --weigh weigh.json  check a build sheet against the weigh-up of its knives
    check.py --instances FILE                 check nests of the open instances
    check.py --selftest                       plant one fault after another and demand that each is found

One line a check, then `N passed, N failed`; exit code 1 when anything failed or nothing was checked.
"""

import argparse
import json
import sys
from pathlib import Path

import batch_files
import build_files
import dxf_files
import enter_files
import folded_files
import instance_files
import held_files
import join_files
import many_files
import nest_files
import offset_files
import paper_files
import pdf_files
import printer_files
import scribed_files
import service_files
import svg_files
from report import Report

# A run that saw no file of one of these kinds is not green.
NEEDED = ["arcs", "splines", "r12", "plate", "svg", "pdf a4", "pdf a3", "pdf letter"]


def slug(name):
    """File name part of a knife: lower case, blanks to hyphens."""
    return "-".join(name.lower().split())


def check_all(report, weigh_path, folders, needed=NEEDED):
    """Checks every file in the folders against the weigh-up."""
    try:
        knives = {slug(knife["name"]): knife for knife in json.loads(Path(weigh_path).read_text())["knives"]}
    except (OSError, ValueError, KeyError, TypeError) as fault:
        report.check(Path(weigh_path).name, "is a weigh-up", False, f"{type(fault).__name__}: {fault}")
        return
    report.check(Path(weigh_path).name, "is a weigh-up", knives, f"{len(knives)} knives")
    files = sorted(path for folder in folders for path in Path(folder).rglob("*") if path.is_file())
    counts = {}
    for path in files:
        if path.suffix == ".dxf":
            _dxf(report, path, knives, counts)
        elif path.suffix == ".svg":
            svg_files.check(report, path)
        elif path.suffix == ".pdf":
            pdf_files.check(report, path)
        else:
            report.check(path.name, "is of a known kind", False)
    names = {path.name for path in files}
    for name in knives:
        wanted = [f"{name}.dxf", f"{name}-splines.dxf", f"{name}-r12.dxf"]
        wanted += [f"{name}-{kind.split()[1]}.pdf" for kind in needed if kind.startswith("pdf ")]
        missing = [file for file in wanted if file not in names]
        report.check(name, "has all its files", not missing, " ".join(missing))
        same = len({counts.get(file) for file in wanted[:3]}) == 1
        report.check(name, "has the same contours in every DXF", same)
    for kind in needed:
        report.check("all", f"a file of kind {kind} was checked", report.kinds[kind] > 0, f"{report.kinds[kind]} files")


def _dxf(report, path, knives, counts):
    """Finds what the file belongs to by its name, the longest knife name first, and checks it."""
    for name in sorted(knives, key=len, reverse=True):
        if path.stem in (name, f"{name}-splines", f"{name}-r12"):
            counts[path.name] = len(dxf_files.check(report, path, knives[name]))
            return
        if path.stem.startswith(f"{name}-guard"):
            dxf_files.check(report, path, None)
            return
    report.check(path.name, "belongs to a knife", False)


def main():
    parser = argparse.ArgumentParser(description="check what the program wrote with foreign readers")
    parser.add_argument("--selftest", action="store_true")
    parser.add_argument("--weigh", metavar="JSON")
    parser.add_argument("--nest", metavar="FOLDER")
    parser.add_argument("--knives", metavar="FOLDER")
    parser.add_argument("--stock", metavar="MM", type=float, nargs=2)
    parser.add_argument("--gap", metavar="MM", type=float)
    parser.add_argument("--edge", metavar="MM", type=float)
    parser.add_argument("--allowance", metavar="MM", type=float)
    parser.add_argument("--printer", metavar="PROGRAM")
    parser.add_argument("--enter", metavar="PROGRAM")
    parser.add_argument("--design", metavar="FILE")
    parser.add_argument("--many", metavar="FOLDER")
    parser.add_argument("--batch", metavar="FOLDER")
    parser.add_argument("--service", metavar="FOLDER")
    parser.add_argument("--unit", choices=["mm", "inch"])
    parser.add_argument("--layers", metavar="RULE")
    parser.add_argument("--build", metavar="FILE")
    parser.add_argument("--instances", metavar="FILE")
    parser.add_argument("--count", metavar="N", type=int)
    parser.add_argument("folders", nargs="*", metavar="FOLDER")
    options = parser.parse_args()
    report = Report()
    if options.selftest:
        import selftest

        selftest.run(report)
        nest_files.selftest(report)
        printer_files.selftest(report)
        paper_files.selftest(report)
        scribed_files.selftest(report)
        join_files.selftest(report)
        folded_files.selftest(report)
        batch_files.selftest(report)
        build_files.selftest(report)
        offset_files.selftest(report)
        many_files.selftest(report)
        held_files.selftest(report)
        instance_files.selftest(report)
        service_files.selftest(report)
        enter_files.selftest(report)
    elif options.batch and options.knives and options.count:
        batch_files.check(report, options.batch, options.knives, options.count)
    elif options.service and options.knives and options.unit and options.layers:
        service_files.check(report, options.service, options.knives, options.unit, options.layers)
    elif options.build and options.weigh:
        build_files.check(report, Path(options.build), Path(options.weigh))
    elif options.instances:
        instance_files.check(report, options.instances)
    elif options.many and options.count:
        many_files.check(report, options.many, options.count)
    elif options.nest and options.knives and options.stock and None not in (options.gap, options.edge):
        nest_files.check(report, options.nest, options.knives, options.stock, options.gap, options.edge)
    elif options.allowance and options.knives and options.folders:
        offset_files.check(report, options.knives, options.folders[0], options.allowance)
    elif options.enter and options.design:
        enter_files.check(report, options.enter, options.design)
    elif options.printer and options.design and options.folders:
        printer_files.check(report, options.printer, options.design, options.folders[0])
    elif options.weigh and options.folders:
        check_all(report, options.weigh, options.folders)
    else:
        parser.error("give --selftest, or --weigh JSON and at least one FOLDER")
    return report.finish()


if __name__ == "__main__":
    sys.exit(main())
