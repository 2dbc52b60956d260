"""How packs are run from full to the end. ``discharging.py`` is the public face."""
