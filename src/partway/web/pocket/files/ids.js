// A UUID of version 7 (RFC 9562, 5.7): the time in milliseconds, then chance. Of two made in one millisecond the second
// has the later time, so that ids are in the order in which they were made.
const VERSION = 0x70, VARIANT = 0x80;
let last = 0;
export const newId = () => {
  last = Math.max(Date.now(), last + 1);
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let at = 5, rest = last; at >= 0; at -= 1, rest = Math.floor(rest / 256)) bytes[at] = rest % 256;
  bytes[6] = (bytes[6] & 0x0f) | VERSION;
  bytes[8] = (bytes[8] & 0x3f) | VARIANT;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
};
