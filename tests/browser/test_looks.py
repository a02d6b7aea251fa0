"""test_looks.py - what a person sees on the page, measured: nothing is cut off or lies over something
else, words can be read and told apart from what they stand on, a phone is wide enough, nothing
moves by itself, and what is not seen is named.

Contrast: WCAG 2.2, success criterion 1.4.3 (AA): 4.5 to 1 for text; the formulas are its definitions
of contrast ratio and relative luminance.  Names: 4.1.2.  Width: 1.4.10 (Reflow).
"""
import os
import re
import tempfile
import unittest

from selenium.webdriver.common.by import By

import pages

PHONE = (390, 844)
CONTRAST = 4.5

folder = tempfile.TemporaryDirectory()
driver = None
made = {}


def setUpModule():
    global driver
    driver = pages.browser_open()


def tearDownModule():
    driver.quit()
    folder.cleanup()


def page_of(name, status=0):
    if name not in made:
        path = os.path.join(folder.name, name + ".html")
        pages.run("report", pages.job_file(name), "-o", path, "-q", status=status)
        made[name] = path
    return made[name]


def script(text, *arguments):
    return driver.execute_script(text, *arguments)


def phone_open(name):
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                           {"width": PHONE[0], "height": PHONE[1], "deviceScaleFactor": 1, "mobile": True})
    driver.get("file://" + page_of(name))
    pages.wait_for(driver, "return document.documentElement.dataset.charts === 'shown'")


def layers_each(act):
    """Every layer and every overlay of the page is brought before the eye in turn."""
    for tick in script("const s = document.getElementById('time'); return [0, 0.1, 0.5, 0.9, 1].map((k) => Math.round(k * s.max))"):
        script("const s = document.getElementById('time'); s.value = arguments[0]; s.dispatchEvent(new Event('input'))", tick)
        act(tick)


TEXTS = """
const shown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && e.getBoundingClientRect().width > 0;
return [...document.querySelectorAll('svg.drawing')].filter(shown).flatMap((root) => {
  return [...root.querySelectorAll('text')].filter((t) => shown(t) && t.textContent).map((t) => {
    const b = t.getBoundingClientRect();
    const paper = (t.closest('.field') ? root.querySelector('.frame') : root).getBoundingClientRect();
    return {id: root.id || root.getAttribute('aria-label'), text: t.textContent, halo: t.classList.contains('halo'),
            over: Math.max(paper.left - b.left, b.right - paper.right, paper.top - b.top, b.bottom - paper.bottom),
            size: parseFloat(getComputedStyle(t).fontSize) * Math.hypot(t.getScreenCTM().a, t.getScreenCTM().b),
            box: [b.left, b.top, b.right, b.bottom]};
  });
});
"""


class Drawings(unittest.TestCase):
    """Words of drawings end on their paper, and none lies over another."""

    def texts_stand(self, texts):
        self.assertGreater(len(texts), 20)
        for one in texts:
            self.assertLess(one["over"], 1, one)
        plain = [one for one in texts if not one["halo"]]
        for i, one in enumerate(plain):
            for other in plain[:i]:
                if one["id"] != other["id"]:
                    continue
                (a0, b0, a1, b1), (c0, d0, c1, d1) = one["box"], other["box"]
                across, down = min(a1, c1) - max(a0, c0), min(b1, d1) - max(b0, d0)
                # Boxes of lines are higher than letters: a third of a line in common is none of them.
                self.assertFalse(across > 1 and down > 0.4 * min(b1 - b0, d1 - d0), (one, other))

    def test_on_the_screen(self):
        for name in ("valve_bore", "level_bore", "boss_cavity", "twin_bores", "wide_barrel", "gland_chamber", "long_riser"):
            with self.subTest(job=name):
                pages.page_open(driver, page_of(name))
                layers_each(lambda tick: self.texts_stand(script(TEXTS)))

    def test_on_paper(self):
        for name in ("valve_bore", "level_bore", "long_riser"):
            with self.subTest(job=name):
                pages.media_set(driver, "print")
                pages.page_open(driver, page_of(name), 695, 1000)
                self.texts_stand(script(TEXTS))
        pages.media_set(driver)

    def test_letters_large_enough(self):
        """Figures beside a plan that is as high as a small window allows."""
        for name in ("valve_bore", "boss_cavity", "long_riser"):
            with self.subTest(job=name):
                pages.page_open(driver, page_of(name))
                plan = [one["size"] for one in script(TEXTS) if "plan" in one["id"] and one["text"][0].isdigit()]
                self.assertGreaterEqual(min(plan), 8.3)


