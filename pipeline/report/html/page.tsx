import type { ComponentChildren } from 'preact';
import { renderToString } from 'preact-render-to-string';
import type { AnyVerdict } from '../words.ts';
import { script, scriptHash } from './script.ts';

/**
 * A whole page that opens from disk. The policy allows the folder's own pictures and style sheet, the one script by its hash, and nothing else, so that
 * no request can leave the machine even if a name from the delivery should get past the escaping.
 */
export function renderPage(page: { title: string; root: string; children: ComponentChildren }): string {
  const html = renderToString(
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta
          http-equiv="Content-Security-Policy"
          content={`default-src 'none'; img-src 'self' file:; style-src 'self' file: 'unsafe-inline'; script-src '${scriptHash}'`}
        />
        <title>{page.title}</title>
        <link rel="stylesheet" href={`${page.root}style.css`} />
      </head>
      <body>
        {page.children}
        <footer class="foot quiet">
          <p>
            A verdict is advice to a person, who has the last word. The people in these pictures have privacy
            and image rights under local law: share them only with those who need them. Nobody was identified,
            nothing left this machine, and the delivered files were not changed.
          </p>
        </footer>
        {/* A constant of ours, allowed by its hash: no data goes in. */}
        <script dangerouslySetInnerHTML={{ __html: script }} />
      </body>
    </html>,
  );
  return `<!doctype html>\n${html}\n`;
}

/** Each verdict has its own shape, so that it can be told without colour: full, half full, barred, dashed. */
const shapes: Readonly<Record<AnyVerdict, ComponentChildren>> = {
  pass: <circle cx="8" cy="8" r="7" fill="currentColor" />,
  cleanup: (
    <>
      <circle cx="8" cy="8" r="6.2" fill="none" stroke="currentColor" stroke-width="1.6" />
      <path d="M1.8 8a6.2 6.2 0 0 0 12.4 0z" fill="currentColor" />
    </>
  ),
  reject: <path d="M2 2h12v12H2zM2 14 14 2" fill="none" stroke="currentColor" stroke-width="1.8" />,
  reshoot: <path d="M2 2h12v12H2zM2 14 14 2" fill="none" stroke="currentColor" stroke-width="1.8" />,
  unreadable: (
    <circle
      cx="8"
      cy="8"
      r="6.2"
      fill="none"
      stroke="currentColor"
      stroke-width="1.8"
      stroke-dasharray="3 2.2"
    />
  ),
};

/** A verdict as word and shape. */
export function Verdict({ is }: { is: AnyVerdict }) {
  return (
    <span class={`verdict ${is}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        {shapes[is]}
      </svg>
      {is}
    </span>
  );
}
