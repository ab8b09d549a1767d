"""The filled edge of a sandwich panel: how much core comes out, and what the edge bears on its support."""

from dataclasses import dataclass, field

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.strength import DesignFactor, Margin
from lamcalc.schedule import CoreLayer
from lamcalc.sentences import rule_sentence

BEARING = DesignFactor(
    "edge_bearing", 0.5, "common practice", "common practice", "the core's own crushing strength"
)
CAUTIONS = (
    "The edge is checked with the strength of the core it replaces, because nothing is known of the filler: it must be "
    "at least as strong, and must fill the whole depth of the core.",
    "The whole patch load is put on the edge, as when somebody steps beside the bearer; the pull of fastenings and wet "
    "edges are not covered. Seal every cut edge and every hole.",
)


@dataclass(frozen=True)
class CloseOut:
    """Core taken back and filled along all edges of a piece.

    Parameters
    ----------
    depth_mm : float
        How far the core is taken back [mm].
    status : str
        Where that depth comes from [-].
    length_mm : float
        Length of all edges [mm].
    volume_l : float
        Filler for the room of the core [L].
    core_removed_kg : float
        Core that comes out [kg].
    margins : tuple of Margin
        Bearing of the edge on its support; empty where no core strength is known [MPa].
    cautions : tuple of str
        Read them before building [-].

    Examples
    --------
    >>> CloseOut.__dataclass_params__.frozen
    True
    """

    depth_mm: float
    status: str
    length_mm: float
    volume_l: float
    core_removed_kg: float
    margins: tuple
    cautions: tuple = field(default=CAUTIONS, repr=False)


def close_out(result, *, depth_mm, piece_length, piece_width, status="user"):
    """Filled edge of a sandwich panel.

    Parameters
    ----------
    result : PanelResult
        A sandwich under its load [-].
    depth_mm : float
        How far the core is taken back along every edge [mm].
    piece_length, piece_width : float
        Size of the whole piece [mm].
    status : str
        Where the depth comes from [-].

    Returns
    -------
    CloseOut
        Length, volume, mass, bearing [mm, L, kg, MPa].

    Raises
    ------
    InputError
        If there is no core, or the filled edges would meet in the middle.

    Notes
    -----
    Volume of the frame ``L W - (L - 2 d)(W - 2 d)`` times the core's thickness.  Bearing: the patch load over patch
    length (the shorter side) times depth, or the largest edge shear force under a pressure over the depth,
    against the crushing strength of the core, as if the edge were not filled.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> skin = SolidLayer("skin", 2.0, 9e3)
    >>> wall = Schedule((skin, CoreLayer(catalogue.load().core("pvc_80"), 20.0), skin), {})
    >>> found = assess_panel(Panel(600, 400, edges="SSSS"), PanelLoad(force=500.0), wall)
    >>> edge = close_out(found, depth_mm=10, piece_length=600, piece_width=400)
    >>> round(edge.volume_l, 3), round(edge.margins[0].demand, 3)
    (0.392, 0.5)
    """
    depth = float(positive("edge close-out", depth_mm, "mm"))
    length, width = (
        float(positive(f"piece {name}", value, "mm"))
        for name, value in (("length", piece_length), ("width", piece_width))
    )
    cores = [
        (layer.core, t)
        for layer, t in zip(result.schedule.laid, result.schedule.row_thickness_mm)
        if isinstance(layer, CoreLayer)
    ]
    if not cores:
        raise InputError("edge close-out", "needs a panel with a core [-]", result.schedule.name, "choose a sandwich")
    if 2 * depth >= min(length, width):
        raise InputError(
            "edge close-out",
            rule_sentence("must be less than half of the piece, {limit} [mm]", limit=min(length, width) / 2),
            depth,
            "take back less of the core",
        )
    frame = length * width - (length - 2 * depth) * (width - 2 * depth)
    volume = frame * sum(t for _, t in cores) / 1e6
    removed = sum(frame * t * float(core.density_kg_m3) for core, t in cores) * 1e-9
    return CloseOut(
        depth,
        status,
        2 * (length + width),
        float(volume),
        float(removed),
        _bearing(result, depth, [core for core, _ in cores]),
    )


def _bearing(result, depth, cores):
    if any(core.compressive_strength is None for core in cores):
        return ()
    load = result.load
    line = max(result.shear) if load.pressure else 0.0
    line = max(line, load.force / min(load.patch_x, load.patch_y) if load.force else 0.0)
    strength = min(float(core.compressive_strength) for core in cores)
    return (Margin("edge bearing on its support", line / depth, strength, BEARING, "MPa"),)
