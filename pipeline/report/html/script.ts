import { createHash } from 'node:crypto';

/**
 * The one script of the pages. They work whole without it; it adds buttons that filter by verdict, and arrow keys that go from
 * one link of a list to the next while one of them has the focus. It holds no data, so its hash is fixed.
 */
export const script = `(() => {
  const lists = [...document.querySelectorAll('[data-list]')];
  for (const list of lists) {
    list.addEventListener('keydown', (event) => {
      const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!step || event.ctrlKey || event.metaKey || event.altKey) return;
      const links = [...document.querySelectorAll('[data-list] a')].filter((link) => !link.closest('[hidden]'));
      const next = links[links.indexOf(document.activeElement) + step];
      if (!links.includes(document.activeElement) || !next) return;
      event.preventDefault();
      next.focus();
    });
  }
  const bar = document.querySelector('[data-filter]');
  if (!bar) return;
  const buttons = [...bar.querySelectorAll('button')];
  const said = bar.querySelector('[role=status]');
  const items = [...document.querySelectorAll('[data-verdict]')];
  const update = () => {
    const wanted = buttons.filter((b) => b.getAttribute('aria-pressed') === 'true').map((b) => b.dataset.show);
    for (const item of items) item.hidden = wanted.length > 0 && !wanted.includes(item.dataset.verdict);
    for (const group of document.querySelectorAll('[data-group]'))
      group.hidden = !group.querySelector('[data-verdict]:not([hidden])');
    const counted = items.filter((item) => item.closest('[data-list]'));
    said.textContent = wanted.length === 0 ? '' : counted.filter((item) => !item.hidden).length + ' of ' + counted.length + ' shown';
  };
  for (const button of buttons)
    button.addEventListener('click', () => {
      button.setAttribute('aria-pressed', String(button.getAttribute('aria-pressed') !== 'true'));
      update();
    });
  bar.hidden = false;
})();`;

/** What a content security policy calls a script by (W3C CSP 3, hash source). */
export function sourceHash(source: string): string {
  return `sha256-${createHash('sha256').update(source).digest('base64')}`;
}

export const scriptHash = sourceHash(script);
