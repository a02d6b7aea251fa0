"""test_page.py - the page for reviewers in a real browser: what it shows against the stream's rows.

Numbers are compared with the compiled stream (docs/stream-format.md) and with geometry worked out
here, from the header's torch and the shapes as written in the job: nothing of the page's own code.
"""
import base64
import math
import os
import re
import tempfile
import unittest

from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

import pages

A4_WIDE, A4_HIGH = 184.0, 268.0  # mm inside the margins of page.css
PIXEL = 25.4 / 96  # mm of a CSS pixel (CSS Values and Units Level 3, 5.2)

folder = tempfile.TemporaryDirectory()
driver = None
made = {}


def setUpModule():
    global driver
    driver = pages.browser_open()


def tearDownModule():
    driver.quit()
    folder.cleanup()


def job(name, status=0):
    if name not in made:
        made[name] = pages.Job(pages.job_file(name), folder.name, status)
    return made[name]


def show_tick(tick):
    driver.execute_script(
        "const s = document.getElementById('time'); s.value = arguments[0];"
        "s.dispatchEvent(new Event('input'));",
        tick,
    )


SHOWN = """
const slider = document.getElementById('time');
const group = () => [...document.querySelectorAll('.overlay')].find((g) => !g.classList.contains('aside'));
const figures = (text) => (text.match(/-?[\\d.]+(?:e-?\\d+)?/g) || []).map(Number);
const moved = (element) => figures(element.getAttribute('transform'));
return arguments[0].map((tick) => {
  slider.value = tick;
  slider.dispatchEvent(new Event('input'));
  const marker = group().querySelector('.wall-marker');
  const readout = Object.fromEntries([...document.querySelectorAll('#readout div')].map((d) =>
    [d.querySelector('dt').textContent, d.querySelector('dd').textContent]));
  return {
    overlay: Number(group().dataset.overlay),
    plan: moved(group().querySelector('figure.plan g.head')),
    section: moved(document.querySelector('#section g.head')),
    metal: document.querySelector('#section path.metal').getAttribute('d'),
    marker: moved(marker),
    marked: marker.style.display !== 'none',
    scale: Number(group().querySelector('figure.wall svg').dataset.depthScale || 1),
    readout,
  };
});
"""


def degrees_apart(a, b):
    return abs((a - b + 180) % 360 - 180)


