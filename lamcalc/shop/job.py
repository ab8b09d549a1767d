"""The job file: load, change, save; and the one writer of output files.

A job is a TOML file.  Loading gives a frozen, checked `Job`; `update` gives a new
one with the file's comments kept; `save` puts the whole file in place in one step
(temporary file in the same folder, fsync, rename, fsync of the folder), so that a
reader finds the old or the new job, never half of one.  The version before is kept
beside it with `.bak` at the end.  Nothing in a job file is ever run.
"""

import hashlib
import os
import re
import secrets
import stat
import time
import unicodedata
from contextlib import suppress
from datetime import date as day
from pathlib import Path

from lamcalc.errors import InputError
from lamcalc.shop.job_edit import BLANK, edited
from lamcalc.shop.job_model import Job
from lamcalc.shop.job_problems import JobError, Problem
from lamcalc.shop.job_schedule import catalogue, own_materials_path, prices, schedule
from lamcalc.shop.job_text import END_MARK, MOST_BYTES, decode, read

__all__ = [
    "Job", "JobError", "Problem", "catalogue", "changed_on_disk", "discard_recovery", "in_use", "load", "load_demo",
    "make_folder", "new", "own_materials_mark", "own_materials_path", "previous_path", "prices", "read_recovery", "recovery_path",
    "safe_file_name", "save", "schedule", "update", "use", "write_bytes", "write_files", "write_recovery", "write_text",
]
DEMO = "coaching_launch.toml"
IN_USE = "job-in-use.txt"  # beside the notebooks; names the job file that all of them open
STALE_SECONDS = 3600
_RESERVED = {"con", "prn", "aux", "nul"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(10)}


def _trouble(path, rule, received, next_step):
    return JobError(Path(path).name, [Problem("", rule, received, next_step)])


def _as_path(path):
    if not isinstance(path, str | os.PathLike) or "\0" in os.fspath(path) or not os.fspath(path).strip():
        raise InputError("file name", "must be a path [-]", path, "give the name of a file")
    return Path(path)


def _read_bytes(path):
    """At most one byte more than a job file may have; only regular files, so that nothing blocks or never ends."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            raise _trouble(path, "must be a file", "a folder or a device", "choose a file that ends in .toml")
        with open(path, "rb") as handle:
            return handle.read(MOST_BYTES + 1)
    except FileNotFoundError:
        kept = previous_path(path)
        hint = f"the version before is kept in {kept.name}" if kept.exists() else "check the name and the folder"
        raise _trouble(path, "must exist", "no such file", hint) from None
    except OSError as problem:
        raise _trouble(path, "could not be read", f"'{problem.strerror}'",
                       "check the name and the permissions") from None


def _digest(data):
    return hashlib.sha256(data).hexdigest()


def _placed(job, path, disk):
    """The job with its file, the fingerprint of that file, and that of the own materials beside it."""
    job._source_path, job._disk = path, disk
    job._own = own_materials_mark(job)
    return job


def own_materials_mark(job):
    """Fingerprint of the job's own materials as their file holds them now.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str or None
        Another one when the file has changed; None if there is none that can be read [-].

    Examples
    --------
    >>> own_materials_mark(load_demo()) is None
    True
    """
    with suppress(InputError, OSError):  # whoever uses the materials tells what is wrong with the file
        path = own_materials_path(job)
        return None if path is None else _digest(_read_bytes(path))


def load(path):
    """Load and check a job file.

    Parameters
    ----------
    path : str or path
        The file [-].

    Returns
    -------
    Job
        Frozen model; `.document` gives the text for edits that keep comments [-].

    Raises
    ------
    JobError
        If the file cannot be read, is not a job file, comes from a newer version, or breaks a rule:
        every problem with line, field, rule and value.

    Examples
    --------
    >>> try:
    ...     load("no_such_job.toml")
    ... except JobError as problem:
    ...     print(problem.rule, problem.next_step, sep="; ")
    must exist; check the name and the folder
    """
    path = _as_path(path)
    data = _read_bytes(path)
    return _placed(read(decode(data, path.name), path.name), path, _digest(data))


def load_demo():
    """Load the demo job: a rowing club's coaching launch, all of it invented.

    Returns
    -------
    Job
        Without a source path, so that it can only be saved under a name of its own [-].

    Examples
    --------
    >>> load_demo().shop.hull_temperature_c
    17.0
    """
    from lamcalc.materials.catalogue import data_folder

    job = load(data_folder() / "jobs" / DEMO)
    job._source_path = job._disk = None
    return job


def _target(path):
    """The path to write, refused where it is no plain file in an existing folder."""
    path = _as_path(path)
    try:
        mode = os.lstat(path).st_mode
    except FileNotFoundError:
        mode = None
    except OSError as problem:
        raise _trouble(path, "could not be written", f"'{problem.strerror}'", "choose another name or folder") from None
    if mode is not None and stat.S_ISLNK(mode):
        raise _trouble(path, "must not be a link to another file", "a link", "give the name of the file itself")
    if mode is not None and not stat.S_ISREG(mode):
        raise _trouble(path, "must be a file", "a folder or a device", "choose another name")
    if not path.parent.is_dir():
        raise _trouble(path, "must lie in a folder that exists", f"the folder {path.parent.name!r}",
                       "make the folder first")
    return path


def _write_all(handle, data):
    view = memoryview(data)
    while view:
        view = view[os.write(handle, view):]


def _sync_folder(folder):
    """Make the rename itself durable; Windows has no such call for folders."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _drop_stale(path):
    """Remove temporary files that a killed save of this file left more than an hour ago."""
    for part in path.parent.glob(f".{_literal(path.name)}.*.part"):
        try:
            if time.time() - part.stat().st_mtime > STALE_SECONDS:
                part.unlink()
        except OSError:
            continue  # somebody else's to remove; it does no harm


