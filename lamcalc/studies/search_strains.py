"""Strength of sandwiches bounded from the strain of their skins: sharp where the bounds of `search_bounds` are loose."""

from dataclasses import dataclass

import numpy as np

from lamcalc.mechanics.laminate import FULL_TERMS, compliance_terms, unpacked
from lamcalc.mechanics.quadratic_form import (
    inverse_ratio_slope,
    inverse_strength_ratio,
    linear_part,
    quadratic_part,
)
from lamcalc.studies.search_bounds import support
from lamcalc.studies.search_orders import joined, stiffness_of

# sandwiches that are bounded together, orders of a skin that are looked at together
_ROWS, _ORDERS = 2048, 8192


@dataclass(frozen=True, eq=False)
class Spread:
    """What the orders of each set of a skin have in common and how far they lie apart.

    Parameters
    ----------
    terms : ndarray, shape (sets, 3, 6)
        Means of A, B, D over the orders, about the mid-plane of the skin [N/mm, N, N mm].
    thickness_mm : ndarray, shape (sets,)
        Thickness [mm].
    coupling, bending : ndarray, shape (sets,)
        Largest difference of B and of D from their means, measured by A [mm, mm2].
    sub_ply : ndarray of int, shape (cases, sets)
        Sub-ply of each set that is likely to fail first [-].
    near, far : ndarray, shape (cases, sets)
        Least and largest distance of its outermost face from the core [mm].

    Examples
    --------
    >>> Spread.__dataclass_params__.frozen
    True
    """

    terms: np.ndarray
    thickness_mm: np.ndarray
    coupling: np.ndarray
    bending: np.ndarray
    sub_ply: np.ndarray
    near: np.ndarray
    far: np.ndarray


