/** Bytes of a table as text, and the encoding they were in. */
export interface Decoded {
  readonly text: string;
  readonly encoding: "UTF-8" | "UTF-16 little-endian" | "UTF-16 big-endian" | "Windows-1252";
}

/**
 * A byte-order mark decides; without one, zero bytes in every second place mean UTF-16;
 * what is valid UTF-8 is UTF-8; the rest is Windows-1252, in which every byte is a letter.
 */
export function decode(bytes: Uint8Array): Decoded {
  const [a, b, c] = bytes;
  if (a === 0xef && b === 0xbb && c === 0xbf) return utf8(bytes.subarray(3));
  if (a === 0xff && b === 0xfe) return utf16(bytes.subarray(2), true);
  if (a === 0xfe && b === 0xff) return utf16(bytes.subarray(2), false);
  const zeros = [0, 0];
  const looked = Math.min(bytes.length, 2000);
  for (let i = 0; i < looked; i++) if (bytes[i] === 0) zeros[i % 2] = (zeros[i % 2] ?? 0) + 1;
  const half = looked / 2;
  if (half >= 2 && (zeros[1] ?? 0) > 0.4 * half) return utf16(bytes, true);
  if (half >= 2 && (zeros[0] ?? 0) > 0.4 * half) return utf16(bytes, false);
  return utf8(bytes);
}

function utf8(bytes: Uint8Array): Decoded {
  try {
    return { text: new TextDecoder("utf-8", { fatal: true }).decode(bytes), encoding: "UTF-8" };
  } catch {
    return { text: new TextDecoder("windows-1252").decode(bytes), encoding: "Windows-1252" };
  }
}

function utf16(bytes: Uint8Array, littleEndian: boolean): Decoded {
  const name = littleEndian ? "UTF-16 little-endian" : "UTF-16 big-endian";
  return { text: new TextDecoder(littleEndian ? "utf-16le" : "utf-16be").decode(bytes), encoding: name };
}
