import { expect, it } from "vitest";
import { percent } from "./shares";

it("a rare failure is not rounded to none, nor a likely arrival to certainty", () => {
  expect([0, 0.0003, 0.012, 0.173, 0.5, 0.985, 0.9997, 1].map(percent)).toEqual(["0", "0.03", "1.2", "17", "50", "98.5", "99.97", "100"]);
});
