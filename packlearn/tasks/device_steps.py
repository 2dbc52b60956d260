"""The way from a learner's own device to its pack: what is asked, what is chosen, in order.

Each question is a task of ``lesson-12.toml`` that carries the device's numbers in place of drawn
ones. Its number comes from those numbers alone: a changed device is asked anew where it matters,
and what was predicted before stays in the records beside it.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from packlearn import curves
from packlearn.cells import catalogue
from packlearn.cells import cell as find_cell
from packlearn.errors import PackError
from packlearn.packs import Pack
from packlearn.quantities import write
from packlearn.sizing import check as check_pack
from packlearn.sizing import size
from packlearn.tasks import bank, checking
from packlearn.tasks.answers_own_pack import what_binds
from packlearn.tasks.devices import need_of
from packlearn.tasks.formulas import work_out
from packlearn.tasks.givens import UNITS
from packlearn.tasks.variants import Variant, cell_givens
from packlearn.words import say

PAGE = "lesson-12"
FIRST = checking.LONGEST_CHAIN * (2**52 // checking.LONGEST_CHAIN + 1)
"""Numbers of own devices begin here: above those of all seats, below 2**53 (exact everywhere)."""
_COUNT = 2**46
_COUNTED = {3: "three", 4: "four"}
# Kinds of cells named where the chosen one does not go.
_MOST_NAMED = 6


@dataclass(frozen=True)
class Stop:
    """One stop of the way.

    Attributes:
        name: id of its task, or name of what is shown.
        kind: ``question``, ``view``, or ``blocked`` where the way ends with a reason.
        variant: the ``Variant`` of a question, else None.
        said: the reason of one that is blocked.
    """

    name: str
    kind: str = "view"
    variant: Variant | None = None
    said: str = ""


def own_number(number):
    """True for the number of a variant that carries a learner's own device."""
    return number >= FIRST


def own_variant(task, givens):
    """Variant of a task with a device's numbers.

    Args:
        task: id of a task of ``lesson-12.toml``.
        givens: dict of name -> number, with the givens of its cell where it has one.
    """
    found = bank.page(PAGE).task(task)
    text = json.dumps([task, found.text, givens], sort_keys=True)
    digest = hashlib.sha256(text.encode()).digest()
    # A multiple of LONGEST_CHAIN, so that nothing before it is ever drawn.
    number = FIRST + checking.LONGEST_CHAIN * (int.from_bytes(digest[:8], "big") % _COUNT)
    return Variant(found, number, givens)


def kept_variant(locked):
    """Variant of a locked prediction about an own device; None where it is none.

    Args:
        locked: what the records keep: page, task, variant and givens.
    """
    if locked.page != PAGE or not own_number(locked.variant):
        return None
    try:
        variant = own_variant(locked.task, dict(locked.givens))
    except PackError:
        return None
    # Whoever writes other givens into a file gets another number.
    known = set(locked.givens) <= set(UNITS) and variant.number == locked.variant
    return variant if known else None


def way(device, plans=None, pick=None, plan_of=None):
    """Stops of the way, as far as it is known.

    Args:
        device: the ``Device``, or None while it cannot be read.
        plans: the ``Plans``, or None.
        pick: the chosen ``Pack``, or None.
        plan_of: function of a ``Need`` and a ``Pack`` that gives the build plan; only called
            where a pack is chosen.

    Yields:
        ``Stop``.
    """
    yield Stop("device")
    if device is None:
        return
    yield from _mean(device)
    yield Stop("cell")
    if plans is None:
        return
    line = _Line(device, plans)
    yield from _in_line(line)
    if line.series is None:
        return
    yield from _side_by_side(line)
    yield Stop("choices")
    if pick is None or not check_pack(line.need, pick).fits:
        return
    yield from _of_pick(line, pick, plan_of)


def tidy(value):
    """A number with three digits, as the text of a question shows it."""
    return float(f"{value:.3g}")


def _question(task, givens, cell=None):
    """A stop that asks, or nothing where these numbers have no answer or no working."""
    variant = own_variant(task, (cell_givens(cell) if cell else {}) | givens)
    try:
        checking.answer_in_words(variant)
        checking.working(variant)
        checking.wrong_values(variant)
        # Slips, and two slips at once, are looked for in whatever is typed.
        checking.check(variant, "1")
    except PackError:
        return
    yield Stop(task, "question", variant)


def _mean(device):
    steps = device.steps
    if device.steady:
        return
    if len(steps) == 2:
        sleep, wake = sorted(steps, key=lambda step: step.current_a)
        givens = _timed({"sleep": sleep, "wake": wake})
        yield from _question("mean-two", givens)
    else:
        names = ("first", "second", "third", "fourth")[: len(steps)]
        task = f"mean-{_COUNTED[len(steps)]}"
        yield from _question(task, _timed(dict(zip(names, steps, strict=True))))


def _timed(steps):
    found = {f"{name}_a": step.current_a for name, step in steps.items()}
    return found | {f"{name}_s": step.seconds for name, step in steps.items()}


