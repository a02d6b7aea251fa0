"""test_comparison.py - the page of `compare --page` in a real browser: every layer is drawn, nothing
is clipped, the two jobs can be told apart, and words of an author stay words.
"""
import base64
import os
import re
import tempfile
import unittest

from selenium.webdriver.common.by import By

import pages
from test_looks import CONTRAST, CONTRASTS

LAYERS = 6
HOSTILE = "</style><script>document.title='taken'</script> & <b>"
A4_WIDE, A4_HIGH = 184.0, 269.0  # mm inside the margins of src/compare/page_style.c
PIXEL = 25.4 / 96  # mm of a CSS pixel (CSS Values and Units Level 3, 5.2)

folder = tempfile.TemporaryDirectory()
driver = None


def job_write(name, *changes):
    """auto.lay with plain numbers, and what is told to change."""
    with open(os.path.join(pages.JOBS, "auto.lay"), encoding="utf-8") as file:
        text = file.read()
    plain = [("layers auto", f"layers {LAYERS}"), ("overlap auto", "overlap 30 %"),
             ("  require { thickness least; flatness ridge; iron iron }\n", ""),
             ('"shop.lay"', f'"{os.path.abspath(pages.JOBS)}/shop.lay"')]
    for old, new in plain + list(changes):
        assert old in text, old
        text = text.replace(old, new)
    path = os.path.join(folder.name, name)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return path


def page_make(name, before, after):
    path = os.path.join(folder.name, name)
    pages.run("compare", "-q", "--page", path, before, after, status=1)
    return path


def setUpModule():
    global driver
    driver = pages.browser_open()


def tearDownModule():
    driver.quit()
    folder.cleanup()


def boxes(selector):
    return driver.execute_script(
        "return [...document.querySelectorAll(arguments[0])].map((e) => e.getBoundingClientRect())"
        ".map((b) => [b.left, b.top, b.width, b.height])", selector)


def colour(selector, part="stroke"):
    return driver.execute_script(
        "return getComputedStyle(document.querySelector(arguments[0]))[arguments[1]]", selector, part)


