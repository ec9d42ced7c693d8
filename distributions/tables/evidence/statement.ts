import { type InClass, inClassRules, type Quantity, quantities } from "#distributions/sizeDistribution.ts";

/** What the line above an exported table says; it goes before every other word. */
export interface Statement {
  readonly quantity: Quantity;
  readonly measuredAs: Quantity;
  readonly inClass: InClass;
}

/** The line that says so. */
export function statementOf({ quantity, measuredAs, inClass }: Statement): string {
  const more = [
    measuredAs === quantity ? "" : `measured by ${measuredAs}`,
    inClass === "log-uniform" ? "" : `${inClass} in a class`,
  ].filter((part) => part !== "");
  return `share of each class by ${quantity} as fraction${more.length === 0 ? "" : ` (${more.join(" and ")})`}`;
}

/** The statement in a line above a table, exactly as it is written here; null for any other line. */
export function statementIn(line: string): Statement | null {
  const said = /^share of each class by (\w+) as fraction/.exec(line)?.[1];
  const quantity = quantities.find((q) => q === said);
  if (quantity === undefined) return null;
  const measured = /measured by (\w+)/.exec(line)?.[1];
  const rule = /([a-z-]+) in a class/.exec(line)?.[1];
  const statement = {
    quantity,
    measuredAs: quantities.find((q) => q === measured) ?? quantity,
    inClass: inClassRules.find((r) => r === rule) ?? "log-uniform",
  };
  return statementOf(statement) === line ? statement : null;
}
