"""Small signs beside a caution: told apart by their shape, not by colour."""

from packlearn.pictures import drawing as d

SIZE = 18
_OUTLINES = {
    "danger": d.polyline([(9, 1.5), (17, 16), (1, 16)]) + "z",
    "warning": d.polyline([(9, 1.5), (16.5, 9), (9, 16.5), (1.5, 9)]) + "z",
    "note": d.ring(9, 9, 7),
}


def sign(severity):
    """SVG of the sign of a severity; the word beside it says the same.

    Args:
        severity: ``"danger"`` (triangle), ``"warning"`` (square on its tip) or ``"note"`` (ring).

    Raises:
        BadValue: another severity.
    """
    d.check_choice("severity", severity, _OUTLINES)
    look = "sign-danger" if severity == "danger" else "sign-line"
    mark = "sign-on" if severity == "danger" else "sign-mark"
    top = 6.0 if severity == "danger" else 5.0
    strokes = d.line(9, top, 9, top + 5) + d.line(9, top + 6.5, 9, top + 8)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pl-picture packlearn-sign" '
        f'aria-hidden="true" width="{SIZE}" height="{SIZE}" viewBox="0 0 {SIZE} {SIZE}">'
        f"{d.shape(_OUTLINES[severity], look)}{d.shape(strokes, mark)}</svg>"
    )
