import { cleanText } from '../contracts/clean-text.ts';
import type { FrameVerdict } from '../contracts/finding.ts';
import type { FrameResult, Results } from '../contracts/results.ts';
import { frameStems } from './frame-stems.ts';
import { asksForWork, count, decisionWords, frameAdvice } from './words.ts';

/**
 * XMP sidecars (ISO 16684-1:2019): what was judged, for any editor that reads metadata. Only the open namespaces `xmp` and
 * `dc`; the files mirror the delivery's folders, so that copied over it each lies beside its frame.
 */

/** `xmp:Rating` runs from 0, unrated, to 5; -1 means rejected (ISO 16684-1, XMP basic namespace). */
const ratings: Readonly<Record<FrameVerdict, number>> = { pass: 5, cleanup: 3, reject: -1, unreadable: 0 };

const escapes: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** Longest value of one property: more than any editor shows. */
const longestText = 2000;

/** XML 1.0 has no place for U+FFFE and U+FFFF; control characters and lone surrogates are gone already. */
function xml(text: string): string {
  return cleanText(text, longestText)
    .replace(/[\ufffe\uffff]/g, '')
    .replace(/[&<>"']/g, (sign) => escapes[sign] ?? sign);
}

function keywords({ garment, verdict, findings }: FrameResult): readonly string[] {
  const work = findings.filter(asksForWork);
  const efforts = work.flatMap(({ effort }) => (effort === undefined ? [] : [`${effort} work`]));
  return [...new Set([garment, verdict, ...work.map(({ check }) => check), ...efforts])];
}

function description({ verdict, findings }: FrameResult): string {
  const lines = findings
    .filter((finding) => asksForWork(finding) || finding.decision !== undefined)
    .map((finding) => `${finding.title}: ${finding.detail} ${decisionWords(finding)}`.trim());
  return [
    frameAdvice[verdict],
    ...(lines.length > 0 ? [`${count(lines.length, 'finding')}.`] : []),
    ...lines,
  ].join(' ');
}

/** One packet, UTF-8. The processing instruction around it is the one of ISO 16684-1, 7.2. */
export function sidecar(frame: FrameResult): string {
  return `<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/">
   <xmp:Rating>${ratings[frame.verdict]}</xmp:Rating>
   <xmp:Label>${frame.verdict}</xmp:Label>
   <dc:subject>
    <rdf:Bag>
${keywords(frame)
  .map((word) => `     <rdf:li>${xml(word)}</rdf:li>\n`)
  .join('')}    </rdf:Bag>
   </dc:subject>
   <dc:description>
    <rdf:Alt>
     <rdf:li xml:lang="x-default">${xml(description(frame))}</rdf:li>
    </rdf:Alt>
   </dc:description>
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>
`;
}

export function sidecars(results: Results): readonly { readonly path: string; readonly body: string }[] {
  const stems = frameStems(results.frames);
  return results.frames.map((frame) => ({
    path: `retouch/sidecars/${stems.get(frame.id)}.xmp`,
    body: sidecar(frame),
  }));
}
