"""``Reading -> Weighing, PanLeft``: what lies on the pan, and when it left.

A machine without input or output: readings go in through one door, :meth:`Detector.feed`, with
the time they carry. It knows weights and time, never the band of a product.
"""

from weighstation.detect.detector import Detector, Pan

__all__ = ["Detector", "Pan"]
