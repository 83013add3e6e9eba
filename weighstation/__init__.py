"""A divide-and-scale weighing station: bytes of a scale in, kept dough pieces out.

Read the folders in the order the dough takes: ``acquire``, ``detect``, ``evaluate``, ``journal``,
``monitor``, ``report``; ``station`` joins them at a bench, ``simulate`` stands in for one.
"""

__version__ = "0.1.0"
