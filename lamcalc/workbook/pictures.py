"""The pictures of a job as files, SVG and PNG, for a report or an offer."""

from pathlib import Path

from lamcalc.errors import InputError
from lamcalc.sentences import told_problem
from lamcalc.shop import job as jobs
from lamcalc.workbook import page_transom, style
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_orientation import OrientationPage
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_quality import QualityPage
from lamcalc.workbook.page_sequence import SequencePage
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.page_takeoff import TakeOffPage
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.start import write_button
from lamcalc.workbook.turns import one_at_a_time

DRAWN = {
    "stack": lambda job, system: ThicknessPage(job, system=system).figure(),
    "directions": lambda job, system: OrientationPage(job, system=system).figure(),
    "transom": page_transom.figure,
    "stringer": lambda job, system: StringerPage(job, system=system).figure(),
    "patch": lambda job, system: PanelPage(job, system=system).patch_figure(),
    "sole": lambda job, system: PanelPage(job, system=system).sole_figure(),
    "cutting": lambda job, system: TakeOffPage(job, system=system).figure(),
    "batches": lambda job, system: BatchesPage(job, system=system).figure(),
    "order": lambda job, system: SequencePage(job, system=system).figure(),
    "readings": lambda job, system: QualityPage(job, system=system).figure(),
}


@one_at_a_time  # what a live panel shows meanwhile would be taken for a picture of the job
def job_pictures(job, system=None):
    """Every picture that a job has figures for.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    tuple of (dict of str to bytes, list of str)
        File name and content, and a sentence for every picture that could not be drawn [-].

    Examples
    --------
    >>> from lamcalc.shop.job import new
    >>> files, missing = job_pictures(new("skiff"))
    >>> files, len(missing)
    ({}, 10)
    """
    files, missing = {}, []
    for name, draw in DRAWN.items():
        def take(figure, alt, name=name):
            for kind in ("png", "svg"):
                files[f"picture_{name}.{kind}"] = style.saved(figure, kind)

        try:
            with style.collected(take):
                draw(job, system or job.units)
        except InputError as problem:
            missing.append(f"No picture of {name}: {told_problem(problem, system or job.units)}")
    return files, missing


def write_pictures(job, folder, system=None):
    """Write the pictures of a job through the job's writer.

    Parameters
    ----------
    job : Job
        The job [-].
    folder : str or path
        Where the files go; made if it is not there [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    str
        How many files went where, and what could not be drawn [-].

    Examples
    --------
    >>> import tempfile
    >>> from lamcalc.shop.job import new
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_pictures(new("skiff"), folder)[:10]
    '0 pictures'
    """
    files, missing = job_pictures(job, system)
    jobs.make_folder(folder)
    jobs.write_files({Path(folder) / name: data for name, data in files.items()})
    return " ".join([f"{len(files) // 2} pictures, each as SVG and PNG, written to the folder {Path(folder).name}.", *missing])


def picture_writer(job, folder="lamcalc-output"):
    """A button that writes the pictures, and says where they are.

    Parameters
    ----------
    job : Job
        The job [-].
    folder : str or path
        Where the files go [-].

    Returns
    -------
    VBox
        Button and sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> picture_writer(load_demo()).children[0].description
    'Write the pictures'
    """
    return write_button("Write the pictures", "every picture of the job as SVG and PNG", lambda: write_pictures(job, folder))
