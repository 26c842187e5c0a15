import type { ComponentChildren } from 'preact';
import type { AnyVerdict } from '../words.ts';
import { Verdict } from './page.tsx';

/** A wide table or plot that scrolls in itself: named, and reached by the keyboard. */
export function Scroll({
  label,
  kind = '',
  children,
}: {
  label: string;
  /** Class of its own, where the style sheet has one. */
  kind?: string;
  children: ComponentChildren;
}) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard (WCAG 2.1.1)
    <section class={`scroll ${kind}`.trim()} aria-label={label} tabIndex={0}>
      {children}
    </section>
  );
}

export function Table({
  head,
  rows,
}: {
  head: readonly string[];
  rows: readonly (readonly ComponentChildren[])[];
}) {
  return (
    <table>
      <thead>
        <tr>
          {head.map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(([first, ...rest], index) => (
          <tr key={index}>
            <th scope="row">{first}</th>
            {rest.map((cell, column) => (
              <td key={column}>{cell}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Buttons that show one verdict or several; the script brings them out, as without it they would do nothing. */
export function Filter({ verdicts }: { verdicts: readonly AnyVerdict[] }) {
  if (verdicts.length < 2) return null;
  return (
    <fieldset class="filter" data-filter hidden>
      <legend>Show only</legend>
      {verdicts.map((verdict) => (
        <button key={verdict} type="button" aria-pressed="false" data-show={verdict}>
          <Verdict is={verdict} />
        </button>
      ))}
      <span role="status" class="quiet" />
    </fieldset>
  );
}
