"""What a job file with a mistake answers: line, field, rule, value received, next step."""

import pickle
import re

import pytest

from lamcalc.errors import InputError
from lamcalc.shop import job
from lamcalc.shop.job_text import read

pytestmark = pytest.mark.behaviour
DEMO = job.load_demo()


def line_of(text, part):
    return next(number for number, line in enumerate(text.splitlines(), 1) if part in line)


def refused(text):
    with pytest.raises(job.JobError) as caught:
        read(text, "launch.toml")
    return caught.value


def changed(old, new):
    assert DEMO.text.count(old) >= 1
    return DEMO.text.replace(old, new, 1)


def test_the_sentence():
    text = changed("mass_kg = 104", "mass_kg = -104")
    line = line_of(text, "mass_kg = -104")
    assert str(refused(text)) == (
        f"launch.toml: line {line}, parts.transom.engine.mass_kg: must be greater than 0 [kg]; received -104. "
        "Next: check the sign and the entry."
    )


# old text, new text, field, part of the rule, value received, part of the next step
MISTAKES = [
    ("glass = 0.12", "glass = 12", "waste.glass", "must be a fraction between 0 and 1", "12", "write 0.12 for 12 %"),
    (
        "soft_core_share = 0.60",
        "soft_core_share = 60",
        "survey.transom.soft_core_share",
        "fraction",
        "60",
        "0.6 for 60 %",
    ),
    (
        "catalyst_low_percent = 1.0",
        "catalyst_low_percent = 0.01",
        "resins.iso_polyester.catalyst_low_percent",
        "must be a percentage [%]",
        "0.01",
        "write 1 for 1 %",
    ),
    (
        "catalyst_usual_percent = 1.5",
        "catalyst_usual_percent = 4.0",
        "resins.iso_polyester.catalyst_usual_percent",
        "must lie in the can's window, 1 to 2.5 [%]",
        "4.0",
        "inside the window",
    ),
    (
        "catalyst_high_percent = 2.5",
        "catalyst_high_percent = 0.5",
        "resins.iso_polyester.catalyst_low_percent",
        "at most catalyst_high_percent, 0.5 [%]",
        "1.0",
        "exchange",
    ),
    (
        "humidity_percent = 63",
        "humidity_percent = 0.63",
        "shop.humidity_percent",
        "must be 1 or more [%]",
        "0.63",
        "check",
    ),
    (
        "humidity_percent = 63",
        "humidity_percent = 163",
        "shop.humidity_percent",
        "must be at most 100 [%]",
        "163",
        "check",
    ),
    (
        "humidity_percent = 63",
        'humidity_percent = "63 %"',
        "shop.humidity_percent",
        "must be a number [%]",
        "'63 %'",
        "digits",
    ),
    ("mass_kg = 104", "mass_kg = nan", "parts.transom.engine.mass_kg", "finite number [kg]", "nan", "missing value"),
    ("mass_kg = 104", "mass_kg = -inf", "parts.transom.engine.mass_kg", "finite number [kg]", "-inf", "missing value"),
    ("mass_kg = 104", "mass_kg = 0", "parts.transom.engine.mass_kg", "greater than 0 [kg]", "0", "sign"),
    (
        "mass_kg = 104",
        "mass_kg = 104000",
        "parts.transom.engine.mass_kg",
        "at most 5000 [kg]",
        "104000",
        "check the unit",
    ),
    ("mass_kg = 104", "mass_kg = " + "9" * 400, "parts.transom.engine.mass_kg", "[kg]", "99999", "check"),
    ("mass_kg = 104", "mass_kg = true", "parts.transom.engine.mass_kg", "must be a number [kg]", "true", "digits"),
    (
        "mass_kg = 104",
        'mass_kg = "104"',
        "parts.transom.engine.mass_kg",
        "followed by its unit [kg]",
        "'104'",
        "115 kg",
    ),
    ("mass_kg = 104", 'mass_kg = "104 in"', "parts.transom.engine.mass_kg", "must be a mass", "'104 in'", "115 kg"),
    (
        "mass_kg = 104",
        "mass_kg = [104]",
        "parts.transom.engine.mass_kg",
        "must be a number [kg]",
        "a list of 1",
        "digits",
    ),
    ("crew = 2", "crew = 2.0", "shop.crew", "whole number from 1 to 50 [-]", "2.0", "count"),
    ("crew = 2", "crew = true", "shop.crew", "whole number from 1 to 50 [-]", "true", "count"),
    ("vacuum_pump = false", 'vacuum_pump = "no"', "shop.vacuum_pump", "must be true or false [-]", "'no'", "quotation"),
    ("date = 2026-03-02", 'date = "2 March"', "prices.date", "must be a date [-]", "'2 March'", "2026-03-02"),
    (
        "date = 2026-03-02",
        "date = 2026-03-02T10:00:00",
        "prices.date",
        "must be a date [-]",
        "2026-03-02T10",
        "2026-03-02",
    ),
    ('units = "metric"', 'units = "imperial"', "units", "must be one of 'metric', 'us' [-]", "'imperial'", "choose"),
    (
        'top = "free"',
        'top = "loose"',
        "parts.transom.edges.top",
        "'clamped', 'simply_supported', 'free'",
        "'loose'",
        "choose",
    ),
    (
        'kind = "stringer"',
        'kind = "keel"',
        "parts.stringers.kind",
        "'transom', 'stringer', 'panel'",
        "'keel'",
        "choose",
    ),
    ('kind = "stringer"', 'title2 = "x"', "parts.stringers", "needs the field kind [-]", "a table", "kind"),
    ("mass_kg = 104", "mas_kg = 104", "parts.transom.engine.mas_kg", "is not a field", "104", "did you mean mass_kg?"),
    (
        "upper_spacing_mm = 327",
        "upper_spacing_mm = 327\nmass_kg = 3",
        "parts.transom.bolts.mass_kg",
        "is not a field",
        "3",
        "this name belongs to Engine",
    ),
    (
        "row_spacing_mm = 200",
        "row_spacing = 200",
        "parts.transom.bolts.row_spacing",
        "is not a field",
        "200",
        "did you mean row_spacing_mm?",
    ),
    ("number = 4\n", "", "parts.transom.bolts.number", "is missing", "nothing", "add it"),
    ("low_mm = 41", "low_mm = 61", "parts.transom.window.low_mm", "must be at most high_mm, 57 [mm]", "61", "exchange"),
    (
        "cut_out_width_mm = 480",
        "cut_out_width_mm = 1600",
        "parts.transom.outline.cut_out_width_mm",
        "at most top_width_mm, 1500 [mm]",
        "1600",
        "measure",
    ),
    (
        "cut_out_depth_mm = 130",
        "cut_out_depth_mm = 900",
        "parts.transom.outline.cut_out_depth_mm",
        "at most height_mm, 620 [mm]",
        "900",
        "measure",
    ),
    (
        "net_area_m2 = 0.843",
        "net_area_m2 = 8.43",
        "parts.transom.outline.net_area_m2",
        "within 10 % with the outline, 0.843",
        "8.43",
        "polygon_mm",
    ),
    (
        "net_area_m2 = 0.843",
        "polygon_mm = [[0, 0], [10, 0], [20, 0]]",
        "parts.transom.outline",
        "must enclose an area [m2]",
        "a table",
        "corners",
    ),
    (
        "included_angle_deg = 104",
        "included_angle_deg = 1.815",
        "parts.transom.tabbing.included_angle_deg",
        "must be 30 or more [deg]",
        "1.815",
        "check",
    ),
    (
        'chosen = "transom_cast"',
        'chosen = "bottom_original"',
        "parts.transom.chosen",
        "must be one of the options",
        "'bottom_original'",
        "add it",
    ),
    (
        'inner_skin = "transom_inner_skin"',
        'inner_skin = "skin"',
        "parts.transom.inner_skin",
        "name of a schedule",
        "'skin'",
        "transom_original",
    ),
    (
        'options = ["sole_plywood", "sole_board"]',
        'options = ["sole_plywood", "sole_bord", "sole_board"]',
        "parts.sole.options[1]",
        "name of a schedule",
        "'sole_bord'",
        "choose one of",
    ),
    (
        'crown = "stringer_crown"\n',
        "",
        "parts.stringers.crown_width_mm",
        "together with crown",
        "70",
        "both or neither",
    ),
    (
        "legs_mm = [75, 100]",
        "legs_mm = [75]",
        "parts.stringers.legs_mm",
        "one leg a ply of schedule stringer_skin, 2",
        "1 leg",
        "order laid",
    ),
    (
        'schedule = "transom_inner_skin"',
        'schedule = "transom_plywood"',
        "schedules.transom_plywood.layers[6].schedule",
        "must not lead back to itself",
        "'transom_plywood'",
        "take one",
    ),
    ("[as_built.transom]", "[as_built.hull]", "as_built.hull", "name of a part", "'hull'", "transom, stringers"),
    ("[survey.sole]", "[survey.deck]", "survey.deck", "name of a part", "'deck'", "transom, stringers"),
    (
        'laminate = "transom_inner_skin"',
        'laminate = "x"',
        "as_built.transom.laminate",
        "name of a schedule",
        "'x'",
        "choose",
    ),
    (
        "dry_mass_g = 4.62, residue_mass_g = 1.61",
        "dry_mass_g = 1.61, residue_mass_g = 4.62",
        "survey.bottom.coupon.residue_mass_g",
        "less than dry_mass_g, 1.61 [g]",
        "4.62",
        "weighings",
    ),
    (
        "gel_coat_mm = 0.5 }",
        "gel_coat_mm = 5.0 }",
        "survey.transom.thickness[0].gel_coat_mm",
        "less than every reading",
        "5.0",
        "readings",
    ),
    (
        "percent = [11, 13,",
        "percent = [13,",
        "survey.transom.moisture[0].percent",
        "as many readings as x_mm has places, 8",
        "7 readings",
        "one reading a place",
    ),
    (
        'sound = "DDDDDDDD"',
        'sound = "DDDD?DDD"',
        "survey.transom.tap[0].sound",
        "C for crisp and D for dull",
        "'DDDD?DDD'",
        "one letter",
    ),
    (
        '{ item = "csm_450", price = 3.00',
        '{ item = "csm_300", price = 3.00',
        "prices.items[5].item",
        "must be listed once",
        "'csm_300'",
        "delete",
    ),
    (
        'per = "sheet", sheet_length_mm = 2440, ',
        'per = "sheet", ',
        "prices.items[13].sheet_length_mm",
        "is missing",
        "nothing",
        "one sheet",
    ),
    (
        '"csm_450", resin',
        '"=1+1", resin',
        "schedules.transom_inner_skin.layers[0].reinforcement",
        "lower-case letters",
        "'=1+1'",
        "csm_450",
    ),
    (
        'resin = "iso_polyester", count = 2',
        'resin = "iso_polyester", count = 2, glass_fraction = 0.4, thickness_mm = 1.2',
        "schedules.transom_inner_skin.layers[2].glass_fraction",
        "not both",
        "0.4",
        "measured",
    ),
    (
        'resin = "iso_polyester", count = 2',
        'resin = "iso_polyester", angle_deg = 0.785',
        "schedules.transom_inner_skin.layers[2].angle_deg",
        "must be in degrees",
        "0.785",
        "write 45",
    ),
    (
        'crush_mpa = 7, status = "assumed" }, #',
        "crush_mpa = 7 }, #",
        "schedules.transom_original.layers[2].status",
        "is missing although the layer has values of its own",
        "nothing",
        "say where",
    ),
    (
        "putty_fill_mm = 0.5, status",
        "putty_thickness_mm = 0.5, status",
        "schedules.transom_plywood.layers[2].putty_e_mpa",
        "is missing",
        "nothing",
        "cured putty",
    ),
    (
        "pressure_kpa = 18\nload_status",
        "load_status",
        "parts.bottom.pressure_kpa",
        "pressure_kpa or patch_load",
        "nothing",
        "load",
    ),
    (
        "span_mm = 460\nlength_mm = 900",
        "span_mm = 900\nlength_mm = 460",
        "parts.bottom.span_mm",
        "at most length_mm, 460",
        "900",
        "exchange",
    ),
    (
        "piece_width_mm = 1180\n",
        "",
        "parts.sole.piece_length_mm",
        "together with piece_width_mm",
        "2550",
        "both or neither",
    ),
    (
        'name = "Coaching launch: transom, stringers, bottom and sole"',
        'name = "' + "x" * 201 + '"',
        "name",
        "at most 200 characters",
        "'xxx",
        "shorten",
    ),
    ('name = "Coaching', 'name = "\\u0007Coaching', "name", "control characters", "Coaching", "type the text again"),
    ("tools = [", "tools = [3, ", "shop.tools[0]", "must be a text [-]", "3", "quotation marks"),
    ("notes = [", "notes = 3\nnotes2 = [", "notes", "must be a list in square brackets", "3", "[1, 2]"),
    (
        "[parts.transom.window]",
        "[parts.transom.Window]",
        "parts.transom.Window",
        "is not a field",
        "a table",
        "did you mean window?",
    ),
    ("[schedules.stringer_crown]", "[schedules.Crown]", "schedules.Crown", "lower-case letters", "'Crown'", "csm_450"),
]


