import { expect, it } from "vitest";
import { clock_of } from "./clock";

it("times are said as a clock does", () => {
  expect(clock_of(0)).toBe("0:00");
  expect(clock_of(59.6)).toBe("1:00");
  expect(clock_of(1508)).toBe("25:08");
  expect(clock_of(6090)).toBe("1:41:30");
});
