import { sourceHash } from './script.ts';

/**
 * Loads the page again when the picture beside it has another size than the page was made with, or is gone at the end of the
 * watch (a first look that found it shows that there is a watch). The reader's place is kept over it: what stands at the top of
 * the window, open details, the filter and the focus; a reader who has marked text is left alone. The browser's own way back to
 * the old offset is off until the page is loaded.
 */
export const renewScript = `(() => {
  const { mark, width, height } = document.currentScript.dataset;
  const key = 'nightrail ' + location.pathname;
  const headings = [...document.querySelectorAll('h1, h2, h3')];
  const under = (element) => element.closest('section')?.querySelector('h2, h3')?.textContent;
  const nameOf = (element) => JSON.stringify([element.tagName, under(element), element.textContent]);
  const all = (selector) => [...document.querySelectorAll(selector)];
  const keep = () => {
    const top = headings.filter((heading) => heading.getBoundingClientRect().top <= 1).at(-1) ?? headings[0];
    const focused = document.activeElement === document.body ? null : nameOf(document.activeElement);
    return {
      heading: nameOf(top),
      top: top.getBoundingClientRect().top,
      open: all('details[open]').map(nameOf),
      shown: all('[data-filter] [aria-pressed=true]').map((button) => button.dataset.show),
      focused,
    };
  };
  const restore = ({ heading, top, open, shown, focused }) => {
    for (const button of all('[data-filter] button')) if (shown.includes(button.dataset.show)) button.click();
    for (const details of all('details')) details.open = open.includes(nameOf(details));
    all('a, button, summary, [tabindex]').find((one) => nameOf(one) === focused)?.focus({ preventScroll: true });
    const found = headings.find((one) => nameOf(one) === heading);
    if (found) scrollBy(0, found.getBoundingClientRect().top - top);
  };
  try {
    const kept = JSON.parse(sessionStorage.getItem(key));
    sessionStorage.removeItem(key);
    if (kept) restore(kept);
  } catch {}
  const renew = () => {
    try {
      sessionStorage.setItem(key, JSON.stringify(keep()));
      history.scrollRestoration = 'manual';
    } catch {}
    location.reload();
  };
  let watched = false;
  const look = () => {
    const picture = new Image();
    const again = () => setTimeout(look, 1000);
    const differs = () => picture.naturalWidth !== Number(width) || picture.naturalHeight !== Number(height);
    picture.onload = () => {
      watched = true;
      if (differs() && getSelection().isCollapsed) renew();
      else again();
    };
    picture.onerror = () => (watched && getSelection().isCollapsed ? renew() : again());
    picture.src = mark + '?' + (performance.timeOrigin + performance.now());
  };
  setTimeout(() => {
    history.scrollRestoration = 'auto';
    look();
  }, 1000);
})();`;

/** What a content security policy calls the script by. */
export const renewScriptHash = sourceHash(renewScript);