@pytest.mark.parametrize(
    "old, new, field, rule, received, next_step", MISTAKES, ids=[f"{m[2]}-{n}" for n, m in enumerate(MISTAKES)]
)
def test_mistake(old, new, field, rule, received, next_step):
    text = changed(old, new)
    problems = {problem.field: problem for problem in refused(text).problems}
    assert field in problems, str(list(problems.values()))
    problem = problems[field]
    assert rule in problem.rule and received in problem.received and next_step in problem.next_step
    last = re.split(r"[.\[]", field)[-1].rstrip("]")
    shown = text.splitlines()[problem.line - 1]
    table = field.rsplit(".", 1)[0]
    assert last in shown or received.strip("'") in shown or f"[{table}]" in shown or "{" in shown


def test_every_mistake_is_told_at_once_and_in_the_order_of_the_file():
    text = (
        changed("crew = 2", "crew = 0").replace("glass = 0.12", "glass = 12").replace("mass_kg = 104", "mass_kg = -1")
    )
    problem = refused(text)
    assert [one.field for one in problem.problems] == ["shop.crew", "waste.glass", "parts.transom.engine.mass_kg"]
    assert str(problem).startswith("launch.toml: 3 problems\n  line ")
    assert isinstance(problem, InputError) and problem.name == "shop.crew" and problem.value == "0"
    assert str(pickle.loads(pickle.dumps(problem))) == str(problem)


