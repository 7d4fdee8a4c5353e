# SPDX-License-Identifier: GPL-3.0-or-later
"""The look of the report: a workroom card on warm paper, readable on a phone and in print."""

__all__ = ["STYLE"]

STYLE = """
:root { --paper:#faf6ee; --card:#fffdf8; --ink:#2b2723; --soft:#5f554a; --rule:#d8ccb8;
  --spruce:#2f5443; --clay:#8c3f22; --wash:#f1eadc; }
* { box-sizing:border-box; }
html { -webkit-text-size-adjust:100%; }
body { margin:0; background:var(--paper); color:var(--ink);
  font:17px/1.55 "Iowan Old Style","Palatino Linotype",Palatino,"Book Antiqua",Georgia,serif; }
main, header, footer { max-width:64rem; margin:0 auto; padding:0 1.25rem; }
header { padding-top:2.5rem; }
h1 { font-size:2.1rem; line-height:1.15; margin:0 0 .4rem; font-weight:600; }
h2 { font-size:1.35rem; line-height:1.25; margin:0 0 .9rem; font-weight:600; color:var(--spruce); }
h3 { font-size:1.08rem; margin:0 0 .25rem; font-weight:600; }
p { margin:0 0 .7rem; }
a { color:var(--spruce); }
section { background:var(--card); border:1px solid var(--rule); border-radius:3px;
  padding:1.5rem 1.6rem 1.3rem; margin:1.4rem 0; }
.stitch { border:0; border-top:2px dashed var(--rule); margin:1.2rem 0 0; }
.soft, figcaption, .note { color:var(--soft); font-size:.92rem; }
.lead { font-size:1.05rem; }
.short { margin:0 0 1.4rem; font-size:1.05rem; } .short dt { font-weight:600; color:var(--spruce); }
.short dd { margin:0 0 .25rem; } .short dt:not(:first-child) { margin-top:.6rem; }
.verdicts { display:grid; gap:1rem; grid-template-columns:repeat(auto-fit,minmax(13rem,1fr));
  padding:0; margin:0 0 1.2rem; list-style:none; }
.verdicts li { border-left:3px solid var(--spruce); padding:.1rem 0 .1rem .9rem; }
.verdicts p { margin:.15rem 0 0; }
ul { padding-left:1.2rem; margin:.2rem 0 .8rem; }
li { margin:.25rem 0; }
p:has(+ ul) { margin-bottom:.1rem; }
.scroll { overflow-x:auto; }
table { border-collapse:collapse; width:100%; font-size:.95rem; }
caption { text-align:left; color:var(--soft); font-size:.92rem; padding-bottom:.5rem; }
th, td { text-align:left; vertical-align:top; padding:.42rem .9rem .42rem 0; min-width:7.5rem;
  border-bottom:1px solid var(--rule); font-variant-numeric:lining-nums tabular-nums; }
thead th { border-bottom:2px solid var(--spruce); }
tbody th { font-weight:400; color:var(--soft); position:sticky; left:0; background:var(--card); }
tr.part th { color:var(--spruce); font-weight:600; padding-top:1rem; }
td .soft { display:block; font-size:.86rem; }
.tag { display:inline-block; font-size:.78rem; color:var(--clay); border:1px solid var(--clay);
  border-radius:2px; padding:0 .35rem; margin-left:.3rem; line-height:1.35; }
.row { display:grid; grid-template-columns:repeat(3,1fr); gap:.6rem; margin:.3rem 0 1.2rem; }
figure { margin:0; }
.row img { display:block; width:100%; height:auto; border-radius:2px; background:var(--wash); }
.row .none { aspect-ratio:1; display:flex; align-items:center; justify-content:center;
  text-align:center; padding:1rem; background:var(--wash); color:var(--soft); font-size:.9rem; }
.plate { margin:.3rem 0 1.2rem; }
.plate img { display:block; width:100%; height:auto; }
.overlaid { max-width:34rem; margin:1.2rem 0 0; }
.scroll { margin-bottom:1rem; }
.checks { list-style:none; padding:0; } .checks li { padding-left:1.5rem; position:relative; }
.checks li::before { position:absolute; left:0; font-weight:700; }
.checks .holds::before { content:"✓"; color:var(--spruce); }
.checks .fails::before { content:"✗"; color:var(--clay); }
.flats { display:grid; gap:1.4rem; grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr)); }
svg.flat { display:block; width:100%; height:auto; font-family:inherit; }
svg text { fill:var(--ink); } svg .edge { fill:var(--soft); } svg .nap-word { fill:var(--spruce); }
svg .bought { fill:var(--wash); stroke:#b7a98f; stroke-width:3; stroke-dasharray:12 10; }
svg .cloth { fill:#dfe5d6; stroke:var(--ink); stroke-width:6; stroke-linejoin:round; }
svg .fold { stroke:var(--clay); stroke-width:5; stroke-dasharray:40 12 8 12; }
svg .cut { stroke:var(--ink); stroke-width:7; } svg .size { stroke:var(--soft); stroke-width:4; }
svg .nap { stroke:var(--spruce); stroke-width:8; } svg .nap-head { fill:var(--spruce); }
svg .bar { fill:var(--ink); } svg .bar-empty { fill:#fff; stroke:var(--ink); stroke-width:3; }
.swatch { display:inline-block; width:.95em; height:.95em; border:1px solid var(--soft);
  border-radius:2px; vertical-align:-.1em; margin-right:.4em; print-color-adjust:exact;
  -webkit-print-color-adjust:exact; }
.care { border-left:4px solid var(--clay); } .care h2 { color:var(--clay); }
.unsettled { color:var(--clay); font-weight:600; }
footer { padding:.4rem 1.25rem 2.5rem; }
@media (max-width:40rem) {
  body { font-size:16px; } h1 { font-size:1.6rem; } section { padding:1.1rem 1rem 1rem; }
  .row { gap:.3rem; } th, td { padding-right:.6rem; min-width:6.2rem; }
}
@media print {
  @page { margin:14mm; }
  body { background:#fff; font-size:10.5pt; } main, header, footer { max-width:none; padding:0; }
  section { border:0; border-top:1px solid var(--rule); border-radius:0; padding:.7rem 0 0;
    margin:.7rem 0; background:none; }
  .row, figure, .plate, tr, .verdicts li, .care { break-inside:avoid; } h2, h3 { break-after:avoid; }
  .scroll { overflow:visible; } th, td { min-width:0; } tbody th { position:static; }
  .plate img { width:auto; max-width:100%; max-height:12cm; margin:0 auto; }
  .verdicts { display:block; } .verdicts li { margin-bottom:.6rem; }
  .flats { grid-template-columns:repeat(2,1fr); }
  tbody th { background:none; }
}
""".strip()
