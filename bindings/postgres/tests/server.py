"""A real server of our own: in a temporary folder, on a socket in it and on no network, as a user
without privileges, with the extension installed as `cmake --install` puts it. Stopped at the end.

The server finds its files beside its program, so a folder of links to the machine's PostgreSQL, with
the extension among them, is a whole installation to it; nothing below /usr is touched.
"""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
BUILD = Path(os.environ["TOPRAIL_BUILD_DIR"])


def asked(option):
    return Path(subprocess.run([os.environ.get("TOPRAIL_PG_CONFIG", "pg_config"), option], check=True,
                               capture_output=True, text=True).stdout.strip())


def link_all(source, target):
    target.mkdir(parents=True, exist_ok=True)
    for entry in source.iterdir():
        if entry.name == "extension":
            link_all(entry, target / entry.name)
        elif not (target / entry.name).exists():
            (target / entry.name).symlink_to(entry)


def unprivileged():
    """Words to put before a command so that root runs it as somebody else."""
    if os.geteuid() != 0:
        return [], os.geteuid(), os.getegid()
    for name in ("postgres", "nobody"):
        try:
            user = pwd.getpwnam(name)
        except KeyError:
            continue
        return (["setpriv", f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups"],
                user.pw_uid, user.pw_gid)
    raise RuntimeError("no user to run a server as: postgres and nobody are both missing")


class SqlError(Exception):
    pass


class Server:
    def __init__(self, folder):
        self.folder = folder
        self.psql = asked("--bindir") / "psql"
        self.process = None

    def start(self):
        # Below any folder; only the layout counts.
        usr = self.folder / "usr"
        bindir, sharedir, libdir = (asked(f"--{each}") for each in ("bindir", "sharedir", "pkglibdir"))
        places = {each: usr / each.relative_to("/usr") for each in (bindir, sharedir, libdir)}
        places[bindir].mkdir(parents=True)
        for program in ("postgres", "initdb"):
            shutil.copy2(bindir / program, places[bindir])
        for component in ("c", "postgres"):
            subprocess.run(["cmake", "--install", BUILD, "--prefix", usr, "--component", component],
                           check=True, capture_output=True)
        link_all(sharedir, places[sharedir])
        link_all(libdir, places[libdir])
        shutil.copytree(ROOT / "rulepacks", self.folder / "rulepacks")
        before, user, group = unprivileged()
        for path in (self.folder, *self.folder.rglob("*")):
            os.chown(path, user, group, follow_symlinks=False)
        self.data = self.folder / "data"
        subprocess.run([*before, places[bindir] / "initdb", "-D", self.data, "-U", "owner", "-E", "UTF8",
                        "--locale=C", "--auth=trust", "--no-sync"],
                       check=True, capture_output=True, cwd=self.folder)
        with open(self.folder / "log", "wb") as log:
            self._run(before, places[bindir] / "postgres", log)

    def _run(self, before, program, log):
        self.process = subprocess.Popen(
            [*before, program, "-D", self.data, "-k", self.folder,
             "-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_worker_processes=4"],
            stdout=log, stderr=log, cwd=self.folder)
        end = time.monotonic() + 60
        while True:
            try:
                self.sql("SELECT 1")
                return
            except SqlError:
                if self.process.poll() is not None or time.monotonic() > end:
                    raise RuntimeError((self.folder / "log").read_text())
                time.sleep(0.1)

    def sql(self, text, user="owner"):
        """Lines of the answer, columns parted by `|`; SqlError with what psql said."""
        done = subprocess.run(
            [self.psql, "-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-h", self.folder, "-U", user,
             "-d", "postgres", "-f", "-"],
            input=text.encode(), capture_output=True,
            env={**os.environ, "PGCLIENTENCODING": "UTF8"})
        if done.returncode != 0:
            raise SqlError(done.stderr.decode())
        return done.stdout.decode().splitlines()

    def stop(self):
        if self.process is None:
            return
        self.process.send_signal(signal.SIGINT)
        try:
            self.process.wait(timeout=60)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()


@contextmanager
def running():
    """A server with the extension, and the shipped packs in the table `shelf`; gone at the end."""
    folder = Path(tempfile.mkdtemp(prefix="toprail-pg-"))
    os.chmod(folder, 0o755)
    server = Server(folder)
    try:
        server.start()
        server.sql(f"""CREATE EXTENSION toprail;
            CREATE TABLE shelf AS SELECT toprail_packs('{folder}/rulepacks') AS packs""")
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder)


def quoted(text):
    return "'" + text.replace("'", "''") + "'"