class FollowsTheStream(unittest.TestCase):
    """Where the page has the head, at many times, against the rows: 0.01 mm and 0.01 deg."""

    def follow(self, name, count=60):
        one = job(name)
        pages.page_open(driver, one.page)
        ticks = one.some_ticks(count)
        return one, [(one.rows[tick], shown) for tick, shown in zip(ticks, driver.execute_script(SHOWN, ticks))]

    def check_head(self, name, count=60):
        one, places = self.follow(name, count)
        torch, datum = one.header_figures("torch"), one.header_figures("datum")
        for row, shown in places:
            with self.subTest(job=name, t=row["t_s"], phase=row["phase"]):
                x, y, z, head = (float(row[key]) for key in ("x_mm", "y_mm", "z_mm", "head_deg"))
                self.assertLess(abs(shown["plan"][0] - x), 0.01)
                self.assertLess(abs(shown["plan"][1] + y), 0.01)
                self.assertLess(degrees_apart(-shown["plan"][2], head), 0.01)
                self.assertEqual(shown["section"][0], 0)
                self.assertLess(abs(shown["section"][1] + z), 0.01)
                depth = datum["z_mm"] - (z - torch["drop_mm"])
                self.assertLess(abs(shown["marker"][1] / shown["scale"] - depth), 0.01)
        return one, places

    def test_bore_in_rings(self):
        self.check_head("valve_bore")

    def test_racetrack_with_keyway(self):
        self.check_head("keyway_track")

    def test_outline_with_a_boss(self):
        self.check_head("boss_cavity")

    def test_two_overlays(self):
        _, places = self.check_head("twin_bores")
        for row, shown in places:
            if row["overlay"] != "0":
                self.assertEqual(str(shown["overlay"]), row["overlay"], row["t_s"])

    def test_two_hours(self):
        self.check_head("two_hours", 40)

    def test_rows_read_out(self):
        for name in ("valve_bore", "cross_port", "level_bore"):
            _, places = self.follow(name, 80)
            for row, shown in places:
                with self.subTest(job=name, t=row["t_s"], phase=row["phase"]):
                    self.check_readout(row, shown["readout"])

    def check_readout(self, row, said):
        if row["phase"] != "move":
            self.assertEqual(said["Phase"], row["phase"])
        else:
            self.assertTrue(said["Phase"].startswith("move"), said["Phase"])
        wanted = "-" if row["overlay"] == "0" else f"{row['layer']}, {row['lap']}"
        self.assertEqual(said["Layer, lap"], wanted)
        if row["overlay"] != "0":
            self.assertIn(f":{row['line']})", said["Overlay"])
        numbers = lambda text: [float(n) for n in re.findall(r"-?[\d.]+", text)]
        # Between them the page's lines may be off by less than a digit (docs/report.md): one digit.
        self.assertAlmostEqual(numbers(said["Current, voltage"])[0], float(row["current_a"]), delta=0.101)
        self.assertAlmostEqual(numbers(said["Current, voltage"])[1], float(row["voltage_v"]), delta=0.0101)
        self.assertAlmostEqual(numbers(said["Wire"])[0], float(row["wire_mm_s"]), delta=0.00101)
        self.assertEqual(said["Gas, arc"].split(", ")[:2], [("off", "on")[int(row[k])] for k in ("gas", "arc")])
        self.assertEqual("voltage control" in said["Gas, arc"], row["avc"] == "1")
        for key, word in (("x_mm", "x"), ("y_mm", "y"), ("z_mm", "z"), ("head_deg", "head")):
            self.assertAlmostEqual(numbers(said[word])[0], float(row[key]), delta=0.0011)

    def test_marker_lies_on_the_wall(self):
        """s of the bore of valve_bore.lay: radius 42 mm, centre on the datum at (60, 40), s = 0 at the
        part's angle 0, which lies at -15 deg in the cell."""
        one, places = self.follow("valve_bore")
        reach = one.header_figures("torch")["reach_mm"]
        for row, shown in places:
            if row["arc"] != "1":
                continue
            x, y, head = float(row["x_mm"]), float(row["y_mm"]), math.radians(float(row["head_deg"]))
            tip = x + reach * math.cos(head) - 60, y + reach * math.sin(head) - 40
            s = 42 * ((math.atan2(tip[1], tip[0]) + math.radians(15)) % (2 * math.pi))
            off = abs(shown["marker"][0] - s)
            self.assertLess(min(off, 2 * math.pi * 42 - off), 0.01, row["t_s"])
            self.assertTrue(shown["marked"])

    def test_section_is_cut_where_the_head_is(self):
        """In the plane of the torch the bore's wall of valve_bore.lay, a circle, is met where the
        quadratic says, from depth 16 to 90 mm (the datum face lies at 180 mm)."""
        _, places = self.follow("valve_bore", 30)
        for row, shown in places:
            x, y, head = float(row["x_mm"]), float(row["y_mm"]), math.radians(float(row["head_deg"]))
            along = (60 - x) * math.cos(head) + (40 - y) * math.sin(head)
            across = (60 - x) * math.sin(head) - (40 - y) * math.cos(head)
            if abs(across) > 41.9:
                continue
            wall = math.sqrt(42**2 - across**2)
            boxes = [[float(n) for n in re.findall(r"-?[\d.]+", part)] for part in shown["metal"].split("Z") if part]
            bore = sorted((u0, u1) for u0, z1, u1, z0, _ in boxes if -z1 - 1 > 90.0 and -z1 < 180 - 16 + 0.01 and -z0 < 180 - 20)
            self.assertEqual(len(bore), 2, f"{row['t_s']} {shown['metal']}")
            self.assertAlmostEqual(bore[0][1], along - wall, delta=0.01)
            self.assertAlmostEqual(bore[1][0], along + wall, delta=0.01)


