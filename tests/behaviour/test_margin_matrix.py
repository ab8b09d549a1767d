"""Margins of the builds side by side: none is lost, none is told twice, every factor has its letter."""

from types import SimpleNamespace

import pytest

from lamcalc.mechanics.margins import Margin, design_factor
from lamcalc.shop.job import load_demo
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.margin_matrix import margin_matrix
from lamcalc.shop.sheet_checks import reserve_words

pytestmark = pytest.mark.behaviour


def build(name, margins, not_assessed=()):
    return SimpleNamespace(name=name, strength=SimpleNamespace(margins=margins, not_assessed=not_assessed))


def test_each_margin_of_the_demo_stands_once_with_its_factor():
    results = transom_comparison(load_demo()).results
    found = margin_matrix(results)
    factors = dict(line.split(" ", 1) for line in found.factors)
    cells = [row[1 + place] for place in range(len(results)) for row in found.rows]
    assert sum(cell != "-" for cell in cells) == sum(len(result.strength.margins) for result in results)
    rows = {row[0]: row[1:] for row in found.rows}
    for place, result in enumerate(results):
        for margin in result.strength.margins:
            check, _, where = margin.name.partition(": ")
            text = rows[check][place]
            head, _, tail = text.partition("; ")
            letter = head[head.rindex("("):]
            assert head == f"{reserve_words(margin)} {margin.verdict} {letter}" and tail == where
            assert factors[letter] == margin.factor.words
        for what in result.strength.not_assessed:
            assert any(what in line and (result.name in line or "any build" in line) for line in found.not_assessed)


def test_two_margins_of_one_check_both_stand_and_a_missing_one_is_a_dash():
    skin = design_factor("iso_ply")
    found = margin_matrix([
        build("a", [Margin("skin: mat", 10.0, 40.0, skin, "MPa"), Margin("skin: cloth", 30.0, 40.0, skin, "MPa")], ("fatigue", "peel")),
        build("b", [Margin("bolts", 10.0, 40.0, design_factor("iso_wood_shear"), "MPa")], ("fatigue",))])
    assert found.rows == (("skin", f"2.00 holds (a); mat; 0.67 {Margin('x', 30.0, 40.0, skin, 'MPa').verdict} (a); cloth", "-"),
                          ("bolts", "-", "1.60 holds (b)"))
    assert found.not_assessed == ("Not assessed for any build: fatigue.", "Not assessed for a: peel.")


def test_letters_go_on_after_z():
    many = [Margin(f"check {k}", 1.0, 2.0, SimpleNamespace(value=1.0, words=f"rule {k}"), "MPa") for k in range(28)]
    factors = margin_matrix([build("a", many)]).factors
    assert [line.split()[0] for line in factors[24:]] == ["(y)", "(z)", "(aa)", "(ab)"]