class Phone(unittest.TestCase):
    def tearDown(self):
        driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})

    def test_no_wider_than_the_screen(self):
        for name in ("long_riser", "level_bore", "valve_bore"):
            with self.subTest(job=name):
                phone_open(name)
                self.assertLessEqual(script("return document.documentElement.scrollWidth"), PHONE[0])
                pages.screen_keep(driver, f"phone-{name}-top")
                script("document.querySelector('figure.plan').scrollIntoView()")
                pages.screen_keep(driver, f"phone-{name}-plan")

    def test_drawings_and_tables_move_sideways(self):
        phone_open("level_bore")
        sizes = [one["size"] for one in script(TEXTS) if one["id"].startswith(("plan", "wall"))]
        self.assertGreaterEqual(min(sizes), 7.5)
        for selector in ("#checks", "#layers", ".overlay:not(.aside) figure.wall svg.drawing"):
            one = script("return document.querySelector(arguments[0]).closest('.scroll, figure')", selector)
            self.assertEqual(one.value_of_css_property("overflow-x"), "auto", selector)
            self.assertGreater(script("return arguments[0].scrollWidth", one), PHONE[0], selector)
            self.assertEqual(one.get_attribute("tabindex"), "0", selector)

    def test_rows_stay_low(self):
        """A table that moves sideways has no reason for rows of ten lines."""
        phone_open("valve_bore")
        self.assertLess(max(script("return [...document.querySelectorAll('#checks tbody tr')].map((r) => r.getBoundingClientRect().height)")), 75)

    def test_times_do_not_touch(self):
        phone_open("long_riser")
        boxes = script("""
          const chart = Chart.getChart(document.querySelector('#speed-chart canvas')), x = chart.scales.x;
          chart.ctx.font = '12px sans-serif';
          return x.ticks.map((t) => [x.getPixelForValue(t.value), chart.ctx.measureText(t.label).width, t.value, t.label]);""")
        self.assertGreaterEqual(len(boxes), 3)
        for (x0, w0, _, _), (x1, w1, at, _) in zip(boxes, boxes[1:]):
            self.assertGreater(x1 - x0, (w0 + w1) / 2 + 4)
            self.assertEqual(at % 60, 0)


CONTRASTS = """
const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
const rgba = (colour) => {
  canvas.clearRect(0, 0, 1, 1);
  canvas.fillStyle = colour;
  canvas.fillRect(0, 0, 1, 1);
  return [...canvas.getImageData(0, 0, 1, 1).data];
};
const light = (c) => { const v = c / 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
const luminance = ([r, g, b]) => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
const under = (e) => {
  for (let at = e; at; at = at.parentElement) {
    const c = rgba(getComputedStyle(at).backgroundColor);
    if (c[3] === 255) return c;
  }
  return [255, 255, 255];
};
const found = [];
for (const e of document.querySelectorAll('body *')) {
  const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  if (!own || e.matches('script, style, title, desc') || !e.checkVisibility() || e.closest('noscript')) continue;
  const isDrawn = e.namespaceURI.endsWith('svg');
  const [a, b] = [luminance(rgba(getComputedStyle(e)[isDrawn ? 'fill' : 'color'])), luminance(under(e))];
  found.push([(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), e.tagName + '.' + (e.getAttribute('class') || ''), e.textContent.slice(0, 40)]);
}
return found;
"""


