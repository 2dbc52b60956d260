"""Paper: task sheets and their keys, bench cards, and what else lies on the table.

Each sheet is one self-contained HTML text that any browser prints, on A4 and on Letter;
``printing`` makes a PDF of it where the extra "paper" is installed.
"""