class Answers(unittest.TestCase):
    """Hovering, keys and playing."""

    def test_hover_and_focus_tell_of_the_bead(self):
        one = job("valve_bore")
        pages.page_open(driver, one.page)
        wall = driver.find_element(By.CSS_SELECTOR, ".overlay:not(.aside) figure.wall svg")
        driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", wall)
        for lap in ("1", "3", "6"):
            x, y = driver.execute_script(
                """const bead = document.querySelector(`figure.wall .last .beads [data-lap="${arguments[0]}"]`);
                   const at = bead.getPointAtLength(bead.getTotalLength() * 0.3).matrixTransform(bead.getScreenCTM());
                   return [Math.round(at.x), Math.round(at.y)];""",
                lap,
            )
            actions = ActionChains(driver)
            actions.w3c_actions.pointer_action.move_to_location(x, y)
            actions.perform()
            note = driver.find_element(By.ID, "tip")
            self.assertTrue(note.is_displayed())
            self.assertEqual(note.text, f"overlay 1, bore_wall; layer 2, lap {lap}; valve_bore.lay, line 24")
        with open(one.path, encoding="utf-8") as file:
            self.assertIn("overlay bore_wall {", file.read().splitlines()[23])
        pages.screen_keep(driver, "hover")
        first = driver.execute_script(
            "const b = document.querySelector('figure.wall .last .beads [tabindex=\"0\"]'); b.focus(); return b.dataset.lap")
        self.assertIn(f"lap {first};", driver.find_element(By.ID, "tip").text)
        driver.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
        lap = driver.execute_script("return document.activeElement.dataset.lap")
        self.assertNotEqual(lap, first)
        self.assertIn(f"lap {lap};", driver.find_element(By.ID, "tip").text)
        self.assertIn(f"lap {lap}", driver.execute_script("return document.activeElement.getAttribute('aria-label')"))

    def tick(self):
        return int(driver.execute_script("return document.getElementById('time').value"))

    def test_keys(self):
        one = job("valve_bore")
        pages.page_open(driver, one.page)
        slider = driver.find_element(By.ID, "time")
        slider.send_keys(Keys.HOME)
        self.assertEqual(self.tick(), 0)
        slider.send_keys(Keys.ARROW_RIGHT)
        self.assertEqual(self.tick(), 100)
        slider.send_keys(Keys.SHIFT + Keys.ARROW_LEFT + Keys.NULL)
        self.assertEqual(self.tick(), 99)
        slider.send_keys(Keys.PAGE_DOWN)
        self.assertNotEqual(one.rows[self.tick()]["t_s"], one.rows[99]["t_s"])
        slider.send_keys(Keys.END)
        self.assertEqual(self.tick(), len(one.rows) - 1)

    def test_play_and_stop(self):
        pages.page_open(driver, job("valve_bore").page)
        show_tick(20000)
        driver.find_element(By.ID, "play").click()
        pages.wait_for(driver, "return Number(document.getElementById('time').value) > 20050")
        driver.find_element(By.TAG_NAME, "body").send_keys(Keys.SPACE)
        self.assertEqual(driver.find_element(By.ID, "play").text, "Play")
        at = self.tick()
        moved = driver.execute_script("return document.querySelector('figure.plan g.head').getAttribute('transform')")
        show_tick(20000)
        self.assertNotEqual(moved, driver.execute_script("return document.querySelector('figure.plan g.head').getAttribute('transform')"))
        self.assertGreater(at, 20050)

    def test_a_check_leads_to_its_worst_place(self):
        one = job("cross_port")
        pages.page_open(driver, one.page)
        rows = driver.find_elements(By.CSS_SELECTOR, "#checks tbody tr")
        self.assertEqual(len(rows), len(one.summary["checks"]))
        for row, check in zip(rows, one.summary["checks"]):
            self.assertEqual(row.find_element(By.TAG_NAME, "td").text, check["name"])
            if check["t_s"] is None:
                continue
            driver.execute_script("arguments[0].click()", row.find_element(By.CSS_SELECTOR, "button.when"))
            self.assertAlmostEqual(self.tick() * one.summary["tick_s"], check["t_s"], delta=0.51 * one.summary["tick_s"])

    def test_charts_follow(self):
        pages.page_open(driver, job("valve_bore").page)
        lefts = []
        for tick in (0, 70000, 140000):
            show_tick(tick)
            lefts.append(driver.execute_script("return parseFloat(document.querySelector('#speed-chart .cursor').style.left)"))
        self.assertLess(lefts[0], lefts[1])
        self.assertAlmostEqual(lefts[1] - lefts[0], lefts[2] - lefts[1], delta=0.5)

    def test_a_stretch_of_the_charts(self):
        """Over six seconds about the slider the speeds are differences of rows, as near as those are."""
        one = job("valve_bore")
        pages.page_open(driver, one.page)
        at = one.rows.column("phase").index("move", 1000) + 100
        show_tick(at)
        driver.execute_script("const s = document.getElementById('span'); s.value = '6'; s.dispatchEvent(new Event('change'))")
        shown = driver.execute_script(
            "const c = Chart.getChart(document.querySelector('#speed-chart canvas'));"
            "return {from: c.scales.x.min, to: c.scales.x.max, x: c.data.datasets[0].data, head: c.data.datasets[3].data}")
        self.assertAlmostEqual(shown["to"] - shown["from"], 6, delta=1e-6)
        tick = one.summary["tick_s"]
        for name, key, limit in (("x", "x_mm", 200), ("head", "head_deg", 90)):  # speeds of cell_bay_two.lay
            for place in shown[name]:
                k = round(place["x"] / tick)
                if not 0 < k < len(one.rows) - 1 or abs(place["x"] - k * tick) > 1e-6:
                    continue
                slope = (float(one.rows[k + 1][key]) - float(one.rows[k - 1][key])) / (2 * tick)
                self.assertAlmostEqual(place["y"], 100 * abs(slope) / limit, delta=0.2)
        driver.execute_script("const s = document.getElementById('span'); s.value = '0'; s.dispatchEvent(new Event('change'))")
        self.assertAlmostEqual(driver.execute_script(
            "return Chart.getChart(document.querySelector('#speed-chart canvas')).scales.x.max"), one.summary["duration_s"], delta=1e-6)


