/**
 * Text that a terminal only shows: control characters and reversals of the reading direction are written out (\u001b), so that
 * a name in a table moves no cursor, rewrites no line and reads no other way than it is. Line ends and tabs stay.
 * What is so written in JSON means the same characters.
 */
export function harmless(text: string): string {
  if (/^[\n\t -~]*$/.test(text)) return text;
  return text.replace(/(?![\n\t])[\p{Cc}\u202A-\u202E\u2066-\u2069]/gu, (c) => {
    const code = c.charCodeAt(0).toString(16).padStart(4, "0");
    return `\\u${code}`;
  });
}
