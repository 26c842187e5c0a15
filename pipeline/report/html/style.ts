/** The one style sheet of all pages, written once to `<out>/style.css`: light and dark, 360 to 1920 px wide, and A4 or Letter paper. */
export const styleSheet = `
:root {
  color-scheme: light dark;
  --paper: #fbfaf7; --card: #ffffff; --ink: #1d2327; --quiet: #5a6269; --line: #d9d6ce; --link: #0a5a8a;
  --pass: #0b6358; --cleanup: #7d5200; --reject: #9c2b25; --unreadable: #4d5660;
  --red: #c2554e; --green: #4f9a62; --blue: #4c7fc0;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #16191c; --card: #1f2428; --ink: #e9e7e1; --quiet: #a9b0b6; --line: #3a4147; --link: #8ac7ee;
    --pass: #6fd0c0; --cleanup: #eabf62; --reject: #f2938c; --unreadable: #b4bcc4;
    --red: #e08a84; --green: #86c596; --blue: #86aee0;
  }
}
[hidden] { display: none !important; }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.5 system-ui, sans-serif; }
main, .top, .foot { max-width: 76rem; margin: 0 auto; padding: 0 1rem; }
.top { padding-top: 1rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0.6rem 0; overflow-wrap: anywhere; }
h2 { font-size: 1.2rem; margin: 2rem 0 0.6rem; }
h3 { font-size: 1.05rem; margin: 0; overflow-wrap: anywhere; }
a { color: var(--link); }
a:focus-visible, summary:focus-visible, button:focus-visible, .scroll:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
p { margin: 0.4rem 0; max-width: 68ch; }
.quiet { color: var(--quiet); font-size: 0.9rem; }
.verdict { display: inline-flex; align-items: baseline; gap: 0.4em; font-weight: 650; white-space: nowrap; }
.verdict svg { width: 1em; height: 1em; flex: none; align-self: center; }
.pass { color: var(--pass); } .cleanup { color: var(--cleanup); } .reject, .reshoot { color: var(--reject); } .unreadable { color: var(--unreadable); }
.tally { display: flex; flex-wrap: wrap; gap: 0.4rem 1.6rem; padding: 0; margin: 0.8rem 0; list-style: none; }
.cards { display: grid; gap: 1rem; grid-template-columns: repeat(auto-fill, minmax(min(100%, 21rem), 1fr)); padding: 0; margin: 0; list-style: none; }
.card { background: var(--card); border: 1px solid var(--line); border-radius: 6px; padding: 0.8rem; display: grid; grid-template-columns: 5.5rem 1fr; gap: 0.8rem; align-items: start; }
.card img { width: 5.5rem; height: auto; border-radius: 3px; display: block; }
.card ul, .plain { margin: 0.3rem 0; padding-left: 1.1rem; font-size: 0.92rem; }
.contact { display: grid; gap: 0.8rem; grid-template-columns: repeat(auto-fill, minmax(8.5rem, 1fr)); padding: 0; margin: 0; list-style: none; }
.contact a { display: block; color: inherit; text-decoration: none; }
.contact img { width: 100%; height: 11.5rem; object-fit: contain; background: var(--card); border: 1px solid var(--line); display: block; }
.contact .name { display: block; font-size: 0.85rem; overflow-wrap: anywhere; }
.none { display: grid; place-items: center; height: 11.5rem; background: var(--card); border: 1px dashed var(--line); color: var(--quiet); font-size: 0.85rem; text-align: center; }
.card .none { height: 7rem; }
.frame { border-top: 1px solid var(--line); padding: 1.6rem 0; scroll-margin-top: 0.5rem; }
.frame header { display: flex; flex-wrap: wrap; gap: 0.3rem 1rem; align-items: baseline; margin-bottom: 0.7rem; }
.sides { display: grid; gap: 1.2rem; grid-template-columns: minmax(14rem, 24rem) 1fr; }
.stays { position: sticky; top: 0.5rem; align-self: start; display: grid; gap: 0.8rem; }
@media (max-width: 44rem) { .sides { grid-template-columns: 1fr; } .stays { position: static; } }
.back { margin-left: auto; font-size: 0.9rem; }
.levels { width: 100%; height: auto; display: block; }
.level-red { fill: var(--red); } .level-green { fill: var(--green); } .level-blue { fill: var(--blue); }
figure { margin: 0; }
figcaption { font-size: 0.85rem; color: var(--quiet); }
.whole { position: relative; }
.whole img { width: 100%; height: auto; display: block; }
.whole svg { position: absolute; inset: 0; width: 100%; height: 100%; }
/* Drawn over photographs, so the same in light and dark: a light line in a dark casing shows on any picture. */
.whole rect { fill: none; stroke-linejoin: round; }
.whole .casing { stroke: #101418; stroke-width: 1.1; }
.whole .line { stroke: #ffffff; stroke-width: 0.55; }
.whole .dashed { stroke: #ffd27a; stroke-width: 0.55; stroke-dasharray: 2 1.2; }
.whole .tag { fill: #ffd27a; stroke: #101418; stroke-width: 0.4; }
.whole text { fill: #101418; font-weight: 650; }
.pairs { display: grid; gap: 0.8rem; margin: 0.8rem 0; }
.pair { display: flex; flex-wrap: wrap; gap: 0.8rem; align-items: flex-start; }
.pair figure { flex: 0 1 auto; min-width: 0; }
.pairs img { max-width: 100%; height: auto; display: block; border: 1px solid var(--line); }
.strip { display: flex; flex-wrap: wrap; gap: 0.4rem; }
.strip img { height: 9rem; width: auto; display: block; }
.filter { border: 0; padding: 0; margin: 0.8rem 0; display: flex; flex-wrap: wrap; gap: 0.5rem; align-items: center; }
.filter legend { float: left; padding: 0; margin-right: 0.6rem; }
.filter button { font: inherit; color: inherit; background: var(--card); border: 1px solid var(--line); border-radius: 4px; padding: 0.25rem 0.7rem; min-height: 2rem; cursor: pointer; }
.filter button[aria-pressed="true"] { border-color: currentColor; box-shadow: inset 0 0 0 1px currentColor; }
.findings { margin: 0; padding: 0; list-style: none; display: grid; gap: 0.7rem; }
.findings.wide { grid-template-columns: repeat(auto-fill, minmax(min(100%, 22rem), 1fr)); gap: 1rem 1.6rem; }
.findings li { border-left: 4px solid currentColor; padding-left: 0.7rem; }
.findings .body { color: var(--ink); }
.findings .body strong { overflow-wrap: anywhere; }
.note { color: var(--quiet); } .unmeasured { color: var(--unreadable); }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; font-size: 0.92rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.9rem 0.25rem 0; border-bottom: 1px solid var(--line); }
th { font-weight: 600; }
.views td:nth-child(n + 3) { min-width: 13rem; }
.views td div + div { margin-top: 0.3rem; }
.card-page th, .card-page td { white-space: nowrap; }
details { margin: 0.6rem 0; }
summary { cursor: pointer; }
.plot { max-width: 42rem; min-width: 30rem; width: 100%; height: auto; display: block; }
.plot.wide { max-width: none; min-width: 44rem; }
.card-page { font-size: 1.1rem; }
.foot { margin-top: 3rem; padding-bottom: 2rem; border-top: 1px solid var(--line); }
@page { margin: 14mm; }
@media print {
  .filter, .screen-only { display: none !important; }
  .scroll { overflow: visible; }
  .plot, .plot.wide { min-width: 0; max-width: 100%; }
  main, .top, .foot { max-width: none; padding: 0; }
  .foot { margin-top: 1rem; padding-bottom: 0; }
  .sides { grid-template-columns: 12rem 1fr; }
  .stays { position: static; }
  .views td:nth-child(n + 3) { min-width: 0; }
  .pair { flex-wrap: nowrap; }
  .pair figure { flex: 0 1 50%; }
  h2, h3 { break-after: avoid; }
  details:not([open]) { display: none; }
  :root { --paper: #fff; --card: #fff; --ink: #000; --quiet: #444; --line: #bbb; --link: #000; }
  body { font-size: 10pt; }
  .card, .contact li, .frame header, figure, .findings li { break-inside: avoid; }
  a { text-decoration: none; }
}
`.trimStart();
