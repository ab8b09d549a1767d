"""Bad input as a table: job files, files of own materials, as-built readings, single values, stack codes.

Every row says what is written and which words the answer must contain.  `FIELDS` name a place of the demo job and the
text that is put there; `TEXTS` change a piece of it; the small files beside this module are taken as they are.
"""

# ---- every kind of bad number, in one field of every unit: place, a number of the wrong size, its rule

NUMBERS = {
    "nan": ("nan", "must be a finite number"),
    "inf": ("inf", "must be a finite number"),
    "minus inf": ("-inf", "must be a finite number"),
    "too many noughts": ("1e400", "must be a finite number"),
    "true": ("true", "must be a number"),
    "list": ("[12]", "must be a number"),
    "table": ("{ value = 12 }", "must be a number"),
    "date": ("2026-03-02", "must be a number"),
    "text": ('"12"', ("must be followed by its unit", "must be a number")),
    "empty text": ('""', "must be a number"),
    "decimal comma as text": ('"1,5 mm"', ("must not contain a comma", "must be a number")),
    "other kind": ('"12 furlong"', ("is not a unit", "must be a number")),
    "formula": ('"=1+1"', "must be a number"),
    "digits without end": ("9" * 400, "must be a number"),
}
PLACES = {
    "craft.length_m": "m", "shop.air_temperature_c": "degC", "shop.labour_per_hour": "money", "waste.resin": "-",
    "resins.iso_polyester.catalyst_usual_percent": "%", "resins.iso_polyester.gel_mass_g": "g",
    "schedules.transom_board.layers[1].e_mpa": "MPa", "parts.transom.engine.thrust_n": "N",
    "parts.stringers.pressure_kpa": "kPa", "as_built.transom.thickness_mm[3]": "mm",
    "as_built.transom.coupon.dry_mass_g": "g", "survey.transom.moisture[0].percent[2]": "%",
}

# ---- one field at a time: place, what is written there, words of the answer

