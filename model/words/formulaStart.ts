/**
 * A text that a spreadsheet would take for a formula: it begins with = + - @, a tab or a carriage return and is no
 * number. Tables for people put an apostrophe before it. Source of the characters: OWASP, "CSV Injection", from memory.
 */
export const formulaStart = /^(?![-+](?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?$)[=+\-@\t\r]/i;
