import { Worker } from "node:worker_threads";
import { z } from "zod";
import { NotNow } from "#api/faults.ts";

/** A question as it travels: the path, and the body as it was received. */
export interface PoolQuestion {
  readonly path: string;
  readonly body: ArrayBuffer;
}

export interface PoolAnswer {
  readonly status: number;
  readonly type: string;
  readonly body: Uint8Array<ArrayBuffer>;
}

/** What a worker sends back: the answer, and a fault of ours for the log. */
const answered = z.object({
  status: z.number(),
  type: z.string(),
  body: z.instanceof(Uint8Array<ArrayBuffer>),
  faults: z.array(z.string()),
});
export type PoolAnswered = z.output<typeof answered>;

/** The asker left before the answer came; nobody reads what this says. */
class AskerLeft extends Error {}

interface Waiting {
  readonly question: PoolQuestion;
  readonly caller: string;
  readonly done: (answer: PoolAnswered) => void;
  readonly failed: (why: Error) => void;
}

/** One that is answering holds the question; one at rest holds null. */
interface Hand {
  readonly worker: Worker;
  at: Waiting | null;
  clock: NodeJS.Timeout | undefined;
}

/** How a pool is made: the worker's file, how many, and what a question may take. */
export interface PoolSettings {
  readonly script: string;
  readonly threads: number;
  readonly limits: {
    readonly secondsPerAnswer: number;
    readonly megabytesPerWorker: number;
    readonly perCaller: number;
    readonly together: number;
  };
  readonly log: (fault: unknown) => void;
}

/**
 * Worker threads that answer questions, started when the first one comes. The question next in turn is of the caller with
 * the fewest at work, so that nobody's hundred stand before somebody's one. What takes too long, takes too much memory or
 * was left by its asker ends with its worker; the next question gets a new one.
 */
export class Pool {
  readonly #settings: PoolSettings;
  readonly #hands = new Set<Hand>();
  #waiting: Waiting[] = [];
  #isClosed = false;

  constructor(settings: PoolSettings) {
    this.#settings = settings;
  }

  /**
   * @param signal  aborted when the asker leaves
   * @throws NotNow  too many are waiting, or the answer takes more than a question may
   */
  async ask(question: PoolQuestion, caller: string, signal: AbortSignal): Promise<PoolAnswer> {
    const { perCaller, together } = this.#settings.limits;
    const inTurn = [...this.#waiting, ...this.#atWork()];
    if (inTurn.length >= together)
      throw new NotNow(
        `The server is busy: ${inTurn.length} questions are before yours. Ask again shortly.`,
        10,
      );
    if (inTurn.filter((one) => one.caller === caller).length >= perCaller)
      throw new NotNow(
        `You have ${perCaller} questions waiting, as many as one may. Wait for their answers.`,
        5,
      );
    const { faults, ...answer } = await this.#inTurn(question, caller, signal);
    for (const fault of faults) this.#settings.log(fault);
    return answer;
  }

  #inTurn(question: PoolQuestion, caller: string, signal: AbortSignal): Promise<PoolAnswered> {
    return new Promise((resolve, reject) => {
      if (signal.aborted) return reject(new AskerLeft());
      const leave = () => this.#leave(waiting);
      const stay = () => signal.removeEventListener("abort", leave);
      const waiting: Waiting = {
        question,
        caller,
        done(answer) {
          stay();
          resolve(answer);
        },
        failed(why) {
          stay();
          reject(why);
        },
      };
      signal.addEventListener("abort", leave, { once: true });
      this.#waiting.push(waiting);
      this.#next();
    });
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    await Promise.all([...this.#hands].map(({ worker }) => worker.terminate()));
  }

  #atWork(): Waiting[] {
    return [...this.#hands].flatMap(({ at }) => (at === null ? [] : [at]));
  }

  #leave(waiting: Waiting): void {
    const hand = [...this.#hands].find(({ at }) => at === waiting);
    if (hand === undefined) {
      this.#waiting = this.#waiting.filter((one) => one !== waiting);
      waiting.failed(new AskerLeft());
    } else this.#end(hand, new AskerLeft());
  }

  /** Gives the next question to a worker at rest, or to a new one while there may be more. */
  #next(): void {
    if (this.#isClosed) return;
    const waiting = this.#turn();
    if (waiting === undefined) return;
    const rested = [...this.#hands].find(({ at }) => at === null);
    if (rested === undefined && this.#hands.size >= this.#settings.threads) return;
    const hand = rested ?? this.#start();
    this.#waiting = this.#waiting.filter((one) => one !== waiting);
    hand.at = waiting;
    const { secondsPerAnswer } = this.#settings.limits;
    const late = `The answer takes longer than ${secondsPerAnswer} s. Ask about fewer runs, classes or trials at once.`;
    hand.clock = setTimeout(() => this.#end(hand, new NotNow(late, 60)), secondsPerAnswer * 1000);
    hand.worker.ref();
    hand.worker.postMessage(waiting.question, [waiting.question.body]);
    this.#next();
  }

  #turn(): Waiting | undefined {
    const atWork = this.#atWork();
    const ofCaller = (caller: string) => atWork.filter((one) => one.caller === caller).length;
    // Sorting keeps the order of those with as many.
    return this.#waiting.toSorted((a, b) => ofCaller(a.caller) - ofCaller(b.caller))[0];
  }

  #start(): Hand {
    const { script, limits } = this.#settings;
    const worker = new Worker(script, {
      resourceLimits: { maxOldGenerationSizeMb: limits.megabytesPerWorker },
    });
    const hand: Hand = { worker, at: null, clock: undefined };
    this.#hands.add(hand);
    worker.on("message", (message: unknown) => {
      const { at } = hand;
      this.#rest(hand);
      at?.done(answered.parse(message));
      this.#next();
    });
    worker.on("error", (fault: Error) => {
      const isMemory = "code" in fault && fault.code === "ERR_WORKER_OUT_OF_MEMORY";
      if (!isMemory) this.#settings.log(fault);
      const large = `The answer needs more than ${limits.megabytesPerWorker} MB. Ask about fewer runs, classes or trials at once.`;
      this.#end(hand, isMemory ? new NotNow(large, 60) : fault);
    });
    worker.unref();
    return hand;
  }

  #rest(hand: Hand): void {
    clearTimeout(hand.clock);
    hand.at = null;
    // A server that is told to stop does not wait for workers at rest.
    hand.worker.unref();
  }

  #end(hand: Hand, why: Error): void {
    const { at } = hand;
    this.#rest(hand);
    this.#hands.delete(hand);
    void hand.worker.terminate();
    at?.failed(why);
    this.#next();
  }
}
