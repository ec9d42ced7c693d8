/** Names and addresses that only this machine answers to. */
const loopback = /^(?:localhost|127(?:\.\d{1,3}){3}|\[::1\])$/;

/** Whether an address can only be reached from this machine. */
export function isLoopback(hostname: string): boolean {
  return loopback.test(hostname) || hostname === "::1";
}

/** The names a server may be called by beside those of this machine: FINEBAND_HOSTS, with commas between. */
export function hostsIn(text: string | undefined): readonly string[] {
  return (text ?? "")
    .split(",")
    .map((host) => host.trim().toLowerCase())
    .filter((host) => host !== "");
}

/**
 * Whether a request was addressed to this server by a name of its own. A page elsewhere can make its own name point at
 * this machine (DNS rebinding); the Host header then still holds that name.
 */
export function isOwnHost(host: string, ownHosts: readonly string[]): boolean {
  const name = host.toLowerCase().replace(/:\d{1,5}$/, "");
  return isLoopback(name) || ownHosts.includes(name) || ownHosts.includes(host.toLowerCase());
}
