"""Turning a fabric over: weights, order and angles."""

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.materials import catalogue
from lamcalc.materials.records import Component, Reinforcement, Value

pytestmark = pytest.mark.invariant

LAYERS = st.lists(
    st.builds(Component, st.just("ud"), st.floats(50, 800), st.sampled_from([0.0, 90.0, 45.0, -45.0, 30.0])),
    min_size=1,
    max_size=5,
)


def fabric(layers):
    """A stitched fabric with mat on its last face."""
    return Reinforcement("x", "x", "computed", "COMPUTED", "biaxial", "e_glass", (*layers, Component("csm", 228.9)))


@given(LAYERS)
def test_turning_over_keeps_weight_and_brings_the_mat_down(layers):
    """Mat first, every layer kept once, total weight unchanged."""
    cloth = fabric(layers)
    down, up = cloth.stack(mat_down=True), cloth.stack(mat_down=False)
    assert up == cloth.components and down[0] == cloth.mat_component
    assert sorted(layer.areal_weight_gsm for layer in down) == sorted(layer.areal_weight_gsm for layer in up)
    assert cloth.areal_weight_gsm == pytest.approx(sum(layer.areal_weight_gsm for layer in layers) + 228.9)
    assert 0 < cloth.woven_share < 1


@given(LAYERS)
def test_turning_over_is_a_half_turn_about_the_roll(layers):
    """Order reversed and angle mirrored, as directions: a 90 stays a 90."""
    cloth = fabric(layers)
    for before, after in zip(reversed(cloth.components), cloth.stack(), strict=True):
        assert (before.angle_deg + after.angle_deg) % 180.0 == 0.0


@pytest.mark.parametrize("key", ["csm_450", "wr_600", "ud_400", "biax45_17oz", "quad_24oz"])
def test_fabric_without_mat_has_no_side(key):
    """Without mat both sides are the same stack."""
    cloth = catalogue.load().reinforcement(key)
    assert cloth.stack(mat_down=True) == cloth.stack(mat_down=False) == cloth.components


def test_catalogue_survives_a_trip_to_another_process():
    """Records and catalogue pickle, for work spread over processes."""
    shop = catalogue.load()
    copy = pickle.loads(pickle.dumps(shop))
    assert dict(copy.cores) == dict(shop.cores) and dict(copy.processes) == dict(shop.processes)


@given(st.floats(-1e6, 1e6), st.floats(0, 1e3), st.floats(0, 1e3))
def test_value_bounds_hold_the_typical_value(typical, below, above):
    """Bounds fall back on the typical value where an end is not known."""
    value = Value(typical, typical - below, typical + above, "MPa", "computed", "COMPUTED")
    assert value.bounds[0] <= float(value) <= value.bounds[1]
    assert Value(typical, None, None, "MPa", "computed", "COMPUTED").bounds == (typical, typical)
