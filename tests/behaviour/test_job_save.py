"""Nothing is lost: kills and full disks during a save, links, pipes and devices."""

import errno
import os
import subprocess
import sys
import textwrap
import time

import pytest

from lamcalc.shop import job

pytestmark = pytest.mark.behaviour
DEMO = job.load_demo()
posix = pytest.mark.skipif(os.name != "posix", reason="needs POSIX signals and limits")


@pytest.fixture
def saved(tmp_path):
    return job.save(DEMO, tmp_path / "launch.toml")


def run(script, *arguments):
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(script), *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


# --- killed at any moment --------------------------------------------------------------------------------------------


@posix
def test_killed_before_every_single_system_call_of_a_save(saved):
    """The child dies just before, or half-way through, its n-th call; n runs until a save gets through."""
    out = run(
        """
        import os, signal, sys
        from lamcalc.shop import job
        path = sys.argv[1]
        base = job.load(path)
        counted = ("open", "write", "fsync", "close", "chmod", "replace")
        real = {name: getattr(os, name) for name in counted}

        def child(last):
            left = [last]
            def wrap(name):
                def call(*arguments, **options):
                    left[0] -= 1
                    if left[0] == 0:
                        if name == "write":
                            real["write"](arguments[0], bytes(arguments[1])[:len(arguments[1]) // 2])
                        os.kill(os.getpid(), signal.SIGKILL)
                    return real[name](*arguments, **options)
                return call
            for name in counted:
                setattr(os, name, wrap(name))
            job.save(job.update(base, {"shop.crew": 3 + last % 40}), path)
            os._exit(0)

        kills = 0
        for last in range(1, 100):
            before = job.load(path).shop.crew
            pid = os.fork()
            if pid == 0:
                child(last)
            _, status = os.waitpid(pid, 0)
            now = job.load(path).shop.crew
            assert now in (before, 3 + last % 40), (last, now)
            bak = job.previous_path(path)
            if bak.exists():
                job.load(bak)
            if os.WIFEXITED(status):
                assert os.WEXITSTATUS(status) == 0 and now == 3 + last % 40
                break
            kills += 1
        print(kills)
        """,
        saved.source_path,
    )
    assert int(out) >= 12  # two files, each with at least open, write, fsync, close, replace and the folder's fsync


@posix
def test_killed_at_random_moments(saved):
    out = run(
        """
        import os, random, signal, sys, time
        from lamcalc.shop import job
        path = sys.argv[1]
        base = job.load(path)
        versions = [job.update(base, {"shop.crew": n}) for n in range(1, 9)]
        random.seed(4)
        seen = set()
        rounds = 0
        while rounds < 25 or len(seen) < 3 and rounds < 400:  # a busy machine needs more of them
            rounds += 1
            pid = os.fork()
            if pid == 0:
                write = os.write
                os.write = lambda handle, view: (time.sleep(0.0005), write(handle, bytes(view)[:1000]))[1]  # slow
                while True:
                    for version in random.sample(versions, len(versions)):
                        job.save(version, path)
            time.sleep(random.uniform(0.0, 0.12))
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
            found = job.load(path)
            assert found.text == job.update(base, {"shop.crew": found.shop.crew}).text
            seen.add(found.shop.crew)
        print(len(seen))
        """,
        saved.source_path,
    )
    assert int(out) >= 3


def test_what_a_killed_save_left_behind_is_cleared_after_an_hour(saved):
    folder = saved.source_path.parent
    old, fresh, other = (
        folder / name
        for name in (".launch.toml.0123abcd.part", ".launch.toml.4567abcd.part", ".other.toml.0123abcd.part")
    )
    for part in (old, fresh, other):
        part.write_text("half")
    for part in (old, other):
        os.utime(part, (time.time() - 7200,) * 2)
    job.save(job.update(saved, {"shop.crew": 3}))
    assert not old.exists() and fresh.exists() and other.exists()


# --- full disk and refused writes ------------------------------------------------------------------------------------


def only_whole_files(folder):
    return not [one for one in folder.iterdir() if one.suffix == ".part"]


REFUSALS = [("write", errno.ENOSPC), ("write", errno.EDQUOT), ("fsync", errno.EIO), ("open", errno.EACCES),
            ("open", errno.EROFS), ("replace", errno.EACCES)]  # fmt: skip


@pytest.mark.parametrize(
    "call, code, after", [(*one, after) for one in REFUSALS for after in (0, 1)] + [("chmod", errno.EPERM, 0)]
)
def test_a_disk_that_refuses(saved, monkeypatch, call, code, after):
    """`after` calls get through first: 0 hits the copy of the version before, 1 or more a later step."""
    before = saved.source_path.read_bytes()
    newer = job.update(saved, {"shop.crew": 3})
    real, left = getattr(os, call), [after]

    def refuse(*arguments, **options):
        if call == "open" and not arguments[1] & os.O_CREAT:
            return real(*arguments, **options)
        if left[0] > 0:
            left[0] -= 1
            return real(*arguments, **options)
        if call == "write":
            real(arguments[0], bytes(arguments[1])[:100])
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, call, refuse)
    with pytest.raises(job.JobError) as caught:
        job.save(newer)
    monkeypatch.undo()
    assert "could not be written" in str(caught.value) and os.strerror(code) in str(caught.value)
    assert "what was on the disk is unchanged" in str(caught.value)
    assert saved.source_path.read_bytes() == before and only_whole_files(saved.source_path.parent)
    assert job.save(newer).shop.crew == 3