def _literal(name):
    """A file name with the characters that a search pattern would expand taken literally."""
    return re.sub(r"([*?\[])", r"[\1]", name)


def _put(path, data, *, synced=True):
    """Write a temporary file beside `path` and rename it into place; on any failure `path` is as it was.

    Without `synced` the system writes to the disk in its own time: a recovery copy, renewed at every change, is there
    for a kernel or browser that ends, and waiting for the disk would hold up every key.
    """
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    handle = None
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        _write_all(handle, data)
        if synced:
            os.fsync(handle)
        os.close(handle)
        handle = None
        if path.exists():
            os.chmod(part, stat.S_IMODE(path.stat().st_mode))
        os.replace(part, path)
        if synced:
            _sync_folder(path.parent)
    except OSError as problem:
        hint = "free some space or choose another folder, and save again; what was on the disk is unchanged"
        raise _trouble(path, "could not be written", f"'{problem.strerror}'", hint) from None
    finally:
        if handle is not None:
            os.close(handle)
        part.unlink(missing_ok=True)


def write_bytes(path, data):
    """Write an output file in one step: afterwards it is whole, or as it was before.

    Parameters
    ----------
    path : str or path
        File in a folder that exists; a link is refused [-].
    data : bytes
        Whole content [-].

    Returns
    -------
    Path
        The file [-].

    Raises
    ------
    JobError
        If it could not be written; nothing on the disk has changed then.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_bytes(folder + "/stack.png", b"...").name
    'stack.png'
    """
    path = _target(path)
    _drop_stale(path)
    _put(path, data)
    return path


def write_text(path, text):
    """Write an output file (HTML, CSV, SVG) as UTF-8 in one step.

    Parameters
    ----------
    path : str or path
        File in a folder that exists; a link is refused [-].
    text : str
        Whole content; line ends are written as they are [-].

    Returns
    -------
    Path
        The file [-].

    Raises
    ------
    JobError
        If it could not be written; nothing on the disk has changed then.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_text(folder + "/cutting.csv", "ply,length [mm]").name
    'cutting.csv'
    """
    return write_bytes(path, text.encode("utf-8"))


def write_files(files):
    """Write several output files: every target is looked at before the first one is written.

    Parameters
    ----------
    files : mapping of path to bytes
        Files in a folder that exists, with their whole content [-].

    Raises
    ------
    JobError
        If a target cannot be written: then none is; a disk that fills up half way leaves whole files only.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_files({folder + "/a.csv": b"1", folder + "/b.csv": b"2"})
    """
    targets = {_target(path): data for path, data in files.items()}
    for folder in {path.parent for path in targets}:
        if not os.access(folder, os.W_OK | os.X_OK):
            raise _trouble(folder, "must be a folder that can be written to", "a folder without that permission",
                           "choose another folder")
    for path, data in targets.items():
        write_bytes(path, data)


def make_folder(path):
    """Make a folder for output files, if it is not there.

    Parameters
    ----------
    path : str or path
        The folder [-].

    Returns
    -------
    Path
        The folder [-].

    Raises
    ------
    JobError
        If it cannot be made.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     make_folder(folder + "/pages").is_dir()
    True
    """
    path = _as_path(path)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise _trouble(path, "could not be made", f"'{problem.strerror}'", "choose another folder") from None
    return path


