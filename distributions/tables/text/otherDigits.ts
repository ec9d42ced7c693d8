/** No script whose digits are others begins before. */
const otherScript = /[\u0660-\uffff]/;
const digit = /(?![0-9])\p{Nd}/gu;
const isDigit = /\p{Nd}/u;

/** The same text with digits of other scripts as those that are read. Source: Unicode, general category Nd: ten in a row, zero first. */
export function withPlainDigits(text: string): string {
  if (!otherScript.test(text) || !isDigit.test(text)) return text;
  const plain = text.replace(digit, (found) => String(figureOf(found)));
  // Signs that stand in such numbers for a point, a comma and what parts thousands.
  return plain === text
    ? text
    : plain.replaceAll("٫", ".").replaceAll("٬", "'").replaceAll("．", ".").replaceAll("，", ",");
}

function figureOf(found: string): number {
  const at = found.codePointAt(0);
  if (at === undefined) throw new RangeError("no digit");
  let before = 0;
  while (isDigit.test(String.fromCodePoint(at - before - 1))) before++;
  return before % 10;
}