class Words(unittest.TestCase):
    def tearDown(self):
        pages.media_set(driver)

    def test_contrast(self):
        for scheme in ("light", "dark"):
            for name, status in (("keyway_track", 0), ("tight", 1)):
                with self.subTest(scheme=scheme, job=name):
                    pages.media_set(driver, "", scheme)
                    pages.page_open(driver, page_of(name, status))
                    found = script(CONTRASTS)
                    self.assertGreater(len(found), 200)
                    least = min(found)
                    self.assertGreaterEqual(least[0], CONTRAST, least)

    def test_a_bar_that_holds_ends_at_its_mark(self):
        """Also where worst and limit lie below zero: -700 of -900 mm is 78 %."""
        pages.page_open(driver, page_of("long_riser"))
        bars = script("""
          return [...document.querySelectorAll('#checks tbody tr')].filter((r) => r.querySelector('.bar')).map((r) => [
            r.cells[0].textContent, Number(r.querySelector('.bar-taken').getAttribute('width')),
            Number(r.querySelector('.bar-limit').getAttribute('x1')), r.querySelector('.bar').getAttribute('aria-label')])""")
        self.assertGreater(len(bars), 8)
        for check, taken, mark, _ in bars:
            self.assertLessEqual(taken, mark, check)
        self.assertIn(["axis-travel", "77.8 % of the limit"], [[bar[0], bar[3]] for bar in bars])

    def test_every_figure_of_a_check_has_its_unit(self):
        pages.page_open(driver, page_of("cross_port"))
        heads = [cell.text for cell in driver.find_elements(By.CSS_SELECTOR, "#checks thead th")]
        unit = heads.index("Unit")
        for row in driver.find_elements(By.CSS_SELECTOR, "#checks tbody tr"):
            cells = row.find_elements(By.TAG_NAME, "td")
            if cells[heads.index("Worst")].text:
                self.assertTrue(cells[unit].text, row.text)

    def test_figures_are_the_same_in_every_country(self):
        """A browser set to another language puts no signs of its own between the digits."""
        driver.execute_cdp_cmd("Emulation.setLocaleOverride", {"locale": "de-DE"})
        pages.page_open(driver, page_of("long_riser"))
        labels = script("""
          return ['speed', 'accel', 'bore'].map((id) => Chart.getChart(document.querySelector(`#${id}-chart canvas`)).scales)
            .flatMap((s) => [...s.x.ticks, ...s.y.ticks].map((t) => t.label));""")
        driver.execute_cdp_cmd("Emulation.setLocaleOverride", {})
        self.assertIn("0.2", labels)
        for label in labels:
            self.assertRegex(label, r"^(\d+(\.\d+)?|\d+:\d\d:\d\d)$")

    def test_quoted_words_are_set_as_they_stand_in_a_file(self):
        pages.page_open(driver, page_of("blind_pocket", 1))
        quoted = [one.text for one in driver.find_elements(By.CSS_SELECTOR, "#errors .hint code")]
        self.assertTrue(any(text.startswith("depths 16 ..") for text in quoted), quoted)
        self.assertNotIn("`", driver.find_element(By.ID, "errors").text)

    def test_a_finished_wall_is_told_from_what_is_required(self):
        for name, wanted in (("valve_bore", ["required"]), ("finished_seat", ["finished wall", "required to remain"])):
            pages.page_open(driver, page_of(name))
            lines = script("return Chart.getChart(document.querySelector('#bore-chart canvas')).data.datasets.map((d) => [d.label, d.data[0].y])")
            self.assertEqual([label for label, _ in lines[3:]], wanted)
            self.assertEqual([label for label, _ in lines[:3]], ["mean round the wall", "least round the wall", "valley floors, as checked"])
        self.assertEqual([y for _, y in lines[3:]], [2.5, 2.2])  # stock and thickness of finished_seat.lay

    def test_cautions_stand_on_every_page(self):
        for name, status in (("valve_bore", 0), ("tight", 1)):
            pages.page_open(driver, page_of(name, status))
            words = driver.find_element(By.CSS_SELECTOR, "section.whole").text
            for caution in ("Arc radiation", "Fume", "Gas in a bore", "Heat", "Moving robot", "qualified procedure", "local codes", "licensed practice"):
                self.assertIn(caution, words)


class Calm(unittest.TestCase):
    SHIFTS = """
      window.shifts = [];
      new PerformanceObserver((list) => window.shifts.push(...list.getEntries().map((e) => e.value)))
        .observe({type: 'layout-shift', buffered: true});
      return true;"""

    def test_nothing_moves_by_itself(self):
        for name in ("twin_bores", "long_riser"):
            with self.subTest(job=name):
                pages.page_open(driver, page_of(name))
                script(self.SHIFTS)
                pages.wait_for(driver, "return new Promise((r) => setTimeout(() => r(true), 300))")
                self.assertEqual(script("return window.shifts"), [])
                script("document.getElementById('follow').scrollIntoView(); document.getElementById('pace').value = '1200'")
                heights = set()
                layers_each(lambda tick: heights.add(script("return document.getElementById('strip').offsetHeight * 1e5 + document.getElementById('readout').offsetHeight")))
                self.assertEqual(len(heights), 1)

    def test_the_wheel_belongs_to_the_page_first(self):
        pages.page_open(driver, page_of("valve_bore"))
        script("document.getElementById('space').scrollIntoView()")
        pages.wait_for(driver, "return document.documentElement.dataset.space === 'shown'")
        turned = """
          const e = new WheelEvent('wheel', {deltaY: 10, cancelable: true, bubbles: true});
          document.querySelector('#space canvas').dispatchEvent(e);
          return e.defaultPrevented;"""
        self.assertFalse(script(turned))
        script("document.getElementById('space').focus()")
        self.assertTrue(script(turned))


class Named(unittest.TestCase):
    """What a reader of screens says: every control and every picture has a role and a name."""

    NAMED = {"button", "slider", "combobox", "checkbox", "image", "img", "table", "region"}

    def test_names(self):
        pages.page_open(driver, page_of("twin_bores"))
        nodes = driver.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
        seen = set()
        for node in nodes:
            role = node.get("role", {}).get("value", "")
            if node.get("ignored") or role not in self.NAMED:
                continue
            seen.add(role)
            self.assertTrue(node.get("name", {}).get("value", "").strip(), node)
        self.assertLessEqual({"button", "slider", "combobox", "checkbox", "table"}, seen)

    def test_play_says_what_it_does(self):
        """Words that change need no pressed state beside them, which would say the opposite."""
        pages.page_open(driver, page_of("valve_bore"))
        play = driver.find_element(By.ID, "play")
        self.assertIsNone(play.get_attribute("aria-pressed"))
        self.assertEqual(play.text, "Play")
        play.click()
        self.assertEqual(play.text, "Stop")
        play.click()


if __name__ == "__main__":
    unittest.main(verbosity=1)