def previous_path(path):
    """Where `save` keeps the version before.

    Parameters
    ----------
    path : str or path
        The job file [-].

    Returns
    -------
    Path
        The same name with `.bak` at the end [-].

    Examples
    --------
    >>> previous_path("launch.toml").name
    'launch.toml.bak'
    """
    path = _as_path(path)
    return path.with_name(path.name + ".bak")


def _text_of(job):
    if isinstance(job, Job):
        return job.text
    if hasattr(job, "as_string"):
        return job.as_string()
    if isinstance(job, str):
        return job
    raise InputError("job", "must be a job, an edited document of a job or its text [-]", type(job).__name__,
                     "give what load, update or document returned")


def _whole(path):
    """All bytes of the file that is about to be replaced, whatever its size; None if there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as problem:
        raise _trouble(path, "could not be read before it is replaced", f"'{problem.strerror}'",
                       "check the permissions; what was on the disk is unchanged") from None


def save(job, path=None):
    """Check a job and save it in one step, keeping the version before.

    Parameters
    ----------
    job : Job, tomlkit document or str
        What to save; an edited document is checked like any file first [-].
    path : str or path, optional
        File that ends in .toml; where the job came from if not given [-].

    Returns
    -------
    Job
        The job as saved, with its `source_path` [-].

    Raises
    ------
    JobError
        If it breaks a rule or could not be written; the file on the disk is unchanged then.
    InputError
        If there is no path, or it does not end in .toml.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     saved = save(load_demo(), folder + "/launch.toml")
    ...     load(saved.source_path).name == saved.name
    True
    """
    path = getattr(job, "source_path", None) if path is None else path
    if path is None:
        raise InputError("path", "must be given: the job has no file yet [-]", path, "give a name that ends in .toml")
    path = _target(path)
    if path.suffix.lower() != ".toml":
        raise InputError("path", "must end in .toml [-]", path.name, f"write {path.stem}.toml")
    saved = read(_text_of(job), path.name, marked=False)
    data = saved.text.encode("utf-8")
    if len(data) > MOST_BYTES:
        raise _trouble(path, f"must have at most {MOST_BYTES / 1e6:g} MB", "a larger job", "shorten notes and comments")
    _drop_stale(path)
    before = _whole(path)
    if before != data:
        if before is not None:
            _put(_target(previous_path(path)), before)
        _put(path, data)
    _placed(saved, path, _digest(data))._migrated_from = None
    with suppress(OSError):  # the job is safe; a copy that stays is older than the file and is not offered
        discard_recovery(path)
        if isinstance(job, Job) and job.source_path is None:
            discard_recovery(job)
    return saved


def changed_on_disk(job):
    """Whether the job's file is another than the one that was loaded or saved here, so that saving would replace it.

    Parameters
    ----------
    job : Job
        A job that was loaded or saved [-].

    Returns
    -------
    bool
        True if another notebook has saved since, or the file is gone [-].

    Examples
    --------
    >>> changed_on_disk(load_demo())
    False
    """
    if job.source_path is None:
        return False
    try:
        return _digest(_read_bytes(job.source_path)) != job._disk
    except JobError:
        return True


def update(job, changes):
    """A new job with some fields changed; comments and order of the file stay.

    Parameters
    ----------
    job : Job
        The job to start from; it is not changed [-].
    changes : mapping of str to object
        Value by field path, in the unit of the field's name; None takes an optional field out; a list place one past
        the end adds to the list [-].

    Returns
    -------
    Job
        Checked like any job file [-].

    Raises
    ------
    JobError
        If the changed job breaks a rule.
    InputError
        If a path leads nowhere.

    Examples
    --------
    >>> update(load_demo(), {"shop.hull_temperature_c": 14}).shop.hull_temperature_c
    14.0
    """
    try:
        changed = read(edited(job.text, changes), job.source_path.name if job.source_path else "the job", marked=False)
    except JobError as problem:
        raise JobError(problem.source, problem.problems, entered=True) from None
    changed._migrated_from = job.migrated_from
    return _placed(changed, job.source_path, job._disk)


def recovery_path(job):
    """Where the recovery copy of a job lies: beside its file, or in the current folder if it has none.

    Parameters
    ----------
    job : Job, str or path
        The job or its file [-].

    Returns
    -------
    Path
        Hidden file [-].

    Examples
    --------
    >>> recovery_path("launch.toml").name
    '.launch.recovery.toml'
    """
    if isinstance(job, Job):
        path = job.source_path or Path(safe_file_name(job.name) + ".toml")
    else:
        path = _as_path(job)
    return path.with_name(f".{path.stem}.recovery.toml")


def write_recovery(job):
    """Write the recovery copy of a job with unsaved changes; the job's own file is not touched.

    Parameters
    ----------
    job : Job
        The job as it is now [-].

    Returns
    -------
    Path
        The recovery copy [-].

    Raises
    ------
    JobError
        If it could not be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     saved = save(load_demo(), folder + "/launch.toml")
    ...     write_recovery(update(saved, {"shop.crew": 3})).name
    '.launch.recovery.toml'
    """
    path = _target(recovery_path(job))
    _drop_stale(path)
    _put(path, job.text.encode("utf-8"), synced=False)
    return path


def read_recovery(job):
    """The recovery copy of a job, if there is one that is newer than the job's file and differs from it.

    Parameters
    ----------
    job : Job, str or path
        The job or its file [-].

    Returns
    -------
    Job or None
        With the source path of the job's file, so that saving puts it there [-].

    Raises
    ------
    JobError
        If the copy is there but cannot be used.

    Examples
    --------
    >>> read_recovery("no_such_job.toml") is None
    True
    """
    copy = recovery_path(job)
    path = job.source_path if isinstance(job, Job) else _as_path(job)
    if not copy.exists():
        return None
    data, saved = _read_bytes(copy), None
    if path is not None and path.exists():
        saved = _read_bytes(path)
        if saved == data or copy.stat().st_mtime_ns < path.stat().st_mtime_ns:
            return None
    found = read(decode(data, copy.name), copy.name)
    return _placed(found, path, None if saved is None else _digest(saved))


def discard_recovery(job):
    """Remove the recovery copy of a job, if there is one.

    Parameters
    ----------
    job : Job, str or path
        The job or its file [-].

    Examples
    --------
    >>> discard_recovery("no_such_job.toml")
    """
    recovery_path(job).unlink(missing_ok=True)


def safe_file_name(text):
    """A file name made of a title: letters, digits, hyphen and underscore only, never a path or a reserved name.

    Parameters
    ----------
    text : str
        Any title [-].

    Returns
    -------
    str
        Name without suffix, 1 to 80 characters [-].

    Examples
    --------
    >>> safe_file_name("../../<script> Transom, 2 x 18 mm")
    'script_transom_2_x_18_mm'
    """
    plain = unicodedata.normalize("NFKD", str(text)).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9-]+", "_", plain)[:80].strip("_-") or "job"
    return f"{name}_job" if name in _RESERVED else name


def new(name, *, units="metric", date=None):
    """A blank job to start from.

    Parameters
    ----------
    name : str
        Name of the job [-].
    units : {"metric", "us"}
        Units shown to the user [-].
    date : date, optional
        Date of the price list; today if not given [-].

    Returns
    -------
    Job
        Without parts and without a file [-].

    Raises
    ------
    JobError
        If the name or the unit system breaks a rule.

    Examples
    --------
    >>> new("Skiff, soft transom").parts
    {}
    """
    blank = read(BLANK.format(date=date or day.today(), mark=END_MARK), "new job")
    return read(edited(blank.text, {"name": name, "units": units}), "new job")


def use(path, folder="."):
    """Make a job file the one that every notebook of a folder opens.

    Parameters
    ----------
    path : str, path or None
        The job file; None for the demo again [-].
    folder : str or path
        Folder of the notebooks [-].

    Raises
    ------
    InputError
        If the note cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     kept = save(new("dinghy"), Path(folder) / "dinghy.toml")
    ...     use(kept.source_path, folder)
    ...     in_use(folder).name
    'dinghy'
    """
    note = Path(folder) / IN_USE
    if path is None:
        with suppress(FileNotFoundError):
            note.unlink()
        return
    write_text(note, str(_as_path(path).resolve()) + "\n")


def in_use(folder=None):
    """The job that the notebooks of a folder work on.

    Parameters
    ----------
    folder : str or path, optional
        Folder of the notebooks; the current one if not given [-].

    Returns
    -------
    Job
        The job chosen last with `use`; the demo where none was chosen.  Where no folder is given the environment variable
        LAMCALC_JOB goes first: the path of a job file, or 'demo' [-].

    Raises
    ------
    JobError
        If that file is gone or is no job file.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     in_use(folder).source_path is None
    True
    """
    chosen, note = os.environ.get("LAMCALC_JOB", "") if folder is None else "", Path(folder or ".") / IN_USE
    if not chosen and note.is_file():
        chosen = _read_bytes(note).decode("utf-8", "replace").strip()
    return load_demo() if chosen in ("", "demo") else load(chosen)
