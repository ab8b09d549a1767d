"""Sentences and refusals with figures in them: what they say in either unit system, digit by digit."""

import copy
import pickle

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.sentences import (
    KIND_OF_UNIT, Figure, Sentence, bare, counted, joined, label, problem_words, received_words, rule_sentence, rule_words, told,
    told_problem,
)
from lamcalc.units import KINDS

pytestmark = pytest.mark.behaviour


@pytest.mark.parametrize("figure, metric, us", [
    (Figure(25.4, "thickness"), "25.40 mm", "1.000 in"),
    (Figure(4, "thickness", high=6, digits=2), "4 to 6 mm", "0.16 to 0.24 in"),
    (Figure(2.5, "thickness", unit="in"), "63.50 mm", "2.500 in"),
    (Figure(1, "small_length", unit="in", digits=2), "25 mm", "1 in"),
    (Figure(0.0, "small_length", digits=3), "0 mm", "0 in"),
    (Figure(1234567.0, "small_length", digits=3), "1230000 mm", "48600 in"),
    (Figure(0.000123456, "small_length", digits=3), "0.000123 mm", "4.86e-06 in"),
    (Figure(-10, "temperature", digits=3), "-10 degC", "14 degF"),
    (Figure(10, "temperature_difference", digits=2), "10 degC", "18 degF"),
    (Figure(1, "length", "m", digits=3), "1 m", "3.28 ft"),
    (Figure(12e3, "moment"), "12.00 N m", "8.851 ft lbf"),
])
def test_a_figure_in_either_system(figure, metric, us):
    assert figure.told("metric") == metric and figure.told("us") == us


def test_a_sentence_is_metric_as_a_string_and_told_again_in_us_units():
    inner = Sentence("{t} of {what}", t=Figure(25.4, "thickness"), what="mat")
    outer = Sentence("{count} layers: {inner}, {number}", count=2, inner=inner, number=0.5)
    assert outer == "2 layers: 25.40 mm of mat, 0.5" and told(outer, "metric") == str(outer)
    assert told(outer, "us") == "2 layers: 1.000 in of mat, 0.5"
    assert told("plain", "us") == "plain" and told(7, "us") == 7 and told("plain", "us", capital=True) == "Plain"


def test_a_capital_is_kept_by_copies_and_told_where_it_is_asked_for():
    said = Sentence("{t} is thin", t=Figure(25.4, "thickness"))
    lower, upper = (Sentence("mat of {t}", t=Figure(25.4, "thickness"), capital=way) for way in (False, True))
    assert (lower, upper) == ("mat of 25.40 mm", "Mat of 25.40 mm")
    assert told(upper, "us") == "Mat of 1.000 in" and told(lower, "us") == "mat of 1.000 in"
    assert told(lower, "us", capital=True) == "Mat of 1.000 in" and told(said, "us", capital=True) == "1.000 in is thin"
    for again in (pickle.loads(pickle.dumps(upper)), copy.deepcopy(upper)):
        assert again == upper and told(again, "us") == told(upper, "us") and again.opens is True
    assert Sentence("", capital=True) == "" and Sentence("").opens is False


def test_texts_put_together_are_told_together():
    whole = joined("; ", ["one", Sentence("{t}", t=Figure(25.4, "thickness")), "{braces}"])
    assert whole == "one; 25.40 mm; {braces}" and told(whole, "us") == "one; 1.000 in; {braces}"
    assert joined("; ", []) == "" and joined("; ", ["one"]) == "one"


def test_one_thing_is_counted_in_the_singular():
    assert [counted(n, "layer") for n in (0, 1, 2)] == ["0 layers", "1 layer", "2 layers"]
    assert [counted(n, "ply", "plies") for n in (0, 1, 2)] == ["0 plies", "1 ply", "2 plies"]


def test_every_unit_beside_a_number_is_the_metric_one_of_its_kind():
    """A number of 1 in each unit comes back as 1 in metric, so that number and unit belong together."""
    from lamcalc.units import convert, system_unit

    for unit, kind in KIND_OF_UNIT.items():
        assert kind in KINDS
        metric = system_unit(kind, "metric")
        assert convert(1.0, unit, metric) == pytest.approx(1.0) or kind in ("small_length", "length", "pressure"), unit


@pytest.mark.parametrize("value, unit, metric, us", [
    (25.4, "mm", "25.4", "1"), (0.0, "mm", "0", "0"), (1000.0, "mm", "1000", "39.37"), (123456.7, "mm", "123457", "4860"),
    (20, "degC", "20", "68"), (6.894757, "kPa", "6.89476", "1"), (2.5, "%", "2.5", "2.5"), (3, "-", "3", "3"),
])
def test_a_number_whose_unit_stands_elsewhere(value, unit, metric, us):
    said = Sentence("{n} [{u}]", n=bare(value, unit), u=label(unit))
    known = unit in KIND_OF_UNIT
    assert said == f"{metric} [{unit}]"
    assert told(said, "us").startswith(f"{us} [") and (told(said, "us") != said) == known


def test_a_unit_is_told_in_metric_as_it_was_written():
    assert [str(Sentence("[{u}]", u=label(unit))) for unit in ("kN/m2", "kPa", "%")] == ["[kN/m2]", "[kPa]", "[%]"]
    assert told(Sentence("[{u}]", u=label("kN/m2")), "us") == "[psi]"