class Comparison(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.page = page_make("layers.html", job_write("before.lay"),
                             job_write("after.lay", ("depths 40 .. 70", "depths 42 .. 74")))

    def open(self, width=1280, scheme="light", media=""):
        pages.media_set(driver, media, scheme)
        driver.set_window_size(width, 900)
        driver.get_log("browser")
        driver.get("file://" + self.page)
        self.assertEqual(driver.get_log("browser"), [])

    def tearDown(self):
        pages.media_set(driver)

    def keep(self, label):
        for part, place in (("top", "h1"), ("plan", "figure"), ("walls", ".walls"), ("last", ".walls figure:last-child")):
            driver.execute_script("document.querySelector(arguments[0]).scrollIntoView()", place)
            pages.screen_keep(driver, f"comparison-{label}-{part}")

    def fits(self, width):
        """Every drawing is there, wide enough to be read, and no wider than the window."""
        walls = boxes(".walls svg.drawing")
        self.assertEqual(len(walls), LAYERS)
        for left, _, wide, high in walls:
            self.assertGreaterEqual(left, 0)
            self.assertLessEqual(left + wide, width)
            self.assertGreater(wide, 400)
            self.assertGreater(high, 60)
        self.assertLessEqual(driver.execute_script("return document.documentElement.scrollWidth"), width)
        captions = [c.text for c in driver.find_elements(By.CSS_SELECTOR, ".walls figcaption")]
        self.assertEqual(captions, [f"Wall unrolled, layer {k + 1}" for k in range(LAYERS)])

    def letters(self):
        """Least height of a line of text in the drawings as it stands on the screen, in pixels."""
        return driver.execute_script(
            """return Math.min(...[...document.querySelectorAll('.walls svg.drawing text')]
                 .map((t) => parseFloat(getComputedStyle(t).fontSize) * Math.abs(t.getScreenCTM().a || t.getScreenCTM().b)))""")

    def test_every_layer_wide(self):
        self.open(1280)
        self.fits(1280)
        self.assertGreaterEqual(self.letters(), 10)
        self.keep("light-1280")

    def test_every_layer_narrow(self):
        self.open(700)
        self.fits(700)
        self.assertGreaterEqual(self.letters(), 5)
        self.keep("light-700")

    def test_phone(self):
        """The page is no wider than the window; its tables move sideways, with words that can be read."""
        self.open(420)
        self.assertLessEqual(driver.execute_script("return document.documentElement.scrollWidth"), 420)
        for _, _, wide, high in boxes("td:last-child"):
            self.assertLess(high, 3 * wide)
        pages.screen_keep(driver, "comparison-phone")

    def test_phone_with_long_names(self):
        """The page stays as wide as the phone, no word is broken into letters, rows are not ten lines high, and
        drawings move sideways with letters of 6 px and more."""
        riser = pages.job_file("long_riser")
        with open(riser, encoding="utf-8") as file:
            text = file.read()
        after = os.path.join(folder.name, "long_after.lay")
        with open(after, "w", encoding="utf-8") as file:
            file.write(text.replace("depths 40 .. 700 mm", "depths 44 .. 690 mm"))
        page = page_make("long.html", riser, after)
        driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True})
        driver.get("file://" + page)
        self.assertLessEqual(driver.execute_script("return document.documentElement.scrollWidth"), 390)
        for _, _, wide, _ in boxes("td.path, .sides td:nth-child(3)"):
            self.assertGreater(wide, 150)
        self.assertLess(max(high for _, _, _, high in boxes("tr")), 260)
        self.assertGreaterEqual(self.letters(), 6)
        driver.execute_script("document.querySelector('.walls').scrollIntoView()")
        pages.screen_keep(driver, "comparison-phone-walls")
        driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})

    def test_what_is_newly_covered_has_one_outline(self):
        """A band moved down by 2 mm and on by 4: one outline above, one below, a few at the starts; not one for
        each piece of a lap."""
        self.open()
        for kind in ("newly", "gone"):
            outlines = driver.execute_script(
                "return [...document.querySelectorAll(`.walls path.${arguments[0]}`)].map((p) => p.getAttribute('d').split('M').length - 1)", kind)
            self.assertLess(max(outlines), 6, outlines)

    def test_marks_are_told(self):
        self.open()
        text = driver.find_element(By.TAG_NAME, "body").text
        for words in ("arc starts", "arc stops", "before, dashed", "no longer covered", "licensed practice", "local codes"):
            self.assertIn(words, text)

    def test_dark(self):
        self.open(1280, "dark")
        paper = [int(n) for n in re.findall(r"\d+", colour("body", "backgroundColor"))[:3]]
        self.assertLess(sum(paper), 150)
        self.keep("dark-1280")

    def test_contrast(self):
        """WCAG 2.2, 1.4.3 (AA), as for the page of one job."""
        for scheme in ("light", "dark"):
            self.open(1280, scheme)
            found = driver.execute_script(CONTRASTS)
            self.assertGreater(len(found), 100)
            self.assertGreaterEqual(min(found)[0], CONTRAST, min(found))
        self.assertEqual(len(driver.find_elements(By.TAG_NAME, "main")), 1)

    def test_told_apart(self):
        """By hue and by dashes, also on a print without colours."""
        self.open()
        before, after = ".walls .before .lines path", ".walls .after .lines path"
        self.assertNotEqual(colour(before), colour(after))
        self.assertNotEqual(colour(before, "strokeDasharray"), "none")
        self.assertEqual(colour(after, "strokeDasharray"), "none")
        self.assertEqual(len(boxes(".walls path.newly")), LAYERS)
        self.assertEqual(len(boxes(".walls path.gone")), LAYERS)

    def test_paper(self):
        self.open(round(A4_WIDE / PIXEL), "dark", "print")
        for left, _, wide, high in boxes("svg.drawing"):
            self.assertLessEqual((left + wide) * PIXEL, A4_WIDE + 0.5)
            self.assertLessEqual(high * PIXEL, A4_HIGH)
        printed = base64.b64decode(driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})["data"])
        os.makedirs(pages.SCREENS, exist_ok=True)
        with open(os.path.join(pages.SCREENS, "comparison.pdf"), "wb") as file:
            file.write(printed)
        self.assertLess(len(re.findall(rb"/Type\s*/Page\b", printed)), LAYERS + 8)

    def test_words_of_an_author_stay_words(self):
        words = HOSTILE.replace('"', '\\"')
        page = page_make("hostile.html", job_write("plain.lay"), job_write("hostile.lay", ('job "goal"', f'job "{words}"')))
        driver.get_log("browser")
        driver.get("file://" + page)
        self.assertIn(HOSTILE, driver.find_element(By.CSS_SELECTOR, ".sides").text)
        self.assertNotEqual(driver.title, "taken")
        self.assertEqual(driver.find_elements(By.CSS_SELECTOR, "script"), [])
        self.assertEqual(driver.execute_script("return performance.getEntriesByType('resource').length"), 0)
        self.assertEqual(driver.get_log("browser"), [])


if __name__ == "__main__":
    unittest.main(verbosity=1)
