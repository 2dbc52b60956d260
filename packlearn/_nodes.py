"""Currents and voltages of sources and resistances joined at points: nodal analysis.

Points that are joined without resistance are one node. Every part that hangs together is solved
for itself, so what floats stays floating and nothing is singular. Parts that hang together by
large resistances only are solved each for itself first and then as a whole: in one matrix a
micro-ohm beside a megohm would leave no digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

# A source or a joint without resistance counts as one of a micro-ohm.
LEAST_OHM = 1e-6
# More counts as a weak way between parts, and far more as none: a meter would show 1 % behind it.
WEAK_OHM, MOST_OHM = 1e3, 1e9


@dataclass(frozen=True)
class Network:
    """Branches between points; each is a source behind a resistance.

    Attributes:
        points: number of points.
        joins: pairs of points joined without resistance, (J, 2).
        plus, minus: points of each branch, (B,).
        source_v: voltage of each branch with no current [V], (B,); 0 for a mere resistance.
        ohm: resistance of each branch [ohm], (B,).
    """

    points: int
    joins: np.ndarray
    plus: np.ndarray
    minus: np.ndarray
    source_v: np.ndarray
    ohm: np.ndarray

    @cached_property
    def node_of(self):
        """Number of the node of each point, (points,)."""
        return connected(self.points, self.joins)

    @cached_property
    def part_of(self):
        """Number of the part of each node that hangs together, (nodes,)."""
        return connected(self.nodes, self._ends[self.ohm <= MOST_OHM])

    @property
    def nodes(self):
        """Number of nodes."""
        return int(self.node_of.max(initial=-1)) + 1

    @cached_property
    def node_v(self):
        """Voltage of each node against one of its part [V], (nodes,)."""
        strong = self.ohm <= WEAK_OHM
        amps = self.source_v[strong] * self._siemens[strong]
        into_a = np.zeros((self.nodes, 1))
        np.add.at(into_a[:, 0], self._ends[strong, 0], amps)
        np.add.at(into_a[:, 0], self._ends[strong, 1], -amps)
        return self._volts(into_a, self.source_v[self._weak, None])[:, 0]

    @cached_property
    def _inverse(self):
        """Volts at each node for one ampere into another, grounded once in each part."""
        if not len(self._weak):
            return self._strong_inverse
        return self._volts(np.eye(self.nodes), 0.0)

    @cached_property
    def _ends(self):
        """Node at plus and at minus of each branch, (B, 2)."""
        return np.column_stack((self.node_of[self.plus], self.node_of[self.minus]))

    @cached_property
    def _siemens(self):
        return np.where(self.ohm <= MOST_OHM, 1.0 / np.maximum(self.ohm, LEAST_OHM), 0.0)

    @cached_property
    def _weak(self):
        """Numbers of the branches that join parts weakly."""
        return np.flatnonzero((self.ohm > WEAK_OHM) & (self.ohm <= MOST_OHM))

    def _volts(self, into_a, weak_v):
        """Voltage of each node [V], (nodes, K), for currents into it and weak sources' voltages.

        With currents i of the weak branches (A says between which nodes) and levels u of the
        strong parts (S says which nodes they have): v = Z (J + A i) + S u, of each weak branch
        E - A'v = R i, and out of each part flows nothing: S'(J + A i) = 0.
        """
        volts = self._strong_inverse @ into_a
        if not len(self._weak):
            return volts
        ways, lifts, admittance, levels = self._between_parts
        lacking_v = weak_v - ways.T @ volts
        across = ways.T @ lifts
        level_v = levels @ (across.T @ (admittance @ lacking_v) + lifts.T @ into_a)
        weak_a = admittance @ (lacking_v - across @ level_v)
        return volts + self._strong_inverse @ (ways @ weak_a) + lifts @ level_v

    @cached_property
    def _between_parts(self):
        """A, S and the two inverses that ``_volts`` needs; one part of each whole is its level."""
        count = len(self._weak)
        ways = np.zeros((self.nodes, count))
        np.add.at(ways, (self._ends[self._weak, 0], range(count)), 1.0)
        np.add.at(ways, (self._ends[self._weak, 1], range(count)), -1.0)
        parts = np.arange(self._strong_part_of.max() + 1)
        lifts = (self._strong_part_of[:, None] == parts).astype(float)
        whole_of = self.part_of[np.unique(self._strong_part_of, return_index=True)[1]]
        lifts = np.delete(lifts, np.unique(whole_of, return_index=True)[1], axis=1)
        inner_ohm = ways.T @ self._strong_inverse @ ways
        admittance = np.linalg.inv(inner_ohm + np.diag(self.ohm[self._weak]))
        across = ways.T @ lifts
        return ways, lifts, admittance, np.linalg.inv(across.T @ admittance @ across)

    @cached_property
    def _strong_part_of(self):
        return connected(self.nodes, self._ends[self.ohm <= WEAK_OHM])

    @cached_property
    def _strong_inverse(self):
        """As ``_inverse``, without weak branches."""
        strong = self.ohm <= WEAK_OHM
        (high, low), siemens = self._ends[strong].T, self._siemens[strong]
        matrix = np.zeros((self.nodes, self.nodes))
        for row, column, sign in ((high, high, 1), (low, low, 1), (high, low, -1), (low, high, -1)):
            np.add.at(matrix, (row, column), sign * siemens)
        inverse = np.zeros_like(matrix)
        # Part by part, those of one size at once; the first node of each is grounded.
        part_of = self._strong_part_of
        order, counts = np.argsort(part_of, kind="stable"), np.bincount(part_of)
        starts = np.cumsum(counts) - counts
        for count in np.unique(counts[counts > 1]):
            inner = order[starts[counts == count][:, None] + np.arange(1, count)]
            block = inner[:, :, None], inner[:, None, :]
            inverse[block] = np.linalg.inv(matrix[block])
        return inverse

    @cached_property
    def point_v(self):
        """Voltage of each point [V], (points,)."""
        return self.node_v[self.node_of]

    @cached_property
    def branch_a(self):
        """Current each branch drives out of its plus point [A], (B,)."""
        across_v = self.point_v[self.plus] - self.point_v[self.minus]
        return (self.source_v - across_v) * self._siemens

    def between(self, red, black):
        """Voltages from black to red with nothing between them [V], and the resistances behind.

        Args:
            red, black: points, arrays of equal shape.

        Returns:
            Voltages [V] and resistances [ohm]; (0, inf) between parts that do not hang together.
        """
        high, low = self.node_of[red], self.node_of[black]
        inverse = self._inverse
        ohm = inverse[high, high] + inverse[low, low] - inverse[high, low] - inverse[low, high]
        together = self.part_of[high] == self.part_of[low]
        volts = np.where(together, self.node_v[high] - self.node_v[low], 0.0)
        return volts, np.where(together, np.maximum(ohm, 0.0), np.inf)

    def join_a(self):
        """Current through each join from its first point to its second [A], (J,).

        Where joins make a ring, they count as equally good conductors.
        """
        into_a = np.zeros(self.points)
        np.add.at(into_a, self.plus, self.branch_a)
        np.add.at(into_a, self.minus, -self.branch_a)
        ones = np.ones(len(self.joins))
        first, second = self.joins[:, 0], self.joins[:, 1]
        alike = Network(self.points, self.joins[:0], first, second, 0.0 * ones, ones)
        levels = alike._inverse @ into_a
        return levels[first] - levels[second]


def connected(count, pairs):
    """Numbers of the parts that hang together.

    Args:
        count: how many things there are.
        pairs: pairs of things that are joined, (J, 2).

    Returns:
        Number of the part of each thing, in the order of the first thing of each, (count,).
    """
    parent = list(range(count))
    for first, second in np.asarray(pairs, dtype=int).reshape(-1, 2).tolist():
        first, second = _root(parent, first), _root(parent, second)
        parent[max(first, second)] = min(first, second)
    roots = [_root(parent, each) for each in range(count)]
    numbers = {root: number for number, root in enumerate(dict.fromkeys(roots))}
    return np.array([numbers[root] for root in roots], dtype=int)


def _root(parent, each):
    while parent[each] != each:
        parent[each] = parent[parent[each]]
        each = parent[each]
    return each
