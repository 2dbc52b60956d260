"""What a PDF of a sheet holds: its letters and how large they are."""

import re
import unicodedata


def plain(text):
    """Letters and digits of a text alone; a PDF breaks lines and joins letters as it likes."""
    return re.sub(r"[^a-z0-9]", "", unicodedata.normalize("NFKC", text).lower())


def sizes_of_letters(pdf):
    """Size of each letter [pt].

    Args:
        pdf: a reader of pypdf.
    """
    sizes = []

    def seen(text, matrix, other, font, size):
        sizes.extend([round(abs(size * other[3] * matrix[3]), 1)] * len(text.strip()))

    for page in pdf.pages:
        page.extract_text(visitor_text=seen)
    return sizes
