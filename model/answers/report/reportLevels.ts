/** How much a report tells: the grade alone, how it was found, everything needed to do it again; or what a customer is given. */
export type ReportLevel = "grade" | "method" | "full" | "customer";

export const reportLevels: readonly ReportLevel[] = ["grade", "method", "full", "customer"];
