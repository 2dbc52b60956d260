"""Which picture goes with a task, before its answer may be seen and after."""

from packlearn import pictures
from packlearn.panels.figures import pack_figures, shape_of
from packlearn.quantities import write
from packlearn.tasks.answers import converter_load, pack_of, profile_of, regulator_load


def illustration(variant, shown):
    """Picture of a variant, or None.

    Args:
        variant: the ``Variant``.
        shown: True once the answer may be seen; before, the picture leaks nothing.

    Returns:
        ``Picture`` or None where the task has none.
    """
    name = variant.task.picture
    return _PICTURES[name](variant, shown) if name else None


# What the strip of figures below a pack tells; elsewhere it would miss the point.
_FIGURES_OF = ("pack_voltage_v", "capacity_ah", "current_limit_a", "energy_wh", "name")


def _pack(variant, shown):
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
    )


def _shown_v(givens, rested, shown):
    """Voltage told of each cell; none where the meter's reading is the question."""
    if not rested:
        return givens["cell_nominal_voltage_v"]
    return _rested_v(givens) if shown else None


def _string(variant, shown):
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
    )


def _unnamed(variant, shown):
    givens = variant.givens
    if shown:
        return _pack(variant, shown)
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


def _profile(variant, shown):
    givens = variant.givens
    steps = [
        (givens["wake_a"], givens["wake_s"]),
        (givens["sleep_a"], givens["sleep_s"]),
    ]
    load = profile_of(givens)
    return pictures.profile(
        steps,
        mean_a=load.mean_current_a() if shown else None,
        rms_a=load.rms_current_a() if shown else None,
        peak_a=load.peak_current_a() if shown else None,
    )


def _conversion(variant, shown):
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
    )


def _sharing(variant, shown):
    givens = variant.givens
    share = givens["current_a"] / givens["parallel"]
    shares = [share] * givens["parallel"] if shown else None
    return pictures.sharing(givens["parallel"], givens["current_a"], shares=shares)


_PICTURES = {
    "pack": _pack,
    "string": _string,
    "unnamed": _unnamed,
    "cell": _cell,
    "profile": _profile,
    "conversion": _conversion,
    "sharing": _sharing,
}
