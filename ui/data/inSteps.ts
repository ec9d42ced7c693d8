import type { Steps } from "#model/numbers/pausing.ts";

/** What is worked out at a stretch: short enough that a key or a drag between two of them is answered in time. */
const stretchMs = 8;

/** An answer that is being worked out while the page goes on. */
export interface Work {
  /** Gives it up. */
  readonly stop: () => void;
  /** Works the rest out at once, as for printing. */
  readonly finish: () => void;
}

/**
 * Works an answer out in stretches, between which the page answers. `then` takes what gives it, or throws what went
 * wrong, so that the view that shows it can say so.
 *
 * @param pauseMs  how long it waits before it begins
 */
export function inSteps<T>(steps: Steps<T>, then: (answer: () => T) => void, pauseMs = 0): Work {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let isOver = false;
  const next = (): (() => T) | null => {
    try {
      const step = steps.next();
      return step.done === true ? () => step.value : null;
    } catch (fault) {
      return () => {
        throw fault;
      };
    }
  };
  const work = (untilMs: number) => {
    while (!isOver && performance.now() < untilMs) {
      const answer = next();
      if (answer === null) continue;
      isOver = true;
      then(answer);
    }
    if (!isOver) timer = setTimeout(() => work(performance.now() + stretchMs));
  };
  timer = setTimeout(() => work(performance.now() + stretchMs), pauseMs);
  return {
    stop() {
      isOver = true;
      clearTimeout(timer);
    },
    finish() {
      clearTimeout(timer);
      work(Number.POSITIVE_INFINITY);
    },
  };
}
