/** How much a sheet tells: the grade alone, how it was found, or everything needed to do it again. */
export type ReportLevel = "grade" | "method" | "full";

export const reportLevels: readonly ReportLevel[] = ["grade", "method", "full"];
