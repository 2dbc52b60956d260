"""Which picture goes with a task, before its answer may be seen and after."""

from packlearn import pictures
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.panels.curve_figures import nice_step, sheet_curves
from packlearn.panels.figures import pack_figures, shape_of
from packlearn.pictures.bench import circuit_view, holder_view
from packlearn.quantities import write
from packlearn.rules import current_into_a, pack_resistance_ohm, terminal_voltage_v
from packlearn.tasks.answers import ASKED, converter_load, pack_of, profile_of, regulator_load
from packlearn.tasks.answers_own_pack import steps_load, steps_of
from packlearn.tasks.benches import on_show
from packlearn.words import say


def illustration(variant, shown, room=None):
    """Picture of a variant, or None.

    Args:
        variant: the ``Variant``.
        shown: True once the answer may be seen; before, the picture leaks nothing.
        room: ``pictures.Room`` of a shared screen; None for a page. Where ``fills`` says
            so, the picture is drawn for it, else as for a page.

    Returns:
        ``Picture`` or None where the task has none.
    """
    name = variant.task.picture
    if not name:
        return None
    more = {"room": room} if fills(variant, shown) else {}
    return _PICTURES[name](variant, shown, **more)


def fills(variant, shown):
    """Whether a variant's picture is drawn afresh for a shared screen.

    Args:
        variant: the ``Variant``.
        shown: True once the answer may be seen.
    """
    return variant.task.picture in (_FILLING_SHOWN if shown else _FILLING)


_FILLING = ("bench-holder", "bench-circuit", "profile", "run", "data-sheet", "pack", "string")
_FILLING += ("conversion", "sag", "joined", "short-far", "short-near")
# Unnamed, its cells stand in a holder with few letters.
_FILLING_SHOWN = (*_FILLING, "unnamed")


# What the strip of figures below a pack tells; elsewhere it would miss the point.
_FIGURES_OF = ("pack_voltage_v", "capacity_ah", "current_limit_a", "energy_wh", "name")
_FIGURES_OF += ("pack_sheet",)


def _pack(variant, shown, room=None):
    givens = variant.givens
    told = variant.task.asked in _FIGURES_OF
    rested = variant.task.asked == "rested_voltage_v"
    return pictures.pack(
        givens["series"],
        givens["parallel"],
        givens["cell_title"],
        cell_voltage_v=_shown_v(givens, rested, shown),
        figures=pack_figures(pack_of(givens)) if shown and told else None,
        readings="volts" if shown and rested else None,
        shape=shape_of(variant.cell),
        brackets=shown,
        steady=False,
        room=room,
    )


def _shown_v(givens, rested, shown):
    """Voltage told of each cell; none where the meter's reading is the question."""
    if not rested:
        return givens["cell_nominal_voltage_v"]
    return _rested_v(givens) if shown else None


def _string(variant, shown, room=None):
    givens = variant.givens
    volts = givens.get("voltage_v", givens["cell_nominal_voltage_v"])
    return pictures.pack(
        givens["series"],
        1,
        givens["cell_title"],
        cell_voltage_v=volts,
        readings="volts" if shown and "voltage_v" in givens else None,
        brackets=shown,
        steady=False,
        room=room,
    )


def _unnamed(variant, shown, room=None):
    givens = variant.givens
    if shown:
        return _pack(variant, shown, room)
    return pictures.pack(
        givens["series"],
        givens["parallel"],
        givens["cell_title"],
        hide_counts=True,
        layout="holder",
        brackets=False,
    )


def _cell(variant, shown):
    return _one_cell(variant, _rested_v(variant.givens) if shown else None)


def _rested_v(givens):
    """One reading within the rested range: 1.36 V of 1.30 to 1.40 V."""
    low, high = givens["cell_rested_low_v"], givens["cell_rested_high_v"]
    return round(low + 0.6 * (high - low), 2)


def _one_cell(variant, meter_v):
    givens = variant.givens
    label = [write(givens["cell_nominal_voltage_v"], "V"), write(givens["cell_capacity_ah"], "Ah")]
    return pictures.cell(
        givens["cell_title"],
        label,
        meter_v=meter_v,
        meter_dark=meter_v is None,
        shape=shape_of(variant.cell),
    )


# Parts of the names of givens, in the order in which they are drawn.
TWO = ("wake", "sleep")


def _profile(variant, shown, room=None):
    givens = variant.givens
    many = "third_a" in givens
    names, load = (steps_of(givens), steps_load(givens)) if many else (TWO, profile_of(givens))
    steps = [(givens[f"{name}_a"], givens[f"{name}_s"]) for name in names]
    return pictures.profile(
        steps,
        mean_a=load.mean_current_a() if shown else None,
        rms_a=load.rms_current_a() if shown else None,
        peak_a=load.peak_current_a() if shown else None,
        room=room,
    )


def _conversion(variant, shown, room=None):
    givens = variant.givens
    kind = "converter" if "efficiency" in givens else "regulator"
    load = converter_load(givens) if kind == "converter" else regulator_load(givens)
    input_a = load.current_at_a(givens["voltage_v"])
    output_w = givens["output_v"] * givens["output_a"]
    return pictures.conversion(
        input_v=givens["voltage_v"],
        input_a=input_a if shown else None,
        output_v=givens["output_v"],
        output_a=givens["output_a"],
        loss_w=givens["voltage_v"] * input_a - output_w if shown else None,
        kind=kind,
        room=room,
    )


