/** Names that a device makes: entries and jobs are UUIDs, version 7 (RFC 9562). */

let last = 0;
let count = 0;

/** A new one; those of one device ascend, also within a millisecond and when the clock goes back. */
export function uuid7(now: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  if (now > last) {
    last = now;
    // Half of the counter's room is left above the chance that it begins with.
    count = ((bytes[6] ?? 0) & 7) * 256 + (bytes[7] ?? 0);
  } else if (count < 0xfff) {
    count += 1;
  } else {
    last += 1;
    count = 0;
  }
  const time = last.toString(16).padStart(12, "0");
  const spread = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const tail = [spread, ...bytes.subarray(9)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const turn = count.toString(16).padStart(3, "0");
  return `${time.slice(0, 8)}-${time.slice(8)}-7${turn}-${tail.slice(0, 4)}-${tail.slice(4)}`;
}

/** Letters and digits that are not taken for one another. */
const PLAIN = "abcdefghkmnprstwxyz23456789";

/** A short mark that tells one device's names from another's. */
export function mark(length = 4): string {
  const bytes = crypto.getRandomValues(new Uint8Array(length));
  return [...bytes].map((byte) => PLAIN[byte % PLAIN.length]).join("");
}

/**
 * The next free name after those that begin alike: `R017`. A device that did not begin the job
 * adds its own mark, so that two without a connection never give one name to two things.
 */
export function nextName(taken: Iterable<string>, prefix: string, own: string | null, width: number): string {
  let most = 0;
  for (const name of taken) {
    if (name.startsWith(prefix)) {
      const number = /^\d+/.exec(name.slice(prefix.length));
      most = Math.max(most, number === null ? 0 : Number(number[0]));
    }
  }
  const next = `${prefix}${String(most + 1).padStart(width, "0")}`;
  return own === null ? next : `${next}-${own}`;
}
