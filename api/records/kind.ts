import type { z } from "@hono/zod-openapi";

/** A kind of entry: all that the store, the copies, the API and its document must know of it. */
export interface Kind<Body, List extends string = string, Fields extends z.ZodObject = z.ZodObject> {
  /** The name of its list in a copy, as code has it. */
  readonly list: List;
  /** Its fields as they are written down. The columns of its CSV and its part of the API's document follow from them. */
  readonly fields: Fields;
  /** Checks a body that was written down, and puts its fields in their order. @throws where it is none */
  readonly read: (value: unknown) => Body;
  /** The field that names the entry it belongs to, and with which it is deleted. */
  readonly parent: string | null;
  /** Whether it stays when what it belongs to is deleted or is in no copy: it holds all that it rests on. */
  readonly standsAlone: boolean;
  /** A part of what it belongs to, such as a stage of its lot; of a table, the SHA-256 it is found by. */
  readonly part: (body: Body) => string;
  /** The day it is ordered by among its like, or of a run the mark its curve is found by; empty where neither matters. */
  readonly day: (body: Body) => string;
  /** The field with its curve, whose classes stand in a table of their own. */
  readonly curve: string | null;
  /** How the change history and a search name it. */
  readonly title: (body: Body) => string;
  /** What a search looks through. */
  readonly words: (body: Body) => string;
}

type Described<Body, List extends string> = Pick<Kind<Body, List>, "list" | "title"> &
  Partial<Pick<Kind<Body>, "parent" | "standsAlone" | "part" | "day" | "curve" | "words">>;

/** A kind whose fields are all that there is to check. */
export function kindOf<S extends z.ZodObject, List extends string>(
  fields: S,
  entered: Described<z.output<S>, List>,
): Kind<z.output<S>, List, S> {
  return kindRead(fields, (value) => fields.parse(value), entered);
}

/** A kind whose fields are read by a reader of the model, or follow from each other. */
export function kindRead<Body, S extends z.ZodObject, List extends string>(
  fields: S,
  read: (value: unknown) => Body,
  entered: Described<Body, List>,
): Kind<Body, List, S> {
  const usual = {
    parent: null,
    standsAlone: false,
    curve: null,
    part: () => "",
    day: () => "",
    words: () => "",
  };
  return { ...usual, ...entered, fields, read };
}

/** How a kind of entry that stands for itself is listed, kept, changed and deleted over HTTP: four routes at one path. */
export interface OverHttp<Path extends string, Body extends z.ZodType> {
  readonly path: Path;
  /** What a request tells: the fields, held to what a person may enter. */
  readonly body: Body;
  /** A request that the API's document shows. */
  readonly example: object;
  /** What it is called in the operations of the document, as Balance. */
  readonly called: string;
  readonly listSummary: string;
  readonly keepSummary: string;
  /** How the change history says that one was made. */
  readonly made: "saved" | "noted";
}

/** A kind with its routes. Its list over HTTP has the name of its list in a copy. */
export function overHttp<
  Body,
  List extends string,
  Fields extends z.ZodObject,
  Path extends string,
  Described extends z.ZodType<Body>,
>(kind: Kind<Body, List, Fields>, http: OverHttp<Path, Described>) {
  return { ...kind, http };
}
