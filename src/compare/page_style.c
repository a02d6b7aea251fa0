/* The rules of the page: calm, two hues for the two jobs, light and dark, A4. */
#include "compare/page_parts.h"

static const char *const RULES[] = {
    ":root{color-scheme:light dark;--paper:#fcfcfa;--ink:#20242a;--quiet:#5a6169;--rule:#dad8d1;"
    "--before:#9a5b16;--after:#1f5f99;--worse:#a92832;--better:#1c7138;--newly:#1c7138;"
    "--draw-paper:#fcfcfa;--draw-ink:#20242a;--draw-faint:#8b9097;--draw-metal:#e4e1da;"
    "--draw-before:#9a5b16;--draw-after:#1f5f99}\n",
    "@media screen and (prefers-color-scheme:dark){:root{--paper:#17191c;--ink:#e5e4df;"
    "--quiet:#a2a8ae;--rule:#3a3f44;--before:#e0a35c;--after:#7fb6ea;--worse:#f08088;"
    "--better:#7acb92;--newly:#7acb92;--draw-paper:#17191c;--draw-ink:#e5e4df;"
    "--draw-faint:#7d838a;--draw-metal:#3b4045;--draw-before:#e0a35c;--draw-after:#7fb6ea}}\n",
    "*{box-sizing:border-box}body{margin:0 auto;max-width:78rem;padding:1.5rem 2rem 3rem;"
    "background:var(--paper);color:var(--ink);font:16px/1.5 system-ui,sans-serif}\n",
    "h1{font-size:1.6rem;line-height:1.25;margin:0 0 1rem;font-weight:600}"
    "h2{font-size:1.15rem;font-weight:600;margin:2.2rem 0 .5rem}"
    "h3{font-size:1rem;font-weight:600;margin:1.4rem 0 .4rem}\n",
    "table{border-collapse:collapse;width:100%;font-size:.92rem;"
    "font-variant-numeric:tabular-nums}th,td{text-align:left;vertical-align:top;"
    "padding:.3rem .9rem .3rem 0;border-bottom:1px solid var(--rule)}"
    "th{font-weight:600;color:var(--quiet)}td.path{overflow-wrap:anywhere}\n",
    "td.figure,th.figure{text-align:right;white-space:nowrap}.quiet,figcaption{color:var(--quiet)}"
    ".worse{color:var(--worse)}.better{color:var(--better)}"
    "tr.part th{color:var(--ink);padding-top:.9rem}\n",
    ".sides td:first-child{white-space:nowrap}.key{display:inline-block;width:2.2em;height:0;"
    "border-top:.2em solid;margin:0 .5em .25em 0}.key.before{border-color:var(--before);"
    "border-top-style:dashed}.key.after{border-color:var(--after)}\n",
    ".swatch{display:inline-block;width:1.5em;height:.9em;margin:0 .4em 0 1em;"
    "vertical-align:-.1em}.swatch.newly{background:var(--newly);opacity:.4}"
    ".swatch.gone{border:.18em dashed var(--worse)}\n",
    "figure{margin:1rem 0 1.6rem}figure svg{width:100%;height:auto;max-height:80vh;display:block}"
    "figcaption{font-size:.9rem;margin-bottom:.3rem}\n",
    /* both over each other: lines tell more than filled beads */
    ".drawing .before path,.drawing .before circle,.drawing .before line{stroke:var(--before)}"
    ".drawing .after path,.drawing .after circle,.drawing .after line{stroke:var(--after)}"
    ".drawing .beads path{stroke-opacity:.1}\n",
    ".drawing .lines path{stroke-width:.13em}.drawing .before .lines path,"
    ".drawing .before .tip,.drawing .before .wall-line{stroke-dasharray:.7em .35em}"
    ".drawing .before .head-path,.drawing .after .head-path{stroke-opacity:.5}\n",
    ".drawing .ties,.drawing .slopes,.drawing .bare{display:none}.drawing .before .zone,.drawing "
    ".after .zone"
    "{fill-opacity:.05}.drawing .before .zone{stroke-dasharray:.7em .35em}"
    ".drawing .before .start,.drawing .before .stop{fill:var(--before);stroke:none}"
    ".drawing .after .start,.drawing .after .stop{fill:var(--after);stroke:none}\n",
    ".drawing path.newly{fill:var(--newly);fill-opacity:.5;stroke:var(--newly);stroke-width:.08em}"
    ".drawing path.gone{fill:var(--worse);fill-opacity:.22;stroke:var(--worse);"
    "stroke-width:.12em;stroke-dasharray:.35em .25em}\n",
    /* a table wider than a phone is moved sideways, the page is not */
    /* long names break at last, short words never */
    "h1,h3,p,figcaption,td:last-child,td:first-child{overflow-wrap:anywhere}"
    "td{overflow-wrap:break-word}td:first-child{min-width:9rem}td:last-child{min-width:12rem}\n",
    "@media screen and (max-width:64rem){table{display:block;overflow-x:auto}}\n",
    "@media screen and (max-width:40rem){body{padding:1rem}figure{overflow-x:auto}"
    "td.path,.sides td:nth-child(n+2){min-width:11rem}td.quiet{min-width:26rem}"
    "figure svg.drawing{min-width:46rem;max-height:none}figcaption{position:sticky;left:0}}\n",
    "@media print{@page{size:A4;margin:14mm 13mm}body{max-width:none;padding:0;font-size:10pt}"
    "table{font-size:8.5pt}tr,figure{break-inside:avoid}h2,h3{break-after:avoid}"
    "figure svg{max-height:215mm}.drawing,.swatch{print-color-adjust:exact;"
    "-webkit-print-color-adjust:exact}}\n",
};

void page_style(FILE *to) {
  for (size_t i = 0; i < sizeof RULES / sizeof RULES[0]; i++)
    fputs(RULES[i], to);
}
