"""Command line: the whole chain of a job file without a screen, a new job file, the printed guide, or the notebooks."""

import argparse
import runpy
import sys
from pathlib import Path

from lamcalc import __version__
from lamcalc.errors import InputError

NO_NOTEBOOKS = ("The notebooks are not beside this installation. Get the project folder and start this from there; "
                "the answer, the page and the tables work without them.")


def parser():
    """The words of the command line.

    Returns
    -------
    argparse.ArgumentParser
        Parser with the four commands [-].

    Examples
    --------
    >>> parser().parse_args(["answer", "--units", "us"]).units
    'us'
    """
    top = argparse.ArgumentParser(
        prog="lamcalc", description="Laminate engineering for small fibreglass boats. Without a job file it works on the "
        "built-in demo, a rowing club's coaching launch with a soft transom.",
        epilog="Exit codes: 0 done, also where a check does not hold: the screen and the sheets say so; 1 no core option can be "
        "recommended, or a part could not be computed and the other pages were written; 2 something in the input is wrong, "
        "nothing was written.")
    top.add_argument("--version", action="version", version=f"lamcalc {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    answer = commands.add_parser("answer", help="compare the core options of the transom, and write a sheet a part, "
                                     "the handover page, buying and cutting lists")
    answer.add_argument("job", nargs="?", help="job file (.toml); the demo job if left out")
    answer.add_argument("--out", default="lamcalc-output", metavar="FOLDER",
                        help="where the files go (default: %(default)s)")
    answer.add_argument("--units", choices=("metric", "us"), help="units of the page; the job's own if left out")
    answer.add_argument("--plies", choices=("micromechanics", "small_craft", "tested"), default="micromechanics",
                        help="where ply stiffness comes from (default: %(default)s)")
    new = commands.add_parser("new", help="write a blank job file to fill in")
    new.add_argument("file", help="name of the new file (.toml)")
    new.add_argument("--demo", action="store_true", help="start from a copy of the demo job instead")
    guide = commands.add_parser("guide", help="write the guide for the first five minutes: two pages to print")
    guide.add_argument("file", help="name of the new file (.html)")
    guide.add_argument("--units", choices=("metric", "us"), default="metric", help="units in it (default: %(default)s)")
    notebooks = commands.add_parser("open", help="open the notebooks in your browser")
    notebooks.add_argument("--no-browser", action="store_true", help="only print the address")
    return top


def answer(args):
    """Run the whole chain on a job: print the answer and write every page and list.

    Parameters
    ----------
    args : argparse.Namespace
        Parsed words of the ``answer`` command [-].

    Returns
    -------
    int
        Exit code [-].

    Raises
    ------
    InputError
        If the job cannot be used.
    """
    from lamcalc.shop import job as jobs
    from lamcalc.shop.job_pages import job_pages
    from lamcalc.shop.page_pdf import NO_PDF

    job = jobs.load_demo() if args.job is None else jobs.load(args.job)
    jobs.catalogue(job)  # own materials that cannot be read are told once, not for every part
    pages = job_pages(job, system=args.units, property_model=args.plies)
    if not pages.texts:
        raise InputError("job", "must have a part that can be computed [-]", job.name,
                         " ".join(pages.problems) or "add one, [parts.NAME] with kind, options and chosen; new FILE --demo shows how")
    folder, pdfs = Path(args.out), pages.pdfs()
    jobs.make_folder(folder)
    files = {folder / name: text.encode("utf-8") for name, text in pages.texts.items()}
    jobs.write_files(files | {folder / name: data for name, data in pdfs.items()})
    _tell(job, pages, folder)
    if not pdfs:
        print(NO_PDF)
    print("The notebooks: python -m lamcalc open")
    return 1 if pages.problems or (pages.comparison and not pages.comparison.recommended) else 0


