import { signal } from "@preact/signals";
import { limitWords, quantityText, rowKey, statisticText } from "#model/band/limits.ts";
import { roomToLimits } from "#model/pictures/roomToLimits.ts";
import { shortNames } from "#model/words/columns.ts";
import { RoomChart, roomMarks } from "#ui/charts/roomChart.tsx";
import { Choice } from "#ui/parts/choice.tsx";
import { figures } from "#ui/parts/format.ts";
import type { LotLine } from "./lotsState.ts";

const stretches = ["the latest 20", "the latest 60", "all"] as const;
const stretch = signal<(typeof stretches)[number]>(stretches[0]);
const counts = { "the latest 20": 20, "the latest 60": 60, all: Number.POSITIVE_INFINITY } as const;

/** The room every limit of the latest lots leaves, or what is missing for it to be drawn. */
export function RoomPicture({ lines, finding }: { lines: readonly LotLine[]; finding: string }) {
  const drawable = lines.filter(({ standing }) => (standing?.rows.length ?? 0) > 0);
  const shown = drawable.slice(-counts[stretch.value]);
  if (shown.length === 0)
    return (
      <p class={`quiet ${lines.some((line) => !line.isHere) ? "room-awaited" : ""}`}>
        {lines.some((line) => !line.isHere)
          ? "Reading the lots …"
          : "The room to the limits is drawn once a lot has runs of the stage its target band is for."}
      </p>
    );
  const rows = [
    ...new Map(
      shown.flatMap(({ standing }) => standing?.rows ?? []).map((row) => [rowKey(row), row]),
    ).values(),
  ].filter((row) => row.high !== null);
  const isAnyPredicted = shown.some(({ standing }) => standing?.isPredicted === true);
  const names = shown.map(({ lot }) => lot.name);
  const limits = rows.map((row) => ({
    name: limitWords(row).name,
    ...valuesOf(rowKey(row), shown),
  }));
  return (
    <div class="room">
      <RoomChart
        finding={finding}
        names={names}
        shortNames={shortNames(names)}
        limits={limits}
        height={210}
      />
      <div class="quiet">
        {drawable.length > 20 && (
          <Choice
            label="Lots"
            value={stretch.value}
            options={stretches}
            onChange={(v) => {
              stretch.value = v;
            }}
          />
        )}
        <ul class="plain room-key">
          {rows.map((row, k) => {
            const { name, unit, factor } = limitWords(row);
            return (
              <li key={rowKey(row)}>
                <span aria-hidden="true">{roomMarks[k % roomMarks.length]}</span> {name}{" "}
                {statisticText(row, (v) => figures(v * factor))} {unit}
              </li>
            );
          })}
          <li>
            Line: 95 % interval. Large: beyond a limit.
            {isAnyPredicted ? " Hollow: predicted." : ""} Sand: between the limits.
          </li>
        </ul>
      </div>
    </div>
  );
}

function valuesOf(key: string, lines: readonly LotLine[]) {
  const found = lines.map(({ standing }) => ({
    row: standing?.rows.find((r) => rowKey(r) === key),
    isPredicted: standing?.isPredicted === true,
  }));
  return {
    said: found.map(({ row, isPredicted }) =>
      row === undefined || row.value === null
        ? null
        : `${quantityText(row, row.value)}${isPredicted ? ", predicted" : ""}`,
    ),
    points: found.flatMap(({ row, isPredicted }, lot) => {
      const room = row === undefined ? null : roomToLimits(row);
      return room === null ? [] : [{ lot, ...room, isPredicted, isOut: room.value > 1 || room.value < 0 }];
    }),
  };
}
