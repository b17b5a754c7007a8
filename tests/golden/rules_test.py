# SPDX-License-Identifier: Apache-2.0
"""The rules of a well-behaved command-line program, tested from outside: rules_test.py PROGRAM."""
import json
import os
import pathlib
import pty
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
TRIPS = "data/demo/warden-2/trips"
NORMAL = f"{TRIPS}/normal.csv"
COMMANDS = ("inspect", "check")
ESCAPE = b"\x1b["
PROGRAM = ""


def environment(**changes):
    """A bare environment; a change to None removes a variable."""
    kept = {"PATH": os.environ["PATH"], "LC_ALL": "C", "TZ": "UTC", "TERM": "xterm"}
    return {key: value for key, value in (kept | changes).items() if value is not None}


def run(*arguments, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, cwd=SOURCE, **changes):
    return subprocess.run([PROGRAM, *map(str, arguments)], cwd=cwd, env=environment(**changes),
                          stdin=stdin, stdout=stdout, stderr=subprocess.PIPE, timeout=60)


def in_terminal(*arguments, **changes):
    """What the program writes to a terminal that is its input, output and error; and its code."""
    try:
        pid, terminal = pty.fork()
    except OSError as error:
        raise unittest.SkipTest(f"no terminal to be had here: {error}") from error
    if pid == 0:
        os.chdir(SOURCE)
        os.execve(PROGRAM, [PROGRAM, *arguments], environment(**changes))
    written = b""
    while True:
        try:
            block = os.read(terminal, 65536)
        except OSError:  # Linux says so when the last writer has gone.
            break
        if not block:
            break
        written += block
    os.close(terminal)
    return written, os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


class Folder(unittest.TestCase):
    """A test with a folder of its own."""

    def setUp(self):
        keeper = tempfile.TemporaryDirectory()
        self.addCleanup(keeper.cleanup)
        self.folder = pathlib.Path(keeper.name)

    def files(self):
        return sorted(path.name for path in self.folder.iterdir())

    def learn(self, *arguments):
        return run("learn", *sorted((SOURCE / "data/demo/warden-3/normal").iterdir()),
                   "--vehicle", "v", *arguments)


class Streams(Folder):
    def test_a_full_disk_is_noticed(self):
        for arguments in (["--help"], ["--version"], ["coolant"], *[[c, NORMAL] for c in COMMANDS]):
            with self.subTest(arguments), open("/dev/full", "wb") as full:
                result = run(*arguments, stdout=full)
                self.assertEqual(result.returncode, 4)
                self.assertIn(b"No space left", result.stderr)
        for command in COMMANDS:
            self.assertEqual(run(command, NORMAL, "-o", "/dev/full").returncode, 4)
        self.assertEqual(self.learn("--band", "/dev/full").returncode, 4)

    def test_a_closed_output_is_noticed(self):
        result = subprocess.run(["/bin/sh", "-c", f'"{PROGRAM}" check {NORMAL} >&-'], cwd=SOURCE,
                                capture_output=True, timeout=60)
        self.assertEqual(result.returncode, 4)

    def test_a_reader_that_has_enough_is_no_error(self):
        reading, writing = os.pipe()
        os.close(reading)
        result = run("check", NORMAL, stdout=writing)
        os.close(writing)
        self.assertEqual(result.stderr, b"")
        self.assertIn(result.returncode, (0, -signal.SIGPIPE))

    def test_results_go_to_standard_output_only(self):
        for command in COMMANDS:
            result = run(command, f"{TRIPS}/sensor-fault.csv", "--format", "json", "--verbose")
            self.assertEqual(json.loads(result.stdout)["tool"]["name"], "coolband")
            self.assertTrue(result.stderr)

    def test_no_arguments_are_wrong_usage_and_never_a_wait(self):
        result = run()
        self.assertEqual((result.returncode, result.stdout), (2, b""))
        self.assertIn(b"Usage:", result.stderr)
        self.assertEqual(in_terminal()[1], 2)
        for command in COMMANDS:
            written, code = in_terminal(command)
            self.assertEqual(code, 2)
            self.assertIn(b"standard input is a terminal", written)

    def test_an_input_that_never_was_is_an_input_error(self):
        result = subprocess.run(["/bin/sh", "-c", f'"{PROGRAM}" check - <&-'], cwd=SOURCE,
                                capture_output=True, timeout=60)
        self.assertEqual(result.returncode, 3)


