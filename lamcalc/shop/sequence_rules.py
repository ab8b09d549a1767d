"""The rules of the sequence review as data: what each looks at, how grave it is, why, and where it comes from."""

from dataclasses import dataclass
from types import MappingProxyType

from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.limits import SESSION_THICKNESS, SEVERITIES, STATUSES


@dataclass(frozen=True)
class Rule:
    """One rule of the sequence review.

    Parameters
    ----------
    id : str
        Key [-].
    looks_at : str
        What the rule looks at [-].
    severity : str
        'refuse', 'warn' or 'note' [-].
    wrong : str
        Sentence that says what is wrong; names in braces are filled in [-].
    do : str
        What to do [-].
    reason : str
        Why [-].
    status : str
        'source described', 'common practice', 'proposal', 'from memory' or 'derived' [-].
    source : str
        Publication described, or 'shop habit'; {usual} stands for what is usually laid in one session [-].

    Examples
    --------
    >>> RULES["roving_first"].severity
    'refuse'
    """

    id: str
    looks_at: str
    severity: str
    wrong: str
    do: str
    reason: str
    status: str
    source: str

    def __post_init__(self):
        if self.severity not in SEVERITIES or self.status not in STATUSES:
            raise ValueError(f"rule {self.id}: unknown severity or status")

    @property
    def origin(self):
        """Source with its figures, to be told in either unit system [-]."""
        usual = Figure(SESSION_THICKNESS.low, "thickness", high=SESSION_THICKNESS.high, digits=2)
        return Sentence(self.source, usual=usual)


_HABIT = "shop habit"
_BLUSH = "two notes of epoxy makers on amine blush and on wet sanding epoxy"
_OVER_EPOXY = ("shop habit says never; an epoxy maker's technicians report sound adhesion on cured, washed and abraded "
               "epoxy; a retailer allows cosmetic gel coat only")

