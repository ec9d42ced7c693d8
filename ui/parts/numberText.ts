/** What someone typed into a number field: nothing, a number, or why it is none. */
export type Typed =
  | { readonly kind: "empty" }
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "unclear"; readonly why: string };

const plain = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i;
const twoWays = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;

/**
 * Reads a number as people write it, with a decimal point or a decimal comma. A comma is never dropped:
 * 1,250 could be 1.25 or 1250, so it is asked about; where the comma is the mark chosen, 1.250 is.
 *
 * @example numberOf("0,86") // { kind: "number", value: 0.86 }
 */
export function numberOf(text: string, decimal = "."): Typed {
  const typed = text.trim().replace(/^−/, "-").replace(/[\s’]/g, "");
  if (typed === "") return { kind: "empty" };
  if (!plain.test(typed))
    return { kind: "unclear", why: "Write one number, such as 0.86 or 0,86, without a unit." };
  const other = decimal === "," ? "." : ",";
  if (typed.includes(other) && twoWays.test(typed)) {
    const small = typed.replace(",", ".").replace(/0+$/, "");
    return {
      kind: "unclear",
      why: `Is it ${typed.replace(other, "")} or ${small}? Write it without the ${other === "," ? "comma" : "point"}.`,
    };
  }
  const value = Number(typed.replace(",", "."));
  return Number.isFinite(value)
    ? { kind: "number", value }
    : { kind: "unclear", why: "The number is too large." };
}
