"""Benchmarks of laminate, strength, sampling and plate kernels."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import problems
import textbook
from registry import Case, row

from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.laminate import (
    compliance_blocks,
    effective_constants,
    ply_interfaces,
    stiffness_matrices,
    unpacked,
)
from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plates import Plate
from lamcalc.mechanics.samples import sampled_laminates
from lamcalc.mechanics.strength import PlyStrengths, first_ply_ratio, tsai_wu_strain_coefficients

ONE_THREAD = ThreadPoolExecutor(1)


def same(ours, theirs, scale=None):
    """Agreement to 1e-12 of the size of the value, or of a given scale for terms that cancel."""
    np.testing.assert_array_less(np.abs(ours - theirs), 1e-12 * (np.abs(theirs) if scale is None else scale) + 1e-300)


def _stiffness(quick, executor):
    count, loop = (3000, 40) if quick else (100_000, 400)
    palette, index, t = problems.laminates(count)
    qbar = rotated_stiffness(reduced_stiffness(*palette[:, :4].T), palette[:, 4])

    def check(ours, theirs):
        for k, blocks in enumerate(theirs):
            for power, block in enumerate(blocks):
                same(unpacked(ours[k, power]), block, np.abs(blocks[0]).max() * t[k].sum() ** power)

    return Case(lambda: [textbook.laminate_stiffness(palette[i], h) for i, h in zip(index[:loop], t[:loop])], loop,
                lambda: stiffness_matrices(qbar, t, index, executor=executor), count, check)


@row("A-B-D, 10 plies, palette of 8, threads as they come", goal=1500)
def stiffness(quick):
    return _stiffness(quick, None)


@row("A-B-D, the same on one thread", goal=1500)
def stiffness_on_one_thread(quick):
    return _stiffness(quick, ONE_THREAD)


@row("effective constants, in plane and in bending", goal=120)
def moduli(quick):
    count, loop = (3000, 40) if quick else (100_000, 400)
    palette, index, t = problems.laminates(count)
    qbar = rotated_stiffness(reduced_stiffness(*palette[:, :4].T), palette[:, 4])
    terms, h = stiffness_matrices(qbar, t, index), t.sum(axis=1)
    blocks = [[unpacked(block) for block in one] for one in terms[:loop]]
    return Case(lambda: np.array([textbook.constants(*b, depth) for b, depth in zip(blocks, h)]), loop,
                lambda: effective_constants(terms, h), count,
                # LAPACK's own inverse of a 6 x 6 in mixed units is good to about 1e-12
                lambda ours, theirs: same(ours[:loop, :, :4], theirs, 4 * np.abs(theirs)))


@row("first-ply failure, Tsai-Wu, 10 plies", goal=450)
def failure(quick):
    count, loop = (3000, 40) if quick else (100_000, 200)
    palette, index, t = problems.laminates(count)
    q = reduced_stiffness(*palette[:, :4].T)
    forms = tsai_wu_strain_coefficients(q, PlyStrengths(*palette[:, 5:].T), palette[:, 4])
    terms = stiffness_matrices(rotated_stiffness(q, palette[:, 4]), t, index)
    blocks = [[unpacked(block) for block in one] for one in terms[:loop]]
    a, b, d = compliance_blocks(terms)
    n, m = problems.LOAD[:3], problems.LOAD[3:]
    eps0, kappa, z = a @ n + b @ m, np.swapaxes(b, -1, -2) @ n + d @ m, ply_interfaces(t)

    def check(ours, theirs):
        same(ours[0][:loop], np.array([ratio for ratio, _ in theirs]))
        # a face that two plies of one kind share may be named after either
        apart = np.abs(ours[1][:loop] - [place for _, place in theirs])
        assert (apart <= 1).all() and (apart == 0).mean() > 0.8

    return Case(lambda: [textbook.first_ply(*blk, palette[i], h, problems.LOAD)
                         for blk, i, h in zip(blocks, index, t)], loop,
                lambda: first_ply_ratio(forms, index, z, eps0, kappa), count, check)


@row("random laminates, 12 plies: Ex, flexural Ex, strength ratio", goal=200)
def sampling(quick):
    count, loop = (2000, 20) if quick else (100_000, 100)
    drawn = problems.samples(count)
    strengths = PlyStrengths(*problems.STRENGTHS)
    plies = [[(*(x[i, j] for x in drawn[:5]), *problems.STRENGTHS) for j in range(12)] for i in range(loop)]

    def check(ours, theirs):
        same(np.stack([ours.in_plane.ex, ours.flexural.ex, ours.ratio], axis=-1)[:loop], np.array(theirs))

    return Case(lambda: [textbook.sample(ply, h, problems.LOAD) for ply, h in zip(plies, drawn[5])], loop,
                lambda: sampled_laminates(*drawn, strengths=strengths, N=problems.LOAD[:3], M=problems.LOAD[3:]),
                count, check)


def _one_plate(shear):
    functions = textbook.clamped_functions(8)
    plate = Plate(500.0, 300.0, problems.STIFFNESS, edges="CCCC", shear=shear)

    def check(ours, theirs):
        if shear is None:
            # two different sets of functions: both within 0.01 %
            np.testing.assert_allclose(ours.deflection(250, 150), theirs, rtol=1e-4)
        else:
            assert ours.deflection(250, 150) > theirs

    return Case(lambda: textbook.clamped_plate(500.0, 300.0, problems.STIFFNESS, 0.01, functions, 8), 1,
                lambda: plate.solve(pressure=0.01), 1, check)


@row("one plate under pressure", goal=200)
def one_plate(quick):
    return _one_plate(None)


@row("one plate with shear (loop: without)", goal=100)
def one_plate_with_shear(quick):
    return _one_plate(problems.SHEAR)


@row("many panels under pressure", goal=1000)
def many_panels(quick):
    count = 500 if quick else 10_000
    a, b, d = problems.panels(count)
    functions = textbook.clamped_functions(8)
    some = slice(0, count, max(1, count // 25))

    def check(ours, theirs):
        exact = Plate(a[some], b[some], d[some], edges="CCCC", order=18).solve(pressure=0.01).peaks(65).deflection
        assert np.abs(ours.deflection[some] / exact - 1).max() < 1e-3
        assert abs(ours.deflection[0] / theirs - 1) < 2e-3

    return Case(lambda: textbook.clamped_plate(a[0], b[0], d[0], 0.01, functions, 8), 1,
                lambda: panel_response(a, b, d, 0.01, edges="CCCC"), count, check)
