/** Milliseconds of the processor that a page's main thread has spent so far: other work on the machine counts less than in a time. */
export async function mainThread(page) {
  const session = await page.context().newCDPSession(page);
  await session.send("Performance.enable", { timeDomain: "threadTicks" });
  return async () => {
    const { metrics } = await session.send("Performance.getMetrics");
    return 1000 * metrics.find((m) => m.name === "TaskDuration").value;
  };
}

/** A quantile of a list, to a tenth. */
export function at(list, p) {
  return list.toSorted((a, b) => a - b)[Math.floor(p * (list.length - 1))].toFixed(1);
}