FIELDS = [
    # wrong units
    ("craft.length_m", "5400", "at most 30 [m]"),
    ("craft.length_m", '"5.4 kg"', "must be a length [mm], not a mass"),
    ("craft.length_m", "-5.4", "greater than 0 [m]"),
    ("shop.air_temperature_c", "65", "at most 60 [degC]"),
    ("shop.air_temperature_c", "291.65", "at most 60 [degC]"),
    ("shop.air_temperature_c", '"18.5 mm"', "must be a temperature"),
    ("shop.humidity_percent", "0.63", "must be 1 or more [%]"),
    ("shop.humidity_percent", "6300", "at most 100 [%]"),
    ("shop.crew", "0", "whole number from 1 to 50"),
    ("shop.crew", "2.5", "whole number from 1 to 50"),
    ("shop.crew", '"two"', "whole number from 1 to 50"),
    ("shop.labour_per_hour", "-46", "0 or more [money]"),
    ("shop.labour_per_hour", '"46 credits"', "must be a number [money]"),
    ("resins.iso_polyester.liquid_density_kg_m3", "1.1", "must be 500 or more [kg/m3]"),
    ("resins.iso_polyester.liquid_density_kg_m3", "9.2", "must be 500 or more [kg/m3]"),
    ("resins.iso_polyester.liquid_density_kg_m3", "11000", "at most 3000 [kg/m3]"),
    ("resins.iso_polyester.catalyst_density_kg_m3", "1.16", "must be 500 or more [kg/m3]"),
    ("resins.epoxy.resin_density_kg_m3", "1.15", "must be 500 or more [kg/m3]"),
    ("resins.epoxy.hardener_density_kg_m3", '"1 g/mm"', "must be a density"),
    ("resins.epoxy.ratio_by_volume", "0", "greater than 0"),
    ("resins.epoxy.ratio_by_volume", "100", "at most 20"),
    ("resins.epoxy.ratio_by_volume", '"2:1"', "must be a number"),
    ("resins.iso_polyester.gel_minutes", "-28", "greater than 0 [min]"),
    ("resins.iso_polyester.gel_temperature_c", "77", "at most 60 [degC]"),
    ("resins.iso_polyester.gel_mass_g", '"100 mL"', "must be a mass"),
    ("resins.iso_polyester.catalyst_basis", '"weight"', "'volume', 'mass'"),
    ("parts.transom.engine.mass_kg", '"104 lbf"', "must be a mass"),
    ("parts.transom.engine.power_kw", '"30 kg"', "must be a power"),
    ("parts.transom.engine.power_kw", "30000", "at most 1000 [kW]"),
    ("parts.transom.engine.thrust_n", '"214 kg"', "must be a force"),
    ("parts.transom.engine.thrust_n", "-2100", "[N]"),
    ("parts.transom.engine.centre_aft_mm", "19000", "at most 5000 [mm]"),
    ("parts.transom.engine.thrust_below_bolts_mm", "0.56", "must be 1 or more [mm]"),
    ("parts.transom.engine.trailering_factor", "0.4", "must be 1 or more"),
    ("parts.transom.bolts.number", "4.0", "whole number"),
    ("parts.transom.bolts.diameter_mm", '"M12"', "must be a number and a unit"),
    ("parts.transom.bolts.diameter_mm", "120", "at most 60 [mm]"),
    ("parts.transom.bolts.plate_length_mm", "0.06", "must be 1 or more [mm]"),
    ("parts.transom.bolts.plate_thickness_mm", "0.005", "must be 0.05 or more [mm]"),
    ("parts.transom.outline.top_width_mm", "1.5", "must be 100 or more [mm]"),
    ("parts.transom.outline.top_width_mm", "59.06", "must be 100 or more [mm]"),
    ("parts.transom.outline.height_mm", "0.62", "must be 100 or more [mm]"),
    ("parts.transom.outline.net_area_m2", "843000", "at most 100 [m2]"),
    ("parts.transom.outline.net_area_m2", '"0.843 m"', "must be an area"),
    ("parts.transom.outline.vee_mm", "-90", "0 or more [mm]"),
    ("parts.transom.tabbing.included_angle_deg", "361", "at most 179 [deg]"),
    ("parts.transom.tabbing.fillet_radius_mm", "2000", "at most 200 [mm]"),
    ("parts.transom.screening.inner_skin_e_mpa", "10.5", "must be 100 or more [MPa]"),
    ("parts.transom.screening.inner_skin_e_mpa", "10500000000", "at most 500000 [MPa]"),
    ("parts.transom.knees_at_mm", "[200, 9000]", "at most 5000 [mm]"),
    ("parts.stringers.pressure_kpa", "18000", "at most 2000 [kPa]"),
    ("parts.stringers.pressure_kpa", '"18 kg"', "must be a pressure"),
    ("parts.stringers.span_mm", "0.9", "must be 1 or more [mm]"),
    ("parts.stringers.length_mm", '"3.2"', "must be followed by its unit"),
    ("parts.stringers.number", "-2", "whole number"),
    ("parts.stringers.deflection_limit_span_over", "0.005", "must be 10 or more"),
    ("parts.bottom.repair.scarf_ratio", "0.083", "must be 4 or more"),
    ("parts.bottom.repair.damage_width_mm", "0", "must be 1 or more [mm]"),
    ("schedules.transom_board.layers[1].thickness_mm", "0.0046", "must be 0.05 or more [mm]"),
    ("schedules.transom_board.layers[1].thickness_mm", "4567", "at most 300 [mm]"),
    ("schedules.transom_board.layers[1].e_mpa", "8.5", "must be 100 or more [MPa]"),
    ("schedules.transom_board.layers[1].density_kg_m3", "1.47", "must be 10 or more [kg/m3]"),
    ("schedules.transom_board.layers[3].density_kg_m3", "0.416", "must be 10 or more [kg/m3]"),
    ("schedules.transom_board.layers[3].e_mpa", "-1600", "greater than 0 [MPa]"),
    ("schedules.transom_board.layers[3].core", '"PU Board"', "lower-case letters"),
    ("schedules.transom_board.layers[0].thickness_mm", "12", "at most 5 [mm]"),
    ("schedules.transom_board.layers[2].putty_fill_mm", "-0.5", "0 or more [mm]"),
    ("schedules.bottom_patch_stitched.layers[3].mat_side", '"left"', "'down', 'up'"),
    ("schedules.bottom_patch_stitched.laid", '"inside"', "must be one of"),
    ("schedules.stringer_skin.layers[0].count", "0", "whole number"),
    ("schedules.stringer_skin.layers[0].count", "5000", "whole number"),
    ("schedules.stringer_skin.layers[0].count", "2.0", "whole number"),
    ("schedules.stringer_skin.layers[0].kind", '"plie"', "must be one of"),
    ("schedules.stringer_skin.layers", "[]", "at least 1 entries"),
    ("schedules.stringer_skin.layers", '"two plies of 1708"', "must be a list"),
    ("schedules.stringer_skin.layers[0].reinforcement", '"../../etc/passwd"', "lower-case letters"),
    ("schedules.stringer_skin.layers[0].reinforcement", '"1708; rm"', "lower-case letters"),
    ("schedules.stringer_skin.layers[0].resin", '""', "lower-case letters"),
    # percent for fraction, fraction for percent
    ("waste.glass", "12", "write 0.12 for 12 %"),
    ("waste.resin", "15.0", "write 0.15 for 15 %"),
    ("waste.gel_coat", "-0.2", "must be a fraction between 0 and 1"),
    ("waste.putty", "1.25", "write 0.0125 for 1.25 %"),
    ("waste.glass", '"12 %"', "must be a number"),
    ("survey.transom.soft_core_share", "60.0", "write 0.6 for 60 %"),
    ("survey.transom.soft_core_share", "-0.6", "fraction between 0 and 1"),
    ("resins.iso_polyester.catalyst_high_percent", "0.025", "write 2.5 for 2.5 %"),
    ("resins.iso_polyester.gel_catalyst_percent", "0.015", "write 1.5 for 1.5 %"),
    ("resins.iso_polyester.catalyst_high_percent", "25", "at most 10 [%]"),
    # swapped fields
    ("resins.iso_polyester.catalyst_low_percent", "2.7", "at most catalyst_high_percent"),
    ("resins.iso_polyester.kind", '"two_part"', "is missing"),
    ("resins.epoxy.kind", '"catalysed"', "is missing"),
    ("parts.transom.window.low_mm", "57.5", "at most high_mm"),
    ("parts.transom.window.high_mm", "14", "at most high_mm"),
    ("parts.transom.outline.cut_out_width_mm", "1800", "at most top_width_mm"),
    ("parts.transom.kind", '"panel"', "is not a field"),
    ("parts.sole.kind", '"transom"', "is missing"),
    ("parts.sole.span_mm", "2460", "at most length_mm"),
    ("parts.transom.original", '"iso_polyester"', "name of a schedule"),
    ("parts.transom.chosen", '"transom"', "must be one of the options"),
    ("parts.transom.options", "[]", "must be one of the options: none given"),
    ("parts.transom.options[0]", '"transom_plywod"', "name of a schedule"),
    ("parts.stringers.legs_mm", "[100]", "one leg a ply"),
    ("parts.stringers.crown", '"Crown"', "lower-case letters"),
    ("prices.items[0].per", '"pound"', "must be one of"),
    ("prices.items[0].price", "-6.9", "0 or more [money]"),
    ("prices.items[0].price", '"6,90"', "must be a number"),
    ("prices.items[1].item", '"iso_polyester"', "must be listed once"),
    ("prices.date", '"02.03.2026"', "must be a date"),
    ("prices.date", "20260302", "must be a date"),
    ("prices.date", "07:32:00", "must be a date"),
    ("prices.currency", "7", "must be a text"),
    ("stock.rolls[0].width_mm", "1.04e6", "at most 30000 [mm]"),
    ("stock.rolls[0].width_mm", "0", "must be 1 or more [mm]"),
    ("stock.containers[0].unit", '"lb"', "'kg', 'L'"),
    ("stock.containers[0].size", "0", "greater than 0"),
    # texts
    ("name", '""', "must not be empty"),
    ("name", '"   "', "must not be empty"),
    ("name", "7", "must be a text"),
    ("name", '"a\\u0000b"', "control characters"),
    ("name", '"a\\u001b[31mred"', "control characters"),
    ("name", '"launch \\u202egpj.exe"', "control characters"),
    ("name", '"' + "n" * 400 + '"', "at most 200 characters"),
    ("craft.description", '"' + "d" * 3000 + '"', "at most 300 characters"),
    ("craft.complaint", '"' + "c" * 30_000 + '"', "at most 20000 characters"),
    ("shop.tools", '"kitchen scale"', "must be a list"),
    ("shop.vacuum_pump", "0", "must be true or false"),
    ("shop.status", '"guessed"', "must be one of"),
    ("units", '"mm"', "'metric', 'us'"),
    ("units", "1", "'metric', 'us'"),
    ("notes[0]", "3", "must be a text"),
    # readings before and after
    ("as_built.transom.thickness_mm", "5.6", "must be a list"),
    ("as_built.transom.thickness_mm[0]", "0.0056", "must be 0.05 or more [mm]"),
    ("as_built.transom.thickness_mm[0]", "-5.6", "[mm]"),
    ("as_built.transom.thickness_mm[0]", "560", "at most 300 [mm]"),
    ("as_built.transom.thickness_mm[0]", '"5,6 mm"', "must not contain a comma"),
    ("as_built.transom.thickness_mm", "[" + "5.5, " * 600 + "]", "at most 500 entries"),
    ("as_built.transom.glass_used_kg", "3710000", "at most 5000 [kg]"),
    ("as_built.transom.glass_used_kg", '"3.71 L"', "must be a mass"),
    ("as_built.transom.glass_used_kg", "0", "greater than 0 [kg]"),
    ("as_built.transom.resin_used_kg", "-6.74", "greater than 0 [kg]"),
    ("as_built.transom.barcol[9]", "520", "at most 100"),
    ("as_built.transom.barcol[9]", "-52", "0 or more"),
    ("as_built.transom.barcol[9]", '"hard"', "must be a number"),
    ("as_built.transom.barcol_hours", "-48", "0 or more [h]"),
    ("as_built.transom.barcol_hours", "1e6", "at most 10000 [h]"),
    ("as_built.transom.coupon.residue_mass_g", "2.94", "less than dry_mass_g"),
    ("as_built.transom.coupon.residue_mass_g", "0", "greater than 0 [g]"),
    ("as_built.transom.coupon.dry_mass_g", "1.0", "less than dry_mass_g"),
    ("as_built.transom.coupon.density_kg_m3", "1.46", "must be 10 or more [kg/m3]"),
    ("as_built.transom.coupon", "3", "must be a table"),
    ("as_built.transom.laminate", '"csm_450"', "name of a schedule"),
    ("survey.transom.moisture[0].percent[0]", "-11", "0 or more [%]"),
    ("survey.transom.moisture[0].percent[0]", "201", "at most 200 [%]"),
    ("survey.transom.moisture[0].percent[0]", "0.05", "write 5 for 5 %"),
    ("survey.transom.moisture[0].percent", "[11]", "as many readings as x_mm"),
    ("survey.transom.moisture[0].x_mm", "[]", "at least 1 entries"),
    ("survey.transom.moisture[0].x_mm[0]", "-52500", "must be -30000 or more [mm]"),
    ("survey.transom.tap[0].sound", '"CCCC"', "as many readings as x_mm"),
    ("survey.transom.tap[0].sound", '"cccccccc"', "C for crisp and D for dull"),
    ("survey.transom.tap[0].sound", "8", "must be a text"),
    ("survey.transom.thickness[0].readings_mm", "[]", "at least 1 entries"),
    ("survey.transom.thickness[0].readings_mm[2]", "0", "must be 0.05 or more [mm]"),
    ("survey.transom.thickness[1].readings_mm[0]", '"2.6 kg"', "must be a length"),
    ("survey.transom.thickness[0].gel_coat_mm", "500", "at most 50 [mm]"),
    ("survey.bottom.coupon.residue_mass_g", "4.7", "less than dry_mass_g"),
    ("survey.transom.dull_below_mm", "-350", "0 or more [mm]"),
]

