import { describe, expect, test } from "vitest";
import {
  lastBefore,
  processSteps,
  refiringOf,
  stagesSpokenOf,
  stepNamed,
  usualSteps,
} from "#model/lot/processSteps.ts";

const heat = usualSteps.find((step) => step.id === "re-fired");

describe("process steps", () => {
  test("a stage is known by name or id, case, blanks and hyphens aside; the reference always", () => {
    expect(stepNamed(usualSteps, "Re fired")?.kind).toBe("heat-treated");
    expect(stepNamed(usualSteps, "re_FIRED ")?.id).toBe("re-fired");
    expect(stepNamed(usualSteps, "reference")?.kind).toBe("reference");
    expect(stepNamed(usualSteps, "sieved")).toBeNull();
  });

  test("mathematics asks for kind and order: the milling before a heat treatment, whatever it is called", () => {
    const steps = [
      { id: "a", name: "calcined", kind: "fired" },
      { id: "b", name: "jet pass 1", kind: "milled" },
      { id: "c", name: "jet pass 2", kind: "milled" },
      { id: "d", name: "annealed", kind: "heat-treated" },
    ] as const;
    expect(lastBefore(steps, steps[3], "milled")?.name).toBe("jet pass 2");
    expect(lastBefore(steps, steps[0], "milled")).toBeNull();
    if (heat !== undefined) expect(lastBefore(usualSteps, heat, "milled")?.id).toBe("milled");
    expect(refiringOf(steps, null)).toEqual({ from: "c", to: "d" });
    expect(refiringOf(steps, "c")).toEqual({ from: "c", to: "d" });
    expect(refiringOf(usualSteps, "re-fired")).toEqual({ from: "milled", to: "re-fired" });
    expect(refiringOf(steps.slice(0, 3), "d")).toBeNull();
  });

  test("names of files speak of the lab's own steps, the longest first, and of the usual ones", () => {
    const steps = [
      { id: "s1", name: "milled", kind: "milled" },
      { id: "s2", name: "twice milled", kind: "milled" },
      { id: "s3", name: "Polish", kind: "other" },
    ] as const;
    expect(stagesSpokenOf(steps, ["Ceria 3, Twice_milled.csv"])).toEqual(["s2"]);
    expect(stagesSpokenOf(steps, ["Ceria 3 milled.csv"])).toEqual(["milled"]);
    expect(stagesSpokenOf(steps, ["ceria-polish-2"])).toEqual(["s3"]);
    expect(stagesSpokenOf(steps, ["polished.csv", "re fired"])).toEqual(["re-fired"]);
    expect(stagesSpokenOf(usualSteps, ["milled, run 2"])).toEqual(["milled"]);
  });

  test("none, without a name, or twice the same is refused", () => {
    expect(() => processSteps([])).toThrow(/at least one/);
    expect(() => processSteps([{ id: "a", name: " ", kind: "fired" }])).toThrow(/must have a name/);
    const twice = [
      { id: "a", name: "Fired", kind: "fired" },
      { id: "b", name: "fired", kind: "heat-treated" },
    ] as const;
    expect(() => processSteps(twice)).toThrow(/name of its own/);
  });
});
