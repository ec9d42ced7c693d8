"""Sends a folder of tables to Fineband, reads the answers, and draws D50 over the files.

    python3 sizes.py FOLDER DENSITY [PICTURE.svg]

Needs Python 3.9 or later and nothing beside it. `FINEBAND` says how the command is called here,
as in `FINEBAND="node api/dist/cli.js"` in a checkout; `fineband` when it is not set.
"""

import csv
import os
import shlex
import subprocess
import sys


def sizes(folder, density):
    """One dictionary a measurement: `file`, `name`, `percentilesUm.50` and more, as docs/commands.md names them."""
    command = shlex.split(os.environ.get("FINEBAND", "fineband"))
    asked = ["describe", folder, "--density", str(density), "--rows", "csv"]
    with subprocess.Popen(
        command + asked, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as answering:
        # A line comes as soon as its file is done: five hundred files need no more memory than one.
        yield from csv.DictReader(answering.stdout)
    if answering.returncode == 3:
        raise RuntimeError("Fineband could not answer; it has said why above.")
    if answering.returncode == 2:
        print("Some files were left out; the reasons stand above.", file=sys.stderr)


def picture(d50s_um, width=680, height=300):
    """D50 of each measurement in order, as SVG."""
    low, high = min(d50s_um), max(d50s_um)
    room = 0.1 * (high - low) or 0.1 * high
    low, high = low - room, high + room

    def at(place, value):
        x = 60 + (width - 80) * place / max(1, len(d50s_um) - 1)
        return f'<circle cx="{x:.1f}" cy="{20 + (height - 60) * (high - value) / (high - low):.1f}" r="2"/>'

    dots = "".join(at(place, value) for place, value in enumerate(d50s_um))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" font-family="sans-serif" font-size="12">'
        f'<rect x="60" y="20" width="{width - 80}" height="{height - 60}" fill="none" stroke="#777"/>'
        f'<text x="54" y="24" text-anchor="end">{high:.3g}</text>'
        f'<text x="54" y="{height - 40}" text-anchor="end">{low:.3g}</text>'
        f'<text x="60" y="{height - 16}">measurements in order; D50 in µm</text>{dots}</svg>'
    )


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    folder, density, *out = sys.argv[1:]
    d50s_um = [float(row["percentilesUm.50"]) for row in sizes(folder, density)]
    if not d50s_um:
        sys.exit("No measurement could be read.")
    out = out[0] if out else "d50.svg"
    with open(out, "w", encoding="utf-8") as file:
        file.write(picture(d50s_um))
    mean = sum(d50s_um) / len(d50s_um)
    print(f"{len(d50s_um)} measurements, mean D50 {mean:.3f} µm; picture in {out}.")
