"""How the page looks: the print's own colours as a style sheet, for screen and for paper.

Sizes follow the reader's own; nothing is fixed in pixels but hairlines. `PAIRS` are the colours
that stand on one another, for a check of their contrast.
"""

from __future__ import annotations

from reportlab.lib.colors import HexColor

from estimator.documents.grammar import look
from estimator.documents.grammar.dress import worn


def _hex(colour: HexColor) -> str:
    return f"#{colour.hexval()[2:]}"


def colours() -> dict[str, str]:
    """Every colour of the page by its name in the style sheet; headings in the workshop's own."""
    style = worn()
    return {
        "paper": _hex(look.PAPER), "ink": _hex(look.INK), "second": _hex(look.INK2),
        "quiet": _hex(look.INK3), "line": _hex(look.LINE2), "head": style.head_colour,
        "rule": style.rule_colour, "firm": _hex(look.FIRM), "firm-text": _hex(look.FIRM_TEXT),
        "hatch": _hex(look.PROVISIONAL_FILL), "hatch-line": _hex(look.PROVISIONAL_LINE),
        "hatch-text": _hex(look.PROVISIONAL_TEXT), "held": _hex(look.CONTINGENCY_FILL),
        "held-dot": _hex(look.CONTINGENCY_DOT), "held-line": _hex(look.CONTINGENCY_LINE),
        "held-text": _hex(look.CONTINGENCY_TEXT),
    }  # fmt: skip


TEXT_PAIRS = tuple(
    (one, "paper")
    for one in ("ink", "second", "quiet", "head", "firm-text", "hatch-text", "held-text")
) + (("paper", "ink"),)
DRAWN_PAIRS = (("firm", "paper"), ("hatch-line", "paper"), ("held-line", "paper"),
               ("rule", "paper"), ("quiet", "paper"))  # fmt: skip

PATTERNS = (
    '<svg class="patterns" aria-hidden="true" focusable="false" width="0" height="0"><defs>'
    '<pattern id="pattern-hatch" width="6" height="6" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><rect class="hatch-ground" width="6" height="6"/>'
    '<rect class="hatch-stroke" width="1.6" height="6"/></pattern>'
    '<pattern id="pattern-dots" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect class="dots-ground" width="6" height="6"/>'
    '<circle class="dots-dot" cx="3" cy="3" r="1.2"/></pattern></defs></svg>'
)

