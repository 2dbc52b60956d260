"""The linter and the formatter find nothing to say."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize(
    "words", [("check", "."), ("format", "--check", "packlearn", "tests")], ids=" ".join
)
def test_ruff_is_content(words):
    ran = subprocess.run(
        [sys.executable, "-m", "ruff", *words, "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