_TABLE = (
    Rule("mat_at_bond", "face of a ply against wood, core or old laminate", "warn",
         "{name} lies with bare fabric against {against}.",
         "put mat between, or use a mat-backed fabric with its mat to the bond",
         "mat fills the surface, holds resin and carries shear and peel; polyester shrinks off bare fabric",
         "common practice", _HABIT),
    Rule("mat_first", "first ply on a mould or gel coat", "warn",
         "{name} is the first ply on {against} and has no mat.",
         "lay mat first", "fabric prints through and traps air against the gel coat", "common practice", _HABIT),
    Rule("bare_first_epoxy", "first ply of epoxy on a mould or gel coat", "note",
         "{name} is the first ply on {against}: bare fabric in epoxy.",
         "where that face shows, begin with a light stitched combination, mat side down, or a fine cloth; where something is bonded "
         "to it later, lay peel ply against it or abrade it",
         "coarse fabric prints through; loose mat is no cure here, its binder does not dissolve in epoxy", "common practice", _HABIT),
    Rule("roving_first", "woven roving as the first ply", "refuse", "{name} is laid first, on {against}.",
         "lay mat first, then the roving; in epoxy a stitched combination, mat side down", "the valleys of the roving stay empty and the ply peels", "common practice",
         _HABIT),
    Rule("roving_on_roving", "woven roving on woven roving", "refuse",
         "Woven roving lies on woven roving: {name} on {against}.", "put mat between the two; in epoxy a stitched combination",
         "mat fills the valleys of the roving and carries the shear between plies; CSM and roving laminates had fewer "
         "voids than mat alone", "common practice", _HABIT + "; Han et al. (2023) and Oh et al. (2022) on voids"),
    Rule("mat_side", "mat side of a mat-backed fabric", "warn", "{name} has its mat side away from {against}.",
         "turn it over: mat side to the bond", "the mat is there to bond", "common practice", _HABIT),
    Rule("balance", "extension and shear coupling of the stack", "warn",
         "The stack is not balanced: A16 or A26 is {value:.1%} of A11.",
         "lay as much at minus the angle as at plus the angle", "an unbalanced stack shears when it is pulled",
         "derived", "laminate theory; the threshold of 1 % is a proposal"),
    Rule("symmetry", "coupling of stretching and bending", "note",
         "The stack is not symmetric: B is {value:.1%} of A times thickness.",
         "mirror the plies if the part must stay flat; judge stiffness with the coupling",
         "it bends when it is pulled or cools", "derived", "laminate theory; the threshold of 2 % is a proposal"),
    Rule("woven_share", "share of woven, stitched or unidirectional glass", "warn",
         "Only {value:.0%} of the glass weight is woven or stitched, less than {limit:.0%}.",
         "replace mat by fabric{keep}", "mat alone is weak for its weight", "source described",
         "Lloyd's Register Special Service Craft Rules July 2022, Part 8 Ch 3 Sec 2.1.1"),
    Rule("mat_only", "laminate of mat alone in polyester or vinyl ester", "note",
         "All the glass is mat, none of it woven or stitched.",
         "let the margins decide, they count mat as mat; put fabric between the mats for less weight, or where a class "
         "rule asks for fabric, such as {limit:.0%} of the glass",
         "mat in polyester or vinyl ester is sound and usual in small boats, but weaker for its weight than fabric",
         "common practice", _HABIT + "; Lloyd's Register Special Service Craft Rules July 2022, Part 8 Ch 3 Sec 2.1.1"),
    Rule("heavy_mat_on_gel_coat", "mat directly on gel coat", "warn",
         "{name} on the gel coat has {value:.0f} g/m2 of mat, more than 450 (1.5 oz/ft2).",
         "begin with 450 g/m2 or lighter", "a thick wet first ply heats, shrinks and prints through",
         "source described",
         "class rules extract, production procedures 3.2.3 to 3.2.7"),
    Rule("loose_mat_epoxy", "loose chopped strand mat with epoxy", "warn", "{name} is loose mat laid with epoxy.",
         "use mat sold as epoxy-compatible, or a stitched combination; lay flat work only",
         "the usual binder dissolves in styrene, not in epoxy: the mat bonds but stays stiff and cloudy",
         "source described", "mat makers' pages and an article on mat with epoxy"),
    Rule("resin_structure", "polyester or vinyl ester over epoxy, for structure", "refuse",
         "{name} puts {over} over {on}.", "carry on in epoxy, or grind the epoxy off",
         "unreacted amine inhibits the cure at the interface and there is no chemical link", "source described",
         _OVER_EPOXY),
    Rule("resin_cosmetic", "polyester, vinyl ester or gel coat over epoxy, cosmetic", "warn",
         "{name} puts {over} over {on}.", "only on fully cured, washed and sanded epoxy; make a test patch first",
         "the bond is mechanical only", "source described", _OVER_EPOXY),
    Rule("secondary_bond", "new ply on an old, cured laminate", "note",
         "{name} is bonded to {against}: a secondary bond.",
         "grind to clean laminate with 36 to 80 grit, clean, and {then}",
         "every repair is a secondary bond and leans on the abraded surface", "source described",
         "Marine Composites, repair chapter, opening; grit from memory"),
    Rule("old_resin", "resin of the old laminate", "note",
         "The resin of the old laminate is taken as {on}; nobody has proved it.",
         "test before bonding, or use epoxy, which holds on all of them",
         "polyester over an unknown epoxy repair does not hold", "common practice", _HABIT),
    Rule("bare_wood", "polyester or vinyl ester on wood", "note", "{name} goes on wood with {over}.",
         "dry below 12 % moisture, seal coat, mat first; epoxy bonds best",
         "polyester holds on wood less well than epoxy", "common practice", _HABIT),
    Rule("unground", "old gel coat or waxed surface under a ply", "refuse", "{name} is laid on {against}.",
         "remove the wax first, then grind to sound laminate", "nothing bonds to wax, and gel coat is no structure",
         "common practice", _HABIT),
    Rule("wax_below", "wax under another layer", "refuse", "{name} carries wax and is covered by {above}.",
         "keep wax for the last coat; or wash, then grind before the next",
         "wax rises to the surface and stops the bond",
         "common practice", _HABIT),
    Rule("amine_order", "wash and sand on cured epoxy", "refuse",
         "The cured epoxy under {name} is sanded before it is washed.",
         "wash with water and an abrasive pad, dry, then sand, then recoat",
         "sanding rubs the amine blush in; solvents do not remove it", "source described", _BLUSH),
    Rule("amine_wash", "recoat of cured epoxy", "warn",
         "{name} goes on cured epoxy and the job does not say that it was washed and sanded.",
         "wash with water and an abrasive pad, dry, sand, then recoat", "amine blush stops the bond",
         "source described",
         _BLUSH),
    Rule("tack_lost", "hours since the layer before", "warn",
         "{name} comes {value:g} h after the layer before: the tack of {on} is gone after {limit:g} h.",
         "grind with 36 to 80 grit and clean, then go on; the data sheet governs",
         "a cured surface bonds mechanically only", "from memory",
         "polyester 24 to 48 h, DCPD blends under 24 h; 24 h for epoxy is a proposal"),
    Rule("tack_check", "hours since the layer before", "note",
         "{name} comes {value:g} h after the layer before: the tack of {on} may be going.",
         "press a gloved finger on it: if it is not tacky, grind first",
         "the window depends on temperature and resin", "from memory",
         "polyester 24 to 48 h; epoxy while a nail dents it, 8 h is a proposal; 12 h for DCPD too"),
    Rule("session_thick", "laminate laid in one session", "warn",
         "{value} and {count} plies are laid in one session, more than {limit}.",
         "stop after layer {stop}, wait until it is hand-cool, then go on while it is tacky",
         "a thick stack heats itself: yellowing, crazing, print-through", "common practice",
         "3 to 4 plies or {usual} of polyester; less in hot weather"),
    Rule("session_split", "laminate laid in one session", "note",
         "{value} and {count} plies in one session are at the limit of {usual} and 3 to 4 plies.",
         "stop after layer {stop} on a warm day", "a thick stack heats itself", "common practice",
         "3 to 4 plies or {usual} of polyester; less in hot weather"),
    Rule("end_grain", "edges and holes of wood cores", "warn",
         "{name} is wood and the job does not say that its end grain is sealed.",
         "seal every edge, hole and cut-out with epoxy or resin before bonding; a core joint stays clear of the bolts",
         "end grain drinks water and starves the joint", "common practice", _HABIT),
    Rule("edge_open", "edges of cores", "note", "The job does not say how the edges of {name} are closed.",
         "take the core back about {ring} along edges and round holes and fill with thickened resin",
         "an open edge lets water in and crushes under a bolt", "source described",
         "owners' notes and a magazine article: about 1/2 in"),
    Rule("no_fillet", "fillet under tabbing", "warn", "Tabbing goes into a corner without a fillet.",
         "make a fillet of {radius} radius first", "the tape bridges a sharp corner and holds air",
         "common practice",
         _HABIT),
    Rule("fillet_tight", "fillet radius for the fabric", "warn", "The tabbing: {value}.", "enlarge the fillet",
         "a heavy fabric does not lie in a small radius", "from memory", "24 oz roving needs about 12 mm"),
    Rule("fillet_wet", "fillet before tabbing", "note",
         "The job does not say that the fillet is firm before the tapes.",
         "let the fillet firm or cure before the glass; sand a cured one", "tapes push a wet fillet out of shape",
         "common practice", _HABIT),
    Rule("window_out", "total thickness against the engine's clamp window", "refuse",
         "The transom comes to {value}; the engine's clamps take {window}.",
         "change the core or the skins, or pad or recess the clamp faces",
         "the clamps neither close nor open that far", "common practice", "engine manual sets the thickness"),
    Rule("window_close", "spread of the total thickness against the clamp window", "warn",
         "The transom may come to {band}; the engine's clamps take {window}.",
         "measure the dry fit and real sheets before closing; real 3/4 in plywood is often 18 mm",
         "plies vary by 15 % in thickness", "derived", "spread of published ply thicknesses"),
    Rule("bond_line", "bond line between skin and core, or core and core", "warn",
         "{name} lies directly on {against}: no mat or putty between.",
         "bed it in wet mat and putty; squeeze-out at every edge, snug and not tight",
         "a dry joint holds nothing; a squeezed-out one starves", "common practice", _HABIT),
)
RULES = MappingProxyType({rule.id: rule for rule in _TABLE})

