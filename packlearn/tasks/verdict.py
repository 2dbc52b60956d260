"""What came of one prediction."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Verdict:
    """What came of one typed prediction.

    Attributes:
        kind: ``ask`` (could not be read: costs no attempt), ``right``, ``mistake`` (one known
            wrong rule), ``which`` (several give this value), ``unfit`` (a design that does
            not meet its need) or ``unknown``.
        says: sentences for the learner; they never hold the right number.
        rules: the wrong rules that match.
        value: what was understood, a number or pair, None where nothing was.
        understood: a sentence on how the text was read, or ``""``.
    """

    kind: str
    says: tuple[str, ...] = ()
    rules: tuple = ()
    value: object = None
    understood: str = ""

    @property
    def right(self):
        """True where the prediction holds."""
        return self.kind == "right"
