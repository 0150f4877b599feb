import { expect, it } from "vitest";
import { number_of_other } from "./choice";

it.each([
  [1, [2, 3]],
  [2, [1, 3]],
  [3, [1, 2]],
])("where flight %i of three is the answer, the others are those that are not", (chosen, others) => {
  expect([0, 1].map((index) => number_of_other(index, chosen))).toEqual(others);
});