class _Line:
    """What follows from device, cell and margins together."""

    def __init__(self, device, plans):
        self.device, self.plans = device, plans
        self.cell, self.need = find_cell(plans.cell), need_of(device, plans)
        low, high = device.window_v
        self.bounds = {"voltage_low_v": low, "voltage_high_v": high}
        known = self.bounds | cell_givens(plans.cell)
        self.most = int(work_out("down(voltage_high_v / cell_full_voltage_v)", known))
        self.fewest = int(work_out("up(voltage_low_v / cell_end_voltage_v)", known))
        self.best = size(self.need, [self.cell])[0]
        self.series = None
        if self.fewest <= self.most:
            inside = self.fewest <= self.best.pack.series <= self.most
            self.series = self.best.pack.series if inside else self.fewest

    @property
    def pack_v(self):
        return tidy(self.series * self.cell.nominal_voltage_v)

    @property
    def mean_a(self):
        return tidy(self.device.load.mean_current_a(self.pack_v))

    @property
    def peak_a(self):
        return _peak_a(self.device.load, Pack(self.cell, self.series, 1))


def _peak_a(load, pack):
    """The largest current a load takes from a pack, full or nearly empty [A]."""
    volts = (pack.end_voltage_v, pack.full_voltage_v)
    return tidy(max(load.peak_current_a(each) for each in volts))


def _in_line(line):
    if line.most < 1:
        full_v, high_v = line.cell.full_voltage_v, line.device.window_v[1]
        fields = {"value": write(full_v, "V"), "limit": write(high_v, "V"), "mend": _mend(line)}
        yield Stop("none_in_line", "blocked", said=say("own_pack.blocked.none_in_line", **fields))
        return
    high, low = ({name: line.bounds[name]} for name in ("voltage_high_v", "voltage_low_v"))
    yield from _question("most", high, line.plans.cell)
    yield from _question("fewest", low, line.plans.cell)
    if line.series is None:
        fields = {"value": line.fewest, "limit": line.most, "mend": _mend(line)}
        yield Stop("apart", "blocked", said=say("own_pack.blocked.apart", **fields))


def _mend(line):
    """What helps where the chosen cell does not go: other cells, or what stands between."""
    fitting = [cell.title for cell in catalogue().values() if _stays(cell, line.device.window_v)]
    if not fitting:
        return say("own_pack.blocked.converter")
    return say("own_pack.blocked.others", names=", ".join(fitting[:_MOST_NAMED]))


def _stays(cell, window_v):
    """True where some count of a cell in line stays in the window, full and nearly empty."""
    count = int(work_out("up(low / end)", {"low": window_v[0], "end": cell.end_voltage_v}))
    return count * cell.full_voltage_v <= window_v[1] * (1 + 1e-9)


def _side_by_side(line):
    device, plans = line.device, line.plans
    if device.feed != "straight":
        givens = {"output_v": device.output_v, "voltage_v": line.pack_v}
        givens["output_a"] = tidy(device.own_load.mean_current_a())
        if device.feed == "converter":
            givens["efficiency"] = device.efficiency
        yield from _question(f"{device.feed}-in", givens)
    run = {"current_a": line.mean_a, "run_time_h": device.run_time_h}
    yield from _question("charge", run)
    run |= {"peak_a": line.peak_a, "current_derating": plans.current_share}
    run["usable_share"] = tidy(line.need.usable_share)
    # What binds comes first: the working of the other one tells both counts. Where neither does,
    # there is nothing to find.
    if what_binds(cell_givens(plans.cell) | run) != "same":
        yield from _question("binds", run, plans.cell)
    yield from _question("parallel", run, plans.cell)


def _of_pick(line, pick, plan_of):
    choice, name = check_pack(line.need, pick), pick.cell.name
    counts = {"series": pick.series, "parallel": pick.parallel}
    half_v = float(curves.open_circuit_v(pick.cell, pick.cell.capacity_ah / 2))
    inside = {"open_v": round(half_v, 2), "each_ohm": pick.cell.resistance_ohm}
    peak = {"current_a": _peak_a(line.device.load, pick)}
    yield from _question("loaded", counts | inside | peak, name)
    stop_v = max(line.device.window_v[0], pick.end_voltage_v)
    run = {"current_a": tidy(choice.mean_a), "voltage_low_v": round(stop_v, 2)}
    yield from _question("hours", counts | run, name)
    yield Stop("run")
    yield Stop("wiring")
    plan = plan_of(line.need, pick) if plan_of else None
    yield from _of_plan(line, plan, choice)
    yield Stop("keep")
    yield Stop("sheet")


def _of_plan(line, plan, choice):
    wire, fuse = getattr(plan, "wire", None), getattr(plan, "fuse", None)
    if wire is None:
        return
    cable = {"wire_m": line.plans.lead_m, "wire_mm2": wire.area_mm2}
    yield from _question("drop", cable | {"current_a": _peak_a(line.device.load, choice.pack)})
    # A time-lag fuse may stand below the peak; the sheet tells of it.
    if fuse is None or fuse.time_lag:
        return
    givens = {
        "parallel": choice.pack.parallel,
        "current_a": tidy(fuse.steady_a),
        "peak_a": tidy(fuse.peak_a),
        "run_share": fuse.family.run_share,
        "wire_limit_a": tidy(wire.limit_a),
    }
    yield from _question("fuse", givens, choice.pack.cell.name)
