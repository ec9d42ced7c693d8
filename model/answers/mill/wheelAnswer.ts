import type { Curve } from "#distributions/curve.ts";
import type { Mill } from "#model/mill/mill.ts";
import { type FittedMill, fitMill } from "#model/mill/prediction/fittedMill.ts";
import type { RefiringPair } from "#model/mill/prediction/refiringGrowth.ts";
import type { Priors } from "#model/mill/trials/priors.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { wheelNumbersFrom } from "./wheelNumbers.ts";
import type { WheelAnswer, WheelOptions } from "./wheelQuestion.ts";
import { wheelSentence, wheelWords } from "./wheelSentence.ts";

/** Cut size, product, chance in band and set point. @throws DomainError  a setting or level out of range */
export function wheelAnswer(
  mill: Mill,
  trials: readonly Trial[],
  options: WheelOptions & {
    readonly refire?: readonly RefiringPair[];
    /** Whole curves of the trials' products. */
    readonly curves?: readonly Curve[];
    readonly priors?: Priors;
  },
): WheelAnswer {
  return wheelAnswerFrom(
    mill,
    fitMill(mill, trials, { pairs: options.refire, priors: options.priors, curves: options.curves }),
    options,
  );
}

/** The same from a mill that is fitted already. @throws DomainError  a setting or level out of range */
export function wheelAnswerFrom(mill: Mill, fitted: FittedMill | null, options: WheelOptions): WheelAnswer {
  const { problems, ...numbers } = wheelNumbersFrom(mill, fitted, options);
  const words = wheelWords(numbers, fitted, options);
  return { ...numbers, words, sentence: wheelSentence(words), problems };
}
