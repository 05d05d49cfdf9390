"""Drives the page of written folders in a browser, as a person with a mouse, a keyboard or neither.

    python page.py --netlead PROGRAM [--browser PATH] FOLDER...

Each folder holds a guide.html beside its report and its parts. Travels and sections that the page shows
are held against figures of the report and cuts of the written solids, from the page's own state and from
pixels. Prints a line for each failure, a line for each folder, and closes with `N passed, N failed`; the
exit code is 1 when anything failed.
"""

import argparse
import io
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import axe_playwright_python
import numpy as np
from playwright.sync_api import sync_playwright
from pypdf import PdfReader

import page_section
from page_controls import check_controls, check_list
from page_view import EDGE, NARROW, SMALL, WIDE, Page, numbers
from tally import Tally

BROWSER = "/usr/bin/chromium"
# A browser that runs in a container, asks nobody for updates, and keeps to what it is told.
FLAGS = ["--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
# How far the meshes of the page stand off those that are printed, in mm: src/output/album.
COARSE = 0.05
# Along a radius a chord on the flank of a 60 degree thread stands off by that over sin 30 degrees.
FLANK = 2.0
# What a picture tells no finer than, in pixels: one of each of two edges.
PIXELS = 2.0
# Size of the section's pictures, of that which fits, and how many of them along each part.
ZOOM, PICTURES = 4, 2
# Columns that are compared in each picture.
COLUMNS = 40
# Text that would run as a program, were it not kept as text.
HOSTILE = "</script><img src=x onerror=\\\"document.title='ran'\\\">&<b>"


def carriages(report):
    """Names of the parts that slide and never turn."""
    slides = [joint for joint in report["joints"] if joint["kind"] == "slide"]
    return {joint["parts"][0] for joint in slides}


def others(report, name):
    return ",".join(part["name"] for part in report["parts"] if part["name"] != name)


def check_travel(view, report, tally):
    """The slider turns the screw, and the carriage goes by the net lead with each turn."""
    lead, whole = report["motion"]["net_lead_mm"], report["motion"]["turns"]
    # Six decimals, of turns times a lead.
    for share in (0.0, 0.31, 1.0):
        view.drag("turn", share)
        state = view.state()
        turn = float(state["turn"])
        tally.check(0.0 <= turn <= whole + 1e-6, f"turn {turn} is beyond the stroke")
        tally.near(abs(numbers(state["carriageMm"])[0]), lead * turn, 1e-5,
                   f"travel of the carriage at turn {turn}")
    view.press("turn", "End")
    tally.near(float(view.state()["turn"]), whole, 1e-6, "turn at the slider's end")
    view.press("turn", "Home")
    tally.near(float(view.state()["turn"]), 0.0, 1e-6, "turn at the slider's begin")


def check_plain(view, report, tally):
    """The plain screw's carriage runs ahead with the same turns, until its stroke is over."""
    state = view.show("turn=1")
    if not state["plainMm"]:
        tally.check(report["kit"]["layout"] == "single", "no plain screw beside the kit")
        return
    run, creep = abs(float(state["plainMm"])), abs(numbers(state["carriageMm"])[0])
    tally.check(run >= creep - 1e-6, f"the plain screw goes {run}, the kit {creep}")
    end = view.show(f"turn={report['motion']['turns']}")
    stroke = report["motion"]["stroke_mm"]
    tally.near(abs(float(end["plainMm"])), min(stroke, run * report["motion"]["turns"]), 1e-4,
               "travel of the plain screw at the end")


def check_pixels(view, report, solids, tally):
    """The carriage's ends on the picture are where the solids have them, at both ends of the stroke."""
    for name in sorted(carriages(report) & set(solids)):
        # Square to the side, without anything else, so that its silhouette is its own.
        places = []
        for turn in (0.0, report["motion"]["turns"]):
            state = view.show(f"turn={turn}&yaw=0&pitch=0&plain=0&hide={others(report, name)}")
            scale, [middle, _] = float(state["pxPerMm"]), numbers(state["origin"])
            picture = view.picture()
            drawn = np.abs(picture.astype(int) - view.paper()).max(axis=2) > 12
            columns = np.flatnonzero(drawn.any(axis=0))
            expected = [middle + scale * end for end in solids[name].ends(turn)]
            found = [columns[0], columns[-1] + 1]
            for end, at, should in zip(("left", "right"), found, expected, strict=True):
                tally.near(at, should, PIXELS, f"{end} end of {name} at turn {turn:.3f}, pixels")
            places.append(found)
        moved = [(after - before) / scale for before, after in zip(*places, strict=True)]
        lead = report["motion"]["net_lead_mm"] * report["motion"]["turns"]
        tally.check(any(abs(abs(way) - lead) <= PIXELS / scale for way in moved),
                    f"{name} moved {moved} mm on the picture, the net lead gives {lead:.3f}")


def check_section(view, report, solids, tally):
    """A column of pixels across the cut passes from paper to material where the solids do."""
    compared = 0
    threaded = {name for joint in report["joints"] if joint["kind"] == "thread"
                for name in joint["parts"]}
    for name in sorted(threaded & set(solids)):
        # A part turned by some share of a turn shows whether it turns the right way.
        turn = 0.3
        segments = page_section.cut(solids[name].at(turn))
        low, high = solids[name].ends(turn)
        for picture in range(PICTURES):
            place = low + (high - low) * (picture + 0.5) / PICTURES
            state = view.show(f"turn={turn}&cut=0&move=0&face=1&yaw=0&pitch=0&plain=0&zoom={ZOOM}"
                              f"&at={place:.3f}&hide={others(report, name)}")
            compared += check_columns(view, state, segments, name, tally)
    tally.check(compared >= COLUMNS // 2, f"only {compared} columns of the cut could be compared")
    return compared


def check_columns(view, state, segments, name, tally):
    """Columns of one picture of a cut, those left out in which the outline runs across the axis."""
    scale, [middle, height] = float(state["pxPerMm"]), numbers(state["origin"])
    pixels = view.picture()
    limit = FLANK * COARSE + PIXELS / scale
    compared = 0
    for column in np.linspace(5, pixels.shape[1] - 6, COLUMNS).astype(int):
        z = (column + 0.5 - middle) / scale
        expected = page_section.across(segments, z)
        if not page_section.is_steady(segments, z, limit, 2.0 * limit):
            continue
        top, bottom = (height - EDGE) / scale, (height - pixels.shape[0] + EDGE) / scale
        if any(min(abs(y - top), abs(y - bottom)) < 2.0 * limit for y in expected):
            continue
        found = page_section.runs(pixels[:, column], view.paper())
        shown = sorted((height - pixel) / scale for pixel in found)
        wanted = page_section.seen(expected, bottom, top)
        if len(shown) != len(wanted):
            tally.check(False, f"section of {name} at z {z:.3f}: {np.round(shown, 2)} is shown, "
                               f"the solid has {np.round(wanted, 2)}")
            continue
        # Within a pixel along the axis a flank rises by more than one.
        beside = [page_section.seen(page_section.across(segments, place), bottom, top)
                  for place in (z - 1.0 / scale, z, z + 1.0 / scale)]
        if len(wanted) == 0 or len({len(ends) for ends in beside}) > 1:
            continue
        least, most = np.min(beside, axis=0), np.max(beside, axis=0)
        off = np.maximum(least - shown, np.array(shown) - most).max()
        tally.most(off, limit, f"section of {name} at z {z:.3f}, mm")
        compared += 1
    return compared


def text_of(view):
    """Lines that a reader sees, what only a program can do left out."""
    view.page.add_style_tag(content="#viewer-stage, button { display: none !important }")
    return [line.strip() for line in view.page.inner_text("body").splitlines() if line.strip()]


def check_without(browser, plain, path, tally):
    """Without a program, and without WebGL, all text stands there and the pictures are pointed to."""
    with Page(browser, path, tally) as view:
        whole = text_of(view.ready())
    with Page(browser, path, tally, java_script_enabled=False) as view:
        bare = view.page.inner_text("body")
        missing = [line for line in whole if line not in bare]
        tally.check(not missing, f"without a program the page lacks {missing[:3]}")
        tally.check("pictures" in view.page.inner_text("#viewer-fallback"), "the pictures are pointed to")
        tally.check(not view.page.locator("#viewer-stage").is_visible(), "an idle stage is shown")
    with Page(plain, path, tally) as view:
        view.ready("no-webgl")
        tally.check(view.page.locator("#viewer-fallback").is_visible(), "no word on missing WebGL")
        tally.check(not view.page.locator("#viewer-stage").is_visible(), "an idle stage is shown")


def check_still(browser, path, tally):
    """Who wants no motion gets none: a step is there at once, and nothing is played by itself."""
    with Page(browser, path, tally, reduced_motion="reduce") as view:
        view.ready()
        view.click("next")
        view.click("next")
        first = view.state()["apart"]
        view.page.wait_for_timeout(150)
        tally.check(view.state()["apart"] == first, "a step moves though no motion is wanted")
        tally.check(view.state()["playing"] == "", "something plays though no motion is wanted")


def check_paper(view, tally):
    """On paper every section stands, without idle controls."""
    headings = view.page.locator("h2").all_inner_texts()
    paper = PdfReader(io.BytesIO(view.page.pdf(format="A4")))
    text = "".join("".join(page.extract_text().split()) for page in paper.pages)
    for heading in headings:
        tally.check("".join(heading.split()) in text, f"`{heading}` is not on paper")
    tally.check("Playthesteps" not in text, "controls stand on paper")
    return len(paper.pages)


def check_access(browser, path, tally):
    """No rule of accessibility is broken, in the light, in the dark, and on a phone."""
    rules = Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8")
    for scheme, viewport in (("light", WIDE), ("dark", WIDE), ("light", NARROW)):
        with Page(browser, path, tally, color_scheme=scheme, viewport=viewport) as view:
            view.ready()
            view.page.evaluate(rules)
            broken = view.page.evaluate("() => axe.run().then(found => found.violations.map(rule =>"
                                        " `${rule.id}: ${rule.nodes[0].html.slice(0, 120)}`))")
            tally.check(not broken, f"{scheme}, {viewport['width']} wide: {broken}")
            wide = view.page.evaluate("document.documentElement.scrollWidth")
            tally.most(wide, viewport["width"], f"width of the page, {scheme}")


def check_hostile(browser, program, tally):
    """Text of a kit that would run as a program stays text in the page; as a name it is refused."""
    kit = ('layout = "nested"\ndrive = "M20x2.5"\ninner = "M12x1.75"\nstroke = 10\n'
           + "".join(f'[[waive]]\ncheck = "{check}"\nreason = "{HOSTILE}"\n'
                     for check in ("stop-load", "pin-bending")))
    with tempfile.TemporaryDirectory() as place:
        file, out = Path(place) / "kit.toml", Path(place) / "out"

        def make(name):
            file.write_text(f'name = "{name}"\n{kit}', encoding="utf-8")
            return subprocess.run([program, "make", file, "--out", out], capture_output=True, text=True,
                                  stdin=subprocess.DEVNULL)
        made = make(HOSTILE)
        tally.check(made.returncode == 1 and "`name` has" in made.stderr, "a name with `<` is taken")
        made = make("hostile")
        tally.check(made.returncode == 0, f"a waived kit is refused: {made.stderr}")
        with Page(browser, out / "guide.html", tally) as view:
            view.ready()
            tally.check(view.page.locator("img[src=x]").count() == 0, "a kit's text is an element")
            tally.check(view.page.title() != "ran", "a kit's text runs as a program")
            tally.check("<img src=x" in view.page.inner_text("body"), "a kit's text is not told")


def judge(browser, plain, folder, is_first):
    """One folder; its tally, and its line. The controls are one program's: of all of them it takes one."""
    tally = Tally(Path(folder).name)
    path = Path(folder) / "guide.html"
    told = "not read"
    with tally.guard("page"):
        report = json.loads((Path(folder) / "report.json").read_text(encoding="utf-8"))
        solids = {part["name"]: page_section.Solid(folder, part) for part in report["parts"]
                  if part["file"] is not None and part["instances"]}
        with Page(browser, path, tally) as view:
            first = view.ready().state()["firstFrameMs"]
            with tally.guard("travel"):
                check_travel(view, report, tally)
                check_plain(view, report, tally)
            with tally.guard("pixels"):
                check_pixels(view, report, solids, tally)
            columns = 0
            with tally.guard("section"):
                columns = check_section(view, report, solids, tally)
            pages = 0
            with tally.guard("paper"):
                pages = check_paper(view, tally)
        with Page(browser, path, tally, viewport=SMALL) as view, tally.guard("controls"):
            if is_first:
                check_controls(view.ready(), report, tally)
            check_list(view.ready(), report, tally)
        for check in (check_still, check_access):
            with tally.guard(check.__name__):
                check(browser, path, tally)
        with tally.guard("fallbacks"):
            check_without(browser, plain, path, tally)
        size = path.stat().st_size
        tally.most(size, 2_000_000, "bytes of the page")
        told = (f"{size // 1000} kB, first picture after {first} ms, {columns} columns of the cut, "
                f"{pages} sheets of paper")
    line = f"{tally.kit}: {told}: {tally.passed} passed, {len(tally.failures)} failed"
    return tally, line


def main():
    parser = argparse.ArgumentParser(description="Drives the page of folders that netlead wrote.")
    parser.add_argument("--netlead", required=True, help="the program, for a kit with a hostile name")
    parser.add_argument("--browser", default=BROWSER, help="a Chromium")
    parser.add_argument("folders", nargs="+")
    arguments = parser.parse_args()
    tallies = []
    with sync_playwright() as driver:
        def launch(*more):
            return driver.chromium.launch(executable_path=arguments.browser, args=[*FLAGS, *more])
        browser, plain = launch(), launch("--disable-3d-apis")
        for place, folder in enumerate(arguments.folders):
            tally, line = judge(browser, plain, folder, place == 0)
            tallies.append(tally)
            for failure in tally.failures:
                print(f"FAIL {tally.kit}: {failure}")
            print(line, flush=True)
        tally = Tally("hostile name")
        with tally.guard("hostile name"):
            check_hostile(browser, arguments.netlead, tally)
        tallies.append(tally)
        for failure in tally.failures:
            print(f"FAIL {tally.kit}: {failure}")
        browser.close()
        plain.close()
    failed = sum(len(tally.failures) for tally in tallies)
    print(f"{sum(tally.passed for tally in tallies)} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