def _tell(job, pages, folder):
    """The answer in a screenful."""
    from lamcalc.shop.answer import comparison_rows
    from lamcalc.sentences import told

    print(f"{job.name}\n")
    if pages.comparison:
        names = [result.name for result in pages.comparison.results]
        rows = comparison_rows(pages.comparison, pages.system)
        wide = [row for row in rows if max(len(str(cell)) for cell in row[1:]) > 15]
        for row in rows:
            if row not in wide:
                print(f"  {row[0]:<58}" + "".join(f"{cell:>16}" for cell in row[1:]))
        print("  " + " " * 58 + "".join(f"{f'[{k}]':>16}" for k in range(len(names))))
        print("\n".join(f"  [{k}] {name}" for k, name in enumerate(names)))
        for row in wide:
            print(f"  {row[0]}: " + "; ".join(f"[{k}] {cell}" for k, cell in enumerate(row[1:])))
        note = told(pages.comparison.yardstick_note, pages.system)
        if note:
            print(f"\n  {note}")
        print(f"\nAnswer: {pages.comparison.recommendation_in(pages.system)}\n")
    if pages.whole:
        for line in pages.summary():
            print(f"  {line}")
        print()
    for problem in pages.problems:
        print(f"NOT DONE: {problem}")
    print("Screening only: engine manual, maker's data sheets, local codes and a licensed designer or surveyor "
          "decide.\n")
    print(f"In the folder {folder}: " + ", ".join(sorted(pages.texts)) + ".")
    print("Print the sheets for the crew and the handover page for the owner from the browser.")


def _fresh(name, what):
    """Path of a file that does not exist yet: nothing is overwritten."""
    path = Path(name)
    if path.exists():
        raise InputError(what, "must not exist yet", path.name, "choose another name")
    return path


def new_job(args):
    """Write a new job file.

    Parameters
    ----------
    args : argparse.Namespace
        Parsed words of the ``new`` command [-].

    Returns
    -------
    int
        Exit code [-].

    Raises
    ------
    InputError
        If the file exists or cannot be written.
    """
    from lamcalc.shop import job as jobs

    path = _fresh(args.file, "new job file")
    jobs.save(jobs.load_demo() if args.demo else jobs.new(path.stem), path)
    hint = ("change what is not your boat, delete what it does not have" if args.demo
            else "for a job that is filled in, write a second one with --demo and copy from it")
    print(f"Wrote {path}. Open it with a text editor: {hint}.")
    return 0


def new_guide(args):
    """Write the printable guide.

    Parameters
    ----------
    args : argparse.Namespace
        Parsed words of the ``guide`` command [-].

    Returns
    -------
    int
        Exit code [-].

    Raises
    ------
    InputError
        If the file exists or cannot be written.
    """
    from lamcalc.workbook.guide import write_guide

    path = _fresh(args.file, "guide")
    write_guide(path, system=args.units)
    print(f"Wrote {path}. Open it in the browser and print it: two pages, A4 or Letter.")
    return 0


def open_notebooks(args):
    """Run JupyterLab on the notebooks, in this process, so that both end together on every system.

    Parameters
    ----------
    args : argparse.Namespace
        Parsed words of the ``open`` command [-].

    Returns
    -------
    int
        Exit code of JupyterLab [-].

    Raises
    ------
    InputError
        If there are no notebooks beside the package.
    """
    folder = Path(__file__).resolve().parents[1] / "notebooks"
    if not (folder / "00_index.ipynb").exists():
        raise InputError("notebooks", "must lie beside the package", folder.name, NO_NOTEBOOKS)
    words = ["jupyterlab", "--ServerApp.ip=127.0.0.1", f"--notebook-dir={folder}",
             "--LabApp.news_url=None", "--LabApp.default_url=/doc/tree/00_index.ipynb",
             f"--LabApp.app_settings_dir={folder / '.lab'}"]  # the question about news from the internet is answered there: no
    if args.no_browser:
        words.append("--no-browser")
    sys.argv = words
    try:  # a process of its own would live on where this one is ended by its id
        runpy.run_module("jupyterlab", run_name="__main__", alter_sys=True)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    return 0


def main(argv=None):
    """Run the command line.

    Parameters
    ----------
    argv : sequence of str, optional
        Words after the program's name; those of the process if not given [-].

    Returns
    -------
    int
        Exit code: 0 done, 1 nothing to recommend or a part not computed, 2 wrong input [-].

    Examples
    --------
    >>> main(["answer", "no_such_job.toml"])
    2
    """
    args = parser().parse_args(argv)
    for stream in (sys.stdout, sys.stderr):  # a letter that the terminal cannot show must not end the work
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        return {"answer": answer, "new": new_job, "guide": new_guide, "open": open_notebooks}[args.command](args)
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    except OSError as error:
        print(f"The files could not be read or written: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