_RULES = """
*{box-sizing:border-box}
html{font:100%/1.5 "Source Sans 3","Segoe UI",Roboto,"Noto Sans",Arial,sans-serif;
color-scheme:light;-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);overflow-wrap:break-word;
font-variant-numeric:tabular-nums lining-nums}
header,nav,main,footer{max-width:60rem;margin:0 auto;padding:.75rem 1rem}
header{border-bottom:2px solid var(--rule)}
footer{border-top:1px solid var(--line);color:var(--quiet)}
header p,footer p{margin:.15rem 0}
a{color:var(--firm-text);text-decoration:underline;text-underline-offset:.15em}
a:focus-visible,.frame:focus-visible,main:focus-visible{outline:3px solid var(--ink);
outline-offset:2px}
.skip{position:absolute;left:-100vw;padding:.6rem 1rem;background:var(--ink);color:var(--paper)}
.skip:focus{left:.5rem;top:.5rem;z-index:1}
nav ul{display:flex;flex-wrap:wrap;gap:.1rem 1.25rem;margin:0;padding:0;list-style:none}
nav a{display:inline-block;padding:.25rem 0;min-height:1.5rem}
h1,h2,h3{line-height:1.25;color:var(--head);margin:1.75rem 0 .5rem;break-after:avoid}
h1{font-size:1.75rem;margin-top:.75rem}
h2{font-size:1.3rem}
h3{font-size:1.08rem;margin-top:1.1rem}
p{margin:.4rem 0}
.second,.note,dd .note{color:var(--second)}
.note{font-size:.92rem}
.strong{font-weight:600}
.draft{border:2px solid var(--ink);padding:.4rem .75rem;font-weight:700}
.sum,time{white-space:nowrap}
ul{margin:.3rem 0;padding-left:1.3rem}
li{margin:.2rem 0}
.out{list-style:none;padding-left:0}
.out li{padding-left:1.3rem;position:relative}
.out li::before{content:"\\D7" / "";position:absolute;left:.2rem;font-weight:700}
.sides{display:grid;gap:0 2rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr))}
dl{margin:.4rem 0}
dt{color:var(--quiet)}
dd{margin:0}
.pairs>div{display:grid;grid-template-columns:minmax(7rem,11rem) minmax(0,1fr);gap:0 .75rem;
padding:.15rem 0}
@media (max-width:26rem){.pairs>div{grid-template-columns:minmax(0,1fr)}}
.figures{display:grid;gap:1rem 2rem;
grid-template-columns:repeat(auto-fit,minmax(min(100%,16rem),1fr));margin:1rem 0;
border-top:2px solid var(--rule);padding-top:.75rem}
.figures dt{font-weight:600}
.figures .large{font-size:1.6rem;font-weight:600;line-height:1.3;color:var(--ink)}
figure{margin:1rem 0}
.bar{display:block;width:100%;height:1.5rem}
.small.bar{width:5.6rem;height:.75rem;display:inline-block}
.swatch{width:1.5rem;height:.875rem;margin-right:.4rem}
.patterns{position:absolute}
rect.firm{fill:var(--firm)}
rect.hatch{fill:url(#pattern-hatch);stroke:var(--hatch-line)}
rect.dots{fill:url(#pattern-dots);stroke:var(--held-line);stroke-dasharray:2 2}
.hatch-ground{fill:var(--hatch)}
.hatch-stroke{fill:var(--hatch-line)}
.dots-ground{fill:var(--held)}
.dots-dot{fill:var(--held-dot)}
.key dt{font-weight:600;color:var(--ink)}
.key .firm-name{color:var(--firm-text)}
.key .provisional-name{color:var(--hatch-text)}
.key .contingency-name{color:var(--held-text)}
.frame{position:relative;overflow-x:auto;margin:.5rem 0}
table{border-collapse:collapse;width:100%;line-height:1.35}
caption{text-align:left}
caption h2,caption h3{margin-bottom:.4rem}
th,td{padding:.3rem 0 .3rem .75rem;text-align:left;vertical-align:top;
border-bottom:1px solid var(--line)}
th:first-child,td:first-child{padding-left:0}
tbody th,tfoot th{font-weight:400;min-width:9rem}
tbody th .name{font-weight:600}
thead th,thead td{vertical-align:bottom;border-bottom:2px solid var(--ink)}
thead th{color:var(--quiet);font-weight:600}
.figure{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
thead .figure{white-space:normal}
.words td.figure,.words th.figure{text-align:left;white-space:normal}
tfoot tr:first-child>*{border-top:2px solid var(--ink)}
tr.total>*{font-weight:600}
.lines{columns:18rem;column-gap:2rem}
.lines section{break-inside:avoid}
.lines h3{margin-top:.6rem}
.lines ul{list-style:none;padding:0}
.sign{border:2px solid var(--ink);padding:.25rem 1rem 1rem;margin:1rem 0}
.ticks{list-style:none;padding:0}
.ticks>li{position:relative;padding-left:1.9rem;margin:.7rem 0}
.ticks>li::before{content:"";position:absolute;left:0;top:.2rem;width:1.1rem;height:1.1rem;
border:2px solid var(--ink)}
.line{display:inline-block;min-width:11rem;height:1.6em;margin:0 .3rem;
border-bottom:1px solid var(--quiet)}
.fill{display:inline-block;max-width:100%;margin-right:1rem}
.blank td,.blank th{height:2.2rem;border-bottom:1px solid var(--quiet)}
.aloud{position:absolute;width:1px;height:1px;margin:-1px;overflow:hidden;
clip-path:inset(50%);white-space:nowrap}
@page{margin:15mm}
@media print{
html{font-size:9.5pt}
.skip,nav{display:none}
header,main,footer{max-width:none;padding-left:0;padding-right:0}
a{color:inherit;text-decoration:none}
.frame{overflow:visible}
thead{display:table-header-group}
tfoot{display:table-row-group}
tr,li,.sign,figure{break-inside:avoid}
rect,.bar,.swatch{-webkit-print-color-adjust:exact;print-color-adjust:exact}
p,li{orphans:3;widows:3}
}
@media (forced-colors:active){rect{forced-color-adjust:none}}
"""


def style_sheet() -> str:
    """The style sheet, whole."""
    named = "".join(f"--{name}:{value};" for name, value in colours().items())
    return f":root{{{named}}}{_RULES}"