def test_a_very_bad_file_is_answered_briefly():
    text = changed("thickness_mm = [5.6,", "thickness_mm = [" + "-1, " * 60 + "5.6,")
    problem = refused(text)
    assert len(problem.problems) == 60 and str(problem).count("\n") == 21 and str(problem).endswith("and 40 more")


@pytest.mark.parametrize(
    "path",
    [
        "/etc/materials.toml",
        "../own.toml",
        "a/../../own.toml",
        "~/own.toml",
        "C:/own.toml",
        "a\\own.toml",
        "./own.toml",
        "",
        "a//b.toml",
        3,
    ],
)
def test_own_materials_must_stay_beside_the_job(path):
    with pytest.raises(
        job.JobError, match=r"line \d+, own_materials: must (stay inside the job's folder|be a relative file name)"
    ):
        job.update(DEMO, {"own_materials": path})


def test_own_materials_are_found_beside_the_job_and_nowhere_else(tmp_path):
    one = job.update(DEMO, {"own_materials": "own/materials.toml"})
    with pytest.raises(InputError, match="save the job first"):
        job.own_materials_path(one)
    folder = tmp_path / "jobs"
    (folder / "own").mkdir(parents=True)
    one = job.save(one, folder / "launch.toml")
    with pytest.raises(InputError, match="must be a file beside the job file"):
        job.own_materials_path(one)
    outside = tmp_path / "outside.toml"
    outside.write_text("")
    (folder / "own" / "materials.toml").symlink_to(outside)
    with pytest.raises(InputError, match="links included"):
        job.own_materials_path(one)
    (folder / "own" / "materials.toml").unlink()
    (folder / "own" / "materials.toml").write_text("")
    assert job.own_materials_path(one) == (folder / "own" / "materials.toml").resolve()


