"""A product and a scale -> a batch divided, piece by piece, to its sheet.

``divide``, ``demo`` and ``replay`` differ in where the bytes come from and how fast; one sitting
opens the journal, guards the band with the last check, and shows the batch until it is over.
"""