class Files(Folder):
    def test_a_failed_run_leaves_no_file(self):
        out = self.folder / "out"
        for code, arguments in ((3, ["check", "missing.csv", "-o", out]),
                                (2, ["check", NORMAL, "--band", "missing.json", "-o", out]),
                                (2, ["check", NORMAL, "--format", "xml", "-o", out]),
                                (2, ["check", NORMAL, "--column", "coolant=none", "-o", out]),
                                (4, ["check", NORMAL, "-o", self.folder / "none" / "out"]),
                                (3, ["learn", f"{TRIPS}/too-short.csv", "--vehicle", "v",
                                     "--band", out])):
            with self.subTest(arguments):
                self.assertEqual(run(*arguments).returncode, code)
                self.assertEqual(self.files(), [])

    def test_a_file_that_exists_is_kept_unless_told(self):
        out = self.folder / "out"
        out.write_text("mine")
        self.assertEqual(run("check", NORMAL, "-o", out).returncode, 4)
        self.assertEqual(self.learn("--band", out).returncode, 4)
        self.assertEqual(out.read_text(), "mine")
        self.assertEqual(run("check", NORMAL, "-o", out, "--overwrite").returncode, 0)
        self.assertEqual(out.read_bytes(), run("check", NORMAL).stdout)
        self.assertEqual(self.files(), ["out"])

    def test_a_full_quota_leaves_the_old_file(self):
        out = self.folder / "out"
        out.write_text("mine")
        limited = (f'ulimit -f 1; trap "" XFSZ; '
                   f'exec "{PROGRAM}" check {NORMAL} -o "{out}" --overwrite')
        result = subprocess.run(["/bin/sh", "-c", limited], cwd=SOURCE, capture_output=True,
                                timeout=60)
        self.assertEqual(result.returncode, 4, result.stderr)
        self.assertEqual(out.read_text(), "mine")
        self.assertEqual(self.files(), ["out"])

    def test_a_new_file_has_the_permissions_that_the_mask_leaves(self):
        out = self.folder / "out"
        subprocess.run(["/bin/sh", "-c", f'umask 027; exec "{PROGRAM}" check {NORMAL} -o "{out}"'],
                       cwd=SOURCE, check=True, timeout=60)
        self.assertEqual(out.stat().st_mode & 0o777, 0o640)

    def test_an_input_is_never_overwritten_by_the_output(self):
        log = self.folder / "log.csv"
        log.write_bytes((SOURCE / NORMAL).read_bytes())
        run("check", log, "-o", log, "--overwrite")
        self.assertEqual(log.read_bytes(), (SOURCE / NORMAL).read_bytes())

    def test_the_band_is_never_overwritten_by_the_words_about_it(self):
        band = self.folder / "band.json"
        self.learn("--band", band, "-o", band, "--overwrite")
        if band.exists():
            self.assertEqual(json.loads(band.read_text())["schema"], "coolband.band/1")


    def test_a_band_that_learn_writes_can_be_read_again(self):
        # Two drives 40 K apart: as wide a band as --keep-all can come to in practice.
        band = self.folder / "band.json"
        code = run("learn", "data/demo/warden-2/normal/2031-01-18.csv",
                   "data/demo/warden-3/normal/2030-04-11.csv", "--vehicle", "v", "--band", band,
                   "--keep-all").returncode
        self.assertEqual(band.exists(), code == 0)
        if band.exists():
            self.assertEqual(run("check", NORMAL, "--band", band).returncode, 0)


class Interrupt(Folder):
    def interrupted(self, signal_number):
        out = self.folder / "out"
        process = subprocess.Popen([PROGRAM, "check", "-", "-o", str(out)], stdin=subprocess.PIPE,
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=SOURCE,
                                   env=environment())
        # More than a pipe holds: once it is all written, the program is at work for certain.
        process.stdin.write((SOURCE / NORMAL).read_bytes() * 8)
        process.stdin.flush()
        self.assertIsNone(process.poll(), "it should wait for more rows")
        process.send_signal(signal_number)
        code = process.wait(timeout=10)
        for stream in (process.stdin, process.stdout, process.stderr):
            stream.close()
        return code

    def test_interrupting_ends_with_130_and_without_a_file(self):
        self.assertEqual(self.interrupted(signal.SIGINT), 130)
        self.assertEqual(self.files(), [])

    def test_terminating_leaves_no_file(self):
        self.assertNotEqual(self.interrupted(signal.SIGTERM), 0)
        self.assertEqual(self.files(), [])


