import { createPrivateKey, createPublicKey, generateKeyPairSync, sign, verify } from "node:crypto";
import { linkSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { z } from "zod";
import type { Signature, SignatureState } from "#api/records/signature.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";

/** Signs what a lab releases and saves, and tells its signatures from those of others. */
export interface LabKey {
  /** @throws StoreFault  there is a file of a key that cannot be read, or none can be written */
  readonly sign: (said: string) => Signature;
  readonly stateOf: (said: string, signature: Signature | undefined) => SignatureState;
}

const keyFile = z.object({ version: z.literal(1), algorithm: z.literal("Ed25519"), privateKey: z.string() });

/**
 * The key of a lab, in a file that its owner alone can read. It is made when something is signed for the first time; of
 * two servers that do so at once one makes it. Source of the algorithm: RFC 8032; the keys' forms: RFC 5958, RFC 8410.
 */
export function labKeyIn(path: string): LabKey {
  let known: ReturnType<typeof keyIn> = null;
  const own = () => {
    known ??= keyIn(path);
    return known;
  };
  /** What is there stays readable where the key is not: then nothing counts as this lab's. */
  const ownPublicKey = () => {
    try {
      return own()?.publicKey ?? null;
    } catch {
      return null;
    }
  };
  return {
    sign(said) {
      const key = own() ?? madeAt(path);
      known = key;
      return { key: key.publicKey, value: sign(null, Buffer.from(said), key.privateKey).toString("base64") };
    },
    stateOf: (said, signature) => stateOf(said, signature, ownPublicKey()),
  };
}

/** The same where there may be no key: then what is signed is another's. */
export const stateOfSignature = (
  key: LabKey | null,
  said: string,
  signature: Signature | undefined,
): SignatureState => key?.stateOf(said, signature) ?? stateOf(said, signature, null);

/** @param own  the public key of this lab; null while it has none */
function stateOf(said: string, signature: Signature | undefined, own: string | null): SignatureState {
  if (signature === undefined) return "none";
  if (!fits(said, signature)) return "forged";
  return signature.key === own ? "own" : "foreign";
}

/** Whether a signature is of this text, whoever made it. */
export function fits(said: string, { key, value }: Signature): boolean {
  try {
    const publicKey = createPublicKey({ key: Buffer.from(key, "base64"), format: "der", type: "spki" });
    if (publicKey.asymmetricKeyType !== "ed25519") return false;
    return verify(null, Buffer.from(said), publicKey, Buffer.from(value, "base64"));
  } catch {
    return false;
  }
}

/** Null where there is no file. */
function keyIn(path: string) {
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch (fault) {
    if (fault instanceof Error && "code" in fault && fault.code === "ENOENT") return null;
    throw unreadable(path);
  }
  try {
    const privateKey = createPrivateKey(keyFile.parse(JSON.parse(text)).privateKey);
    const publicKey = createPublicKey(privateKey).export({ format: "der", type: "spki" }).toString("base64");
    return { privateKey, publicKey };
  } catch {
    throw unreadable(path);
  }
}

function madeAt(path: string): NonNullable<ReturnType<typeof keyIn>> {
  const pair = generateKeyPairSync("ed25519");
  const privateKey = pair.privateKey.export({ format: "pem", type: "pkcs8" });
  const text = JSON.stringify({ version: 1, algorithm: "Ed25519", privateKey });
  mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
  // Whole or not at all, and never over another: a link is not made where there is something.
  const part = `${path}.${process.pid}.part`;
  try {
    writeFileSync(part, `${text}\n`, { mode: 0o600, flush: true });
    linkSync(part, path);
  } catch (fault) {
    if (!(fault instanceof Error && "code" in fault && fault.code === "EEXIST")) throw fault;
  } finally {
    rmSync(part, { force: true });
  }
  const made = keyIn(path);
  if (made === null) throw unreadable(path);
  return made;
}

function unreadable(path: string): StoreFault {
  return new StoreFault(
    `The key this lab signs with cannot be read (${path}). Put the file back from where you keep it, or take it away: then a new key is made, and earlier signatures count as another's.`,
    500,
  );
}
