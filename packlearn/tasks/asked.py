"""The form of one thing a task can ask for."""

from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Asked:
    """One thing a task can ask for.

    Attributes:
        kind: ``number``, ``count``, ``range``, ``name``, ``design``, ``choice``, ``wire``,
            ``fault``, ``numbers`` (several at once), ``order``, ``estimate``, ``reason`` (a
            choice and its reason) or ``pick`` (in a picture).
        unit: unit of the answer, ``""`` where it has none.
        compute: givens -> answer (a number; low and high for a range; series and
            parallel for a name; a ``Need`` for a design; a word for a choice or a fault).
        needs: givens it cannot do without.
        extras: steps on the way, name -> formula, for the sentences of the working.
        parts: of several numbers at once: what each of them is, names of other entries.
        widest: of an estimate: the high end of a range over its low end, at most.
        because: of a choice with a reason: givens -> the right reason.
        picks: what is pointed at in a picture: ``cells`` or ``contacts``.
        by_eye: True where a range holds what one can read off a picture.
    """

    kind: str
    unit: str
    compute: Callable
    needs: tuple[str, ...]
    extras: dict = field(default_factory=dict)
    parts: tuple[str, ...] = ()
    widest: float = 1.0
    because: Callable | None = None
    by_eye: bool = False
    picks: str = ""
