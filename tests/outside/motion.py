"""Judges the reported motion: every joint's law, net lead, stroke."""

import designation

from placed import ends

# Rates carry nine decimals, lengths and turns six.
RATE = 2e-9
LENGTH = 1e-6

# What each kind of joint holds equal between its two pieces.
ADVANCE = {"swivel", "seat", "press"}
TURNS = {"slide", "press", "locate"}


def rates_of(report):
    """Advance and turns of every piece, bought ones included, keyed by part and ordinal."""
    return {
        (part["name"], ordinal): (entry["per_turn"]["advance_mm"], entry["per_turn"]["turns"])
        for part in report["parts"]
        for ordinal, entry in enumerate(part["instances"])
    }


def check_joints(report, rates, tally):
    """Thread: z_a - z_b = lead (t_a - t_b); slide: equal turns; swivel: equal advance; press
    both."""
    for joint in report["joints"]:
        a, b = ends(joint)
        (z_a, t_a), (z_b, t_b) = rates[a], rates[b]
        where = f"{joint['kind']} of {a} and {b}"
        if joint["kind"] == "thread":
            lead = designation.read(joint["thread"]).lead
            tally.near(z_a - z_b, lead * (t_a - t_b), RATE * (1 + abs(lead)), f"{where}: advance")
        if joint["kind"] in ADVANCE:
            tally.near(z_a, z_b, RATE, f"{where}: advance")
        if joint["kind"] in TURNS:
            tally.near(t_a, t_b, RATE, f"{where}: turns")


# Threads that each layout has.
THREADS = {"single": 1, "nested": 2, "tandem": 2, "opposed": 2}


def check_opposed(report, rates, leads, tally):
    """Both carriages from the two threads alone: a screw that turns on the spot pushes a nut that does
    not turn back by its signed lead, and the stroke draws the near one away from the head."""
    motion = report["motion"]
    near, far = leads
    sense = -1.0 if near > 0 else 1.0
    tally.check(near * far < 0, "both threads have the same hand")
    tally.near(motion["net_lead_mm"], abs(near), LENGTH, "net lead")
    tally.near(motion["closing_mm_per_turn"], abs(near) + abs(far), LENGTH, "closing")
    tally.near(motion["net_lead_mm"] * motion["turns"], motion["stroke_mm"],
               LENGTH * (1 + motion["turns"]), "net lead times turns is the stroke")
    expected = {("frame", 0): (0.0, 0.0), ("drive", 0): (0.0, sense), ("far-shaft", 0): (0.0, sense),
                ("carriage", 0): (-sense * near, 0.0), ("carriage", 1): (-sense * far, 0.0),
                ("keeper", 0): (0.0, 0.0), ("slotted-keeper", 0): (0.0, 0.0)}
    for (part, ordinal), (advance, turns) in expected.items():
        z, t = rates[part, ordinal]
        tally.near(z, advance, RATE, f"advance of the {part} {ordinal + 1} in a turn")
        tally.near(t, turns, RATE, f"turns of the {part} {ordinal + 1} in a turn")


def check_summary(report, rates, tally):
    """Net lead and stroke from the threads alone, against the report and the rates."""
    motion = report["motion"]
    leads = [designation.read(joint["thread"]).lead
             for joint in report["joints"] if joint["kind"] == "thread"]
    tally.check(len(leads) == THREADS[report["kit"]["layout"]],
                f"{len(leads)} threads in a layout {report['kit']['layout']}")
    if report["kit"]["layout"] == "opposed":
        check_opposed(report, rates, leads, tally)
        return
    # Turned once in the sense of its own hand the drive goes L1 ahead, and an inner screw that
    # does not turn falls back by its signed lead.
    sense = 1.0 if leads[0] > 0 else -1.0
    net = sense * (leads[0] - (leads[1] if len(leads) > 1 else 0.0))
    tally.near(motion["net_lead_mm"], net, LENGTH, "net lead")
    tally.near(motion["turns_per_mm"], 1.0 / net, LENGTH, "turns for a millimetre")
    tally.near(motion["net_lead_mm"] * motion["turns"], motion["stroke_mm"],
               LENGTH * (1 + motion["turns"]), "net lead times turns is the stroke")
    tally.near(motion["drive_travel_mm"], abs(leads[0]) * motion["turns"],
               LENGTH * (1 + abs(leads[0])), "travel of the drive screw")
    expected = {"frame": (0.0, 0.0), "drive": (abs(leads[0]), sense), "carriage": (net, 0.0),
                "keeper": (0.0, 0.0)}
    for part, (advance, turns) in expected.items():
        z, t = rates[part, 0]
        tally.near(z, advance, RATE, f"advance of the {part} in a turn")
        tally.near(t, turns, RATE, f"turns of the {part} in a turn")
