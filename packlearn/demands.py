"""What a load asks of a source, in a form that is solved at once.

Every load of ``loads.py`` takes ``idle + g (V - d) + W / (V - d)`` amps at V volts, with only
one of g and W above 0. A regulator has two such pieces: one while it holds its output, one
below its dropout. Against a source of U volts and Z ohms each piece has a closed solution.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from packlearn.loads import (
    Converter,
    CurrentLoad,
    PowerLoad,
    ProfileLoad,
    ResistanceLoad,
    StageLoad,
)

# A power load's current is taken at no less than this.
LEAST_V = 1e-9
# A load behind a regulator is no longer served below this share of the output: a resistance
# would take less and less for ever.
LEAST_OUTPUT = 0.1


@dataclass(frozen=True)
class Piece:
    """One piece of a load's demand; it holds from ``above_v`` volts up.

    Below ``least_v`` volts the load behind a regulator gets nothing worth the name.
    """

    above_v: float = -np.inf
    idle_a: float = 0.0
    siemens: float = 0.0
    watts: float = 0.0
    drop_v: float = 0.0
    least_v: float = -np.inf

    def solve(self, open_v, ohm):
        """Current, voltage and margin against a source.

        Args:
            open_v: voltage of the source with no load [V], array.
            ohm: resistance of the source [ohm], array.

        Returns:
            Current [A], terminal voltage [V], and a margin [V] that is negative where the
            source cannot serve the piece (``W > U**2 / 4 Z``, or the voltage below
            ``least_v``).
        """
        if not self.siemens and not self.watts:
            volts = open_v - ohm * self.idle_a
            return 0.0 * open_v + self.idle_a, volts, self._margin_v(open_v, volts)
        left_v = open_v - ohm * self.idle_a - self.drop_v
        if self.siemens:
            over_v = left_v / (1.0 + ohm * self.siemens)
            amps, margin_v = self.siemens * np.maximum(over_v, 0.0), open_v
        else:
            amps, over_v, margin_v = self._power(left_v, ohm)
        # What stands below the drop lets nothing through.
        over_v = np.where(left_v < 0, left_v, over_v)
        volts = over_v + self.drop_v
        return self.idle_a + amps, volts, self._margin_v(margin_v, volts)

    def _power(self, left_v, ohm):
        """Current, voltage over the drop and margin of a constant power."""
        margin_v = left_v - 2.0 * np.sqrt(ohm * self.watts)
        root = np.sqrt(np.maximum(left_v * left_v - 4.0 * ohm * self.watts, 0.0))
        over_v = 0.5 * (left_v + root)
        # Where no current serves it, what flows is that of the largest power.
        largest_a = 0.5 * np.maximum(left_v, 0.0) / ohm
        amps = np.where(margin_v >= 0, self.watts / np.maximum(over_v, LEAST_V), largest_a)
        return amps, over_v, margin_v

    def _margin_v(self, margin_v, volts):
        if self.least_v == -np.inf:
            return margin_v
        return np.minimum(margin_v, volts - self.least_v)


def pieces(load):
    """Pieces of a steady load, the one for the highest voltages first.

    Args:
        load: a ``Load`` of one step.

    Returns:
        Tuple of ``Piece``; the last holds at any voltage.
    """
    if isinstance(load, CurrentLoad):
        return (Piece(idle_a=load.amps),)
    if isinstance(load, PowerLoad):
        return (Piece(watts=load.watts),)
    if isinstance(load, ResistanceLoad):
        return (Piece(siemens=1.0 / load.ohms),)
    if isinstance(load, StageLoad):
        return _through(load.load, load.stage)
    if isinstance(load, ProfileLoad) and len(load.rows) == 1:
        return pieces(load.rows[0][0])
    raise TypeError(f"no pieces for {type(load).__name__}")


def _through(load, stage):
    if isinstance(stage, Converter):
        watts = stage.output_v * load.current_at_a(stage.output_v) / stage.efficiency
        return (Piece(idle_a=stage.idle_a, watts=watts),)
    held_v = stage.output_v + stage.dropout_v
    held_a = load.current_at_a(stage.output_v) + stage.idle_a
    below = (
        replace(
            piece,
            above_v=piece.above_v + stage.dropout_v,
            idle_a=piece.idle_a + stage.idle_a,
            drop_v=piece.drop_v + stage.dropout_v,
            least_v=max(piece.least_v, LEAST_OUTPUT * stage.output_v) + stage.dropout_v,
        )
        for piece in pieces(load)
        if piece.above_v < stage.output_v
    )
    return (Piece(above_v=held_v, idle_a=held_a), *below)


def solve(load_pieces, open_v, ohm):
    """Current, voltage and margin of a load against sources.

    Args:
        load_pieces: what ``pieces`` gave.
        open_v: voltages of the sources with no load [V], array.
        ohm: their resistances [ohm], array of the same shape.

    Returns:
        Current [A], voltage [V] and margin [V] of the piece that holds, as ``Piece.solve``.
    """
    current_a, voltage_v, margin_v = load_pieces[0].solve(open_v, ohm)
    for upper, piece in zip(load_pieces, load_pieces[1:], strict=False):
        below = (voltage_v < upper.above_v) | (margin_v < 0)
        if not below.any():
            break
        amps, volts, margin = piece.solve(open_v, ohm)
        current_a = np.where(below, amps, current_a)
        voltage_v = np.where(below, volts, voltage_v)
        margin_v = np.where(below, margin, margin_v)
    return current_a, voltage_v, margin_v
