import { hostsIn, isLoopback } from "./hosts.ts";

/** From where a server can be asked, and how what is said on the way stays secret. */
export type Reach = "this machine" | "behind TLS" | "plain HTTP";

/** Why a server must not start so; what would help. */
export class NotStarted extends Error {}

/**
 * On loopback a server knows no accounts. Beyond it, it starts only with an account of an administrator, and only where
 * somebody said how what is sent stays secret.
 *
 * @throws NotStarted
 */
export function reachOf(
  environment: Readonly<Record<string, string | undefined>>,
  host: string,
  hasAdministrator: () => boolean,
): Reach {
  const isBehindTls = isSet(environment["FINEBAND_TLS_PROXY"]);
  const isPlain = isSet(environment["FINEBAND_PLAIN_HTTP"]);
  const isAlone = isLoopback(host.toLowerCase()) && hostsIn(environment["FINEBAND_HOSTS"]).length === 0;
  if (isAlone && !isBehindTls) return "this machine";
  const where = isAlone ? "behind a proxy" : "beyond this machine";
  if (isBehindTls && isPlain)
    throw new NotStarted("FINEBAND_TLS_PROXY and FINEBAND_PLAIN_HTTP exclude each other; set one of them.");
  if (!isBehindTls && !isPlain)
    throw new NotStarted(
      `A server that is reached from ${where} needs TLS in front of it: FINEBAND_TLS_PROXY=yes says that a proxy does so (docs/security.md has an example). FINEBAND_PLAIN_HTTP=yes does without: passwords and data can then be read on the way.`,
    );
  if (!hasAdministrator())
    throw new NotStarted(
      `A server that is reached from ${where} needs accounts: fineband user add NAME --role administrator makes the first one and shows its password.`,
    );
  return isBehindTls ? "behind TLS" : "plain HTTP";
}

const isSet = (value: string | undefined) => value !== undefined && !["", "0", "no"].includes(value);
