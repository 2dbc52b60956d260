"""How wide letters of Helvetica print; Arial has the same widths.

Thousandths of the letters' size, as the font's public metrics state them.
"""

_PLAIN = {
    191: "'",
    222: "`ijl",
    260: "|",
    278: " !,./:;I[\\]ft",
    333: "()-r²",
    334: "{}",
    355: '"',
    389: "*",
    400: "°",
    469: "^",
    500: "Jcksvxyz",
    556: "#$0123456789?L_abdeghnopquµ",
    584: "+<=>~\u2212×",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1015: "@",
}
_BOLD = {
    238: "'",
    278: " ,./I\\`ijl",
    280: "|",
    333: "!()-:;[]ft²",
    389: "*r{}",
    400: "°",
    474: '"',
    500: "z",
    556: "#$0123456789J_aceksvxy",
    584: "+<=>^~\u2212×",
    611: "?FLTZbdghnopquµ",
    667: "EPSVXY",
    722: "&ABCDHKNRU",
    778: "GOQw",
    833: "M",
    889: "%m",
    944: "W",
    975: "@",
}
_WIDTHS = tuple(
    {letter: width / 1000 for width, letters in table.items() for letter in letters}
    for table in (_PLAIN, _BOLD)
)
# Of a letter that is not told, such as one with an accent.
_ELSE = 0.62


def wide_em(told, bold=False):
    """How wide a text on one line is, in sizes of its letters.

    Args:
        told: plain text.
        bold: whether its letters are bold.
    """
    widths = _WIDTHS[bold]
    return sum(widths.get(letter, _ELSE) for letter in told.replace("\u00a0", " "))
