"""Cells whose curves are straight lines, so that every run can be worked out by hand."""

from packlearn.cells import Cell, Curve

# Full 4.0 V, falling 0.5 V an ampere-hour, 0.1 ohm: V = 4.0 - 0.5 q - 0.1 I, to 3.1 V.
FULL_V, FALL, OHM, END_V = 4.0, 0.5, 0.1, 3.1


def straight(
    *, full_v=FULL_V, fall=FALL, ohm=OHM, capacity_ah=2.0, end_v=END_V, amps=(0.5, 2.0), **more
):
    """Cell with ``V = full_v - fall * q - ohm * I``, given at two currents or more."""
    return Cell(
        name="straight",
        chemistry="as told",
        nominal_voltage_v=3.5,
        full_voltage_v=full_v,
        end_voltage_v=end_v,
        capacity_ah=capacity_ah,
        current_limit_a=10.0,
        resistance_ohm=ohm,
        curves=tuple(
            Curve(i, (0.0, capacity_ah), (full_v - ohm * i, full_v - fall * capacity_ah - ohm * i))
            for i in amps
        ),
        **more,
    )


def ideal(volts=1.2, ah=2.0, ohm=0.0):
    """Cell of the rule of thumb."""
    return Cell(
        name="ideal",
        chemistry="as told",
        nominal_voltage_v=volts,
        full_voltage_v=volts,
        end_voltage_v=volts / 2,
        capacity_ah=ah,
        current_limit_a=100.0,
        resistance_ohm=ohm,
    )