_GOOD = (None, "good")
RESIN_ON = MappingProxyType({  # what is there, cured, abraded and clean -> what goes on -> rule and words
    "polyester": {"polyester": (None, "good; tacky gives a chemical bond"), "vinyl_ester": _GOOD, "epoxy": _GOOD,
                  "gel_coat": _GOOD},
    "vinyl_ester": {"polyester": _GOOD, "vinyl_ester": _GOOD, "epoxy": _GOOD, "gel_coat": _GOOD},
    "epoxy": {"polyester": ("resin_structure", "not for structure; cosmetic only"),
              "vinyl_ester": ("resin_structure", "not for structure"), "epoxy": _GOOD,
              "gel_coat": ("resin_cosmetic", "only on cured, blush-free, sanded epoxy; test patch")},
    "gel_coat": {"polyester": ("unground", "after grinding to laminate for structure"),
                 "vinyl_ester": ("unground", "after grinding to laminate for structure"),
                 "epoxy": (None, "barrier coat fine after sanding"), "gel_coat": (None, "good while tacky")},
    "wood": {"polyester": ("bare_wood", "seal coat, mat first; weaker bond"),
             "vinyl_ester": ("bare_wood", "seal coat, mat first; weaker bond"), "epoxy": (None, "best bond"),
             "gel_coat": ("bare_wood", "not on bare wood")},
    "waxed": dict.fromkeys(("polyester", "vinyl_ester", "epoxy", "gel_coat"),
                           ("unground", "remove wax, then grind")),
})


def rules_table():
    """All rules, for the reader who wants to argue.

    Returns
    -------
    pandas.DataFrame
        One row a rule [-].

    Examples
    --------
    >>> int((rules_table()["severity"] == "refuse").sum())
    7
    """
    import pandas as pd

    return pd.DataFrame([{"rule": r.id, "looks at": r.looks_at, "severity": r.severity, "reason": r.reason, "do": r.do,
                          "status": r.status, "source": r.origin} for r in _TABLE])


def resin_table():
    """What may go on what, as a table.

    Returns
    -------
    pandas.DataFrame
        Rows what is there, columns what goes on [-].

    Examples
    --------
    >>> resin_table().loc["epoxy", "polyester"]
    'not for structure; cosmetic only'
    """
    import pandas as pd

    return pd.DataFrame({on: {over: cell[1] for over, cell in row.items()} for on, row in RESIN_ON.items()}).T
