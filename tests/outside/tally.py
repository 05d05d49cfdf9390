"""Counts what held and what did not; nothing is skipped in silence."""

from contextlib import contextmanager


class Tally:
    """Outcomes of the checks of one output folder."""

    def __init__(self, kit):
        self.kit = kit
        self.passed = 0
        self.failures = []

    def check(self, holds, what):
        """Counts one check; `what` names it and, where there is one, value and limit."""
        if holds:
            self.passed += 1
        else:
            self.failures.append(what)
        return bool(holds)

    def near(self, value, expected, limit, what):
        """A number within `limit` of what is expected; a NaN never is."""
        text = f"{what}: {value:.9g} instead of {expected:.9g}, limit {limit:.3g}"
        return self.check(abs(value - expected) <= limit, text)

    def most(self, value, limit, what):
        """A number of at most `limit`; a NaN never is."""
        return self.check(value <= limit, f"{what}: {value:.9g}, limit {limit:.3g}")

    @contextmanager
    def guard(self, what):
        """A missing key, an unreadable file or any other trouble is a failure, not an end."""
        try:
            yield
        except Exception as trouble:  # whatever it was, the checks behind it did not run
            self.failures.append(f"{what}: {type(trouble).__name__}: {trouble}")
