"""Pictures: plain values in, an SVG and one describing sentence out.

Each function is pure and its picture always has the same outer size, so a panel that
redraws it never jumps. Colours and fonts come from ``data/style.css``.
"""

from packlearn.pictures.choice_rows import Row, windows
from packlearn.pictures.drawing import Picture, style_sheet
from packlearn.pictures.one_cell import cell
from packlearn.pictures.power_flow import conversion
from packlearn.pictures.rates import c_rate
from packlearn.pictures.shared_current import sharing
from packlearn.pictures.time_profile import profile
from packlearn.pictures.voltage_scale import levels
from packlearn.pictures.wiring_plan import pack

__all__ = [
    "Picture",
    "Row",
    "c_rate",
    "cell",
    "conversion",
    "levels",
    "pack",
    "profile",
    "sharing",
    "style_sheet",
    "windows",
]
