"""A page in a browser, with a hand on it: what the viewer tells, a picture of it, drags and presses."""

import io
import re
from pathlib import Path

import numpy as np
from PIL import Image

# Once begun, a page has this long to draw, in ms; far more than it takes, for slow machines.
PATIENCE = 30_000
WIDE, NARROW = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
# A window in which a picture is soon drawn.
SMALL = {"width": 600, "height": 440}
# Pixels at the edge of a picture that are left out.
EDGE = 2


class Page:
    """One page in one browser window, with what it complained of."""

    def __init__(self, browser, path, tally, **context):
        context.setdefault("viewport", WIDE)
        self.context = browser.new_context(**context)
        self.page = self.context.new_page()
        self.complaints = []
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", lambda line: line.type == "error" and self.complaints.append(line.text))
        self.page.on("request", lambda asked: asked.url.startswith(("file:", "data:", "blob:"))
                     or self.complaints.append(f"asks for {asked.url}"))
        self.tally = tally
        self.shown = 0
        self.page.goto(Path(path).resolve().as_uri())

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.tally.check(not self.complaints, f"the page complains: {self.complaints}")
        self.context.close()

    def ready(self, state="ready"):
        """Waits until the viewer has come to a state."""
        known = f"document.querySelector('#viewer').dataset.state === '{state}'"
        self.page.wait_for_function(known, timeout=PATIENCE)
        if state == "ready":
            self.page.wait_for_function("document.querySelector('#viewer').dataset.firstFrameMs",
                                        timeout=PATIENCE)
        return self

    def state(self):
        """What the viewer tells of itself, once what was asked for is drawn."""
        return self.page.evaluate(
            "() => new Promise(done => { const told = document.querySelector('#viewer').dataset;"
            " const look = () => told.rough === '1' && !told.playing"
            " ? requestAnimationFrame(look) : done({...told});"
            " requestAnimationFrame(() => requestAnimationFrame(look)); })")

    def show(self, words):
        """Sets the state by the address's fragment, which is read when it has become another."""
        self.shown += 1
        self.page.evaluate("words => new Promise(done => { addEventListener('hashchange',"
                           " () => setTimeout(done), {once: true}); location.hash = words })",
                           f"{words}&shown={self.shown}")
        return self.state()

    def picture(self):
        """The canvas as pixels: height, width, red green blue."""
        shot = self.page.locator("#viewer-canvas").screenshot()
        picture = np.array(Image.open(io.BytesIO(shot)).convert("RGB"))
        # The frame around the canvas reaches into pixels that are only partly its own.
        for edge in (picture[:EDGE], picture[-EDGE:], picture[:, :EDGE], picture[:, -EDGE:]):
            edge[:] = self.paper()
        return picture

    def paper(self):
        """The colour on which nothing is drawn."""
        colour = self.page.locator(".viewer-sheet").evaluate("one => getComputedStyle(one).backgroundColor")
        return [int(number) for number in re.findall(r"\d+", colour)[:3]]

    def press(self, name, key):
        self.page.locator(f"#viewer-{name}").focus()
        self.page.keyboard.press(key)

    def click(self, name):
        self.page.locator(f"#viewer-{name}").click()

    def drag(self, name, share):
        """Presses on a slider at a share of its length."""
        slider = self.page.locator(f"#viewer-{name}")
        slider.scroll_into_view_if_needed()
        box = slider.bounding_box()
        self.page.mouse.click(box["x"] + share * box["width"], box["y"] + box["height"] / 2)


def numbers(words):
    return [float(word) for word in words.split()]
