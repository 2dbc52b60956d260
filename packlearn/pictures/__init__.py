"""Pictures: plain values in, an SVG and one describing sentence out.

Each function is pure and its picture always has the same outer size, so a panel that
redraws it never jumps. Colours and fonts come from ``data/style.css``.
"""

from packlearn.pictures.cable import cable
from packlearn.pictures.charge_hours import charge_hours
from packlearn.pictures.choice_rows import Row, windows
from packlearn.pictures.data_sheet import SheetCurve, data_sheet
from packlearn.pictures.discharge_run import run
from packlearn.pictures.drawing import Picture, style_sheet
from packlearn.pictures.fuse_band import fuse_band
from packlearn.pictures.group_lines import groups
from packlearn.pictures.histogram import histogram
from packlearn.pictures.joined import joined
from packlearn.pictures.one_cell import cell
from packlearn.pictures.power_flow import conversion
from packlearn.pictures.progress import Line, progress
from packlearn.pictures.rates import c_rate
from packlearn.pictures.resting import resting
from packlearn.pictures.room import Room
from packlearn.pictures.sagging import sagging
from packlearn.pictures.shared_current import sharing
from packlearn.pictures.shorted import shorted
from packlearn.pictures.tally_bars import Answers, tallied
from packlearn.pictures.time_profile import profile
from packlearn.pictures.unlike import unlike
from packlearn.pictures.voltage_charge import voltage_and_charge
from packlearn.pictures.voltage_scale import levels
from packlearn.pictures.wiring_plan import pack

__all__ = [
    "Answers",
    "Line",
    "Picture",
    "Room",
    "Row",
    "SheetCurve",
    "c_rate",
    "cable",
    "cell",
    "charge_hours",
    "conversion",
    "data_sheet",
    "fuse_band",
    "groups",
    "histogram",
    "joined",
    "levels",
    "pack",
    "profile",
    "progress",
    "run",
    "resting",
    "sagging",
    "sharing",
    "shorted",
    "style_sheet",
    "tallied",
    "unlike",
    "voltage_and_charge",
    "windows",
]
