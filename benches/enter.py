"""From Enter to an undecided verdict, in the server: the last reading posted, committed, and the page of the verdict sent, with
what of the register would settle it. The median and the longest of many, by a reading that is taken again and again.

usage: enter.py PROGRAM LEDGER SAMPLES
"""

import http.client
import re
import statistics
import subprocess
import sys
import time
import urllib.parse

program, ledger, samples = sys.argv[1], sys.argv[2], int(sys.argv[3])
bench = subprocess.Popen(
    [program, "--ledger", ledger, "bench", "--no-browser", "--port", "0"],
    stdout=subprocess.PIPE,
    stderr=subprocess.STDOUT,
    text=True,
)
for line in bench.stdout:
    if found := re.search(r"http://(127\.0\.0\.1:(\d+))(\S*)", line):
        break
host, port, first = found.groups()
connection = http.client.HTTPConnection("127.0.0.1", int(port))
cookie = None


def ask(method, path, body=None):
    """The page, after the redirection where there is one."""
    global cookie
    headers = {"Origin": f"http://{host}"}
    if cookie:
        headers["Cookie"] = cookie
    if body is not None:
        headers["Content-Type"] = "application/x-www-form-urlencoded"
    connection.request(method, path, body, headers)
    response = connection.getresponse()
    page = response.read().decode()
    if given := response.getheader("Set-Cookie"):
        cookie = given.split(";")[0]
    if response.status == 303:
        return ask("GET", response.getheader("Location"))
    if response.status != 200:
        sys.exit(f"{path}: {response.status}\n{re.sub('<[^>]+>', ' ', page)}")
    return page


page = ask("GET", first)


def enter(line):
    """A line typed on the page; how long the next page takes, in milliseconds."""
    global page
    form = {}
    for name in ("token", "job", "after"):
        form[name] = re.search(rf'name="{name}"[^>]*value="([^"]*)"', page).group(1)
    form["line"] = line
    body = urllib.parse.urlencode(form)
    start = time.perf_counter()
    page = ask("POST", "/answer", body)
    return (time.perf_counter() - start) * 1e3


try:
    set_up = ["M10x1.5-6g", "screw", "", "lot / 1 of 9", "", "", "m0", "c0", "s0", "20.4 20.4 steel"]
    for line in set_up + ["9.000"] * 3 + ["8.868", "8.869", "8.867", "8.868", "8.869"]:
        enter(line)
    enter("8.867")
    if 'value="rolled"' in page or ">rolled<" in page:
        enter("rolled")
    taken = []
    for sample in range(samples):
        enter("/retake")
        taken.append(enter(("8.866", "8.868", "8.867")[sample % 3]))
    words = re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", page))
    if "UNDECIDED" not in words.upper():
        sys.exit(f"the verdict is not open: {words[:600]}")
    taken.sort()
    print(f"{samples} answers: median {statistics.median(taken):.1f} ms, p95 {taken[int(0.95 * samples)]:.1f} ms, longest {taken[-1]:.1f} ms")
finally:
    bench.terminate()
