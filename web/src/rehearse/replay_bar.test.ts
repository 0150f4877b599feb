import { expect, it } from "vitest";
import type { ReplaySample } from "../api/generated";
import { held_says } from "./replay_bar";

const sample = { flown_s: 4350, step: 7, aside_nm: -1.24, needle_share: 0.31 } as ReplaySample;

it("a moment says which side of the line it is on, and what the needle shows of it", () => {
  expect(held_says(sample)).toBe("1:12:30, step 7, 1.2 NM left of the line, needle 0.31 of full scale right");
});

it("what has no line and no needle says nothing of either", () => {
  expect(held_says({ ...sample, aside_nm: null, needle_share: null })).toBe("1:12:30, step 7");
});
