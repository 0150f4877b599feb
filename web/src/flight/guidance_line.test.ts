import { expect, it } from "vitest";
import { guidance_line } from "./guidance_line";

it("kinds of guidance that are told apart in words are told apart by their line", () => {
  const lines = ["radial", "localizer", "bearing", "arc", "dead_reckoning", "hold"].map(guidance_line);
  expect(new Set(lines.map((line) => line.says)).size).toBe(lines.length);
  expect(new Set(lines.map((line) => line.dashes.join(" "))).size).toBe(lines.length);
});

it("a kind that is not known yet is drawn, and named by its own word", () => expect(guidance_line("by_stars")).toEqual({ says: "by stars", dashes: [] }));
