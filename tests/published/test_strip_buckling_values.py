"""Buckling coefficients of long plates as textbooks print them, and the closed form for orthotropic plates."""

import numpy as np
import pytest

from lamcalc.mechanics.strip_buckling import long_plate_buckling

pytestmark = pytest.mark.published
D, B = 1e6 * np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]]), 100.0


# Timoshenko and Gere, Theory of Elastic Stability, 2nd ed. 1961, tables 9-2, 9-6 and 9-10: k in N = k pi2 D / b2 for a
# long plate, simply supported (from memory, unverified); the same in EN 1993-1-5 Table 4.1: 4.0, 7.81, 23.9
@pytest.mark.parametrize("edges, shear, k, digit", [
    ((1.0, 1.0), 0.0, 4.0, 0.05), ((0.0, 1.0), 0.0, 7.81, 0.005), ((-1.0, 1.0), 0.0, 23.9, 0.05),
    ((-1 / 3, 1.0), 0.0, 11.0, 0.05), ((0.0, 0.0), 1.0, 5.34, 0.005)])
def test_coefficients_of_a_long_isotropic_plate(edges, shear, k, digit):
    found = long_plate_buckling(D, B, compression=edges, shear=shear) * B**2 / (np.pi**2 * 1e6)
    assert found == pytest.approx(k, abs=digit)


@pytest.mark.parametrize("d11, d22, d12, d66", [(3e6, 1e6, 3e5, 5e5), (1e6, 5e6, 2e5, 4e5), (8e6, 1e6, 3e5, 1e6)])
def test_even_compression_of_an_orthotropic_plate_is_the_closed_form(d11, d22, d12, d66):
    # N = 2 (pi/b)2 (sqrt(D11 D22) + D12 + 2 D66): Lekhnitskii, Anisotropic Plates, 1968 (from memory)
    plate = np.array([[d11, d12, 0], [d12, d22, 0], [0, 0, d66]])
    hand = 2 * (np.pi / B) ** 2 * (np.sqrt(d11 * d22) + d12 + 2 * d66)
    assert long_plate_buckling(plate, B, compression=(1.0, 1.0)) == pytest.approx(hand, rel=1e-3)


def test_bending_of_an_orthotropic_plate_is_near_the_fitted_form():
    # N = (pi/b)2 (13.4 sqrt(D11 D22) + 10.4 (D12 + 2 D66)), Kollar and Springer, Mechanics of Composite Structures, 2003
    # (from memory); a fit, so 2 %
    plate = 1e6 * np.array([[3, 0.3, 0], [0.3, 1, 0], [0, 0, 0.5]])
    hand = (np.pi / B) ** 2 * (13.4 * np.sqrt(3e12) + 10.4 * 1.3e6)
    assert long_plate_buckling(plate, B, compression=(-1.0, 1.0)) == pytest.approx(hand, rel=0.02)


def test_compression_and_shear_together_follow_the_parabola():
    # (shear / shear alone)2 + compression / compression alone = 1: Timoshenko and Gere, art. 9.7 (from memory), within 2 %
    push, slide = (long_plate_buckling(D, B, compression=edges, shear=flow) for edges, flow in (((1, 1), 0), ((0, 0), 1)))
    for share in (0.3, 1.0, 3.0):
        both = long_plate_buckling(D, B, compression=(1, 1), shear=share)
        assert (both * share / slide) ** 2 + both / push == pytest.approx(1.0, abs=0.02)
