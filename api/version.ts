import file from "../package.json" with { type: "json" };

/** The version of the program and of its model. */
export const version: string = file.version;