def spread_of(skin, loads, way):
    """Spread of the orders of a skin.

    Parameters
    ----------
    skin : Skin
        Sets with all their orders [-].
    loads : ndarray, shape (cases, 3)
        Moments [N mm/mm].
    way : float
        Minus one for the outer skin, one for the inner [-].

    Returns
    -------
    Spread
        Means and differences [-].
    """
    sets, count = len(skin.sets), np.diff(skin.start)
    terms, apart = np.empty((sets, 3, 6)), np.empty((2, sets))
    # sets by sets, so that no table of all orders is held
    step = max(1, _ORDERS // max(1, int(count.max(initial=1))))
    for low in range(0, sets, step):
        part = slice(low, min(low + step, sets))
        begin, many = skin.start[:-1][part] - skin.start[low], count[part]
        each, _ = stiffness_of(skin.palette, skin.orders[skin.start[low]:skin.start[part.stop]])
        terms[part] = np.add.reduceat(each, begin, axis=0) / many[:, None, None]
        root = np.linalg.inv(np.linalg.cholesky(unpacked(terms[part, 0])))
        root, away = np.repeat(root, many, axis=0)[:, None], unpacked(each - np.repeat(terms[part], many, axis=0))[:, 1:]
        size = np.abs(np.linalg.eigvalsh(root @ away @ np.swapaxes(root, -1, -2))).max(axis=-1)
        apart[:, part] = np.maximum.reduceat(size, begin, axis=0).T
    return Spread(terms, skin.thickness_mm, *apart, *_weakest(skin, terms, loads, way))


def _weakest(skin, terms, loads, way):
    """Sub-ply of each set that is likely to fail first, and how near to the core and how far its face may be."""
    palette, nothing = skin.palette, len(skin.palette.thickness_mm) - 1
    layer, place = np.nonzero(palette.index < nothing)
    sub, t = palette.index[layer, place], palette.thickness_mm[palette.index]
    inset = np.cumsum(t[:, ::-1], axis=1)[:, ::-1] if way < 0 else np.cumsum(t, axis=1)
    inset, height, count = inset[layer, place], palette.layer_thickness_mm[layer], skin.sets[:, layer].astype(float)
    # of so many alike one is at least so far out
    near, far = (count - 1) * height + inset, skin.thickness_mm[:, None] - height + inset
    forms = palette.forms[sub]
    closed = np.isfinite(support(forms, np.array([1.0, 0, 0])))
    middle = palette.layer_thickness_mm.max() / 2
    picks = [(np.zeros((0, len(near)), dtype=int),) + (np.zeros((0, len(near))),) * 2]
    for load in loads:
        # strain of a skin that carries the moment as a force: any choice is valid, this one is mostly the sharpest
        strain = np.linalg.solve(unpacked(terms[:, 0]), np.broadcast_to(way * load, (len(near), 3))[..., None])
        strain = np.moveaxis(strain, 0, 1)
        inverse = inverse_strength_ratio(linear_part(forms.T, strain), quadratic_part(forms.T, strain))
        worst = np.where((count > 0) & closed, inverse * (near + middle), -1.0)
        pick = worst.argmax(axis=1)
        rows = np.arange(len(near))
        picks.append((np.where(worst[rows, pick] > 0, sub[pick], nothing)[None], near[rows, pick][None],
                      far[rows, pick][None]))
    return tuple(np.concatenate(one) for one in zip(*picks, strict=True))


def largest_eigenvalue(first, second):
    """Upper bound of the eigenvalues of products of two symmetric positive matrices.

    Parameters
    ----------
    first, second : sequence of six ndarray, shape (...)
        Terms 11, 12, 16, 22, 26, 66 of the matrices [any].

    Returns
    -------
    ndarray, shape (...)
        Bound [as the product].

    Notes
    -----
    Not above mean + sqrt(2) x standard deviation of the three eigenvalues, which follow from two traces.

    References
    ----------
    .. [1] Wolkowicz and Styan, Bounds for eigenvalues using traces, Linear Algebra and its Applications 29,
       1980 (from memory).

    Examples
    --------
    >>> one = [1.0, 0.0, 0.0, 1.0, 0.0, 1.0]
    >>> float(largest_eigenvalue(one, [3.0, 0.0, 0.0, 0.0, 0.0, 0.0]))
    3.0
    """
    at = FULL_TERMS
    x = [[sum(first[at[i, k]] * second[at[k, j]] for k in range(3)) for j in range(3)] for i in range(3)]
    mean = (x[0][0] + x[1][1] + x[2][2]) / 3
    square = sum(x[i][j] * x[j][i] for i in range(3) for j in range(3)) / 3
    return mean + np.sqrt(2 * np.maximum(square - mean * mean, 0.0))


class StrengthBound:
    """Upper bound of the first-ply ratio of sandwiches over all orders of their skins.

    Parameters
    ----------
    sandwich : Sandwich
        Skins and cores [-].
    loads : ndarray, shape (cases, 3)
        Moments [N mm/mm].

    Notes
    -----
    Let K be the 6 x 6 stiffness of one order, K0 that of the means, f the load and ``|x|^2 = x'K0 x``.

    1. Orders of a skin share A.  About its mid-plane, where the strain is a, they differ from the mean by
       ``2 a'dB k + k'dD k``, at most ``2 s |a| |k| + t |k|^2`` with lengths in A and s, t the `coupling` and `bending`
       of the `Spread`.  With ``a'A a <= p |x|^2`` and ``k'A k <= q |x|^2``, where p and q are the largest eigenvalues
       of A times the compliance of a and of k, that is at most r |x|^2 with ``r = 2 s sqrt(p q) + t q``; r of the two
       skins adds up, the core has one order only.
    2. So ``(1 - r) K0 <= K <= (1 + r) K0``, and any strain w'x under f differs from that of the means by at most
       ``r / (1 - r) sqrt(w'K0^-1 w) sqrt(f'K0^-1 f)``.
    3. The inverse ratio of a face is convex in its strain and grows in proportion, so it is not below ``u . strain``
       with u its slope anywhere.  Taken at the face that is likely to fail first, both where it is nearest to the core
       and where it is farthest: in between the bound of 2 is concave, hence not below the lesser of the two.

    Examples
    --------
    >>> StrengthBound.__doc__.splitlines()[0]
    'Upper bound of the first-ply ratio of sandwiches over all orders of their skins.'
    """

    def __init__(self, sandwich, loads):
        self.forms, self.loads = sandwich.palette.forms, loads
        self.skins = spread_of(sandwich.outer, loads, -1.0), spread_of(sandwich.inner, loads, 1.0)
        self.core = stiffness_of(sandwich.palette, sandwich.cores[:, None])

    def __call__(self, outer, core, inner):
        """Bounds of sandwiches.

        Parameters
        ----------
        outer, core, inner : ndarray of int, shape (sandwiches,)
            Outer set, core and inner set of each [-].

        Returns
        -------
        ndarray, shape (sandwiches,)
            Upper bounds [-].
        """
        parts = [np.zeros(0)]
        for low in range(0, len(outer), _ROWS):
            parts.append(self._ratio(*(pick[low:low + _ROWS] for pick in (outer, core, inner))))
        return np.concatenate(parts)

    def means(self, outer, core, inner):
        """Sandwiches of the means of their skins.

        Parameters
        ----------
        outer, core, inner : ndarray of int, shape (sandwiches,)
            Outer set, core and inner set of each [-].

        Returns
        -------
        Means
            Their compliance, and how far the orders may lie from it [-].
        """
        below, above = self.skins
        terms, height = joined([(below.terms[outer], below.thickness_mm[outer]), [part[core] for part in self.core],
                                (above.terms[inner], above.thickness_mm[inner])])
        return Means(terms, [(skin, pick, way, way * (height / 2 - skin.thickness_mm[pick]))
                             for skin, pick, way in ((below, outer, -1.0), (above, inner, 1.0))])

    def _ratio(self, *picks):
        means = self.means(*picks)
        share, inverse = means.share(), np.zeros(len(picks[0]))
        # a share of 1 or more says nothing: the error becomes so large that the bound does not either
        error = share / np.maximum(1 - share, 1e-9)
        for case, load in enumerate(self.loads):
            eps0, kappa = means.response(load)
            reach = error * np.sqrt(sum(x * y for x, y in zip(load, kappa, strict=True)))
            for skin, pick, way, face in means.sides:
                sub_ply, near, far = (part[case, pick] for part in (skin.sub_ply, skin.near, skin.far))
                ends = [face + way * distance for distance in (near, far)]
                strains = [[p + z * q for p, q in zip(eps0, kappa, strict=True)] for z in ends]
                slope = inverse_ratio_slope(self.forms[sub_ply].T, strains[0])
                lowest = [linear_part(slope, strain) - reach * np.sqrt(means.give(slope, z))
                          for strain, z in zip(strains, ends, strict=True)]
                np.maximum(inverse, np.minimum(*lowest), out=inverse)
        return np.divide(1.0, inverse, out=np.full(len(inverse), np.inf), where=inverse > 0)


class Means:
    """Sandwiches of the means of their skins.

    Parameters
    ----------
    terms : ndarray, shape (sandwiches, 3, 6)
        A, B, D about the mid-plane [N/mm, N, N mm].
    sides : sequence of (Spread, ndarray, float, ndarray)
        Each skin, which sets of it, minus one outside and one inside, and height of its core face [-, -, -, mm].

    Examples
    --------
    >>> Means(np.array([[[4, 0, 0, 4, 0, 4], [0] * 6, [2, 0, 0, 2, 0, 2.0]]]), []).response((1.0, 0, 0))[1][0].tolist()
    [0.5]
    """

    def __init__(self, terms, sides):
        self.sides = sides
        self.a, self.minus_b, self.d = compliance_terms(np.ascontiguousarray(terms.reshape(-1, 18).T))
        self.mixed = [self.minus_b[3 * i + j] + self.minus_b[3 * j + i] for i in range(3) for j in range(i, 3)]

    def compliance(self, z):
        """Compliance of the strain at a height under a force at the same height.

        Parameters
        ----------
        z : ndarray, shape (sandwiches,)
            Height [mm].

        Returns
        -------
        list of six ndarray, shape (sandwiches,)
            Terms 11, 12, 16, 22, 26, 66 [mm/N].
        """
        return [p - z * (q - z * r) for p, q, r in zip(self.a, self.mixed, self.d, strict=True)]

    def give(self, direction, z):
        """Strain along a direction at a height under a force along it at the same height.

        Parameters
        ----------
        direction : sequence of three ndarray, shape (sandwiches,)
            Direction [any].
        z : ndarray, shape (sandwiches,)
            Height [mm].

        Returns
        -------
        ndarray, shape (sandwiches,)
            Square of the length of the direction in the compliance [mm/N times the square of `direction`].
        """
        c = self.compliance(z)
        square = quadratic_part((0, 0, 0, c[0], c[3], c[5], 2 * c[1], 2 * c[2], 2 * c[4]), direction)
        return np.maximum(square, 0.0)

    def response(self, load):
        """Mid-plane strain and curvature under a moment.

        Parameters
        ----------
        load : array_like, shape (3,)
            Moment [N mm/mm].

        Returns
        -------
        eps0, kappa : list of three ndarray, shape (sandwiches,)
            Strain [-] and curvature [1/mm].
        """
        return ([-sum(self.minus_b[3 * i + j] * load[j] for j in range(3)) for i in range(3)],
                [sum(self.d[FULL_TERMS[i, j]] * load[j] for j in range(3)) for i in range(3)])

    def share(self):
        """Largest share of the stiffness by which an order may differ from the means.

        Returns
        -------
        ndarray, shape (sandwiches,)
            r in the notes of `StrengthBound` [-].
        """
        total = np.zeros(len(self.d[0]))
        for skin, pick, way, face in self.sides:
            own = np.ascontiguousarray(skin.terms[pick, 0].T)
            p = largest_eigenvalue(own, self.compliance(face + way * skin.thickness_mm[pick] / 2))
            q = largest_eigenvalue(own, self.d)
            total += 2 * skin.coupling[pick] * np.sqrt(p * q) + skin.bending[pick] * q
        return total
