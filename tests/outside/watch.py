"""Drives `watch` as a maker does: an editor beside, a browser in front.

    python watch.py --netlead PROGRAM [--browser PATH] KIT

A copy of the kit is edited, by both ways in which editors save, broken and mended; the page that is open
meanwhile is looked at from its reader's side. Prints a line for each failure, how long it took from saving
to the new drawing on the page, and closes with `N passed, N failed`; the exit code is 1 when anything
failed. The times are told, not judged: they hang on the machine and on what else it does.
"""

import argparse
import http.client
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import axe_playwright_python
from playwright.sync_api import sync_playwright

from page import BROWSER, FLAGS
from page_view import NARROW, PATIENCE, WIDE
from tally import Tally

# What a maker looks at when the file is saved: turned, cut, moved and sized.
LOOK = "turn=5&cut=0&yaw=20&pitch=12&zoom=1.3&pan=4,-2"
# How often a change is timed.
TIMED = 4
# A browser has done what it puts off, and a maker has looked, in seconds.
REST = 0.3
# The guide that is shown, not the one behind it that is being made ready.
SHOWN = "iframe:not(.coming)"
# Text that would run as a program, were it not kept as text.
HOSTILE = "<img src=x onerror=\"parent.document.title='ran'\">"
# When the page has drawn a state, and the screen has it.
CLOCK = """() => { window.drawnAt = {}; let last = '';
  new MutationObserver(() => {
    const { drawn } = document.body.dataset;
    if (drawn && drawn !== last) {
      last = drawn;
      requestAnimationFrame(() => requestAnimationFrame(() => { drawnAt[drawn] = Date.now(); }));
    }
  }).observe(document.body, { attributes: true }); }"""


def in_place(file, text):
    file.write_text(text, encoding="utf-8")


def renamed(file, text):
    beside = file.with_suffix(".swap")
    beside.write_text(text, encoding="utf-8")
    os.replace(beside, file)


class Watch:
    """The program at work."""

    def __init__(self, program, kit):
        self.program = subprocess.Popen([program, "watch", kit], stdout=subprocess.PIPE,
                                        stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL, text=True)
        self.address = re.search(r"http://(\S+)/", self.program.stdout.readline()).group(1)

    def end(self):
        self.program.send_signal(signal.SIGINT)
        return self.program.wait(timeout=PATIENCE / 1000)

    def status(self, path, host=None, method="GET"):
        """The number of an answer; the path goes over the connection as it stands here."""
        connection = http.client.HTTPConnection(self.address, timeout=PATIENCE / 1000)
        connection.putrequest(method, path, skip_host=True)
        connection.putheader("Host", host or self.address)
        connection.endheaders()
        answer = connection.getresponse()
        answer.read()
        connection.close()
        return answer.status


class Reader:
    """The page in a browser window."""

    def __init__(self, browser, address, tally, viewport=WIDE):
        self.tally = tally
        self.context = browser.new_context(viewport=viewport)
        self.page = self.context.new_page()
        self.complaints = []
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", lambda asked: asked.url.startswith((f"http://{address}/", "data:", "blob:"))
                     or self.complaints.append(f"asks for {asked.url}"))
        self.page.goto(f"http://{address}/")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.tally.check(not self.complaints, f"the page complains: {self.complaints}")
        self.context.close()

    def waits(self, state, behind=None):
        """Waits for the verdict on another state than one."""
        other = f":not([data-stamp='{behind}'])" if behind else ""
        self.page.wait_for_selector(f"body[data-state='{state}'][data-stamp]{other}", timeout=PATIENCE)
        return self

    def stamp(self):
        return self.page.get_attribute("body", "data-stamp")

    def guide(self):
        return self.page.query_selector(SHOWN).content_frame()

    def state(self):
        return self.guide().evaluate("() => ({...document.querySelector('#viewer').dataset})")

    def look(self, words):
        self.guide().evaluate("words => new Promise(done => { addEventListener('hashchange',"
                              " () => setTimeout(done, 50), {once: true}); location.hash = words })", words)

    def place(self):
        """Where the moving drawing stands in the window."""
        return self.guide().evaluate("() => document.querySelector('#viewer').getBoundingClientRect().top")

    def drawn(self, behind):
        """The stamp of the drawing that has come behind another, and the time when it was seen."""
        until = time.monotonic() + PATIENCE / 1000
        while time.monotonic() < until:
            found = {stamp: at for stamp, at in self.page.evaluate("drawnAt").items() if stamp not in behind}
            if found:
                return next(iter(found.items()))
            time.sleep(0.02)
        raise TimeoutError("no drawing came")


