/** Light and dark, from 360 px wide; two panels side by side where they fit. */
export const pageStyle = `
:root {
  color-scheme: light dark;
  --paper: #fbfaf7; --ink: #1d2327; --quiet: #5a6269; --line: #d9d6ce; --link: #0a5a8a;
  --holds: #0b6358; --fails: #9c2b25; --dot: #0a5a8a; --allowed: #0b635820;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #16191c; --ink: #e9e7e1; --quiet: #a9b0b6; --line: #3a4147; --link: #8ac7ee;
    --holds: #6fd0c0; --fails: #f2938c; --dot: #8ac7ee; --allowed: #6fd0c026;
  }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.5 system-ui, sans-serif; }
main { max-width: 76rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0.6rem 0; }
h2 { font-size: 1.2rem; margin: 2.4rem 0 0.4rem; }
p { margin: 0.4rem 0; max-width: 80ch; overflow-wrap: anywhere; }
a { color: var(--link); }
a:focus-visible, .scroll:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
.quiet { color: var(--quiet); font-size: 0.9rem; }
.scroll { overflow-x: auto; margin: 1rem 0; }
table { border-collapse: collapse; font-size: 0.9rem; min-width: 56rem; }
th, td { text-align: left; vertical-align: top; padding: 0.3rem 0.9rem 0.3rem 0; border-bottom: 1px solid var(--line); }
thead th { color: var(--quiet); font-weight: 600; }
tbody th { font-weight: 600; }
.holds { color: var(--holds); } .fails { color: var(--fails); }
.panels { display: grid; gap: 0.5rem 1.5rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 30rem), 1fr)); }
.panels svg { width: 100%; height: auto; max-width: 34rem; display: block; font-size: 12px; }
svg text { fill: var(--quiet); }
.grid { stroke: var(--line); stroke-width: 0.6; }
.axes { fill: none; stroke: var(--quiet); }
.allowed { fill: var(--allowed); }
.limit { fill: none; stroke: var(--holds); stroke-dasharray: 5 3; }
.truth { fill: none; stroke: var(--quiet); stroke-width: 1; }
.dots { fill: none; stroke: var(--dot); stroke-width: 4.5; stroke-linecap: round; stroke-opacity: 0.55; }
.outside { fill: none; stroke: var(--fails); stroke-width: 1.8; }
.worst { fill: none; stroke: var(--ink); stroke-width: 1.2; }
.key { font-size: 0.9rem; display: flex; flex-wrap: wrap; gap: 0.2rem 1.4rem; padding: 0; list-style: none; }
.key svg { width: 26px; height: 16px; vertical-align: -2px; }
`.trimStart();
