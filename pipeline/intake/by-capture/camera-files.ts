/** Deliveries straight from the cards: the camera's own folders and names, which say nothing about garments. */

/** DCF 2.0 (CIPA DC-009): four letters, digits or underscores, then a counter of four digits; some bodies write five. */
const fileName = /^[A-Z0-9_]{3,4}_?\d{4,5}\.[^.]+$/i;
/** DCF 2.0: `DCIM`, and inside it three digits and five characters. */
const folderName = /^(?:DCIM|\d{3}[A-Z0-9_]{5})$/i;

/** @param frames paths inside the delivery, `/` between folders. */
export function isFromCards(frames: readonly string[]): boolean {
  return (
    frames.length > 1 &&
    frames.every((frame) => {
      const parts = frame.split('/');
      return parts.slice(0, -1).every((part) => folderName.test(part)) && fileName.test(parts.at(-1)!);
    })
  );
}
