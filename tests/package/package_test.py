# SPDX-License-Identifier: Apache-2.0
"""Makes the Debian packages, looks into them, installs them into a root of their own, uses and removes them.

    package_test.py CPACK BUILD_FOLDER

Skipped where there is no dpkg-dev; lintian's opinion is asked where it is installed.
"""
import gzip
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
CPACK = ""
BUILD = pathlib.Path()
TOOLS = ("dpkg", "dpkg-deb", "dpkg-shlibdeps", "dpkg-parsechangelog", "gzip")


def run(*command, wanted=0, **more):
    result = subprocess.run(list(map(str, command)), capture_output=True, encoding="utf-8", timeout=300,
                            check=False, **more)
    if wanted is not None and result.returncode != wanted:
        raise AssertionError(f"{' '.join(map(str, command))}: {result.returncode}\n{result.stdout}{result.stderr}")
    return result


def field(deb, name):
    return run("dpkg-deb", "-f", deb, name).stdout.strip()


def empty_root(folder):
    """What dpkg needs of a system; the packages' dependencies are those of the machine."""
    for name in ("var/lib/dpkg/info", "var/lib/dpkg/updates", "var/lib/dpkg/triggers"):
        (folder / name).mkdir(parents=True)
    (folder / "var/lib/dpkg/status").touch()
    return folder


def dpkg(root, *words):
    # No scripts run and nothing outside `root` is written, so no other rights are needed.
    return run("dpkg", f"--root={root}", f"--log={root}/log", "--force-not-root", "--force-depends",
               "--force-bad-path", *words)


def files_under(root):
    return {path for path in root.rglob("*") if not path.is_dir() and "dpkg" not in path.parts and path.name != "log"}


class Package(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.folder.cleanup)
        packed = pathlib.Path(cls.folder.name) / "packed"
        run(CPACK, "-G", "DEB", "-B", packed, cwd=BUILD)
        cls.debs = {field(deb, "Package"): deb for deb in packed.glob("*.deb")}
        cls.trees = {name: pathlib.Path(cls.folder.name) / name for name in cls.debs}
        for name, deb in cls.debs.items():
            run("dpkg-deb", "-x", deb, cls.trees[name])
        cls.root = empty_root(pathlib.Path(cls.folder.name) / "root")

    def content(self, name, path):
        return (self.trees[name] / path).read_bytes()

    def names(self, name):
        return {str(path.relative_to(self.trees[name])) for path in self.trees[name].rglob("*") if path.is_file()}

    def test_two_packages_of_the_project_s_version(self):
        version = run(BUILD / "coolband", "--version").stdout.split()[1]
        self.assertEqual(set(self.debs), {"coolband", "libcoolband-dev"})
        for deb in self.debs.values():
            self.assertEqual(field(deb, "Version"), f"{version}-1")
        newest = (SOURCE / "docs/debian/changelog").read_text(encoding="utf-8").splitlines()[0]
        self.assertIn(f"({version}-1)", newest)

    def test_dependencies_are_those_of_the_program(self):
        needed = run("ldd", BUILD / "coolband").stdout
        depends = field(self.debs["coolband"], "Depends")
        for library, package in (("libfmt.so", "libfmt"), ("libz.so", "zlib1g"), ("libstdc++.so", "libstdc++6")):
            if library in needed:
                self.assertIn(package, depends)
        self.assertRegex(depends, r"libc6 \(>= ")

    def test_pages_and_papers_are_packed_without_a_time(self):
        papers = ["usr/share/doc/coolband/changelog.Debian.gz", "usr/share/doc/coolband/changelog.gz"]
        pages = {name for name in self.names("coolband") if "/man1/" in name}
        self.assertEqual({pathlib.Path(page).name for page in pages},
                         {path.name + ".gz" for path in (BUILD / "manual/man1").iterdir()})
        for name in papers + sorted(pages):
            packed = self.content("coolband", name)
            self.assertEqual(packed[3:8], bytes(5), name)  # no file name, no time (RFC 1952)
            self.assertTrue(gzip.decompress(packed))
        for package in self.debs:
            self.assertIn(b"Apache-2.0", self.content(package, f"usr/share/doc/{package}/copyright"))

    def test_nothing_tells_where_it_was_built(self):
        for package in self.debs:
            for name in self.names(package):
                self.assertNotIn(str(SOURCE).encode(), self.content(package, name), name)

    @unittest.skipUnless(shutil.which("readelf"), "readelf is not installed")
    def test_the_program_is_hardened(self):
        if not re.search(r"^COOLBAND_HARDEN:BOOL=ON$", (BUILD / "CMakeCache.txt").read_text(), re.MULTILINE):
            self.skipTest("built without COOLBAND_HARDEN")
        program = self.trees["coolband"] / "usr/bin/coolband"
        self.assertRegex(run("readelf", "--file-header", program).stdout, r"Type: +DYN")
        self.assertIn("GNU_RELRO", run("readelf", "--segments", program).stdout)
        self.assertRegex(run("readelf", "--dynamic", program).stdout, r"FLAGS.*NOW")
        self.assertIn("__stack_chk_fail@", run("readelf", "--wide", "--dyn-syms", program).stdout)

    def test_packed_again_it_is_the_same(self):
        again = pathlib.Path(self.folder.name) / "again"
        run(CPACK, "-G", "DEB", "-B", again, cwd=BUILD)
        for deb in self.debs.values():
            self.assertEqual((again / deb.name).read_bytes(), deb.read_bytes(), deb.name)

    def test_installed_used_and_removed(self):
        dpkg(self.root, "-i", *self.debs.values())
        told = dpkg(self.root, "-L", "coolband").stdout.splitlines()
        for path in ("/usr/bin/coolband", "/usr/share/man/man1/coolband-check.1.gz",
                     "/usr/share/bash-completion/completions/coolband",
                     "/usr/share/zsh/vendor-completions/_coolband",
                     "/usr/share/fish/vendor_completions.d/coolband.fish"):
            self.assertIn(path, told)
        demo = self.root / "usr/share/doc/coolband/data/demo"
        result = run(self.root / "usr/bin/coolband", "check", demo / "tour.csv", "--profile", demo / "warden-2.json")
        self.assertIn("VERDICT    the thermostat sticks", result.stdout)
        self.assertEqual(dpkg(self.root, "--verify", "coolband", "libcoolband-dev").stdout, "")
        dpkg(self.root, "--purge", "coolband", "libcoolband-dev")
        self.assertEqual(files_under(self.root), set())

    @unittest.skipUnless(shutil.which("lintian"), "lintian is not installed")
    def test_lintian_finds_no_error(self):
        told = run("lintian", "--allow-root", *self.debs.values(), wanted=None).stdout
        self.assertEqual(re.findall(r"^E: .*", told, re.MULTILINE), [])


def main():
    global CPACK, BUILD
    CPACK, BUILD = sys.argv[1], pathlib.Path(sys.argv[2]).resolve()
    missing = [tool for tool in TOOLS if not shutil.which(tool)]
    if missing:
        print(f"skipped: no {', '.join(missing)} (Debian's dpkg-dev)")
        sys.exit(77)
    unittest.main(argv=sys.argv[:1])


if __name__ == "__main__":
    main()
