# SPDX-License-Identifier: Apache-2.0
"""Writes the demo logs of an invented moor's ranger vehicles: make_demo.py COOLBAND FOLDER.

Every drive is a scenario in data/scenarios, run by `coolband simulate`; the loggers' own headings,
units and shapes are put on here. The same bytes every time; README.md says what each file shows.
"""
import csv
import pathlib
import subprocess
import sys

SCENARIOS = pathlib.Path(__file__).resolve().parent.parent / "scenarios"
INVENTED = "# INVENTED demo data: {}, rangers of Tarn Vale (see README.md)\n"
COLUMNS = ("coolant", "ambient", "load", "rpm", "speed", "altitude")
SNAKE = ("timestamp,coolant_temp_c,ambient_temp_c,engine_load_pct,engine_rpm,speed_kmh,"
         "altitude_m")
PROSE = ("Time [s],Coolant temperature [°C],Outside air temperature [°C],Engine load [%],"
         "Engine speed [rpm],Road speed [km/h],Altitude [m]")
# The van's logger writes °F and mph, and no height.
VAN = ("elapsedTime[s]", "coolantTemp[°F]", "outsideTemp[°F]", "engineLoad[%]",
       "engineSpeed[rpm]", "vehicleSpeed[mph]")


def rows_of(coolband, scenario, *options):
    """Lists of cells as text, time first; an empty cell is no reading."""
    done = subprocess.run([coolband, "simulate", str(scenario), *options], check=True,
                          capture_output=True, text=True, timeout=120)
    rows = list(csv.reader(done.stdout.splitlines()))
    return [row for row in rows if not row[0].startswith("#")][1:]


def to_decimals(cell, decimals):
    return "" if cell == "" else f"{float(cell):.{decimals}f}"


def snake(vehicle, rows):
    lines = [",".join([row[0], to_decimals(row[1], 0), to_decimals(row[2], 1), *row[3:7]])
             for row in rows]
    return INVENTED.format(vehicle) + SNAKE + "\n" + "\n".join(lines) + "\n"


def seconds_from_start(rows):
    def second(text):
        hours, minutes, seconds = text[-8:].split(":")
        return int(hours) * 3600 + int(minutes) * 60 + int(seconds)
    return [str(second(row[0]) - second(rows[0][0])) for row in rows]


def prose(vehicle, rows):
    lines = [",".join([time, to_decimals(row[1], 0), to_decimals(row[2], 1), *row[3:7]])
             for time, row in zip(seconds_from_start(rows), rows)]
    return (INVENTED.format(vehicle) + f"# Trip of {rows[0][0][:10]}\n" + PROSE + "\n" +
            "\n".join(lines) + "\n")


def decimal_comma(vehicle, rows):
    lines = [f"{row[0]};{to_decimals(row[1], 1).replace('.', ',')}" for row in rows]
    return (INVENTED.format(vehicle) + "Date and time;Coolant temp. (°C)\n" +
            "\n".join(lines) + "\n")


def van_cells(row):
    return [cell if place == 0 else to_decimals(cell, 0) or "null"
            for place, cell in enumerate(row[:len(VAN)])]


def van_object(row):
    return "{" + ",".join(f'"{name}":{cell}' for name, cell in zip(VAN, van_cells(row))) + "}"


def van_lines(rows):
    return "".join(van_object(row) + "\n" for row in rows)


def van_array(rows):
    return "[\n" + ",\n".join(van_object(row) for row in rows) + "\n]\n"


def van_columns(rows):
    cells = [van_cells(row) for row in rows]
    columns = [f'\n"{name}": [' + ",".join(cell[place] for cell in cells) + "]"
               for place, name in enumerate(VAN)]
    return "{" + ",".join(columns) + "\n}\n"


def log_of(coolband, name, scenario):
    """Where the log goes, and its text."""
    vehicle = name.parts[0] if len(name.parts) > 1 else "warden-2"
    if vehicle == "warden-1":
        rows = rows_of(coolband, scenario, "--units", "us", "--columns", ",".join(COLUMNS[:-1]))
        if name.stem == "run-02":
            return name.with_suffix(".json"), van_array(rows)
        if name.stem == "run-03":
            return name.with_suffix(".json"), van_columns(rows)
        return name.with_suffix(".jsonl"), van_lines(rows)
    rows = rows_of(coolband, scenario, "--columns", ",".join(COLUMNS))
    style = decimal_comma if vehicle == "warden-3" else \
        prose if name.parent.name == "trips" else snake
    return name.with_suffix(".csv"), style(vehicle, rows)


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: make_demo.py COOLBAND FOLDER")
    coolband, folder = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2])
    for scenario in sorted(SCENARIOS.rglob("*.json")):
        name = scenario.relative_to(SCENARIOS)
        if name.name.endswith(".vehicle.json"):
            continue
        target, text = log_of(coolband, name, scenario)
        (folder / target).parent.mkdir(parents=True, exist_ok=True)
        (folder / target).write_text(text, encoding="utf-8", newline="")


if __name__ == "__main__":
    main()