def _sharing(variant, shown):
    givens = variant.givens
    share = givens["current_a"] / givens["parallel"]
    shares = [share] * givens["parallel"] if shown else None
    return pictures.sharing(givens["parallel"], givens["current_a"], shares=shares)


def _data_sheet(variant, shown, room=None):
    """The sheet's own curves; the device's end voltage only once it tells nothing."""
    cell, low_v = variant.cell, variant.givens.get("voltage_low_v")
    if low_v is not None and "series" in variant.givens:
        # The device's, for the whole pack.
        low_v /= variant.givens["series"]
    return pictures.data_sheet(
        cell.title,
        sheet_curves(cell),
        to_v=low_v if shown else None,
        # So that it can be read by ear; the steps name no charge that is asked for.
        every_ah=None if shown else nice_step(cell.capacity_ah, 12),
        room=room,
    )


def _unlike(variant, shown):
    held = _held(variant.givens, counted=shown)
    first = held.index(min(held)) + 1 if shown else None
    told_ah = min(held) if shown else None
    return pictures.unlike(held, _kind(variant), told_ah=told_ah, first=first)


def _unlike_parallel(variant, shown):
    held = _held(variant.givens, counted=shown)
    told_ah = sum(held) if shown else None
    return pictures.unlike(held, _kind(variant), side_by_side=True, told_ah=told_ah)


def _held(givens, counted):
    """Charge [Ah] written on each cell; once ``counted``, the share of it that is left."""
    names = [name for name in ("first", "second", "third") if f"{name}_ah" in givens]
    shares = [givens.get(f"{name}_share", 1.0) if counted else 1.0 for name in names]
    return [givens[f"{name}_ah"] * share for name, share in zip(names, shares, strict=True)]


def _kind(variant):
    return variant.givens.get("cell_title") or say("explore.unlike.some_cells")


def _joined(variant, shown, room=None):
    givens = variant.givens
    volts, each_ohm = (givens["first_v"], givens["second_v"]), givens["each_ohm"]
    between_a = current_into_a(volts[0] - volts[1], each_ohm, each_ohm) if shown else None
    return pictures.joined(*volts, each_ohm, between_a, room=room)


def _sag(variant, shown, room=None):
    """One cell as the question gives it; the whole pack once its answer may be seen."""
    givens = variant.givens
    series, parallel = givens["series"], givens["parallel"]
    open_v = givens.get("open_v", givens.get("cell_nominal_voltage_v"))
    if not shown:
        title = say("explore.sag.one_cell")
        return pictures.sagging(open_v, givens["each_ohm"], title=title, room=room)
    pack_ohm, current_a = pack_resistance_ohm(givens["each_ohm"], series, parallel), None
    left_v, source_v = None, series * open_v
    if "current_a" in givens:
        current_a = givens["current_a"]
        left_v = max(0.0, terminal_voltage_v(source_v, pack_ohm, current_a))
    title = f"{series}S{parallel}P"
    return pictures.sagging(source_v, pack_ohm, current_a, left_v, title=title, room=room)


# Of the rule of thumb: far less than a run to a high minimum at a large current lasts.
_SHOWN_PART = 0.1


def _run(variant, shown, room=None):
    """The start of a run; its length and the scales come from the rule of thumb alone."""
    givens = variant.givens
    pack = Pack(variant.cell, givens["series"], givens.get("parallel", 1))
    low_v, rule_h = givens.get("voltage_low_v"), pack.run_time_h(givens["current_a"])
    found = discharge(pack, Load.current(givens["current_a"]), until_v=low_v)
    return pictures.run(
        found.time_h,
        found.voltage_v,
        stop_v=max(low_v or 0.0, pack.end_voltage_v),
        ended_words=say(f"explore.ended.{found.ended_by}"),
        rule_h=rule_h if shown else None,
        shown_until_h=None if shown else _SHOWN_PART * rule_h,
        axis_h=1.1 * rule_h,
        # So that it can be followed by ear.
        every_h=None if shown else nice_step(60 * _SHOWN_PART * rule_h, 5) / 60,
        title=f"{pack.name} {pack.cell.title}",
        room=room,
    )


def _shorted(fused):
    def drawn(variant, shown, room=None):
        givens = variant.givens
        names = ("series", "parallel", "open_v", "each_ohm", "cable_ohm")
        current_a = ASKED[variant.task.asked].compute(givens) if shown else None
        return pictures.shorted(
            *(givens[name] for name in names), current_a, fused=fused, room=room
        )

    return drawn


def _bench(view):
    def drawn(variant, shown, room=None):
        if variant.task.kind == "wire" and not shown:
            # The learner's own wiring is on show, on its bench.
            return None
        wiring, more = on_show(variant.task.asked, variant.givens, shown)
        return view(wiring, **more, room=room)

    return drawn


_PICTURES = {
    "pack": _pack,
    "string": _string,
    "unnamed": _unnamed,
    "cell": _cell,
    "profile": _profile,
    "conversion": _conversion,
    "sharing": _sharing,
    "data-sheet": _data_sheet,
    "unlike": _unlike,
    "unlike-parallel": _unlike_parallel,
    "joined": _joined,
    "sag": _sag,
    "run": _run,
    "short-far": _shorted(fused=False),
    "short-near": _shorted(fused=True),
    "bench-holder": _bench(holder_view),
    "bench-circuit": _bench(circuit_view),
}
