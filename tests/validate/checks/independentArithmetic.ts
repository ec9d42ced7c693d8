import type { Source } from "../check.ts";

export const independentArithmetic: Source = {
  short: "independent arithmetic",
  full: "Values computed independently for this project: closed forms, exact sums and root finders of general-purpose libraries, not by its code.",
  reading: "read",
};
