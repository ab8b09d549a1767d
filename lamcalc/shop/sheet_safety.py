"""Words of the sheet that do not depend on figures: preparation, protection, cautions."""

from lamcalc.schedule import CoreLayer, Ply

CAUTIONS = (
    "Screening figures for a shop, no approval. The engine maker's manual, the makers' data sheets, the builder's plate and "
    "local codes come first; a licensed designer or surveyor signs for passenger, coded or classed craft.",
    "Whoever changes engine size, weight or height, a core or a schedule becomes the designer of that part.",
    "Statics only: fatigue, impact, fire, wet wood and the state of everything that was not opened are not covered.",
)
CAST = ("The pours of the cast core are not among the pots of this sheet: no catalyst and no waiting time is planned for them. "
        "A thick pour gets far hotter than a laminate: follow its own product sheet, lift by lift.")
_GENERAL = ("shop, hull and resin at temperature since yesterday; readings in the log",
            "surface dry, clean, free of wax and dust; solvent flashed off",
            "pieces cut, marked with the piece name and laid out in order",
            "catalyst syringe or scale, pots, rollers and clock ready; the can's own window read",
            "respirators, gloves, extinguisher and the outside place for hot pots ready")
_KIND = {
    "transom": ("outer skin ground to clean laminate, 36 to 80 grit; straight edge laid on it and read",),
    "stringer": ("bottom ground to clean laminate where the legs land, 36 to 80 grit",
                 "former fixed, straight, and rounded so that the fabric lies round its corners",
                 "limber holes and ends planned before the first ply"),
    "panel": ("core edges taken back and filled where the joints ask for it",
              "working face flat; release film where nothing may stick"),
}
PRESSED = {
    "vacuum_bag": ("release fabric, breather, bag, tape, pump and gauge laid out; leak test held before anything is mixed",
                   "time for it planned: the bag is closed and pulled down before the first pot under it gels, which the clock of this "
                   "sheet does not reckon with"),
    "infusion": ("release fabric, flow mesh, lines, bag, catch pot, pump and gauge laid out; leak test held before anything is mixed",
                 "resin made for infusion: its data sheet governs, the pots of this sheet are not planned for it"),
}
_BOARDS = ("core pieces dry-fitted with clamps, squeeze-out path free, release film under the pads",
           "no core joint under the engine bolts; kerfs filled")
_WOOD = ("core dry: pins below 12 % today and again a day later, heat off",
         "every edge, hole and cut-out of a wooden core sealed")
_POURED = ("product sheet of the cast core read: its catalyst, thickest lift and waiting time written on this sheet",
           "form, dams and drains tight; mass and thermometer ready for each lift")
_TABBED = ("fillet firm before the tapes",)
_PATCH = ("backing or mould behind the hole, so that the patch cannot sag",
          "scarf ground to the rings on this sheet; no feather into gel coat",
          "ground area clean, dry and dust-free; nobody touches it with bare hands")


def _core_families(layers):
    return {item.layer.core.family for item in layers if isinstance(item.layer, CoreLayer) and not item.existing}


def cautions(layers):
    """Cautions at the end of the sheet.

    Parameters
    ----------
    layers : sequence of SheetLayer
        Layers of the part [-].

    Returns
    -------
    tuple of str
        Sentences [-].

    Examples
    --------
    >>> cautions(()) == CAUTIONS
    True
    """
    return ((CAST,) if "cast" in _core_families(layers) else ()) + CAUTIONS


def preparation(entry, layers=()):
    """Ticks before the first ply.

    Parameters
    ----------
    entry : Part
        Part of the job file [-].
    layers : sequence of SheetLayer
        Its layers; they tell which core is prepared and what is pressed [-].

    Returns
    -------
    tuple of str
        Lines to tick, common practice [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> preparation(load_demo().parts["bottom"])[5]
    'backing or mould behind the hole, so that the patch cannot sag'
    """
    own = _PATCH if getattr(entry, "repair", None) is not None else _KIND.get(entry.kind, ())
    cores = _core_families(layers)
    if entry.kind == "transom":
        own += (_TABBED if entry.tabbing else ()) + (_BOARDS if cores - {"cast"} else ()) + (_POURED if "cast" in cores else ())
    processes = dict.fromkeys(item.layer.process.id for item in layers if isinstance(item.layer, Ply) and not item.existing)
    pressed = tuple(line for process in processes for line in PRESSED.get(process, ()))
    return _GENERAL + own + (_WOOD if "plywood" in cores else ()) + pressed


def protection(resin_families, layers, gel_coat):
    """What protects the crew and the shop, for the materials on the sheet.

    Parameters
    ----------
    resin_families : set of str
        Families of the resins used [-].
    layers : sequence of SheetLayer
        Layers of the part [-].
    gel_coat : bool
        Whether gel coat is applied [-].

    Returns
    -------
    tuple of str
        Sentences [-].

    References
    ----------
    Common practice; the data sheets of the products on the bench govern, then the local rules.

    Examples
    --------
    >>> protection({"epoxy"}, (), False)[1][:16]
    'Epoxy and amine '
    """
    out = ["Wear: organic-vapour and particulate respirator, nitrile gloves (two pairs), eye shield, long sleeves; ear "
           "protection and grinder guard when cutting and grinding. Extract dust at the tool."]
    if resin_families & {"polyester", "vinyl_ester", "gel_coat"}:
        out += ["Peroxide catalyst burns eyes and skin: shield on while measuring, water at hand, rinse 15 minutes and see a "
                "doctor. Never let it meet accelerator: explosion. Keep it cool, apart from resin, metal and sawdust.",
                "Styrene: move the fresh air given with the sessions past the face, not from behind the back; a second person "
                "outside when somebody works in a bilge. No flame, no sparks, no grinding beside wet resin."]
    if "epoxy" in resin_families:
        out.append("Epoxy and amine hardener sensitise for life: no skin contact, no cleaning of skin with solvent.")
    if gel_coat:
        out.append("Gel coat sprayed: air-fed mask. No heat gun on a fresh film.")
    if any(isinstance(item.layer, CoreLayer) for item in layers):
        out.append("Core dust: particulate mask. Isocyanate-free is said of a product, not of the dust from cutting it.")
    out += ["Fire: a smoking pot goes outside on bare ground and is filled with cold water; it never goes into a bin. Let "
            "rags dry flat outdoors. After grinding, watch for fire for an hour.",
            "Waste: harden leftovers in small, thin lots before they are thrown away; liquid resin, hardener and used solvent "
            "are hazardous waste by local rules. Solvent cleans tools; it never thins."]
    return tuple(out)
