"""Start the packlearn command on the lessons of a given folder: serve.py FOLDER ARGUMENTS..."""

import sys
from pathlib import Path

from packlearn import places
from packlearn.command import main

if __name__ == "__main__":
    origin = Path(sys.argv[1])
    places.lessons_folder = lambda: origin / "lessons"
    places.exercises_folder = lambda: origin / "exercises"
    sys.exit(main(sys.argv[2:]))
