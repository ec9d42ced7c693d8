import { mean } from "simple-statistics";
import { partialEffect } from "#model/factors/partialEffect.ts";
import { regressionOn } from "#model/factors/regression.ts";
import type { NamedPoint, SettingsPlane } from "#model/pictures/settingPictures.ts";
import { scaledResult, wholeLots } from "./factorTable.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** A result over a setting with others held at their means, in the result's own unit. */
export interface SettingEffect {
  readonly points: readonly NamedPoint[];
  readonly line: readonly {
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
  }[];
}

const columnOf = (history: LotHistory, name: string) =>
  history.columns.find((column) => column.name === name);

/**
 * The effect of one setting, those beside it held at their means; fitted on ln where the result is above zero.
 *
 * @returns null where these lots cannot hold it
 */
export function settingEffect(
  history: LotHistory,
  asked: {
    readonly of: string;
    readonly factor: string;
    readonly beside: readonly string[];
    readonly level?: number;
  },
): SettingEffect | null {
  const { of, factor, beside, level = 0.95 } = asked;
  const [y, x] = [columnOf(history, of), columnOf(history, factor)];
  const others = beside.flatMap((name) => columnOf(history, name) ?? []);
  if (y === undefined || x === undefined) return null;
  const result = scaledResult(y);
  const whole = wholeLots([result, x, ...others]);
  const at = ({ values }: Pick<HistoryColumn, "values">) => whole.flatMap((i) => values[i] ?? []);
  const found = partialEffect({ result: at(result), factor: at(x), beside: others.map(at), level });
  if (found === null) return null;
  const back = (value: number) => (result.isOnLn ? Math.exp(value) : value);
  return {
    points: found.points.map((point, i) => ({
      x: point.x,
      y: back(point.y),
      lot: history.lots[whole[i] ?? -1] ?? "",
    })),
    line: found.line.map((l) => ({ x: l.x, y: back(l.y), low: back(l.low), high: back(l.high) })),
  };
}

/** The result over two settings by the regression on both; null where these lots cannot hold it. */
export function settingsPlane(
  history: LotHistory,
  asked: { readonly of: string; readonly first: string; readonly second: string },
): SettingsPlane | null {
  const [z, x, y] = [asked.of, asked.first, asked.second].map((name) => columnOf(history, name));
  if (z === undefined || x === undefined || y === undefined) return null;
  const result = scaledResult(z);
  const whole = wholeLots([result, x, y]);
  const at = ({ values }: Pick<HistoryColumn, "values">) => whole.flatMap((i) => values[i] ?? []);
  const [xs, ys] = [at(x), at(y)];
  const fit = regressionOn([xs, ys], at(result));
  const [across, up] = fit?.slopes ?? [];
  if (fit === null || across === undefined || up === undefined) return null;
  const [middleX, middleY] = [mean(xs), mean(ys)];
  const scaled = (value: number) => (result.isOnLn ? Math.log(value) : value);
  return {
    at: (a, b) => {
      const value = fit.meanOfResult + across * (a - middleX) + up * (b - middleY);
      return result.isOnLn ? Math.exp(value) : value;
    },
    yFor: (a, value) =>
      up === 0 || (result.isOnLn && value <= 0)
        ? null
        : middleY + (scaled(value) - fit.meanOfResult - across * (a - middleX)) / up,
  };
}
