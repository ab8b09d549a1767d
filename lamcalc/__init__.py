"""Laminate engineering for small fibreglass boats.

The rooms, top to bottom (each imports only from those above it): `errors`,
`units`, `mechanics`, `materials`, `schedule`, `parts`, `studies`, `shop`,
`workbook`.  Importing the package loads NumPy and nothing heavier.
"""

__version__ = "0.1.0"
