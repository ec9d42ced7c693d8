import type { Family, FamilyName } from "./family.ts";
import { type GatesGaudinSchuhmann, gatesGaudinSchuhmann } from "./gatesGaudinSchuhmann.ts";
import { type LogLogistic, logLogistic } from "./logLogistic.ts";
import { type LogNormal, logNormal } from "./logNormal.ts";
import { type Mixture, mixture } from "./mixture.ts";
import { type RosinRammler, rosinRammler } from "./rosinRammler.ts";
import { type UpperLimitLogNormal, upperLimitLogNormal } from "./upperLimit.ts";

/** A family with its parameters, as answers carry it. */
export type FittedCurve =
  | Stated<"log-normal", LogNormal>
  | Stated<"rosin-rammler", RosinRammler>
  | Stated<"gates-gaudin-schuhmann", GatesGaudinSchuhmann>
  | Stated<"upper-limit-log-normal", UpperLimitLogNormal>
  | Stated<"log-logistic", LogLogistic>
  | Stated<"mixture", Mixture>;

interface Stated<Name extends FamilyName, Parameters> {
  readonly family: Name;
  readonly parameters: Parameters;
}

/** The verbs of a curve whose family and parameters are known. */
export interface CurveVerbs {
  readonly undersize: (sizeUm: number) => number;
  readonly quantile: (fraction: number) => number;
  readonly pdfPerLn: (sizeUm: number) => number;
  readonly moment: (k: number) => number | null;
}

/** @throws DomainError  parameters outside the family's domain, when a verb is used */
export function verbsOf(curve: FittedCurve): CurveVerbs {
  switch (curve.family) {
    case "log-normal":
      return bound(logNormal, curve.parameters);
    case "rosin-rammler":
      return bound(rosinRammler, curve.parameters);
    case "gates-gaudin-schuhmann":
      return bound(gatesGaudinSchuhmann, curve.parameters);
    case "upper-limit-log-normal":
      return bound(upperLimitLogNormal, curve.parameters);
    case "log-logistic":
      return bound(logLogistic, curve.parameters);
    case "mixture":
      return bound(mixture, curve.parameters);
  }
}

function bound<Parameters>(family: Family<Parameters>, parameters: Parameters): CurveVerbs {
  return {
    undersize: (sizeUm) => family.cdf(parameters, sizeUm),
    quantile: (fraction) => family.quantile(parameters, fraction),
    pdfPerLn: (sizeUm) => family.pdfPerLn(parameters, sizeUm),
    moment: (k) => family.moment(parameters, k),
  };
}
