"""From a seed of 32 bytes to numbers, draws and shuffles, by a recipe anybody can follow (docs/orders.md)."""

from nares.design.chance.stream import SEED_BYTES, Stream, subseed

__all__ = ["SEED_BYTES", "Stream", "subseed"]
