"""Which candidates make one consistent reading. `assembly.py` tells the order; the other files each settle one field.

A part is handed the draft, which holds the scanned title and the vocabulary, never the reader.
"""
