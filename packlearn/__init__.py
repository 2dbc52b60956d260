"""packlearn: working out battery packs, from what a device needs to a pack that fits."""

__version__ = "0.1.0"

_WHERE = {
    "BadFile": "errors",
    "BadValue": "errors",
    "PackError": "errors",
    "PackLimit": "errors",
    "UnknownName": "errors",
    "Cell": "cells",
    "Curve": "cells",
    "catalogue": "cells",
    "cell": "cells",
    "read_cells": "cells",
    "Converter": "loads",
    "LinearRegulator": "loads",
    "Load": "loads",
    "Spread": "discharging",
    "discharge": "discharging",
    "Pack": "packs",
    "Wiring": "wiring",
    "Meter": "finding",
    "Reading": "finding",
    "explain": "finding",
    "Need": "sizing",
    "check": "sizing",
    "size": "sizing",
}

# Packages reached by their own name, such as packlearn.building.wire_for(...).
_PARTS = ("building",)

__all__ = sorted(_WHERE)


def __getattr__(name):
    """Public names, loaded when they are first asked for, so that importing stays quick."""
    from importlib import import_module

    if name in _PARTS:
        return import_module(f"packlearn.{name}")
    if name not in _WHERE:
        raise AttributeError(f"packlearn has no {name!r}; it has {', '.join(__all__)}")
    value = getattr(import_module(f"packlearn.{_WHERE[name]}"), name)
    globals()[name] = value
    return value


def __dir__():
    return sorted({*globals(), *__all__, *_PARTS})
