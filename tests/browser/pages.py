"""pages.py - makes the pages and streams that are tested, and opens them in a browser.

The browser is Debian's chromium, driven by its chromium-driver through Debian's python3-selenium;
no network: the page is opened from the disk with every connection off.
"""
import json
import os
import random
import subprocess
import sys

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service

BORELAY = os.environ.get("BORELAY", "build/borelay")
SCREENS = os.environ.get("SCREENS", "build/screens")
HERE = os.path.dirname(os.path.abspath(__file__))
PROGRAMS = os.path.join(HERE, "..", "..", "programs")
JOBS = os.path.join(HERE, "..", "cli", "jobs")  # some of them are refused
SEED = int(os.environ.get("BORELAY_SEED", "20260"))
random_source = random.Random(SEED)

SWITCHES = [
    "--headless=new",
    "--no-sandbox",  # so that it runs as root too
    "--disable-dev-shm-usage",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",  # WebGL without a graphics card
    "--hide-scrollbars",
    "--force-device-scale-factor=1",
    "--disable-background-networking",
]


def job_file(name):
    places = [os.path.join(place, name + ".lay") for place in (HERE, PROGRAMS, JOBS)]
    return next(filter(os.path.exists, places))


def run(*arguments, status=0):
    done = subprocess.run([BORELAY, *arguments], capture_output=True, text=True)
    if done.returncode != status:
        sys.exit(f"borelay {' '.join(arguments)}: exit status {done.returncode}, wanted {status}\n{done.stderr}")
    return done.stdout


class Rows:
    """Rows of a stream as dictionaries, each made when it is asked for."""

    def __init__(self, lines):
        self.names = lines[0].split(",")
        self.lines = lines[1:]

    def __len__(self):
        return len(self.lines)

    def __getitem__(self, index):
        return dict(zip(self.names, self.lines[index].split(",")))

    def column(self, name):
        place = self.names.index(name)
        return [line.split(",")[place] for line in self.lines]


class Job:
    """A job's page, its summary and, where it passed, the rows of its stream."""

    def __init__(self, path, folder, status=0):
        self.name = os.path.splitext(os.path.basename(path))[0]
        self.path = path
        self.page = os.path.join(folder, self.name + ".html")
        run("report", path, "-o", self.page, "-q", status=status)
        self.summary = json.loads(run("check", path, "--json", status=status))
        self.rows, self.header = [], []
        if status == 0:
            self.stream = os.path.join(folder, self.name + ".csv")
            run("compile", path, "-o", self.stream, "-q")
            self._read()

    def _read(self):
        with open(self.stream, encoding="utf-8") as file:
            lines = file.read().splitlines()
        self.header = [line for line in lines if line.startswith("#")]
        self.rows = Rows([line for line in lines if not line.startswith("#")])

    def header_figures(self, name):
        """{"reach_mm": 34.0, ...} of one header line."""
        words = next(line for line in self.header if line.startswith(f"# {name} ")).split()[2:]
        return {key: float(value) for key, value in zip(words[::2], words[1::2])}

    def some_ticks(self, count):
        """The first and last row, rows on borders of phases and beside them, and any others."""
        rows = self.rows
        phases = rows.column("phase")
        borders = [k for k in range(1, len(rows)) if phases[k] != phases[k - 1]]
        chosen = {0, len(rows) - 1}
        for border in random_source.sample(borders, min(len(borders), count // 3)):
            chosen.update((border - 1, border))
        while len(chosen) < count:
            chosen.add(random_source.randrange(len(rows)))
        return sorted(chosen)


def browser_open():
    options = Options()
    for switch in SWITCHES:
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)
    driver.set_script_timeout(60)
    driver.execute_cdp_cmd("Network.enable", {})
    driver.execute_cdp_cmd(
        "Network.emulateNetworkConditions",
        {"offline": True, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1},
    )
    return driver


def media_set(driver, media="", scheme="light"):
    driver.execute_cdp_cmd(
        "Emulation.setEmulatedMedia",
        {"media": media, "features": [{"name": "prefers-color-scheme", "value": scheme}]},
    )


def page_open(driver, path, width=1280, height=900):
    driver.set_window_size(width, height)
    driver.get("file://" + os.path.abspath(path))
    wait_for(driver, "return document.documentElement.dataset.charts === 'shown'")


def wait_for(driver, script, seconds=40):
    """Until the script gives true; the machine may be slow, so the limit is wide."""
    done = driver.execute_async_script(
        """const [script, ms, done] = arguments;
           const look = new Function(script), end = Date.now() + ms;
           const again = () => look() ? done(true) : Date.now() > end ? done(false) : setTimeout(again, 50);
           again();""",
        script,
        int(seconds * 1000),
    )
    if not done:
        raise AssertionError(f"never true: {script}")


def screen_keep(driver, name):
    os.makedirs(SCREENS, exist_ok=True)
    driver.save_screenshot(os.path.join(SCREENS, name + ".png"))
