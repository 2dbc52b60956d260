"""``packlearn size``: the need, from what was typed on the command line."""

from packlearn.errors import BadValue
from packlearn.words import say

# Written as typed; a help text names each.
TYPED = ("lowest", "highest", "current", "step", "hours", "peak", "converter", "regulator")
SHARES = {"derating": "80 %", "capacity": "100 %"}
FACTORS = {"ageing": "ageing_factor", "margin": "design_margin", "cold": "temperature_factor"}


def add_arguments(parser):
    """Arguments of the need.

    Args:
        parser: an ``argparse`` parser.
    """
    needed = ("lowest", "highest", "hours")
    for name in TYPED:
        more = {"action": "append", "default": []} if name == "step" else {}
        parser.add_argument(f"--{name}", required=name in needed, help=say(f"size.{name}"), **more)
    for name, usual in SHARES.items():
        parser.add_argument(f"--{name}", default=usual, help=say(f"size.{name}"))
    for name in FACTORS:
        parser.add_argument(f"--{name}", default="1", help=say(f"size.{name}"))


def need_of(args):
    """The ``Need`` of the arguments.

    Args:
        args: the parsed arguments.

    Raises:
        BadValue: a value that cannot be read, is out of bounds or does not go with another.
    """
    from packlearn.sizing import Need

    voltage_v = (_number(args.lowest, "V"), _number(args.highest, "V"))
    return Need(
        load=_fed(_load(args), args, voltage_v),
        run_time_h=_number(args.hours, "h"),
        voltage_v=voltage_v,
        current_derating=_number(args.derating, "%") / 100,
        capacity_derating=_number(args.capacity, "%") / 100,
        **{field: _number(getattr(args, name), "") for name, field in FACTORS.items()},
    )


def _number(text, unit):
    from packlearn.quantities import read

    reading = read(text.strip(), unit)
    if not reading.same_kind:
        raise BadValue("size.other_kind", value=text[:40], says=reading.says)
    return reading.value


def _load(args):
    """What the device takes: steps, or a mean current with or without a peak."""
    from packlearn.loads import Load
    from packlearn.tasks.devices import read_steps

    if bool(args.current) == bool(args.step):
        raise BadValue("size.both" if args.current else "size.no_load", value="--current")
    if args.step and args.peak:
        raise BadValue("size.both", value="--peak")
    if args.step:
        steps = read_steps(args.step)
        return Load.profile([(Load.current(step.current_a), step.seconds) for step in steps])
    mean_a = _number(args.current, "A")
    return _with_peak(mean_a, _number(args.peak, "A")) if args.peak else Load.current(mean_a)


def _with_peak(mean_a, peak_a):
    """A profile with this mean and this peak: a tenth of the time at the peak at most."""
    from packlearn.loads import Load

    if peak_a < mean_a:
        raise BadValue("size.peak_low", value=peak_a, limit=mean_a)
    share = min(0.1, mean_a / peak_a)
    rest_a = (mean_a - share * peak_a) / (1 - share) if share < 1 else 0.0
    rest = [(Load.current(rest_a), 1 - share)] if share < 1 else []
    return Load.profile([(Load.current(peak_a), share), *rest])


def _fed(load, args, voltage_v):
    """The load as the pack sees it, through a converter or a linear regulator if there is one."""
    from packlearn.loads import Converter, LinearRegulator

    if args.converter and args.regulator:
        raise BadValue("size.one_stage", value=args.regulator[:40], limit=args.converter[:40])
    if args.converter:
        volts, found, share = args.converter.strip().partition("V")
        if not found or not share.strip():
            raise BadValue("size.converter_form", value=args.converter[:40])
        output_v, efficiency = _number(f"{volts} V", "V"), _number(share, "%") / 100
        return load.through(Converter(output_v, efficiency, voltage_v))
    if args.regulator:
        output_v = _number(args.regulator, "V")
        if not voltage_v[0] > output_v:
            raise BadValue("size.regulator_low", value=voltage_v[0], limit=output_v)
        dropout_v = voltage_v[0] - output_v
        return load.through(LinearRegulator(output_v, dropout_v, input_max_v=voltage_v[1]))
    return load
