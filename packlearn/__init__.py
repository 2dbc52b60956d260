"""packlearn: working out battery packs, from what a device needs to a pack that fits."""

__version__ = "0.1.0"