class SameBytes(Folder):
    SURROUNDINGS = ({}, {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"}, {"LC_ALL": "C.UTF-8"},
                    {"LC_ALL": "tr_TR.UTF-8"}, {"TZ": "Asia/Kathmandu"},
                    {"TZ": "America/St_Johns", "LC_ALL": None}, {"COLUMNS": "40"}, {"HOME": "/"})

    def test_locale_and_time_zone_change_nothing(self):
        logs = ("data/demo/tour.csv", "data/demo/warden-3/trips/sticking.csv")
        for arguments in ([c, log, "--format", f] for c in COMMANDS for log in logs
                          for f in ("text", "json")):
            outputs = {run(*arguments, **changes).stdout for changes in self.SURROUNDINGS}
            self.assertEqual(len(outputs), 1, arguments)

    def test_a_locale_with_a_decimal_comma_changes_nothing(self):
        # Few machines have the locale, so it is made here.
        made = subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", self.folder / "de_DE.UTF-8"],
                              capture_output=True, check=False) if shutil.which("localedef") else None
        if made is None or not (self.folder / "de_DE.UTF-8").exists():
            self.skipTest("no localedef, or no sources of locales")
        german = {"LC_ALL": "de_DE.UTF-8", "LOCPATH": str(self.folder)}
        number = subprocess.run(["/usr/bin/printf", "%.1f", "0"], env=environment(**german),
                                capture_output=True, check=True).stdout
        if number != b"0,0":
            self.skipTest("the locale could not be made (Debian's package locales has its sources)")
        for log in ("data/demo/tour.csv", "data/demo/warden-3/trips/sticking.csv"):
            for arguments in (["check", log], ["check", log, "--format", "json", "--ambient", "12.5"]):
                self.assertEqual(run(*arguments, **german).stdout, run(*arguments).stdout)

    def test_a_band_is_the_same_in_every_surrounding(self):
        bands = set()
        for number, changes in enumerate(self.SURROUNDINGS):
            band = self.folder / f"{number}.json"
            run("learn", "data/demo/warden-3/normal/2030-04-11.csv", "--vehicle", "v", "--band", band,
                **changes)
            bands.add(band.read_bytes())
        self.assertEqual(len(bands), 1)

    def test_a_pipe_in_odd_pieces_reads_as_the_file(self):
        text = (SOURCE / "data/demo/warden-3/trips/sticking.csv").read_bytes()
        whole = run("inspect", "data/demo/warden-3/trips/sticking.csv", "--format", "json").stdout
        process = subprocess.Popen([PROGRAM, "inspect", "--format", "json"], stdin=subprocess.PIPE,
                                   stdout=subprocess.PIPE, cwd=SOURCE, env=environment())
        for start in range(0, len(text), 997):
            process.stdin.write(text[start:start + 997])
            process.stdin.flush()
        piped = process.communicate(timeout=60)[0]
        self.assertEqual(json.loads(piped) | {"source": ""}, json.loads(whole) | {"source": ""})

    def test_quiet_and_verbose_leave_the_result_alone(self):
        plain = run("inspect", f"{TRIPS}/sensor-fault.csv").stdout
        for option in ("--quiet", "--verbose", "--no-progress"):
            self.assertEqual(run("inspect", f"{TRIPS}/sensor-fault.csv", option).stdout, plain)

    def test_the_working_folder_and_the_path_show_nowhere_but_in_the_source(self):
        inside = run("check", "normal.csv", "--format", "json", cwd=SOURCE / TRIPS).stdout
        outside = run("check", SOURCE / NORMAL, "--format", "json").stdout
        self.assertNotIn(str(SOURCE).encode(), inside)
        self.assertEqual(inside, outside.replace(f"{SOURCE / NORMAL}".encode(), b"normal.csv"))


