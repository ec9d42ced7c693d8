import { crc32 } from "node:zlib";

/**
 * A folder of texts as one file that every machine opens. Nothing is compressed.
 * Source: APPNOTE.TXT, the published format of ZIP files, sections 4.3.7, 4.3.12 and 4.3.16.
 */
export function zipOf(files: ReadonlyMap<string, string>): Uint8Array<ArrayBuffer> {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const [name, text] of files) {
    const [nameBytes, content] = [Buffer.from(name), Buffer.from(text)];
    const about = Buffer.alloc(26);
    about.writeUInt16LE(20, 0); // version 2.0 unpacks it
    about.writeUInt16LE(0x0800, 2); // names are UTF-8
    about.writeUInt16LE(0x21, 8); // 1 January 1980: the same content gives the same bytes
    about.writeUInt32LE(crc32(content), 10);
    about.writeUInt32LE(content.length, 14);
    about.writeUInt32LE(content.length, 18);
    about.writeUInt16LE(nameBytes.length, 22);
    const local = Buffer.concat([Buffer.from("PK\u0003\u0004", "latin1"), about, nameBytes, content]);
    const place = Buffer.alloc(14);
    place.writeUInt32LE(offset, 10);
    const madeBy = Buffer.from([20, 0]);
    directory.push(Buffer.concat([Buffer.from("PK\u0001\u0002", "latin1"), madeBy, about, place, nameBytes]));
    parts.push(local);
    offset += local.length;
  }
  const list = Buffer.concat(directory);
  const end = Buffer.alloc(18);
  end.writeUInt16LE(files.size, 4);
  end.writeUInt16LE(files.size, 6);
  end.writeUInt32LE(list.length, 8);
  end.writeUInt32LE(offset, 12);
  return new Uint8Array(Buffer.concat([...parts, list, Buffer.from("PK\u0005\u0006", "latin1"), end]));
}
