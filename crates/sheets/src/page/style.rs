//! The page's style: paper and ink, light, dark and print.

use crate::drawing::Ink;
use crate::font::Face;
use crate::palette::{DARK, LIGHT, PRINT};
use crate::typeface::rule;

/// All of it, the typeface with it.
pub(super) fn sheet() -> String {
    let inks: String = Ink::ALL
        .iter()
        .map(|ink| format!(".{0}{{--c:var(--{0})}}", ink.word()))
        .collect();
    format!(
        "{}{}:root{{{}color-scheme:light dark}}@media(prefers-color-scheme:dark){{:root{{{}}}}}@media print{{:root{{{}}}}}{inks}{RULES}",
        rule(Face::Regular),
        rule(Face::Semibold),
        LIGHT.tokens(),
        DARK.tokens(),
        PRINT.tokens(),
    )
}

const RULES: &str = "
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.45 \"Atkinson Hyperlegible Next\",system-ui,sans-serif;font-kerning:none;overflow-wrap:anywhere}
header,main,footer{max-width:1100px;margin:0 auto;padding:0 28px}
header{display:flex;gap:28px;align-items:baseline;padding-top:14px;padding-bottom:10px;border-bottom:1.5px solid var(--ink)}
header span,footer,.place,.doubt,.origin{color:var(--second)}
h1{font-size:26px;line-height:1.2;font-weight:600;margin:24px 0 12px}
h2{font-size:16px;font-weight:600;margin:32px 0 8px}
h2.must{color:var(--must)}h2.should{color:var(--should)}
p{margin:0 0 6px;max-width:70ch}
h3{font-size:16px;font-weight:600;margin:24px 0 8px}
article{border-top:1px solid var(--hair);padding-bottom:12px}strong{font-weight:600}
figure{margin:16px 0}
svg{display:block;width:100%;height:auto}
.phone{display:none}
.pair{display:grid;grid-template-columns:1fr 1fr;gap:28px}
svg text{font-family:inherit;font-kerning:none}
.s{stroke:var(--c);fill:none}.f{fill:var(--c);stroke:none}.w{font-weight:600}
.finding{padding:8px 0;border-top:1px solid var(--hair)}
.remedy{padding-left:16px}.place{font-size:14px;padding-left:16px}
details.figure{border-bottom:1px solid var(--hair)}
details.figure summary{display:grid;grid-template-columns:1ch 1fr auto minmax(22ch,auto);gap:12px;padding:10px 0;cursor:pointer;list-style:none;min-height:44px;align-items:baseline}
details.figure summary::before{content:\"+\"}details.figure[open] summary::before{content:\"−\"}details.figure summary::-webkit-details-marker{display:none}
details.annex{border-top:1px solid var(--hair);margin-top:24px}details.annex+details.annex{margin-top:0}details.annex summary{display:grid;grid-template-columns:1ch 1fr;gap:12px;padding:10px 0;min-height:44px;align-items:baseline;list-style:none}
details.annex summary::before{content:\"+\"}details.annex[open] summary::before{content:\"−\"}details.annex summary::-webkit-details-marker{display:none}
.annex h2{margin:0}.below{margin:10px 0 0}
.value{font-weight:600;text-align:right;white-space:nowrap}.doubt{white-space:nowrap}
.why{padding:4px 0 14px 16px}
code{font-family:inherit;font-size:14px;overflow-wrap:anywhere;display:block}
.scroll{overflow-x:auto}
table{border-collapse:collapse;width:100%}
th,td{padding:5px 12px 5px 0;border-bottom:1px solid var(--hair);text-align:right;vertical-align:baseline;font-weight:400}
thead th{color:var(--second);font-size:14px;vertical-align:bottom}
td:not(.words,.origin){white-space:nowrap}.origin{overflow-wrap:anywhere}
th.words,td.words,.origin,.why td,.why th{text-align:left}
thead th,td.words,.why th{overflow-wrap:break-word}
dt{font-weight:600;margin-top:10px}dd{margin:0}
summary{cursor:pointer}figure summary{padding:10px 0;min-height:44px}
.leading{--columns:3;--gap:20px;display:grid;grid-template-columns:repeat(var(--columns),minmax(0,1fr));gap:var(--gap);margin:0 0 8px;padding:10px 0;border-top:1px solid var(--hair);border-bottom:1px solid var(--hair)}.leading summary{list-style:none;min-height:44px;display:flex;flex-direction:column-reverse;justify-content:flex-end}.leading summary::-webkit-details-marker{display:none}.leading{align-items:start}.leading details{--at:0}.leading details[open]{position:relative;z-index:1}.leading .why{width:calc(100%*var(--columns) + var(--gap)*(var(--columns) - 1));margin-left:calc((-100% - var(--gap))*var(--at))}@media (min-width:721px){.leading details:nth-child(3n+2){--at:1}.leading details:nth-child(3n){--at:2}}.leading .name{display:block;color:var(--second);font-size:14px}.leading .name::before{content:\"+ \"}.leading [open] .name::before{content:\"− \"}.leading .value{font-size:20px;text-align:left}.leading .doubt{white-space:normal}.leading .why{padding:4px 0 0}
:focus-visible{outline:2px solid var(--ink);outline-offset:2px}
footer{margin-top:40px;padding-top:12px;padding-bottom:28px;border-top:1.5px solid var(--ink);font-size:14px}
@media screen and (max-width:1079px){.pair{grid-template-columns:1fr}}
@media screen and (max-width:720px){.leading{--columns:2;--gap:12px}.leading details:nth-child(2n){--at:1}.wide thead{display:none}.wide tr{display:grid;grid-template-columns:1fr 1fr;column-gap:24px;padding:8px 0;border-bottom:1px solid var(--hair)}.wide td{display:flex;justify-content:space-between;gap:16px;border:0;padding:2px 0;white-space:normal;text-align:right}.wide td:first-child{font-weight:600;grid-column:1/-1}.wide td.words{grid-column:1/-1}.wide td:not(.words){white-space:nowrap}.wide td::before{content:attr(data-head);color:var(--second);font-weight:400;text-align:left;white-space:normal;overflow-wrap:normal}.wide td.long,.wide td.long::before{display:block;text-align:left}.wide td:empty{display:none}header,main,footer{padding-left:14px;padding-right:14px}header{flex-direction:column;gap:0}h1{font-size:22px}.desk{display:none}.phone{display:block}details.figure summary{grid-template-columns:1ch 1fr auto}.doubt{grid-column:3;text-align:right}}
.rest{display:none}
@media screen and (max-width:720px){.rest{display:block}.rest summary{list-style:none;min-height:44px;padding:10px 0;color:var(--second)}.rest summary::-webkit-details-marker{display:none}.rest summary::before{content:\"+ \"}.rest[open] summary::before{content:\"− \"}.rest .open,.rest[open] .shut{display:none}.rest[open] .open{display:inline}.scroll:has(+.rest:not([open])) tbody tr:nth-child(n+6){display:none}}
@media print{body{font-size:10pt}figure details{display:none}details.figure summary{padding:3px 0;min-height:0;grid-template-columns:1fr auto minmax(22ch,auto)}details.figure summary::before{content:none}h2{margin-top:20px}header,main,footer{max-width:none;padding:0}.desk{display:block}.phone{display:none}.charts .desk{display:none}.charts .phone{display:block}h2{break-after:avoid}figure,tr,.finding,article{break-inside:avoid}.scroll{overflow:visible}}
";
