"""A case with a closed form, to check the shares of variance: the Ishigami function."""

import numpy as np

from lamcalc.studies.distributions import Distribution, Uncertain
from lamcalc.studies.sensitivity import variance_based
from lamcalc.studies.uncertainty import FunctionModel, Quantity

A, B = 7.0, 0.1
CITATION = (
    "Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models, "
    "Proc. ISUMA 1990, with a = 7, b = 0.1; closed form from memory, the paper not seen"
)


def ishigami(draws):
    """The function ``sin x + 7 sin^2 y + 0.1 z^4 sin x``.

    Parameters
    ----------
    draws : dict of str to ndarray, shape (samples, 1)
        x, y and z, each even between -pi and pi [-].

    Returns
    -------
    dict of str to ndarray, shape (samples,)
        The value `f` [-].

    Examples
    --------
    >>> round(float(ishigami({key: np.array([[np.pi / 2]]) for key in "xyz"})["f"][0]), 3)
    8.609
    """
    x, y, z = (draws[key][:, 0] for key in "xyz")
    return {"f": np.sin(x) + A * np.sin(y) ** 2 + B * z**4 * np.sin(x)}


def ishigami_indices():
    """First-order and total indices in closed form.

    Returns
    -------
    dict of str to (float, float)
        First-order and total index of x, y and z [-].

    References
    ----------
    .. [1] See `CITATION`.

    Examples
    --------
    >>> {key: (round(first, 4), round(total, 4)) for key, (first, total) in ishigami_indices().items()}
    {'x': (0.3139, 0.5576), 'y': (0.4424, 0.4424), 'z': (0.0, 0.2437)}
    """
    first = {"x": 0.5 * (1 + B * np.pi**4 / 5) ** 2, "y": A**2 / 8, "z": 0.0}
    joint = 8 * B**2 * np.pi**8 / 225
    whole = sum(first.values()) + joint
    return {key: (own / whole, (own + (joint if key != "y" else 0.0)) / whole) for key, own in first.items()}


def ishigami_table(*, samples=8192, seed=1):
    """Indices by closed form and by the estimators of this workbook.

    Parameters
    ----------
    samples : int
        Rows of each of the two sets of samples [-].
    seed : int
        Seed [-].

    Returns
    -------
    DataFrame
        One input a row [-].

    Examples
    --------
    >>> len(ishigami_table(samples=64))
    3
    """
    import pandas as pd

    spread = Distribution("uniform", -np.pi, 0.0, np.pi)
    model = FunctionModel(ishigami, tuple(Uncertain(key, key, spread) for key in "xyz"), (Quantity("f", "f"),))
    found = {share.key: share for share in variance_based(model, "f", samples=samples, seed=seed).shares}
    return pd.DataFrame(
        [
            {
                "input": key,
                "on its own, closed form [-]": first,
                "on its own, sampled [-]": found[key].first,
                "standard error [-]": found[key].first_error,
                "with others, closed form [-]": total,
                "with others, sampled [-]": found[key].total,
                "standard error with others [-]": found[key].total_error,
            }
            for key, (first, total) in ishigami_indices().items()
        ]
    )
