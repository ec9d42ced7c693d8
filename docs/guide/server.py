"""Starts a server of its own, asks it about one table over HTTP, and stops it.

    python3 server.py TABLE BAND.json

Needs Python 3.9 or later and nothing beside it; `FINEBAND` as in sizes.py.
"""

import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
from urllib.request import Request, urlopen


def ask(address, question, body):
    request = Request(
        f"{address}api/{question}",
        json.dumps(body).encode(),
        {"Content-Type": "application/json"},
    )
    with urlopen(request) as answer:
        return json.load(answer)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    table, band = sys.argv[1:]
    command = shlex.split(os.environ.get("FINEBAND", "fineband"))
    with tempfile.TemporaryDirectory() as folder:
        serving = ["serve", "--port", "0", "--data", folder]
        server = subprocess.Popen(command + serving, stdout=subprocess.PIPE, text=True, encoding="utf-8")
        try:
            said = (re.search(r"http://\S+/", line) for line in server.stdout)
            address = next(found.group() for found in said if found)
            with open(table, encoding="utf-8") as text, open(band, encoding="utf-8") as limits:
                answer = ask(address, "check", {"text": text.read(), "band": json.load(limits)})
            print(answer["verdict"])
            print(answer["sentence"])
        finally:
            server.terminate()
            server.wait()
