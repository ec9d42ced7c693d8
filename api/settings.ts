import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parseEnv } from "node:util";
import { meant } from "#api/contract/nearest.ts";
import { UnusableInput } from "#api/faults.ts";

/** Who asks, and on which system. */
export interface Surroundings {
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly home: string;
  readonly platform: string;
}

/** The settings that are read, in the order of docs/commands.md. */
export const settingNames = [
  "HOST",
  "PORT",
  "FINEBAND_DATA",
  "FINEBAND_BACKUPS",
  "FINEBAND_SIGNING_KEY",
  "DATABASE_URL",
  "FINEBAND_HOSTS",
  "FINEBAND_TLS_PROXY",
  "FINEBAND_PLAIN_HTTP",
  "FINEBAND_WATCH",
  "FINEBAND_WRITERS_RELEASE",
  "FINEBAND_LOG",
  "FINEBAND_LOG_LEVEL",
] as const;

/**
 * Where an installed program looks for settings, if nothing else is said: FINEBAND_SETTINGS, else `fineband.conf` among
 * the person's own settings. Sources: XDG Base Directory 0.8; the systems' own customs.
 */
export function settingsPath({ environment, home, platform }: Surroundings): string {
  const said = environment["FINEBAND_SETTINGS"] ?? "";
  if (said !== "") return said;
  const named = environment["XDG_CONFIG_HOME"] ?? "";
  const folder =
    platform === "darwin"
      ? join(home, "Library", "Application Support", "Fineband")
      : platform === "win32"
        ? join(environment["APPDATA"] ?? join(home, "AppData", "Roaming"), "Fineband")
        : join(named.startsWith("/") ? named : join(home, ".config"), "fineband");
  return join(folder, "fineband.conf");
}

/**
 * What a file of settings says, NAME=VALUE a line, of what the environment does not: that comes first.
 *
 * @returns null where there is no such file
 * @throws UnusableInput  it cannot be read, or names a setting that there is not
 */
export function settingsIn(
  path: string,
  { environment }: Pick<Surroundings, "environment">,
): Readonly<Record<string, string>> | null {
  const text = textOf(path, (environment["FINEBAND_SETTINGS"] ?? "") !== "");
  if (text === null) return null;
  const said = Object.entries(parseEnv(text)).flatMap(([name, value]) =>
    value === undefined ? [] : [[name, value] as const],
  );
  const known: readonly string[] = settingNames;
  const unknown = said.find(([name]) => !known.includes(name));
  if (unknown !== undefined)
    throw new UnusableInput(
      `${path}: there is no setting ${unknown[0]}.${meant(unknown[0], known)} The settings are ${known.join(", ")}.`,
      unknown[0],
      known.join(", "),
    );
  return Object.fromEntries(said.filter(([name]) => environment[name] === undefined));
}

/** @param isWanted  whether it was named, so that it has to be there */
function textOf(path: string, isWanted: boolean): string | null {
  try {
    return readFileSync(path, "utf8");
  } catch (fault) {
    const isMissing = fault instanceof Error && "code" in fault && fault.code === "ENOENT";
    if (isMissing && !isWanted) return null;
    throw new UnusableInput(
      `The settings in ${path} cannot be read: ${isMissing ? "there is no such file" : "the file is not to be read"}. Set FINEBAND_SETTINGS to a file of NAME=VALUE lines, or to nothing.`,
      path,
      "a file that can be read",
    );
  }
}
