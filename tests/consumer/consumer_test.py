# SPDX-License-Identifier: Apache-2.0
"""Installs the build, compares the list of files, and builds and runs a consumer of the library, by find_package
and by pkg-config (left out where that is not installed).

    consumer_test.py CMAKE BUILD_FOLDER COMPILER
    COOLBAND_UPDATE_GOLDEN=1 consumer_test.py … write the list of installed files anew
"""
import json
import os
import pathlib
import shlex
import shutil
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


def mirrored(build):
    """What is installed file for file as it lies in a folder, by the folder's installed name."""
    def under(folder, pick):
        return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file() and pick(path)}
    docs, data = SOURCE / "docs", SOURCE / "data"
    return {
        "<DOCDIR>/docs/": under(docs, lambda path: path.parent == docs and path.suffix in (".md", ".json")),
        "<DOCDIR>/data/demo/": under(data / "demo", lambda path: path.suffix != ".py"),
        "<DOCDIR>/data/scenarios/": under(data / "scenarios", lambda path: True),
        "<MANDIR>/man1/": under(build / "manual" / "man1", lambda path: True),
    }


def compare_mirrors(files, build):
    """The files that are in no mirrored folder."""
    for folder, wanted in mirrored(build).items():
        found = {name[len(folder):] for name in files if name.startswith(folder)}
        if found != wanted or not wanted:
            sys.exit(f"in {folder} these differ from their source: {sorted(found ^ wanted) or 'all missing'}")
    return [name for name in files if not name.startswith(tuple(mirrored(build)))]


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
    for path in (path for pattern in ("*.cmake", "*.pc", "*.1", "coolband*") for path in prefix.rglob(pattern)):
        if not path.is_file():
            continue
        text = path.read_bytes().decode("latin-1")
        for folder in (str(SOURCE), str(build)):
            if folder in text:
                sys.exit(f"{path.name} names {folder}")


def build_by_pkg_config(prefix, cache, compiler, program):
    """False where there is no pkg-config."""
    if not shutil.which("pkg-config"):
        return False
    found = prefix / (cache.get("CMAKE_INSTALL_LIBDIR") or "lib") / "pkgconfig"
    flags = run("env", f"PKG_CONFIG_PATH={found}", "pkg-config", "--cflags", "--libs", "coolband = 0.1.0")
    run(compiler, "-std=c++20", HERE / "main.cpp", "-o", program, *shlex.split(flags))
    return True


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
        compare(compare_mirrors(files, build))
        no_path_of_ours(prefix, build)
        run(cmake, "-S", HERE, "-B", consumer, f"-DCMAKE_PREFIX_PATH={prefix}",
            f"-DCMAKE_CXX_COMPILER={compiler}")
        run(cmake, "--build", consumer)
        ways = [consumer / "consumer"]
        if build_by_pkg_config(prefix, cache, compiler, consumer / "by_pkg_config"):
            ways.append(consumer / "by_pkg_config")
        else:
            print("pkg-config is not installed: a consumer by it is left out")
        log = "data/demo/warden-2/trips/sticking.csv"
        installed = prefix / (cache.get("CMAKE_INSTALL_BINDIR") or "bin") / "coolband"
        verdict = json.loads(run(installed, "check", log, "--format", "json"))["verdict"]
        wanted = f"{run(installed, '--version')}{verdict['condition']}: {verdict['headline']}\n"
        for way in ways:
            told = run(way, log)
            if told != wanted:
                sys.exit(f"the {way.name} said\n{told}instead of\n{wanted}")
    print(f"{len(files)} files installed as listed; {len(ways)} consumers agree with the program")


if __name__ == "__main__":
    main()