@posix
@pytest.mark.parametrize("limit", [0, 1, 4096, 10_000])
def test_a_file_size_limit(saved, limit):
    before = saved.source_path.read_bytes()
    assert len(before) > 10_000
    out = run(
        """
        import resource, sys
        from lamcalc.shop import job
        path, limit = sys.argv[1], int(sys.argv[2])
        newer = job.update(job.load(path), {"shop.crew": 3})
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
        try:
            job.save(newer)
        except job.JobError as problem:
            print(problem)
        """,
        saved.source_path,
        limit,
    )
    assert "could not be written; received 'File too large'" in out
    assert saved.source_path.read_bytes() == before and only_whole_files(saved.source_path.parent)


@pytest.mark.parametrize("data", [b"", b"page", b"x" * 300_000])
def test_output_files_are_written_whole_or_not_at_all(tmp_path, monkeypatch, data):
    path = job.write_bytes(tmp_path / "page.bin", data)
    assert path.read_bytes() == data
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, view: real(handle, bytes(view)[:7000]))  # short writes are legal
    job.write_bytes(path, data + b"!")
    assert path.read_bytes() == data + b"!"
    monkeypatch.setattr(os, "write", lambda handle, view: (_ for _ in ()).throw(OSError(errno.ENOSPC, "No space left")))
    with pytest.raises(job.JobError, match="could not be written; received 'No space left'"):
        job.write_text(path, "other")
    assert path.read_bytes() == data + b"!" and only_whole_files(tmp_path)


def test_output_text_is_utf8_and_untouched(tmp_path):
    text = "a;b\r\n\u00b0C \u8239\n"
    assert job.write_text(tmp_path / "a[1].csv", text).read_bytes() == text.encode("utf-8")


def test_folders(tmp_path):
    assert job.make_folder(tmp_path / "a" / "b").is_dir() and job.make_folder(tmp_path / "a" / "b").is_dir()
    (tmp_path / "file").write_text("")
    with pytest.raises(job.JobError, match="could not be made"):
        job.make_folder(tmp_path / "file")
    with pytest.raises(job.JobError, match="must lie in a folder that exists; received the folder 'none'"):
        job.write_text(tmp_path / "none" / "page.html", "")


@pytest.mark.parametrize("path", [None, 3, "", "  ", "a\0b"])
def test_a_path_that_is_none(path):
    with pytest.raises(ValueError, match="must be (a path|given)"):
        job.load(path)
    with pytest.raises(ValueError, match="must be (a path|given)"):
        job.save(DEMO, path)


def test_a_file_that_cannot_be_kept_as_the_version_before_is_not_replaced(saved, monkeypatch):
    before = saved.source_path.read_bytes()
    newer = job.update(saved, {"shop.crew": 3})
    with monkeypatch.context() as patch:
        patch.setattr(type(saved.source_path), "read_bytes", lambda path: os.stat("/" + "x" * 300))
        with pytest.raises(job.JobError, match="could not be read before it is replaced"):
            job.save(newer)
    assert saved.source_path.read_bytes() == before


def test_a_recovery_copy_that_cannot_be_removed_does_not_undo_a_save(saved):
    copy = job.recovery_path(saved)
    copy.mkdir()
    assert job.save(job.update(saved, {"shop.crew": 3})).shop.crew == 3
    assert job.load(saved.source_path).shop.crew == 3


def test_a_name_that_is_too_long_for_the_disk(tmp_path):
    path = tmp_path / ("x" * 300 + ".toml")
    with pytest.raises(job.JobError, match="could not be read; received 'File name too long'"):
        job.load(path)
    with pytest.raises(job.JobError, match="could not be written; received 'File name too long'"):
        job.save(DEMO, path)


def test_what_cannot_be_cleared_does_not_stop_a_save(saved):
    blocked = saved.source_path.parent / ".launch.toml.0123abcd.part"
    blocked.mkdir()
    os.utime(blocked, (time.time() - 7200,) * 2)
    assert job.save(job.update(saved, {"shop.crew": 3})).shop.crew == 3 and blocked.exists()


def test_links_are_not_written_through(saved, tmp_path):
    target = tmp_path / "precious.txt"
    target.write_text("keep")
    link = tmp_path / "link.toml"
    link.symlink_to(target)
    for write in (lambda: job.save(DEMO, link), lambda: job.write_text(link, "x")):
        with pytest.raises(job.JobError, match="must not be a link to another file"):
            write()
    job.previous_path(saved.source_path).symlink_to(target)
    with pytest.raises(job.JobError, match="must not be a link"):
        job.save(job.update(saved, {"shop.crew": 3}))
    assert target.read_text() == "keep" and job.load(saved.source_path).shop.crew == 2


def test_folders_devices_and_pipes_are_refused_at_once(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    for path in (tmp_path, tmp_path / "pipe.toml", "/dev/zero"):
        with pytest.raises(job.JobError, match="must be a file; received a folder or a device"):
            job.load(path)
    with pytest.raises(job.JobError, match="must be a file; received a folder or a device"):
        job.write_text(tmp_path / "pipe.toml", "")


def test_a_missing_file_points_at_the_version_before(saved):
    job.save(job.update(saved, {"shop.crew": 3}))
    saved.source_path.unlink()
    with pytest.raises(job.JobError, match="the version before is kept in launch.toml.bak"):
        job.load(saved.source_path)
    assert job.load(job.previous_path(saved.source_path)).shop.crew == 2
