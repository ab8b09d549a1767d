"""What can be bought: frozen records, and the catalogue that reads them from `data/`.

This room knows nothing of laminate mechanics.
"""