def test_a_rule_keeps_figures_of_its_own_and_lists_of_numbers():
    rule = rule_sentence("must lie between {low} and {high} [mm], {other} and {list} {word}", low=25.4, high=np.float64(50.8),
                         other=Figure(100, "force", digits=3), list=[1, 2], word="more")
    assert rule == "must lie between 25.4 and 50.8 [mm], 100 N and [1, 2] more"
    assert told(rule, "us") == "must lie between 1 and 2 [mm], 22.5 lbf and [1, 2] more"


@pytest.mark.parametrize("rule, us", [
    ("must be greater than 0 [mm]", "must be greater than 0 [in]"),
    ("must be 5 or more [mm]", "must be 5 or more [mm]"),  # a metric figure before a US unit would be wrong
    ("must be 0.5 or more [mm]", "must be 0.5 or more [mm]"),
    ("must be a number [-]", "must be a number [-]"),
    ("must be a mass [kg] over an area [m2]", "must be a mass [lb] over an area [ft2]"),
    ("must be a mass [kg] a day [d]", "must be a mass [kg] a day [d]"),  # half of it told would mix the systems
    ("of {braces} must be known [mm]", "of {braces} must be known [in]"),
    ("of e1 must be known [MPa]", "of e1 must be known [psi]"),  # a digit inside a name is no figure
    ("must be known", "must be known"),
])
def test_the_unit_of_a_plain_rule(rule, us):
    assert rule_words(rule) == rule and told(rule_words(rule), "us") == us


def test_the_unit_of_a_rule_with_figures():
    rule = rule_sentence("must be at most {most} [mm]", most=25.4)
    assert told(rule_words(rule), "us") == "must be at most 1 [in]" and rule_words(rule) == "must be at most 25.4 [mm]"


@pytest.mark.parametrize("value, rule, metric, us", [
    (-25.4, "must be greater than 0 [mm]", "-25.4", "-1"),
    (100, "must be greater than 0 [mm]", "100", "3.937"),
    (1234.5, "must be greater than 0 [mm]", "1234.5", "48.6"),
    (np.array([25.4, 50.8]), "must rise [mm]", "[25.4 50.8]", "[1. 2.]"),
    (np.float64(25.4), "must rise [mm]", "25.4", "1"),
    (np.array([1.0, 10.0]), "must rise [mm]", "[ 1. 10.]", "[0.0394 0.3937]"),
    (np.full(6, 25.4), "must rise [mm]", "[25.4 25.4 25.4 25.4 25.4 25.4]", "[1. 1. 1. 1. 1. 1.]"),
    (np.full(7, 25.4), "must rise [mm]", "[25.4 25.4 25.4 ... 25.4 25.4 25.4]", "[1. 1. 1. ... 1. 1. 1.]"),
    (np.array([254, 508]), "must rise [mm]", "[254 508]", "[10. 20.]"),
    ((25.4,), "must rise [mm]", None, None),
    ((25.4, 50.8), "must rise [mm]", None, "(1, 2)"),
    ((3, 4), "must have one shape [mm]", None, None),  # whole numbers in a row are a shape or a count
    ("2 in", "must be a number [mm]", "'2 in'", "'2 in'"),
    (True, "must be a number [mm]", "True", "True"),
    (None, "must be given [mm]", "nothing", "nothing"),
    (1e301, "must be smaller [mm]", "1e+301", "1e+301"),
    (float("nan"), "must be a number [mm]", "nan", "nan"),
    (25.4, "must be known [mm] and [kg]", "25.4", "25.4"),
    (25.4, "must be below 5 [mm]", "25.4", "25.4"),
    (25.4, "must be known [-]", "25.4", "25.4"),
])
def test_a_value_received(value, rule, metric, us):
    from lamcalc.errors import shown

    said = received_words(value, rule)
    assert said == (shown(value) if metric is None else metric)
    assert told(said, "us") == (shown(value) if us is None else us)


def test_a_whole_refusal():
    problem = InputError("span", "must be greater than 0 [mm]", -25.4, "measure again")
    assert told(problem_words(problem), "us") == "span must be greater than 0 [in]; received -1. Next: measure again."
    assert str(problem) == "span must be greater than 0 [mm]; received -25.4. Next: measure again."
    assert told_problem(problem, "metric") == str(problem)
    bare_one = InputError("span", rule_sentence("must be at most {most} [mm]", most=254.0), 508.0)
    assert told_problem(bare_one, "us") == "span must be at most 10 [in]; received 20."
    hint = InputError("span", "must be given [mm]", None, Sentence("take {t}", t=Figure(25.4, "thickness")))
    assert told_problem(hint, "us") == "span must be given [in]; received nothing. Next: take 1.000 in."


def test_other_errors_are_told_as_they_are():
    class Own(InputError):
        """An error of a kind of its own says its own words."""

    own = Own("span", "must be greater than 0 [mm]", -25.4)
    assert problem_words(ValueError("no 5 [mm]")) == "no 5 [mm]" and told_problem(ValueError("no"), "us") == "no"
    assert told_problem(own, "us") == str(own)
    own.words = lambda: Sentence("{t} short", t=Figure(25.4, "thickness"))
    assert told_problem(own, "us") == "1.000 in short" and told_problem(own, "metric") == str(own)
