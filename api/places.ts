import { existsSync } from "node:fs";
import { join } from "node:path";
import { type Surroundings, settingsPath } from "./settings.ts";

/** Where the program finds what it needs. */
export interface Places {
  /** Whether it was installed as a package; else it runs in a checkout. */
  readonly isInstalled: boolean;
  /** Where labs are kept, if nothing else is said. */
  readonly data: string;
  /** The file of settings that is looked for; null where none is. A checkout has the one that is named alone. */
  readonly settings: string | null;
  /** The demo's files: a folder, or an archive of one. */
  readonly samples: string;
  /** The built page: a folder, or an archive of one. */
  readonly page: string;
}

/**
 * The places of a program whose files stand in a folder. A checkout keeps its data within itself; an installed package
 * may be replaced or read-only, so what it keeps lies with the person.
 *
 * @param top  the folder of the checkout or of the package
 */
export function placesOf(top: string, person: Surroundings): Places {
  const isInstalled = !existsSync(join(top, "api", "main.ts"));
  return isInstalled
    ? {
        isInstalled,
        data: ownFolder(person),
        settings: settingsPath(person),
        samples: join(top, "dist", "samples.zip"),
        page: join(top, "dist", "page.zip"),
      }
    : {
        isInstalled,
        data: join(top, "api", "data"),
        settings: (person.environment["FINEBAND_SETTINGS"] ?? "") === "" ? null : settingsPath(person),
        samples: join(top, "distributions", "samples"),
        page: join(top, "ui", "dist"),
      };
}

/** Where programs of one person keep their data. Sources: XDG Base Directory 0.8; the systems' own customs. */
function ownFolder({ environment, home, platform }: Surroundings): string {
  if (platform === "darwin") return join(home, "Library", "Application Support", "Fineband");
  if (platform === "win32")
    return join(environment["LOCALAPPDATA"] ?? join(home, "AppData", "Local"), "Fineband");
  const named = environment["XDG_DATA_HOME"] ?? "";
  // A relative path there is to be ignored, the standard says.
  return join(named.startsWith("/") ? named : join(home, ".local", "share"), "fineband");
}
