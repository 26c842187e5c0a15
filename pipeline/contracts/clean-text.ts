/**
 * Control, format (bidirectional marks, zero-width characters, byte-order mark) and separator characters and lone
 * surrogates; the two joiners stay, as Persian and Indic scripts are misspelt without them.
 */
const unprintable = /(?![\u200c\u200d])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu;

/**
 * Text that came with a file (EXIF, ICC, sheet, file name) made safe to print on one line: no control or
 * reordering characters, no lone surrogates, white space collapsed, at most `limit` characters.
 */
export function cleanText(text: string, limit = 200): string {
  const flat = text.replace(unprintable, ' ').replace(/\s+/g, ' ').trim();
  const characters = [...flat];
  return characters.length <= limit ? flat : `${characters.slice(0, limit - 1).join('')}…`;
}