# ---- pieces of the demo job exchanged: old, new, words

TEXTS = [
    ("[shop]\n", "[shop]\n[shop]\n", "must be a complete TOML text"),
    ("[shop]\n", "[[shop]]\n", "must be a table"),
    ("[shop]", "[Shop]", "is not a field"),
    ("[prices]", "[prizes]", "is not a field"),
    ("[parts.transom.engine]", "[parts.transom.motor]", "is not a field"),
    ("[parts.transom.engine]", "[engine]", "is not a field"),
    ("[resins.epoxy]", "[resins.Epoxy]", "lower-case letters"),
    ("[parts.sole]", '[parts."../../sole"]', "lower-case letters"),
    ("[parts.sole]", '[parts."sole\\u0000"]', "lower-case letters"),
    ("[parts.sole]", '[parts."' + "s" * 70 + '"]', "lower-case letters"),
    ("[schedules.stringer_skin]", '[schedules."<script>"]', "lower-case letters"),
    ("[survey.sole]", "[survey.hatch]", "name of a part"),
    ("crew = 2", "crew: 2", "must be a complete TOML text"),
    ("crew = 2", "crew = two", "must be a complete TOML text"),
    ("crew = 2", "crew 2", "must be a complete TOML text"),
    ("crew = 2", "crew = 2 people", "must be a complete TOML text"),
    ("crew = 2", "crew = 02", "must be a complete TOML text"),
    ("crew = 2", "crew = '2", "must be a complete TOML text"),
    ("crew = 2", "crew = \u0662", "must be a complete TOML text"),
    ("crew = 2", "crew = 2\u00a0", "must be a complete TOML text"),
    ("crew = 2", "crew = 2;", "must be a complete TOML text"),
    ("crew = 2", "crew = 1/2", "must be a complete TOML text"),
    ("crew = 2", "crew = None", "must be a complete TOML text"),
    ("crew = 2", "crew = __import__('os')", "must be a complete TOML text"),
    ("crew = 2", "crew = ${CREW}", "must be a complete TOML text"),
    ("crew = 2", "crew.a.b.c.d.e.f.g.h.i.j.k.l.m.n = 2", "must nest at most 12"),
    ("crew = 2", "crew.x = 2", "must be a whole number"),
    ("crew = 2", "crew = 2\r\rcrow = 3", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = 5,4", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = 5.4 m", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = 5.4.1", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = ", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = --5.4", "must be a complete TOML text"),
    ("length_m = 5.4", "length_m = 0x1F.4", "must be a complete TOML text"),
    ("length_m = 5.4", "length_mm = 5400", "is not a field"),
    ("length_m = 5.4", "length_ft = 18", "is not a field"),
    ("length_m = 5.4\n", "", "is missing"),
    ('kind = "transom"\n', "", "needs the field kind"),
    ("date = 2026-03-02", "date = 2026-02-30", "must be a complete TOML text"),
    ("date = 2026-03-02", "date = 2026-13-01", "must be a complete TOML text"),
    ("date = 2026-03-02", "date = 02-03-2026", "must be a complete TOML text"),
    ("format = 1", "format = 1.5", "which format the file is in"),
    ("format = 1", "format = nan", "which format the file is in"),
    ("format = 1", "format = [1]", "which format the file is in"),
    ("format = 1", "format = 1\nformat = 1", "must be a complete TOML text"),
    ("format = 1", "format = " + "9" * 30, "newer version"),
    ("# end of job", "# end of jo", "must end with the line"),
    ("# end of job", "end of job", "must be a complete TOML text"),
    ('name = "Coaching', 'own_materials = "../../own.toml"\nname = "Coaching', "must stay inside the job's folder"),
    ('name = "Coaching', 'own_materials = "/etc/hosts"\nname = "Coaching', "must stay inside the job's folder"),
    ('name = "Coaching', 'own_materials = "~/own.toml"\nname = "Coaching', "must stay inside the job's folder"),
    ('name = "Coaching', 'own_materials = "C:/own.toml"\nname = "Coaching', "relative file name"),
    ('name = "Coaching', 'own_materials = "a\\\\b.toml"\nname = "Coaching', "relative file name"),
    ('name = "Coaching', 'own_materials = "a//b.toml"\nname = "Coaching', "must stay inside the job's folder"),
    ('name = "Coaching', 'own_materials = "http://host/own.toml"\nname = "Coaching', "relative file name"),
    ('name = "Coaching', 'own_materials = ["own.toml"]\nname = "Coaching', "relative file name"),
]

# ---- whole files as bytes, made from the demo job: what is done to it, words


def _files(text):
    data = text.encode("utf-8")
    return {
        "byte order mark twice": (b"\xef\xbb\xbf" * 2 + data, "must be a complete TOML text"),
        "UTF-16": (text.encode("utf-16"), "must be saved as UTF-8"),
        "UTF-32": (text.encode("utf-32"), "must be"),
        "Windows code page": (text.replace("canal", "can\u00e4l").encode("cp1252"), "must be saved as UTF-8"),
        "compressed": (b"\x1f\x8b\x08\x00" + data[:400], "must be"),
        "zip": (b"PK\x03\x04" + b"\0" * 30, "binary data"),
        "PDF": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "must be"),
        "half a letter": (data + b"\xe2\x82", "must be saved as UTF-8"),
        "lone surrogate": (data.replace(b"canal", b"\xed\xa0\x80"), "must be saved as UTF-8"),
        "overlong nought": (data.replace(b"canal", b"\xc0\x80"), "must be saved as UTF-8"),
        "first half": (data[: len(data) // 2], "must"),
        "second half": (data[len(data) // 2:], "must"),
        "twice": (data + data, "must be a complete TOML text"),
        "backwards": (data[::-1], "must be"),
        "upper case": (text.upper().encode(), "must be"),
        "line ends of an old computer": (data.replace(b"\n", b"\r"), "must be a complete TOML text"),
        "no line ends": (data.replace(b"\n", b" "), "must say which format"),
        "semicolon table": (text.replace(" = ", ";").encode(), "must be a complete TOML text"),
        "page": (b"<!DOCTYPE html><html><body>Not found</body></html>", "must be a complete TOML text"),
        "YAML": (b"format: 1\nname: launch\n", "must be a complete TOML text"),
        "merge marks": (data.replace(b"[shop]", b"<<<<<<< ours\n[shop]\n=======\n>>>>>>> theirs"), "must be a complete"),
        "only the end": (b"# end of job\n", "which format"),
        "only the format": (b"format = 1\n# end of job\n", "is missing"),
        "brackets": (b"[" * 50_000, "must nest at most 12"),
        "braces": (b"a = " + b"{a=" * 50_000, "must nest at most 12"),
        "array tables": (b"[[a]]\n" * 60_000, "at most 20000 values"),
        "quotation marks": (b'"' * 500_001, "must be"),
        "back slashes": (b'a = "' + b"\\" * 500_001, "must be a complete TOML text"),
    }


# ---- files of own materials: name, content, words

_SOURCE = '[[source]]\nid = "OWN"\ncitation = "Own sheet"\nstatus = "source seen"\n'
_CORE = ('[[core]]\nid = "own_board"\nname = "own board"\nfamily = "pu_board"\nstatus = "source seen"\nsource = "OWN"\n'
         "density_kg_m3 = 450\ne_x_mpa = 1200\n")
_FABRIC = ('[[reinforcement]]\nid = "own_cloth"\nname = "own"\nfamily = "biaxial"\nfibre = "e_glass"\n'
           'status = "assumed"\nsource = "MEMORY"\ncomponents = ')
_HEAD = "record,id,name,family,cure,density_kg_m3,e_mpa,status,source\n"
_RESIN = "resin,own_resin,own resin,polyester,peroxide,1210,3300,assumed,MEMORY\n"


def _core(column, content):
    lines = [line for line in _CORE.splitlines() if line.split(" = ")[0] != column]
    return _SOURCE + "\n".join(lines) + f"\n{column} = {content}\n"


OWN = [
    ("digits.toml", _core("density_kg_m3", "9" * 5000), "must be valid TOML"),
    ("minus.toml", _core("density_kg_m3", "-inf"), "must be a finite number [kg/m3]"),
    ("date.toml", _core("density_kg_m3", "2026-03-02"), "must be a number [kg/m3]"),
    ("no_date.toml", _core("density_kg_m3", "2026-02-31"), "must be valid TOML"),
    ("list.toml", _core("density_kg_m3", "[440, 450, 460]"), "must be a number [kg/m3]"),
    ("deep_value.toml", _core("density_kg_m3", "{ typical = { typical = 450 } }"), "must be a number"),
    ("range.toml", _core("density_kg_m3", "{ typical = 450, low = 460, high = 440 }"), "must lie between its low"),
    ("range_text.toml", _core("density_kg_m3", '{ typical = 450, low = "x" }'), "must be a number"),
    ("status.toml", _core("density_kg_m3", "{ typical = 450, status = [1] }"), "density_kg_m3 status must be text"),
    ("no_status.toml", _core("density_kg_m3", "{ typical = 450, status = {} }"), "density_kg_m3 status must be text"),
    ("source.toml", _core("density_kg_m3", "{ typical = 450, source = 7 }"), "density_kg_m3 source must be text"),
    ("lost_source.toml", _core("source", '""'), "every number names its origin"),
    ("wrong_source.toml", _core("source", '"own"'), "must be a key of sources"),
    ("source_list.toml", _core("source", '["OWN"]'), "must be text"),
    ("status_list.toml", _core("status", '["source seen"]'), "must be one of source seen"),
    ("family_list.toml", _core("family", '["pu_board"]'), "must be one of plywood"),
    ("id_number.toml", _core("id", "450"), "must be lower-case letters"),
    ("id_path.toml", _core("id", '"../board"'), "must be lower-case letters"),
    ("id_letters.toml", _core("id", '"b\u00f6ard"'), "must be lower-case letters"),
    ("nought.toml", _core("name", '"own\\u0000board"'), "control characters"),
    ("turned.toml", _core("name", '"own \\u202edraob"'), "control characters"),
    ("escape.toml", _core("name", '"\\u001b[2Jboard"'), "control characters"),
    ("long.toml", _core("name", '"' + "b" * 3000 + '"'), "at most 2000 characters"),
    ("percent.toml", _core("shear_elongation", '"20 %"'), "write a fraction, such as 0.30 for 30 %"),
    ("giga.toml", _core("e_x_mpa", "1.2e9"), "must lie between"),
    ("swapped.toml", _core("e_x_mpa", "450") + "e_z_mpa = 1e9\n", "must lie between"),
    ("poisson.toml", _CORE.replace('"OWN"', '"MEMORY"') + "e_y_mpa = 25\nnu_xy = 0.5\ne_x_mpa2 = 1\n", "e_x_mpa2"),
    ("flag.toml", _core("structural", "0"), "must be yes or no"),
    ("origin.toml", _core("value_provenance", "[1]"), "must read column|status|source|note"),
    ("origin_bars.toml", _core("value_provenance", '"||||;;"'), "must read column|status|source|note"),
    ("brackets.toml", "a = " + "[" * 20_000, "must be a plain TOML file"),
    ("closed.toml", "a = " + "[" * 900 + "]" * 900, "must be a plain TOML file"),
    ("dotted.toml", "a." * 900_000 + "a = 1", "must be a plain TOML file"),
    ("quoted.toml", '"a".' * 400_000 + "a = 1", "must be a plain TOML file"),
    ("marks.toml", 'x = "' + '\\"' * 200_000, "must be valid TOML"),
    ("long_text.toml", 'x = """' + '""\\' * 50_000, "must be valid TOML"),
    ("key.toml", "[[core]]\nid = 'a'\nid = 'b'\n", "must be valid TOML"),
    ("table.toml", "core = 5\n", "must be a list of entries headed [[core]]"),
    ("strings.toml", "core = ['a']\n", "must be a list of entries headed [[core]]"),
    ("component.toml", "[[component]]\nkind = 'ud'\n", "may hold only"),
    ("capital.toml", "[[Core]]\nid = 'a'\n", "may hold only"),
    ("job.toml", "format = 1\nname = 'launch'\n# end of job\n", "may hold only"),
    ("layers.toml", _FABRIC + "[1, 2]\n", "components must be a list"),
    ("layer_kind.toml", _FABRIC + "[{ kind = ['ud'], areal_weight_gsm = 300 }]\n", "must be one of csm"),
    ("layer_angle.toml", _FABRIC + "[{ kind = 'ud', areal_weight_gsm = 300, angle_deg = 'x' }]\n", "must be a number"),
    ("layer_nan.toml", _FABRIC + "[{ kind = 'ud', areal_weight_gsm = nan }]\n", "must be a finite number"),
    ("layer_huge.toml", _FABRIC + "[{ kind = 'ud', areal_weight_gsm = 300000 }]\n", "between 20 and 3000"),
    ("layer_id.toml", _FABRIC + "[{ reinforcement = 'x', kind = 'ud', areal_weight_gsm = 300 }]\n", "where the layer"),
    ("fibre.toml", _FABRIC.replace('"e_glass"', "['e_glass']") + "[{ kind = 'ud', areal_weight_gsm = 300 }]\n", "text"),
    ("fraction.toml", "[[glass_fraction]]\nprocess = 'hand'\nkind = 'csm'\nglass_fraction = 30\nstatus = 'assumed'\n"
     "source = 'MEMORY'\n", "write 0.3 if 30 % is meant"),
    ("semicolon.csv", (_HEAD + _RESIN).replace(",", ";"), "separated by commas"),
    ("pipes.csv", (_HEAD + _RESIN).replace(",", "|"), "must be a column of the schema"),
    ("comma.csv", _HEAD + _RESIN.replace("1210", '"1.210,5"'), "must be a number [kg/m3]"),
    ("thousand.csv", _HEAD + _RESIN.replace("1210", '"1,210"'), "must be a number [kg/m3]"),
    ("unit.csv", _HEAD + _RESIN.replace("1210", "1210 kg/m3"), "write the number alone"),
    ("arabic.csv", _HEAD + _RESIN.replace("1210", "\u0661\u0662\u0661\u0660 kg"), "must be a number"),
    ("hex.csv", _HEAD + _RESIN.replace("1210", "0x4ba"), "must be a number"),
    ("formula.csv", _HEAD + _RESIN.replace("1210", "=1210"), "must be a number"),
    ("error.csv", _HEAD + _RESIN.replace("1210", "#DIV/0!"), "must be a number"),
    ("not_known.csv", _HEAD + _RESIN.replace("1210", "N/A"), "must be a finite number"),
    ("exponent.csv", _HEAD + _RESIN.replace("1210", "1e999"), "must be a finite number"),
    ("psi.csv", _HEAD + _RESIN.replace("3300", "480000"), "psi is meant"),
    ("twice.csv", _HEAD + _RESIN * 3, "must not stand twice"),
    ("unknown.csv", _HEAD + _RESIN.replace("peroxide", "sunshine"), "must be one of"),
    ("shifted.csv", _HEAD + _RESIN.replace("own_resin,", "own_resin,,"), "must have 9 cells"),
    ("missing.csv", _HEAD + _RESIN.replace("assumed,MEMORY", ","), "every number names its origin"),
    ("quote.csv", _HEAD + _RESIN.replace("own resin", '"own" resin'), "must be a complete row"),
    ("open.csv", _HEAD + '"' + "a\n" * 200_000, "must be a complete row"),
    ("cell.csv", _HEAD + _RESIN.replace("own resin", "x" * 200_000), "must be a complete row"),
    ("columns.csv", ",".join(f"c{k}" for k in range(100_000)) + "\n1\n", "at most 500 columns"),
    ("same.csv", ",".join(["record"] * 400) + "\n1\n", "must name every column once"),
    ("head.csv", "record,,id\nresin,1,x\n", "must be a column of the schema"),
    ("marks.csv", "\ufeff\ufeff" + _HEAD + _RESIN, "must be a column of the schema"),
    ("no_record.csv", "id,name\nx,y\n", "column record must be one of"),
    ("empty_record.csv", _HEAD + _RESIN.replace("resin,own", ",own"), "column record must be one of"),
    ("binary.csv", b"\x00\x01\x02", "plain text file"),
    ("latin.csv", "r\u00e9sine".encode("latin-1"), "UTF-8"),
    ("big_endian.csv", b"\xfe\xff" + (_HEAD + _RESIN).encode("utf-16-be"), "UTF-8"),
    ("book.xlsx", b"PK\x03\x04", "must end in .toml or .csv"),
    ("no_ending", _SOURCE + _CORE, "must end in .toml or .csv"),
    ("commas.csv", "," * 500_000 + "\n" + "," * 500_000 + "\n", "must hold a header row"),
    ("rows.csv", "a\n" * 20_000, "must be a column of the schema"),
]

# ---- stack codes

STACKS = [
    "", " ", "[]", "[ ]", "0/90", "(0/90)", "[0/90", "0/90]", "[[0/90]]", "[0/90]]", "[0//90]", "[/0]", "[0/]", "[0 90]",
    "[0/90]x", "[0/90]ss", "[0/90]s2", "[0/90]2.5s", "[0/90]-2", "[0/90]0", "[0/90]0s", "[0_0/90]", "[(0)0/90]",
    "[0_999999999]", "[(0/90)999999999]", "[((((0)999)999)999)999]", "[0]999999999", "[0_1001]s", "[0_2001]",
    "[0_" + "9" * 3900 + "]", "[" + "9" * 3900 + "]", "[" + "0/" * 2100 + "0]", "[91]", "[-90.1]", "[1e2]", "[nan]",
    "[inf]", "[45deg]", "[45\u00b0]", "[pi/4]", "[0,5/90,]", "[0;90]", "[0|90]", "[0/90bar]", "[0bar/90]s", "[0/(90]",
    "[0/90)]", "[0/()]", "[(0/90)2(45)]", "[--45]", "[+-+45]", "[0/A]", "[0/\u0000]", "[0]; import os", "[0/90]s\n[0]",
    "\u202e[0/90]", "[0_-2]", "[0_1.5]", "x" * 5000, "[" + "(" * 1900 + "0" + ")" * 1900, None, 5, 0.5, True, ["0", "90"],
    b"[0/90]", {"0": 90}, object(),
]
ANGLES = [None, [], "", "[0/90]", "abc", ["a"], [None], [float("nan")], [float("inf")], [91], [-90.5], [[0, 90]], [10**400],
          [1j], {}, 5, [0, "x"], [[0], [1, 2]], object()]

# ---- quantities: entry, kind

QUANTITIES = [
    (entry, kind)
    for kind in ("length", "mass", "fraction")
    for entry in (
        "", " ", "mm", "\0", "5 mm\0", "nan mm", "inf mm", "1e999 mm", "-", "+", ".", "1,5 mm", "1.500,5 mm", "1_000 mm",
        "0x10 mm", "1.5.2 mm", "1/0 mm", "1/2/3 mm", "5 mm/", "/5 mm", "5 mm mm", "5 mm^9999", "5 mm; 6 mm", "=5 mm",
        "<b>5 mm</b>", "5 \u202emm", "5 parsec", "5 oz/yd2", "5 degC", "5 N", "9" * 5000 + " mm", "5 " + "mm " * 3000,
        "5 mm + " * 500 + "5 mm", "(" * 3000, None, [], [1, 2], [[1], [2, 3]], {}, object(), True, b"5 mm", 1j,
        float("nan"), float("inf"), 10**400, -(10**400),
    )
]
CONVERSIONS = [
    (1, [], "mm"), (1, "mm", None), (1, 5, "mm"), (1, "", "mm"), (1, "mm" * 500, "in"), (1, "mm", "kg"), (1, "degC", "mm"),
    (10**400, "mm", "in"), (1e308, "m", "mm"), (float("nan"), "mm", "in"), ("a", "mm", "in"), (None, "mm", "in"),
    ([[1], [2, 3]], "mm", "in"), (1j, "mm", "in"), (1, "mm;", "in"), (1, "__class__", "in"), (1, "mm**9", "mm"),
]
READINGS = [[], [[]], None, "", "abc", {}, object(), [float("nan")], [float("inf")], [-1.0, 2, 3], [1, "x"], [1, None],
            [[1, 2], [3, 4, 5]], [10**400], [1j], [1, 2, 3, float("-inf")]]


def fields():
    """Name, place, raw text and words of every change of one field."""
    for place in PLACES:
        for name, (raw, words) in NUMBERS.items():
            yield f"{place}-{name}", place, raw, words
    for number, (place, raw, words) in enumerate(FIELDS):
        yield f"{place}-{number}", place, raw, words


def files(text):
    """Bytes and words of every bad file by name, made from the text of a good job."""
    return _files(text)


def size():
    """Number of bad job files, files of own materials, and single values."""
    jobs = len(list(fields())) + len(TEXTS) + len(_files("x"))
    return jobs, len(OWN), len(STACKS) + len(ANGLES) + len(QUANTITIES) + len(CONVERSIONS) + 2 * len(READINGS)
