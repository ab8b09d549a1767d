"""Command line: answer the transom question of a job file without a screen, or open the notebooks."""

import argparse
import os
import subprocess
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
        Parser with the three commands [-].

    Examples
    --------
    >>> parser().parse_args(["answer", "--units", "us"]).units
    'us'
    """
    top = argparse.ArgumentParser(
        prog="lamcalc", description="Laminate engineering for small fibreglass boats. Without a job file it works on the "
        "built-in demo, a rowing club's coaching launch with a soft transom.",
        epilog="Exit codes: 0 done; 1 no core option can be recommended; 2 something in the input is wrong.")
    top.add_argument("--version", action="version", version=f"lamcalc {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    answer = commands.add_parser("answer", help="compare the core options of the transom and write page and tables")
    answer.add_argument("job", nargs="?", help="job file (.toml); the demo job if left out")
    answer.add_argument("--out", default="lamcalc-output", metavar="FOLDER", help="where the files go (default: %(default)s)")
    answer.add_argument("--units", choices=("metric", "us"), help="units of the page; the job's own if left out")
    answer.add_argument("--plies", choices=("micromechanics", "small_craft", "tested"), default="micromechanics",
                        help="where ply stiffness comes from (default: %(default)s)")
    new = commands.add_parser("new", help="write a blank job file to fill in")
    new.add_argument("file", help="name of the new file (.toml)")
    new.add_argument("--demo", action="store_true", help="start from a copy of the demo job instead")
    notebooks = commands.add_parser("open", help="open the notebooks in your browser")
    notebooks.add_argument("--no-browser", action="store_true", help="only print the address")
    return top


def answer(args):
    """Print the answer for a job and write its page and tables.

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
    from lamcalc.shop import answer as paper
    from lamcalc.shop import job as jobs
    from lamcalc.shop.job_transom import transom_comparison

    job = jobs.load(args.job) if args.job else jobs.load_demo()
    comparison = transom_comparison(job, property_model=args.plies)
    system = args.units or job.units
    rows = paper.comparison_rows(comparison, system)
    names = ["figure", *(result.name for result in comparison.results)]
    folder = Path(args.out)
    jobs.make_folder(folder)
    jobs.write_text(folder / "transom_comparison.html", paper.comparison_page(job, comparison, system))
    jobs.write_text(folder / "transom_comparison.csv", paper.safe_csv([names, *rows]))
    for number, result in enumerate(comparison.results):
        frame = result.schedule.table().round(4)
        jobs.write_text(folder / f"schedule_{number}.csv", paper.safe_csv(
            [[result.name], list(frame.columns), *frame.itertuples(index=False)]))
    print(f"{job.name}\n")
    for row in rows:
        print(f"  {row[0]:<58}" + "".join(f"{cell:>16}" for cell in row[1:]))
    print("  " + " " * 58 + "".join(f"{f'[{k}]':>16}" for k in range(len(names) - 1)))
    print("\n".join(f"  [{k}] {name}" for k, name in enumerate(names[1:])))
    print(f"\nAnswer: {comparison.recommendation}\n")
    print("Screening only: engine manual, maker's data sheets, local codes and a licensed designer or surveyor decide.\n")
    print(f"Page and tables are in the folder {folder}: open transom_comparison.html and print it.")
    print("The notebooks: python -m lamcalc open")
    return 0 if comparison.recommended else 1


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

    path = Path(args.file)
    if path.exists():
        raise InputError("new job file", "must not exist yet", path.name, "choose another name")
    jobs.save(jobs.load_demo() if args.demo else jobs.new(path.stem), path)
    print(f"Wrote {path}. Open it with a text editor; every field is explained in the demo job (--demo).")
    return 0


def open_notebooks(args):
    """Start JupyterLab on the notebooks.

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
    words = [sys.executable, "-m", "jupyterlab", "--ServerApp.ip=127.0.0.1", f"--notebook-dir={folder}",
             "--LabApp.news_url=None", "--LabApp.default_url=/doc/tree/00_index.ipynb"]
    if args.no_browser:
        words.append("--no-browser")
    # small matrices: more threads only slow a live panel down
    return subprocess.call(words, env={"OPENBLAS_NUM_THREADS": "1", **os.environ})


def main(argv=None):
    """Run the command line.

    Parameters
    ----------
    argv : sequence of str, optional
        Words after the program's name; those of the process if not given [-].

    Returns
    -------
    int
        Exit code: 0 done, 1 nothing to recommend, 2 wrong input [-].

    Examples
    --------
    >>> main(["answer", "no_such_job.toml"])
    2
    """
    args = parser().parse_args(argv)
    try:
        return {"answer": answer, "new": new_job, "open": open_notebooks}[args.command](args)
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    except OSError as error:
        print(f"The files could not be read or written: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
