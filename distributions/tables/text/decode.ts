import type { EncodingOption } from "./readingOptions.ts";

/** Bytes of a table as text, and the encoding they were in. */
export interface Decoded {
  readonly text: string;
  readonly encoding: EncodingOption;
  /** What told the encoding. */
  readonly evidence: string;
}

/**
 * A byte-order mark decides; without one, zero bytes in every second place mean UTF-16;
 * what is valid UTF-8 is UTF-8; the rest is Windows-1252, in which every byte is a letter.
 *
 * @param asked  an encoding the user names; then nothing is weighed
 */
export function decode(bytes: Uint8Array, asked?: EncodingOption): Decoded {
  if (asked !== undefined) return { text: textIn(bytes, asked), encoding: asked, evidence: "your word" };
  const [a, b, c] = bytes;
  const mark = "a byte-order mark";
  if (a === 0xef && b === 0xbb && c === 0xbf) return utf8(bytes, mark);
  if (a === 0xff && b === 0xfe) return found(bytes, "utf-16le", mark);
  if (a === 0xfe && b === 0xff) return found(bytes, "utf-16be", mark);
  const looked = bytes.subarray(0, 2000);
  const half = looked.length / 2;
  const zeros = (side: 0 | 1) => looked.reduce((n, byte, i) => (byte === 0 && i % 2 === side ? n + 1 : n), 0);
  if (half >= 2 && zeros(1) > 0.4 * half) return found(bytes, "utf-16le", "every second byte is zero");
  if (half >= 2 && zeros(0) > 0.4 * half) return found(bytes, "utf-16be", "every second byte is zero");
  return utf8(bytes, "the bytes are valid in it");
}

function utf8(bytes: Uint8Array, evidence: string): Decoded {
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    return { text: mended(text), encoding: "utf-8", evidence };
  } catch {
    return found(bytes, "windows-1252", "the bytes are not valid UTF-8");
  }
}

function found(bytes: Uint8Array, encoding: EncodingOption, evidence: string): Decoded {
  return { text: textIn(bytes, encoding), encoding, evidence };
}

function textIn(bytes: Uint8Array, encoding: EncodingOption): string {
  const text = new TextDecoder(encoding).decode(bytes);
  return mended(
    encoding === "windows-1252"
      ? text.replace(/[\u0080-\u009f]/g, (c) => upperSigns[c.charCodeAt(0) - 0x80] ?? c)
      : text,
  );
}

/** What Windows-1252 has at 0x80 … 0x9f; some runtimes decode it as Latin-1 and leave control signs there. */
const upperSigns = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";

/** Signs that were saved once as UTF-8 and read as Windows-1252: the micro sign, the Greek mu, a leading mark. */
export function mended(text: string): string {
  return text
    .replace(/^(?:\ufeff|ï»¿)/, "")
    .replace(/Â(?=µ)/g, "")
    .replaceAll("Î¼", "µ")
    .replaceAll("Âµ", "µ");
}
