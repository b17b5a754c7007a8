// SPDX-License-Identifier: Apache-2.0
// How a page looks: screen and paper, light and dark, wide and narrow.
#include "report/page.hpp"

namespace coolband {

namespace {

constexpr std::string_view k_style = R"css(
:root {
  color-scheme: light dark;
  --paper-ground: #faf8f3; --paper-ink: #1c2227; --paper-soft-ink: #4d565d; --paper-link-ink: #0b5170;
  --paper-rule: #d8d3c7; --paper-line: #0b5170;
  --row-ground: #f1ede3; --row-ink: #1c2227;
  --skip-ground: #0b5170; --skip-ink: #ffffff;
  --none-ground: #dff0ea; --none-ink: #064a38; --none-line: #00785a;
  --monitor-ground: #dfedf7; --monitor-ink: #0a3f66; --monitor-line: #0072b2;
  --service-ground: #fbe8c8; --service-ink: #5e3200; --service-line: #b05a00;
  --stop-ground: #8c1f00; --stop-ink: #ffffff; --stop-line: #ffb199;
  --caution-ground: #f6ecd2; --caution-ink: #33270a; --caution-line: #8a6200;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper-ground: #14191d; --paper-ink: #e9e6df; --paper-soft-ink: #aeb6bb; --paper-link-ink: #8fcbe6;
    --paper-rule: #39424a; --paper-line: #6fb4d2;
    --row-ground: #1c2329; --row-ink: #e9e6df;
    --skip-ground: #8fcbe6; --skip-ink: #10161a;
    --none-ground: #0c3329; --none-ink: #c5efe0; --none-line: #3fbf97;
    --monitor-ground: #0d2f4a; --monitor-ink: #cfe6f7; --monitor-line: #56b4e9;
    --service-ground: #40290a; --service-ink: #fbe0b3; --service-line: #e69f00;
    --stop-ground: #ffb199; --stop-ink: #3a0d00; --stop-line: #8c1f00;
    --caution-ground: #2f2711; --caution-ink: #f3e4b8; --caution-line: #d9a520;
  }
}
@media print {
  :root {
    color-scheme: light;
    --paper-ground: #ffffff; --paper-ink: #000000; --paper-soft-ink: #333333; --paper-link-ink: #000000;
    --paper-rule: #999999; --paper-line: #000000;
    --row-ground: #ffffff; --row-ink: #000000;
    --none-ground: #ffffff; --none-ink: #000000; --none-line: #000000;
    --monitor-ground: #ffffff; --monitor-ink: #000000; --monitor-line: #000000;
    --service-ground: #ffffff; --service-ink: #000000; --service-line: #000000;
    --stop-ground: #ffffff; --stop-ink: #000000; --stop-line: #000000;
    --caution-ground: #ffffff; --caution-ink: #000000; --caution-line: #000000;
  }
}
@page { margin: 14mm 12mm; }
* { box-sizing: border-box; }
html { font: 100%/1.5 system-ui, sans-serif; background: var(--paper-ground); color: var(--paper-ink);
  -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 62rem; padding: 1.25rem 1.25rem 3rem; overflow-wrap: break-word; }
h1, h2, h3 { line-height: 1.2; text-wrap: balance; }
h1 { font-size: 1.7rem; margin: 0; }
h2 { font-size: 1.2rem; margin: 2rem 0 .6rem; padding-bottom: .25rem;
  border-bottom: 2px solid var(--paper-line); }
h3 { font-size: 1rem; margin: 1.4rem 0 .4rem; }
p, ul, ol, dl { margin: .5rem 0; max-width: 48rem; }
ul, ol { padding-left: 1.4rem; }
li { margin: .3rem 0; }
.about, footer { color: var(--paper-soft-ink); }
.about { margin: .3rem 0 0; }
footer { margin-top: 2.5rem; padding-top: .6rem; border-top: 1px solid var(--paper-rule);
  font-size: .875rem; }
a { color: var(--paper-link-ink); }
a:focus-visible, summary:focus-visible, .scroll:focus-visible, input:focus-visible {
  outline: 3px solid var(--paper-line); outline-offset: 2px; }
.skip { position: absolute; left: -100vw; padding: .5rem 1rem; background: var(--skip-ground);
  color: var(--skip-ink); }
.skip:focus { left: .5rem; top: .5rem; }
.banner { display: grid; grid-template-columns: auto 1fr; gap: 0 1rem; align-items: center;
  margin: 1.25rem 0; padding: 1rem 1.25rem; border: 2px solid; border-left-width: .7rem;
  border-radius: .3rem; }
.banner p { margin: 0; }
.banner .sign { width: 3rem; height: 3rem; grid-row: span 3; }
.banner .level { font-size: .875rem; font-weight: 700; letter-spacing: .06em;
  text-transform: uppercase; }
.banner .headline { font-size: 1.25rem; font-weight: 700; line-height: 1.3; }
.banner .detail { margin-top: .25rem; }
.none { background: var(--none-ground); color: var(--none-ink); border-color: var(--none-line); }
.monitor { background: var(--monitor-ground); color: var(--monitor-ink);
  border-color: var(--monitor-line); }
.service { background: var(--service-ground); color: var(--service-ink);
  border-color: var(--service-line); }
.stop { background: var(--stop-ground); color: var(--stop-ink); border-color: var(--stop-line); }
.cautions { margin: 1rem 0; padding: .6rem 1rem .6rem 2.4rem; list-style: none;
  background: var(--caution-ground); color: var(--caution-ink);
  border-left: .4rem solid var(--caution-line); }
.cautions li::before { content: "\26A0\FE0E" / ""; float: left; margin-left: -1.6rem; }
dl { display: grid; grid-template-columns: minmax(8rem, 14rem) 1fr; gap: .3rem 1rem; }
dt { font-weight: 600; }
dd { margin: 0; overflow-wrap: anywhere; }
.scroll { overflow-x: auto; margin: .8rem 0; }
table { border-collapse: collapse; width: 100%; font-size: .9375rem; }
caption { text-align: left; font-weight: 600; padding: .2rem 0 .4rem; }
th, td { text-align: left; vertical-align: top; padding: .35rem .8rem .35rem 0;
  border-bottom: 1px solid var(--paper-rule); }
thead .number { white-space: normal; }
thead th { border-bottom: 2px solid var(--paper-line); vertical-align: bottom; }
tbody th { font-weight: 600; }
tbody tr:nth-child(even) { background: var(--row-ground); color: var(--row-ink); }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
figure { margin: 1rem 0; }
figure svg { display: block; width: 100%; height: auto; max-width: 58rem; }
figcaption { color: var(--paper-soft-ink); font-size: .9375rem; max-width: 48rem; }
.larger { display: none; }
details { margin: .8rem 0; }
details tbody th { white-space: nowrap; }
summary { cursor: pointer; font-weight: 600; color: var(--paper-link-ink); }
.checks { list-style: none; padding-left: 0; }
.checks label { display: grid; grid-template-columns: auto 1fr; gap: .6rem; align-items: start; }
.checks input { width: 1.1rem; height: 1.1rem; margin: .2rem 0 0; }
@media screen and (max-width: 44rem) {
  body { padding: .9rem .9rem 2rem; }
  h1 { font-size: 1.4rem; }
  .banner { padding: .8rem; gap: 0 .7rem; }
  .banner .sign { width: 2.2rem; height: 2.2rem; }
  .banner .headline { font-size: 1.1rem; }
  dl { grid-template-columns: 1fr; gap: 0; }
  dd { margin-bottom: .5rem; }
  .larger { display: flex; gap: .5rem; align-items: center; font-size: .9375rem;
    color: var(--paper-link-ink); }
  .larger input { width: 1.1rem; height: 1.1rem; }
  figure:has(.larger :checked) svg { min-width: 58rem; }
  /* What goes on beyond an edge throws a shadow there; the first two lie over it where it ends. */
  .wide, .narrow {
    background-image: linear-gradient(to right, var(--paper-ground) 40%, transparent),
      linear-gradient(to left, var(--paper-ground) 40%, transparent),
      linear-gradient(to right, var(--paper-soft-ink), transparent),
      linear-gradient(to left, var(--paper-soft-ink), transparent);
    background-position: left, right, left, right;
    background-size: 2.5rem 100%, 2.5rem 100%, .7rem 100%, .7rem 100%;
    background-repeat: no-repeat;
    background-attachment: local, local, scroll, scroll; }
  .scroll tbody tr:nth-child(even) { background-color: transparent; color: var(--paper-ink); }
  .wide table { min-width: 40rem; }
  .wide td { white-space: nowrap; }
  .wide::before { content: "Swipe sideways for all columns \2192"; position: sticky; left: 0;
    display: block; width: max-content; font-size: .875rem; color: var(--paper-link-ink); }
  .blocks table, .blocks caption, .blocks tbody, .blocks tr, .blocks th, .blocks td { display: block; }
  .blocks thead { display: none; }
  .blocks tr { padding: .5rem 0; border-bottom: 1px solid var(--paper-rule); }
  .blocks th, .blocks td { padding: .1rem 0; border: 0; text-align: left; white-space: normal; }
  .blocks td::before { content: attr(data-heading) ": "; color: var(--paper-soft-ink); }
}
@media print {
  html { font-size: 9.5pt; line-height: 1.4; }
  body { max-width: none; padding: 0; orphans: 3; widows: 3; }
  h2 { margin: 1.3rem 0 .4rem; }
  p, ul, ol, dl, figcaption { margin: .35rem 0; max-width: none; }
  li { margin: .15rem 0; }
  .banner { margin: .8rem 0; padding: .6rem 1rem; }
  .banner .sign { width: 2.4rem; height: 2.4rem; }
  .cautions { margin: .6rem 0; padding: .3rem 1rem .3rem 2.4rem; }
  footer { margin-top: 1.2rem; }
  .skip { display: none; }
  h2, h3, caption, thead { break-after: avoid; }
  tr, figure, .banner, .cautions, li, dt, dd { break-inside: avoid; }
  thead { display: table-header-group; }
  .scroll { overflow: visible; }
  table { font-size: 8.5pt; }
  th, td { padding: .2rem .8rem .2rem 0; }
  figure { margin: .5rem 0; }
  figure svg { min-width: 0; max-width: 100%; max-height: 118mm; }
  .large svg { max-height: 165mm; }
  article { break-before: page; }
  details { margin: .4rem 0; }
  details ul { font-size: 8.5pt; }
  details th, details td { padding-top: .1rem; padding-bottom: .1rem; }
  details::details-content { display: block; content-visibility: visible; }
}
)css";

} // namespace

std::string_view page_style() { return k_style; }

} // namespace coolband
