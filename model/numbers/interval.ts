/** Both ends of an interval and how often such an interval holds, 0..1. */
export interface Interval {
  readonly low: number;
  readonly high: number;
  readonly level: number;
}
