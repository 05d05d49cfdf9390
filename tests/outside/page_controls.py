"""Every control of the viewer, by mouse and by keyboard: it has to change what it is there for."""

from page_view import numbers


def controls(report):
    """Every control: its name, what a mouse does, what a key does, and what has to change."""
    def click(view, name):
        view.click(name)

    def slide(view, name):
        view.drag(name, 0.83)

    rows = [("turn", slide, "ArrowRight", "turn"), ("play", click, "Enter", "playing"),
            ("cut", click, "Space", "cut"), ("face", click, "Space", "face"),
            ("angle", slide, "ArrowRight", "cut"), ("move", slide, "ArrowRight", "move"),
            ("slanted", click, "Enter", "yaw"), ("side", click, "Enter", "yaw"),
            ("head", click, "Enter", "yaw"), ("larger", click, "Enter", "pxPerMm"),
            ("smaller", click, "Enter", "pxPerMm"), ("numbers", click, "Space", "numbers"),
            ("gap", click, "Enter", "gap"), ("apart", slide, "ArrowRight", "apart"),
            ("next", click, "Enter", "step"), ("play-steps", click, "Enter", "playing")]
    if report["kit"]["layout"] != "single":
        rows.append(("plain", click, "Space", "plain"))
    return rows


def check_controls(view, report, tally):
    """Each control does something, by mouse and by keyboard."""
    for name, mouse, key, changes in controls(report):
        for how, act in (("mouse", mouse), ("keyboard", lambda view, name: view.press(name, key))):
            # From a look that no button gives.
            before = view.show("turn=1&cut=none&move=0&face=0&yaw=11&pitch=7&zoom=1&numbers=0&gap=0"
                               f"&plain={int(name == 'plain')}")
            act(view, name)
            after = view.state()
            tally.check(before[changes] != after[changes],
                        f"{name} by {how}: {changes} stays {before[changes]}")
    check_stepping(view, tally)
    check_canvas(view, tally)


def check_stepping(view, tally):
    """Steps go on and back, and are left; turning begins anew; what was hidden comes back."""
    for act in (view.click, lambda name: view.press(name, "Enter")):
        view.show("step=3")
        act("previous")
        tally.check(view.state()["step"] == "2", "previous step")
        act("leave-steps")
        tally.check(view.state()["step"] == "", "the steps are left")
        view.show("turn=2")
        act("back")
        tally.check(float(view.state()["turn"]) == 0.0, "back to turn 0")


def check_canvas(view, tally):
    """The drawing is turned, shifted and sized on itself, and a part is picked where it is seen."""
    view.show("turn=0&yaw=11&pitch=7&zoom=1")
    canvas = view.page.locator("#viewer-canvas")
    canvas.scroll_into_view_if_needed()
    for key, changes in (("ArrowLeft", "yaw"), ("ArrowUp", "pitch"), ("+", "pxPerMm"), ("-", "pxPerMm"),
                         ("Shift+ArrowRight", "origin")):
        before = view.state()
        canvas.press(key)
        tally.check(view.state()[changes] != before[changes], f"{key} on the drawing")
    box = canvas.bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    before = view.state()
    view.page.mouse.move(*middle)
    view.page.mouse.down()
    view.page.mouse.move(middle[0] + 60, middle[1] + 20)
    view.page.mouse.up()
    after = view.state()
    tally.check(before["yaw"] != after["yaw"] and before["pitch"] != after["pitch"], "a drag")
    tally.check(after["picked"] == "", "a drag picks a part")
    view.page.mouse.wheel(0, -240)
    tally.check(float(view.state()["pxPerMm"]) > float(after["pxPerMm"]), "a roll")
    state = view.show("turn=0&yaw=0&pitch=0&zoom=1&plain=0&hide=")
    x, y = numbers(state["origin"])
    # The frame's outer end stands at the origin; a little in and up is its side.
    scale = float(state["pxPerMm"])
    canvas.click(position={"x": x + 4.0 * scale, "y": y - 3.0 * scale})
    tally.check(view.state()["picked"] != "", "a click on the drawing picks nothing")


def check_list(view, report, tally):
    """Parts are hidden and picked from their list, and marked in the bill."""
    # The frame is the first of every bill.
    placed = [part["name"] for part in report["parts"] if part["instances"]]
    items = view.page.locator("#viewer-parts li")
    tally.check(items.count() == len(placed), f"{items.count()} parts in the list of {len(placed)}")
    for act in (lambda where: where.click(), lambda where: where.press("Space")):
        view.show("hide=&pick=")
        tick, name = items.nth(0).locator("input"), items.nth(0).locator("button")
        act(tick)
        tally.check(view.state()["hidden"] == placed[0], f"{placed[0]} is hidden")
        view.click("all")
        tally.check(view.state()["hidden"] == "", "all parts are shown again")
        act(name)
        tally.check(view.state()["picked"] == placed[0], f"{placed[0]} is picked")
        marked = view.page.locator(f".viewer-picked [data-part='{placed[0]}']")
        tally.check(marked.count() > 0, f"{placed[0]} is marked in the bill")
    rows = view.page.locator("[data-part] .viewer-pick")
    tally.check(rows.count() > 0, "the bill leads to the drawing")
    view.show("pick=")
    rows.nth(0).click()
    tally.check(view.state()["picked"] in placed, "a row of the bill picks its part")
