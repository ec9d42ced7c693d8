import { spawn } from "node:child_process";

/** Starts a server and waits for the address that it prints. */
export function serverAddress(
  command: string,
  words: readonly string[],
): Promise<{ readonly address: string; readonly stop: () => void }> {
  const child = spawn(command, [...words], { stdio: ["ignore", "pipe", "pipe"] });
  let said = "";
  return new Promise((resolve, reject) => {
    const listen = (data: unknown) => {
      said += String(data);
      const [address] = /http:\/\/\S+\//.exec(said) ?? [];
      if (address !== undefined) resolve({ address, stop: () => child.kill() });
    };
    child.stdout.on("data", listen);
    child.stderr.on("data", listen);
    child.once("close", () => reject(new Error(`it ended: ${said}`)));
  });
}
