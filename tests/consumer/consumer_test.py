# SPDX-License-Identifier: Apache-2.0
"""Installs the build, compares the list of files, and builds and runs a consumer of the library.

    consumer_test.py CMAKE BUILD_FOLDER COMPILER
    COOLBAND_UPDATE_GOLDEN=1 consumer_test.py … write the list of installed files anew
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
SOURCE = HERE.parent.parent
LIST = HERE / "installed_files.txt"


def run(*command):
    result = subprocess.run(list(map(str, command)), cwd=SOURCE, capture_output=True, text=True,
                            timeout=600)
    if result.returncode != 0:
        sys.exit(f"failed: {' '.join(map(str, command))}\n{result.stdout}{result.stderr}")
    return result.stdout


def as_listed(path, cache):
    """Folders as GNUInstallDirs calls them, so that the list holds on every distribution."""
    for name in ("LIBDIR", "DOCDIR", "MANDIR", "DATADIR"):
        folder = cache.get(f"CMAKE_INSTALL_{name}")
        if folder and path.startswith(folder + "/"):
            return f"<{name}>{path[len(folder):]}"
    return path


def cache_of(build):
    lines = (build / "CMakeCache.txt").read_text(encoding="utf-8").splitlines()
    entries = (line.split("=", 1) for line in lines if "=" in line and line[:1] not in "#/")
    cache = {key.split(":")[0]: value for key, value in entries}
    # The defaults of GNUInstallDirs that depend on others stay empty in the cache.
    share = cache.get("CMAKE_INSTALL_DATAROOTDIR") or "share"
    defaults = {"CMAKE_INSTALL_DATADIR": share, "CMAKE_INSTALL_DOCDIR": f"{share}/doc/coolband",
                "CMAKE_INSTALL_MANDIR": f"{share}/man"}
    return cache | {key: cache.get(key) or value for key, value in defaults.items()}


def compare(files):
    if os.environ.get("COOLBAND_UPDATE_GOLDEN"):
        LIST.write_text("\n".join(files) + "\n", encoding="utf-8")
    wanted = LIST.read_text(encoding="utf-8").splitlines()
    for name in sorted(set(files) ^ set(wanted)):
        print(("installed but not listed: " if name in files else "listed but not installed: ") + name)
    if files != wanted:
        sys.exit(f"the installed files differ from {LIST.relative_to(SOURCE)}")


def no_path_of_ours(prefix, build):
    """An installed package that names the build tree breaks when that is gone."""
    for path in prefix.rglob("*.cmake"):
        text = path.read_text(encoding="utf-8")
        for folder in (str(SOURCE), str(build)):
            if folder in text:
                sys.exit(f"{path.name} names {folder}")


def main():
    if len(sys.argv) != 4:
        sys.exit("usage: consumer_test.py CMAKE BUILD_FOLDER COMPILER")
    cmake, build, compiler = sys.argv[1], pathlib.Path(sys.argv[2]).resolve(), sys.argv[3]
    with tempfile.TemporaryDirectory() as folder:
        prefix, consumer = pathlib.Path(folder) / "prefix", pathlib.Path(folder) / "consumer"
        run(cmake, "--install", build, "--prefix", prefix)
        cache = cache_of(build)
        files = sorted(as_listed(str(path.relative_to(prefix)), cache) for path in prefix.rglob("*")
                       if not path.is_dir())
        compare(files)
        no_path_of_ours(prefix, build)
        run(cmake, "-S", HERE, "-B", consumer, f"-DCMAKE_PREFIX_PATH={prefix}",
            f"-DCMAKE_CXX_COMPILER={compiler}")
        run(cmake, "--build", consumer)
        log = "data/demo/warden-2/trips/sticking.csv"
        told = run(consumer / "consumer", log)
        installed = prefix / (cache.get("CMAKE_INSTALL_BINDIR") or "bin") / "coolband"
        verdict = json.loads(run(installed, "check", log, "--format", "json"))["verdict"]
        wanted = f"{run(installed, '--version')}{verdict['condition']}: {verdict['headline']}\n"
        if told != wanted:
            sys.exit(f"the consumer said\n{told}instead of\n{wanted}")
    print(f"{len(files)} files installed as listed; the consumer agrees with the program")


if __name__ == "__main__":
    main()