class Colour(unittest.TestCase):
    def test_colour_only_on_a_capable_terminal_unless_told(self):
        for coloured, arguments, changes in (
                (True, [], {}), (False, [], {"TERM": "dumb"}), (False, [], {"TERM": None}),
                (False, [], {"NO_COLOR": "1"}), (True, [], {"NO_COLOR": ""}),
                (False, ["--color", "never"], {}), (True, ["--color", "always"], {"NO_COLOR": "1"}),
                (True, ["--color=always"], {"TERM": "dumb"})):
            with self.subTest(arguments=arguments, changes=changes):
                written, code = in_terminal("check", NORMAL, *arguments, **changes)
                self.assertEqual(code, 0)
                self.assertEqual(ESCAPE in written, coloured)

    def test_a_pipe_is_never_coloured_unless_told(self):
        self.assertNotIn(ESCAPE, run("check", NORMAL).stdout)
        self.assertIn(ESCAPE, run("check", NORMAL, "--color", "always").stdout)

    def test_json_is_never_coloured(self):
        for form in ("json", "jsonl"):
            written, _ = in_terminal("check", NORMAL, "--format", form, "--color", "always")
            self.assertNotIn(ESCAPE, written)

    def test_colour_is_never_the_only_carrier(self):
        plain = run("check", f"{TRIPS}/stuck-open.csv").stdout
        coloured = run("check", f"{TRIPS}/stuck-open.csv", "--color", "always").stdout
        self.assertEqual(re.sub(rb"\x1b\[[0-9;]*m", b"", coloured), plain)


class Words(unittest.TestCase):
    def help_of(self, *command):
        for option in ("--help", "-h"):
            result = run(*command, option)
            self.assertEqual((result.returncode, result.stderr), (0, b""))
        return result.stdout.decode()

    def test_every_help_shows_purpose_usage_and_an_example(self):
        for command in ([], ["inspect"], ["learn"], ["check"]):
            text = self.help_of(*command)
            for part in ("Usage: coolband", "Example", "--help"):
                self.assertIn(part, text)
            self.assertIn(f"  coolband {' '.join(command)}".rstrip(), text)

    def test_the_version_is_one_line(self):
        self.assertRegex(run("--version").stdout.decode(), r"\Acoolband \d+\.\d+\.\d+\n\Z")

    def test_errors_begin_with_the_name_and_no_library_code_leaks(self):
        wrong = (["check", "--zzz"], ["check", "--format", "xml", NORMAL], ["zzz"],
                 ["check", "--format"], ["learn", NORMAL], ["check", NORMAL, "--ambient", "x"])
        for arguments in wrong:
            with self.subTest(arguments):
                result = run(*arguments)
                self.assertEqual((result.returncode, result.stdout), (2, b""))
                first = result.stderr.decode().splitlines()[0]
                self.assertRegex(first, r"\Acoolband: [^A-Z].*[^.]\Z")

    def test_a_number_that_is_none_is_refused(self):
        for option in ("--ambient", "--altitude"):
            for value in ("nan", "inf", "-inf", "1e999", "", "12abc"):
                with self.subTest(option=option, value=value):
                    self.assertEqual(run("check", NORMAL, f"{option}={value}").returncode, 2)

    def test_a_misspelt_required_option_is_suggested_too(self):
        result = run("learn", NORMAL, "--vehical", "x", "--band", "/dev/null")
        self.assertIn(b"did you mean '--vehicle' instead of '--vehical'?", result.stderr)

    def test_a_misspelt_column_is_suggested(self):
        result = run("check", NORMAL, "--column", "coolant=Coolant temperatur [°C]")
        self.assertEqual(result.returncode, 2)
        self.assertIn('did you mean --column coolant="Coolant temperature [°C]"?', result.stderr.decode())

    def test_a_vehicle_without_a_name_is_refused(self):
        result = run("learn", NORMAL, "--vehicle", "", "--band", "/dev/null")
        self.assertEqual(result.returncode, 2)


class Picture(Folder):
    def test_a_picture_is_xml_that_asks_for_nothing(self):
        """Read by Python's own XML parser, not by ours."""
        result = run("learn", *(SOURCE / "data/demo/warden-2/normal").glob("*.csv"), "--vehicle",
                     "<a&\"'\x01>", "--band", self.folder / "b.json", "--format", "svg")
        self.assertEqual((result.returncode, result.stderr), (0, b""))
        root = xml.etree.ElementTree.fromstring(result.stdout)
        self.assertEqual(root.tag, "{http://www.w3.org/2000/svg}svg")
        self.assertIn("<a&\"'\ufffd>: ", root[0].text)
        for element in root.iter():
            self.assertNotIn("script", element.tag)
            for name, value in element.attrib.items():
                self.assertFalse(name.startswith("on") or name.endswith("href"), name)
                self.assertRegex(value, r"\A(?!.*url\((?!#))")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: rules_test.py PROGRAM [unittest options]")
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
