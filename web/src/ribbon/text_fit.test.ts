import { expect, it } from "vitest";
import { first_fitting, fitted, text_px } from "./text_fit";

it("a text that fits stands whole, one that does not is cut with an ellipsis, and three letters are the least", () => {
  expect(fitted("beyond 40 NM", 500)).toBe("beyond 40 NM");
  const cut = fitted("beyond 40 NM service volume", 90);
  expect(cut).toMatch(/^beyond.*…$/);
  expect(text_px(cut)).toBeLessThanOrEqual(90);
  expect(fitted("beyond 40 NM", 20)).toBe("");
});

it("the longest way to say it that fits is taken", () => {
  expect(first_fitting(["XDV 110.80 273", "XDV 273", "XDV"], 60)).toBe("XDV 273");
  expect(first_fitting(["XDV"], 5)).toBe("");
});