class Looks(unittest.TestCase):
    """Screens and paper, kept for people to look at."""

    def screens(self, name, scheme, width):
        one = job(name)
        pages.media_set(driver, "", scheme)
        pages.page_open(driver, one.page, width)
        show_tick(len(one.rows) * 2 // 5)
        label = f"{name}-{scheme}-{width}"
        for part, place in (("top", "header"), ("follow", "#follow"), ("wall", ".overlay:not(.aside) figure.wall"),
                            ("space", "#space-figure"), ("charts", "#over-time"), ("quantities", "#quantities-head")):
            driver.execute_script("document.querySelector(arguments[0]).scrollIntoView()", place)
            if part == "space":
                pages.wait_for(driver, "return document.documentElement.dataset.space === 'shown'")
            pages.screen_keep(driver, f"{label}-{part}")
        driver.execute_script("document.querySelector('.overlay:not(.aside) .choice input').click()")
        driver.execute_script("document.querySelector('.overlay:not(.aside) figure.wall').scrollIntoView()")
        shown = driver.execute_script("return document.querySelector('.overlay:not(.aside) figure.wall .thickness.last').getBoundingClientRect().width")
        self.assertGreater(shown, 200)
        pages.screen_keep(driver, f"{label}-thickness")
        wide = driver.execute_script("return document.documentElement.scrollWidth")
        self.assertLessEqual(wide, driver.execute_script("return innerWidth"), "the page is wider than the window")

    def tearDown(self):
        pages.media_set(driver)

    def test_light(self):
        self.screens("cross_port", "light", 1280)

    def test_dark(self):
        self.screens("keyway_track", "dark", 1280)
        paper = driver.execute_script("return getComputedStyle(document.documentElement).backgroundColor")
        red, green, blue = (int(n) for n in re.findall(r"\d+", paper)[:3])
        self.assertLess(red + green + blue, 150)

    def test_narrow(self):
        self.screens("valve_bore", "light", 520)

    def test_two_hours(self):
        self.screens("two_hours", "light", 1280)
        size = os.path.getsize(job("two_hours").page)
        self.assertLess(size, 3_000_000)
        print(f"\n  two hours: {size / 1e6:.2f} MB, usable {driver.execute_script('return document.documentElement.dataset.ready')} ms after it began to load, "
              f"{driver.execute_script('return document.documentElement.dataset.took')} ms of them the page's own script")

    def test_no_drawing_is_clipped_on_paper(self):
        for name in ("twin_bores", "two_hours"):
            with self.subTest(job=name):
                self.paper(name)

    def paper(self, name):
        one = job(name)
        pages.media_set(driver, "print", "dark")
        pages.page_open(driver, one.page, round(A4_WIDE / PIXEL), 1000)
        boxes = driver.execute_script(
            """return [...document.querySelectorAll('svg.drawing')].map((s) => s.getBoundingClientRect())
                 .filter((b) => b.width > 0).map((b) => [b.left, b.width, b.height]);""")
        overlays = len(one.summary["overlays"])
        self.assertGreaterEqual(len(boxes), 2 * overlays + 1)  # plan and wall each, and a section
        for left, wide, high in boxes:
            self.assertGreaterEqual(left, -0.5)
            self.assertLessEqual((left + wide) * PIXEL, A4_WIDE + 0.5)
            self.assertLessEqual(high * PIXEL, A4_HIGH)
            self.assertGreater(wide * PIXEL, 50)
        self.assertFalse(driver.find_element(By.ID, "strip").is_displayed())
        pages.media_set(driver)
        printed = base64.b64decode(driver.execute_cdp_cmd(
            "Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"])
        leaves = len(re.findall(rb"/Type\s*/Page\b", printed))
        os.makedirs(pages.SCREENS, exist_ok=True)
        with open(os.path.join(pages.SCREENS, name + ".pdf"), "wb") as file:
            file.write(printed)
        print(f"\n  {name} on paper: {leaves} leaves")
        self.assertGreater(leaves, overlays + 2)
        self.assertLess(leaves, 12 + 4 * overlays)


class IsOfOnePiece(unittest.TestCase):
    def test_nothing_is_fetched_and_nothing_complains(self):
        for name in ("valve_bore", "twin_bores", "two_hours"):
            with self.subTest(job=name):
                driver.get_log("browser")
                pages.page_open(driver, job(name).page)
                driver.execute_script("document.getElementById('space').scrollIntoView()")
                pages.wait_for(driver, "return document.documentElement.dataset.space === 'shown'")
                self.assertTrue(driver.execute_script("return document.querySelector('#space canvas') !== null"), "no WebGL")
                self.assertEqual(driver.execute_script("return performance.getEntriesByType('resource').length"), 0)
                self.assertEqual(driver.get_log("browser"), [])

    def test_words_of_an_author_stay_words(self):
        hostile = r"""</script><script>document.title='taken'</script><img src=x onerror=alert(1)> & ' @@TITLE@@ <!--"""
        with open(os.path.join(pages.PROGRAMS, "valve_bore.lay"), encoding="utf-8") as file:
            text = file.read()
        text = text.replace('job "valve body bore, two layers"', f'job "{hostile}"')
        text = text.replace('revision "B"', 'revision "<b>&amp;</b>"')
        text = re.sub(r'use "', f'use "{os.path.abspath(pages.PROGRAMS)}/', text)
        path = os.path.join(folder.name, "hostile.lay")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        driver.get_log("browser")
        pages.page_open(driver, pages.Job(path, folder.name).page)
        self.assertEqual(driver.find_element(By.ID, "title").text, hostile)
        self.assertIn(hostile, driver.title)
        self.assertIn("<b>&amp;</b>", driver.find_element(By.ID, "facts").text)
        self.assertEqual(driver.find_elements(By.CSS_SELECTOR, "img"), [])
        self.assertEqual(driver.get_log("browser"), [])

    def test_a_refused_job_says_so(self):
        one = job("tight", status=1)
        driver.get_log("browser")
        pages.page_open(driver, one.page)
        verdict = driver.find_element(By.ID, "verdict")
        failed = [check["name"] for check in one.summary["checks"] if check["verdict"] == "failed"]
        self.assertIn(f"Refused: {len(failed)} of", verdict.text)
        red, green, blue = (int(n) for n in re.findall(r"\d+", verdict.value_of_css_property("color"))[:3])
        self.assertGreater(red, 2 * max(green, blue))
        self.assertIn(one.summary["errors"][0]["message"], driver.find_element(By.ID, "errors").text)
        helps = [error["help"] for error in one.summary["errors"] if "help" in error]
        self.assertEqual([hint.text for hint in driver.find_elements(By.CSS_SELECTOR, "#errors .hint")], helps)
        shown = [row.text.split()[0] for row in driver.find_elements(By.CSS_SELECTOR, "#checks tbody tr")
                 if row.find_elements(By.CSS_SELECTOR, ".fails")]
        self.assertEqual(shown, failed)
        pages.screen_keep(driver, "refused")
        self.assertEqual(driver.get_log("browser"), [])


if __name__ == "__main__":
    unittest.main(verbosity=1)
