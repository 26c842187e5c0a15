/** Single values out of an XMP packet (ISO 16684-1), enough for the few that a raw converter leaves in a delivered picture. */

/** Far above any packet that holds these values; longer ones carry embedded pictures. */
const longestPacket = 1 << 20;

const entities: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

/** `name` with its usual prefix, as an attribute or as an element; `null` where the packet does not hold it. */
export function xmpValue(packet: Buffer | undefined, name: string): string | null {
  if (packet === undefined || packet.length > longestPacket) return null;
  const text = packet.toString('utf8');
  const found =
    new RegExp(`\\s${name}\\s*=\\s*(?:"([^"<]{0,200})"|'([^'<]{0,200})')`).exec(text) ??
    new RegExp(`<${name}>([^<]{0,200})</${name}>`).exec(text);
  const value = found?.[1] ?? found?.[2];
  return value === undefined
    ? null
    : value.replace(/&(amp|lt|gt|quot|apos);/g, (_, entity) => entities[entity] ?? '');
}
