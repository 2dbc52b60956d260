"""Random texts, values and bytes by the hundred thousand, the same for the same seed."""

import io
import json
import random
import warnings
import zipfile

SIGNS = "aZ09 .,=+-@\t\n\r\0\"'<>&\\/{}[]:;%$\u202e\u2028\ud800\udfffäßſ٣🦔\ufeff" + "\u0336"
PIECES = (
    b"", b"\0", b"\n", b"\r", b"{", b"}", b"[" * 50, b'"', b"\\", b"\\u0000", b"\\ud800", b"\xff",
    b"\xef\xbb\xbf", b"\xfe\xff", b"PK\x03\x04", b"PK\x01\x02", b"null", b"NaN", b"1e999",
    b"9" * 400, b"-1", b"true", b'"class"', b'"seat"', b'{"answers": 1}', b"../", b"=1+1",
    "\u202e".encode(),
)  # fmt: skip


class Dice(random.Random):
    """A source of random input."""

    def text(self, most=12):
        """Text of any signs."""
        return "".join(self.choice(SIGNS) for _ in range(self.randrange(most)))

    def number(self):
        """A whole number or a float, often at an edge."""
        edges = (0, 1, -1, 41, 2**31, 2**53, 2**63, 10**30, 0.5, 1e308, float("nan"), float("inf"))
        return self.choice(edges) if self.random() < 0.5 else self.randrange(-5, 50)

    def value(self, depth=2):
        """Any JSON value."""
        kind = self.randrange(6 if depth else 4)
        if kind == 4:
            return [self.value(depth - 1) for _ in range(self.randrange(3))]
        if kind == 5:
            return {self.text(5): self.value(depth - 1) for _ in range(self.randrange(3))}
        return (None, self.random() < 0.5, self.number(), self.text())[kind]

    def near(self, value):
        """A value as it should be, mostly."""
        return value if self.random() < 0.9 else self.value()

    def any_near(self, fields):
        """A dict near to another one: a value may be odd, an entry missing or one too many."""
        found = {name: self.near(value) for name, value in fields.items()}
        if self.random() < 0.1:
            found.pop(self.choice(list(found)), None)
        if self.random() < 0.1:
            found[self.text(5)] = self.value()
        return found

    def spoiled(self, data):
        """Bytes, in half of all cases with pieces cut out, put in or turned."""
        if self.random() < 0.5:
            return data
        data = bytearray(data)
        for _ in range(self.randrange(1, 4)):
            at = self.randrange(len(data) + 1)
            end = at + self.choice((0, 0, 1, 2, self.randrange(len(data) + 1)))
            data[at:end] = self.choice(PIECES)
        return bytes(data)

    def zip_file(self, contents):
        """A zip file with some files of odd names."""
        made = io.BytesIO()
        with warnings.catch_warnings(), zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
            warnings.simplefilter("ignore")
            for content in contents:
                name = self.text().encode("utf-8", "replace").decode() or "x"
                file.writestr(zipfile.ZipInfo(name), content)
        return made.getvalue()


def as_bytes(rows):
    """Rows as JSON lines."""
    return "".join(json.dumps(row) + "\n" for row in rows).encode("utf-8", "surrogatepass")
