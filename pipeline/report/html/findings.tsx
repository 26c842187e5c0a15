import type { Finding } from '../../contracts/finding.ts';
import { decisionWords, measuredAgainst } from '../words.ts';

const severityWords: Readonly<Record<Finding['severity'], string>> = {
  reject: 'Reject',
  cleanup: 'Cleanup',
  unmeasured: 'Not measured',
  note: 'Note',
};

/** A number and its unit stay on one line. */
const unbroken = (text: string): string =>
  text.replace(/(\d) (?=(?:%|px|mired|stops?|frames?|K|s|mm)(?![\p{L}\p{N}]))/gu, '$1\u00a0');

const decidedWords = { accept: 'accepted', insist: 'insisted on' } as const;

/** An accepted finding no longer asks for anything, and looks it. */
const classOf = ({ severity, decision }: Finding): string =>
  decision?.decided === 'accept' ? 'note' : severity;

/** Findings as a list; those with a place in the picture carry the number that is drawn there. */
export function Findings({
  findings,
  numbered,
  wide = false,
}: {
  findings: readonly Finding[];
  numbered: readonly Finding[];
  /** Side by side where there is room. */
  wide?: boolean;
}) {
  return (
    <ul class={wide ? 'findings wide' : 'findings'}>
      {findings.map((finding, index) => {
        const number = numbered.indexOf(finding) + 1;
        return (
          <li key={index} class={classOf(finding)}>
            <div class="body">
              <span class={classOf(finding)}>
                {severityWords[finding.severity]}
                {finding.decision && `, ${decidedWords[finding.decision.decided]}`}
              </span>{' '}
              <strong>
                {number > 0 && `${number}. `}
                {finding.title}
              </strong>
              <p>{unbroken(finding.detail)}</p>
              <p class="quiet">{unbroken(measuredAgainst(finding))}</p>
              {finding.decision && (
                <p>
                  <strong>{decisionWords(finding)}</strong>
                </p>
              )}
            </div>
          </li>
        );
      })}
    </ul>
  );
}
