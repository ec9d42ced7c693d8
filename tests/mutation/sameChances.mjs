// Properties draw the same cases for every change, and stop at the first that fails.
import fc from "fast-check";

fc.configureGlobal({ seed: 1, endOnFailure: true });