def settled(reader):
    """Looks at the drawing as a maker would, deep in the page, with a reading typed."""
    reader.look(LOOK)
    guide = reader.guide()
    guide.evaluate("""() => {
      document.querySelector('.sheet input').value = '7.25';
      document.querySelector('#viewer-turn').focus({ preventScroll: true });
      document.querySelector('#viewer').scrollIntoView({ behavior: 'instant' });
      scrollBy({ top: 37, behavior: 'instant' });
    }""")


def kept(reader, before, place, tally, what):
    """Nothing of how the reader has the page is lost."""
    after = reader.state()
    for name in ("turn", "cut", "yaw", "pitch", "hidden", "words"):
        tally.check(after[name] == before[name], f"{what}: {name} was {before[name]}, is {after[name]}")
    tally.near(reader.place(), place, 1.5, f"{what}: place of the drawing in the window, pixels")
    typed = reader.guide().input_value(".sheet input >> nth=0")
    tally.check(typed == "7.25", f"{what}: a typed reading is {typed!r}")
    focused = reader.guide().evaluate("() => document.activeElement.id")
    tally.check(focused == "viewer-turn", f"{what}: keys go to {focused!r}")
    tally.check(reader.page.locator("iframe").count() == 1, f"{what}: a frame is left over")


def check_edits(reader, file, kit, tally):
    """Each saving comes to the open page, which stays as it is; the times until the new drawing is there."""
    reader.page.evaluate(CLOCK)
    settled(reader)
    before, place = reader.state(), reader.place()
    times, seen = [], set()
    for turn, save in enumerate([in_place, renamed] * ((TIMED + 1) // 2)):
        stroke = 11 + turn
        stamp, what = reader.stamp(), f"stroke {stroke}, {save.__name__}"
        time.sleep(REST)
        began = time.time()
        save(file, with_stroke(kit, stroke))
        drawing, at = reader.drawn(seen)
        seen.add(drawing)
        times.append(at - 1000 * began)
        if turn == 0 and reader.page.get_attribute("body", "data-state") == "drawn":
            pale = reader.guide().evaluate("() => document.documentElement.dataset.pale")
            tally.check(pale == "rest", f"{what}: what is of the state before is not pale")
            tally.check("ready" not in reader.page.inner_text("#told"), f"{what}: a verdict before it is judged")
        reader.waits("ready", stamp)
        facts = reader.guide().inner_text("header")
        tally.check(f"stroke {stroke} mm" in facts, f"{what}: the page does not tell it")
        pale = reader.guide().evaluate("() => document.documentElement.dataset.pale")
        tally.check(pale is None, f"{what}: the page stays pale")
        kept(reader, before, place, tally, what)
    return times


def check_broken(reader, program, file, kit, tally):
    """What is wrong is told over the old page, which is pale, in the words of the terminal; mended, all is back."""
    settled(reader)
    before, place, title = reader.state(), reader.place(), reader.page.title()
    breaks = {"a word that is none": f"{kit}\nlenght = 3\n", "hostile text": re.sub(r"(?m)^name\s*=.*$", f"name = '{HOSTILE}'", kit),
              "half a file": kit[:len(kit) // 2]}
    for what, text in breaks.items():
        stamp = reader.stamp()
        in_place(file, text)
        reader.waits("refused", stamp)
        told = reader.page.inner_text("#problems pre")
        said = subprocess.run([program, "check", file], capture_output=True, text=True,
                              stdin=subprocess.DEVNULL).stderr
        tally.check(told.strip() == said.strip(), f"{what}: the page tells {told!r}, the terminal {said!r}")
        tally.check(">>" in told and "<<" in told, f"{what}: no line is marked")
        pale = reader.guide().evaluate("() => document.documentElement.dataset.pale")
        tally.check(pale == "all", f"{what}: the old page is not pale")
        tally.check("last state that passed" in reader.page.inner_text("#which"), f"{what}: which page is it?")
        tally.check(reader.page.title() == f"to be mended: {title}", f"{what}: title {reader.page.title()}")
        tally.check(reader.page.locator("img").count() == 0, f"{what}: a kit's text is an element")
    reader.page.click("#aside")
    panel, canvas = (reader.page.locator(which).bounding_box()["y"] for which in ("#problems", SHOWN))
    tally.check(panel > canvas + 300, "what is wrong does not step aside")
    reader.page.click("#aside")
    stamp = reader.stamp()
    renamed(file, kit)
    reader.waits("ready", stamp)
    tally.check(not reader.page.locator("#problems").is_visible(), "what was wrong is still told")
    reader.guide().focus("#viewer-turn")
    kept(reader, before, place, tally, "mended")


def check_refused(watch, tally):
    """No other host's name is answered, and no path leads out."""
    port = watch.address.split(":")[1]
    hosts = {watch.address: 200, f"localhost:{port}": 200, "evil.example": 421, f"evil.example:{port}": 421}
    for host, status in hosts.items():
        found = watch.status("/guide.html", host)
        tally.check(found == status, f"host {host}: {found}")
    for path in ("/../kit.toml", "/%2e%2e/kit.toml", "/..%2fkit.toml", "/kit.toml", "//etc/passwd"):
        tally.check(watch.status(path) == 404, f"{path} is answered")
    tally.check(watch.status("/", method="POST") == 405, "a page can be posted to")


def check_access(reader, tally, what):
    """No rule of accessibility is broken in the page around the guide, and it is no wider than its window."""
    rules = Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8")
    reader.page.evaluate(rules)
    # What stands in the frame is judged by page.py; what is pale in it is of a state that is over.
    broken = reader.page.evaluate("() => axe.run({ exclude: ['iframe'] }).then(found => found.violations.map("
                                  "rule => `${rule.id}: ${rule.nodes[0].html.slice(0, 120)}`))")
    tally.check(not broken, f"{what}: {broken}")
    wide = reader.page.evaluate("() => document.documentElement.scrollWidth")
    tally.most(wide, reader.page.viewport_size["width"], f"width of the page, {what}")


def with_stroke(kit, stroke):
    return re.sub(r"(?m)^stroke\s*=.*$", f"stroke = {stroke}", kit)


def judge(program, browser, file, tally):
    kit = file.read_text(encoding="utf-8")
    watch, times = Watch(program, file), []
    try:
        with Reader(browser, watch.address, tally) as reader:
            reader.waits("ready")
            with tally.guard("access"):
                check_access(reader, tally, "ready")
            with tally.guard("edits"):
                times = check_edits(reader, file, kit, tally)
            with tally.guard("broken"):
                check_broken(reader, program, file, with_stroke(kit, 12), tally)
            with tally.guard("refused"):
                check_refused(watch, tally)
            with tally.guard("ended"):
                reader.look(LOOK)
                before = reader.state()
                tally.check(watch.end() == 0, "Ctrl-C is no good end")
                reader.page.wait_for_selector("body[data-state='lost']", timeout=PATIENCE)
                stamp = reader.stamp()
                watch = Watch(program, file)
                # At the address that it had, so that the page goes on by itself.
                reader.waits("ready", stamp)
                tally.check(reader.state()["words"] == before["words"], "begun anew the page looks otherwise")
        with Reader(browser, watch.address, tally, viewport=NARROW) as reader, tally.guard("narrow"):
            reader.waits("ready")
            stamp = reader.stamp()
            in_place(file, f"{kit}\nlenght = 3\n")
            check_access(reader.waits("refused", stamp), tally, "refused, narrow")
    finally:
        if watch.program.poll() is None:
            watch.end()
    left = sorted(path.name for path in file.parent.iterdir())
    tally.check(left == [file.name], f"left in the folder: {left}")
    return times


def main():
    parser = argparse.ArgumentParser(description="Drives `watch` with an editor and a browser.")
    parser.add_argument("--netlead", required=True, help="the program")
    parser.add_argument("--browser", default=BROWSER, help="a Chromium")
    parser.add_argument("kit", help="a kit that passes")
    arguments = parser.parse_args()
    tally, times = Tally("watch"), []
    with tempfile.TemporaryDirectory() as place, sync_playwright() as driver:
        file = Path(place) / "kit.toml"
        file.write_bytes(Path(arguments.kit).read_bytes())
        browser = driver.chromium.launch(executable_path=arguments.browser, args=FLAGS)
        with tally.guard("watch"):
            times = judge(arguments.netlead, browser, file, tally)
        browser.close()
    for failure in tally.failures:
        print(f"FAIL {tally.kit}: {failure}")
    if times:
        print(f"from saving to the new drawing on the page: median {median(times):.0f} ms of {len(times)}, "
              f"{min(times):.0f} to {max(times):.0f}")
    print(f"{tally.passed} passed, {len(tally.failures)} failed")
    return 1 if tally.failures else 0


if __name__ == "__main__":
    sys.exit(main())
