# SPDX-License-Identifier: Apache-2.0
"""The pages that the tests of pages look at, written by the program from the demo data."""
import pathlib
import subprocess

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
DEMO = SOURCE / "data" / "demo"
HOSTILE = "</style></title><script src=x>alert(1)</script><img src=\"http://x.invalid/\" onerror=alert(1)>'"


def run(program, *arguments, codes=(0,)):
    result = subprocess.run([program, *map(str, arguments)], cwd=SOURCE, capture_output=True, timeout=300)
    if result.returncode not in codes:
        raise SystemExit(f"{arguments}: exit {result.returncode}: {result.stderr.decode()}")
    return result.stdout


def long_log(path, hours):
    """INVENTED: a drive of many hours with holes, swings and silent columns."""
    rows = ["time_s,coolant_c,load_pct,speed_kmh"]
    for second in range(0, int(hours * 3600), 5):
        if 7200 <= second % 18000 < 8400:
            continue
        coolant = min(84.0, 15.0 + second / 8.0) + (9.0 if second % 6000 > 5400 else 0.0)
        load = "" if 3000 < second % 9000 < 3600 else str(20 + second // 60 % 50)
        rows.append(f"{second},{coolant:.1f},{load},{second // 90 % 110}")
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def write_all(program, folder):
    """Writes each page into `folder` and gives their paths."""
    folder = pathlib.Path(folder)
    band = folder / "warden-2.band.json"
    run(program, "learn", *sorted((DEMO / "warden-2/normal").iterdir()), "--vehicle", "warden-2",
        "--band", band, "-q")
    trips = sorted((DEMO / "warden-2/trips").iterdir())
    stuck = DEMO / "warden-2/trips/stuck-open.csv"
    job = ["--job", "number=" + HOSTILE, "--job", "complaint=" + "runs cold " * 60,
           "--job", "odometer_km=142000", "--job", "long=" + "W" * 300]
    ways = {
        "job": [stuck, "--band", band, *job],
        "explain": [stuck, "--profile", DEMO / "warden-2.json", "--explain"],
        "bare": [DEMO / "warden-2/trips/sticking.csv"],
        "short": [DEMO / "warden-2/trips/too-short.csv"],
        "sensor": [DEMO / "warden-2/trips/sensor-fault.csv", "--band", band],
        "several": [*trips, "--band", band],
        "tour": [DEMO / "tour.csv", "--band", band],
        "long": [long_log(folder / "long.csv", 30), "--job", "number=7"],
    }
    pages = []
    for name, arguments in ways.items():
        pages.append(folder / f"{name}.html")
        run(program, "check", *arguments, "--format", "html", "-o", pages[-1], "-q")
    report = folder / "report.json"
    run(program, "check", stuck, "--band", band, *job, "--format", "json", "-o", report, "-q")
    others = {
        "plan": ["plan", report, "--profile", DEMO / "warden-2.json"],
        "proof": ["verify", "--band", band, "--before", stuck, "--after", DEMO / "warden-2/trips/normal.csv",
                  DEMO / "warden-2/trips/hot-day.csv"],
        "fleet": ["fleet", DEMO, "--no-learn"],
    }
    for name, arguments in others.items():
        pages.append(folder / f"{name}.html")
        run(program, *arguments, "--format", "html", "-o", pages[-1])
    return pages
