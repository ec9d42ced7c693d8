// How much of the processor each test file takes, for the reporter: a clock would count what others do.
import { afterEach } from "vitest";

const before = process.cpuUsage();
afterEach(({ task }) => {
  const { user, system } = process.cpuUsage(before);
  task.file.meta.usedSeconds = (user + system) / 1e6;
});

declare module "vitest" {
  interface TaskMeta {
    usedSeconds?: number;
  }
}