def test_schedules_that_include_each_other_many_times_are_refused_quickly():
    text = DEMO.text
    for n in range(60):
        layers = ", ".join([f'{{ kind = "include", schedule = "bomb_{n + 1}" }}'] * 3)
        text = text.replace("# end of job", f"[schedules.bomb_{n}]\nlayers = [{layers}]\n# end of job")
    text = text.replace(
        "# end of job", '[schedules.bomb_60]\nlayers = [{ kind = "coat", thickness_mm = 1 }]\n# end of job'
    )
    assert "at most 300 layers with its includes" in str(refused(text))


def test_an_include_of_a_schedule_that_is_not_there_and_one_in_a_circle():
    assert "name of a schedule" in str(refused(changed('schedule = "transom_inner_skin"', 'schedule = "skin"')))
    text = DEMO.text.replace(
        "# end of job",
        """
[schedules.one]
layers = [{ kind = "include", schedule = "two" }]
[schedules.two]
layers = [{ kind = "include", schedule = "one" }]
# end of job""",
    )
    assert "schedules.two.layers[0].schedule: must not lead back to itself" in str(refused(text))


def test_a_list_that_is_too_long():
    text = changed("tools = [", "tools = [" + '"x", ' * 60)
    assert "shop.tools: must have at most 50 entries [-]; received a list of 64" in str(refused(text))


def test_unknown_schedule_name():
    with pytest.raises(InputError, match=r"schedule must be the name of a schedule of this job \[-\]; received 'hull'"):
        job.schedule(DEMO, "hull", catalogue=object())
