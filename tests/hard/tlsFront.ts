import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { request as httpRequest, type IncomingHttpHeaders } from "node:http";
import { createServer, request } from "node:https";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Accounts } from "../../api/access/accounts.ts";
import { copyOfBegun } from "./begun.ts";
import { startServer } from "./server.ts";

const name = "lab.example";
const password = "seven grey stones";

/** Whether a certificate can be made here: with the openssl command. */
export function canCertify(): boolean {
  try {
    execFileSync("openssl", ["version"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
}

/** A certificate for the lab's name, made now, that nobody else knows. */
function certificate() {
  const folder = mkdtempSync(join(tmpdir(), "fineband-tls-"));
  const [key, cert] = [join(folder, "key.pem"), join(folder, "cert.pem")];
  const words = `req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 1 -subj /CN=${name}`;
  const more = ["-addext", `subjectAltName=DNS:${name}`, "-keyout", key, "-out", cert];
  execFileSync("openssl", [...words.split(" "), ...more], { stdio: "ignore" });
  const made = { key: readFileSync(key), cert: readFileSync(cert) };
  rmSync(folder, { recursive: true });
  return made;
}

interface Said {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** A front that ends TLS, as docs/security.md says one must: it passes on Host and says what came by TLS and from where. */
function frontOf(address: string, { key, cert }: ReturnType<typeof certificate>) {
  const { port } = new URL(address);
  const front = createServer({ key, cert }, (asked, answer) => {
    const headers = {
      ...asked.headers,
      "x-forwarded-proto": "https",
      "x-forwarded-for": asked.socket.remoteAddress ?? "",
    };
    const passed = { host: "127.0.0.1", port, method: asked.method, path: asked.url, headers };
    const onward = httpRequest(passed, (said) => {
      answer.writeHead(said.statusCode ?? 502, said.headers);
      said.pipe(answer);
    });
    onward.once("error", () => answer.writeHead(502).end());
    asked.pipe(onward);
  });
  return new Promise<{ port: number; close: () => void }>((resolve) => {
    front.listen(0, "127.0.0.1", () => {
      const at = front.address();
      resolve({ port: typeof at === "object" && at !== null ? at.port : 0, close: () => front.close() });
    });
  });
}

/**
 * Puts a front that ends TLS before a server that was told so, and goes through it as a browser and a script do.
 *
 * @returns  what was answered to each step
 */
export async function throughTls() {
  const folder = await copyOfBegun("tls");
  await new Accounts(folder, 2 ** 10).add("ada", "administrator", password);
  const made = certificate();
  const server = await startServer(folder, { FINEBAND_TLS_PROXY: "yes", FINEBAND_HOSTS: name });
  const front = await frontOf(server.address, made);
  const ask = (method: string, path: string, more: Readonly<Record<string, string>> = {}, body?: unknown) =>
    new Promise<Said>((resolve, reject) => {
      const headers = { host: name, "content-type": "application/json", ...more };
      const to = {
        host: "127.0.0.1",
        port: front.port,
        servername: name,
        ca: made.cert,
        method,
        path,
        headers,
      };
      const asked = request({ ...to, agent: false }, async (said) => {
        let text = "";
        for await (const piece of said) text += String(piece);
        resolve({ status: said.statusCode ?? 0, headers: said.headers, body: text });
      });
      asked.once("error", reject);
      asked.end(body === undefined ? undefined : JSON.stringify(body));
    });
  try {
    const unknown = await ask("GET", "/api/lots");
    const wrong = await ask("POST", "/api/session", {}, { name: "ada", password: "six grey stones" });
    const entered = await ask("POST", "/api/session", {}, { name: "ada", password });
    const [set = ""] = entered.headers["set-cookie"] ?? [];
    const cookie = set.split(";")[0] ?? "";
    const own = { cookie, origin: `https://${name}`, "sec-fetch-site": "same-origin" };
    const lots = await ask("GET", "/api/lots", own);
    const saved = await ask("POST", "/api/lots", own, { name: "By TLS", densityGPerCm3: 4.55 });
    const elsewhere = await ask("GET", "/api/lots", { cookie, origin: "https://elsewhere.example" });
    const given = await ask("POST", "/api/tokens", own, { role: "reader", days: 1 });
    const authorization = `Bearer ${String(JSON.parse(given.body).token)}`;
    const byToken = await ask("GET", "/api/lots", { authorization });
    const changedByToken = await ask(
      "POST",
      "/api/lots",
      { authorization },
      { name: "B", densityGPerCm3: 4 },
    );
    const left = await ask("DELETE", "/api/session", own);
    const after = await ask("GET", "/api/lots", own);
    // Past the front, by plain HTTP: with everything but the word of the proxy.
    const past = await fetch(`${server.address}/api/lots`, { headers: { authorization } });
    return {
      notSignedIn: unknown.status,
      wrongPassword: wrong.status,
      signedIn: entered.status,
      cookie: set.replace(/=[^;]+/, "=…"),
      hsts: entered.headers["strict-transport-security"] ?? "none",
      reads: lots.status,
      saves: saved.status,
      fromAnotherPage: elsewhere.status,
      token: given.status,
      readsByToken: byToken.status,
      savesByReadersToken: changedByToken.status,
      signedOut: left.status,
      afterwards: after.status,
      pastTheFront: past.status,
    };
  } finally {
    front.close();
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}
