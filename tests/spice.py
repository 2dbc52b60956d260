"""Netlists of packs for ngspice, a general circuit simulator.

Every cell is a controlled source of voltage and resistance over the charge on a capacitor of
3600 F, so that one volt there is one ampere-hour drawn.
"""

from packlearn._tables import table

FOUND = "pack.txt"
# Tighter than usual, so that what differs is not the simulator's own error.
TIGHT = ".options reltol=1e-7 abstol=1e-10 vntol=1e-8 chgtol=1e-16 method=gear maxord=2"


def lines(knots, values, node):
    """A line through points over a node's voltage, level beyond its ends."""
    points = [(knots[0] - 99.0, values[0]), *zip(knots, values, strict=True)]
    points.append((knots[-1] + 99.0, values[-1]))
    return f"pwl(V({node}), " + ", ".join(f"{q:.15g},{v:.15g}" for q, v in points) + ")"


def cell_lines(name, one, share, top, bottom):
    """Netlist of one cell between two nodes."""
    known = table(one)
    quick = known.ohm[0] - known.relaxation_ohm
    source = lines(known.knots_ah, known.open_v[0], f"q{name}")
    ohm = lines(known.knots_ah, quick, f"q{name}")
    netlist = [
        f"Bq{name} 0 q{name} I=I(Vi{name})",
        f"Cq{name} q{name} 0 3600 IC={(1 - share) * one.capacity_ah:.15g}",
        f"Rq{name} q{name} 0 1e15",
        f"Be{name} e{name} {bottom} V={source} - I(Vi{name})*{ohm}",
        f"Vi{name} e{name} s{name} 0",
    ]
    if not known.relaxation_ohm:
        return [*netlist, f"Vs{name} s{name} {top} 0"]
    farad = known.relaxation_s / known.relaxation_ohm
    slow = [f"Rs{name} s{name} {top} {known.relaxation_ohm:.15g}"]
    return [*netlist, *slow, f"Cs{name} s{name} {top} {farad:.15g} IC=0"]


def netlist(rows, shares, load, stop_s, steps, options=""):
    """Netlist of a pack, its load and one transient run that writes ``FOUND``.

    Args:
        rows: cells of each group, minus end first.
        shares: share of its capacity still in each cell, likewise.
        load: line of the load, with {top} for the pack's plus end.
        stop_s: how long [s].
        steps: how many steps at least.
        options: a line of options; none takes the simulator's usual accuracy.
    """
    text = ["* a pack and its load"]
    for group, (row, share) in enumerate(zip(rows, shares, strict=True)):
        bottom = f"n{group}" if group else "0"
        for string, (one, left) in enumerate(zip(row, share, strict=True)):
            text += cell_lines(f"{group}x{string}", one, left, f"n{group + 1}", bottom)
    nodes = " ".join(f"v(n{group + 1})" for group in range(len(rows)))
    step_s = stop_s / steps
    run = [options, f".tran {step_s:.12g} {stop_s:.12g} 0 {step_s:.12g} uic"]
    control = [".control", "set numdgt=12", "set wr_singlescale", "run"]
    control += [f"wrdata {FOUND} {nodes}", "quit", ".endc", ".end"]
    return "\n".join([*text, load.format(top=f"n{len(rows)}"), *run, *control])
