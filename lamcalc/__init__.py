"""Laminate engineering for small fibreglass boats.

The rooms, top to bottom (each imports only from those above it): `errors`,
`units`, `mechanics`, `materials`, `schedule`, `parts`, `studies`, `shop`,
`workbook`.  Importing the package loads NumPy and nothing heavier.

Matrices are small here: several threads of the linear algebra library would wait for each other longer than they
compute.  Unless NumPy is loaded already or the variable is set, the library is told to use one.
"""

import os
import sys

if "numpy" not in sys.modules:
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
